//! What people did at home after the class.

use crate::live::command::Context;
use crate::live::event::{CareEvent, Event, SeatEvent};
use crate::live::practised::HomeLog;
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::people::person::PersonId;
use crate::text::{Name, Sentence};
use crate::time::day::Date;

/// More logs than a person makes until the next class: every drill of a long sheet, many times a day, for months.
const MOST_LOGS: usize = 2_000;
/// Who follows up where nobody said a name at a desk.
const SOMEBODY: &str = "Whoever leads the group";

impl Session {
    /// The same log sent again counts once. One with a known id that says something else is kept beside the first, for a
    /// person to look at. What hurt is followed up.
    pub(super) fn practise(
        &self,
        ctx: &Context<'_>,
        person: PersonId,
        log: &HomeLog,
        today: Date,
    ) -> Result<Vec<Event>, Refusal> {
        let seat = self.seat_of_person(person).ok_or(Refusal::NotIn)?;
        let of = self.seats.get(&seat).ok_or(Refusal::NotIn)?;
        if let Some(wrong) = log.wrong() {
            return Err(Refusal::Wrong(wrong));
        }
        let given = self.home.iter().find(|home| home.drill.as_ref().is_some_and(|of| of.id == log.drill));
        let drill = match (given, ctx.library.drill(log.drill.as_str())) {
            (Some(given), _) => given.title.as_str(),
            (None, Ok(drill)) => drill.name.as_str(),
            (None, Err(_)) => {
                return Err(Refusal::Wrong(format!("`drill` is `{}`; there is no such drill", log.drill)));
            }
        };
        if of.practised.contains(log) {
            return Ok(Vec::new());
        }
        if of.practised.len() >= MOST_LOGS && !log.hurt {
            return Err(Refusal::Wrong(format!("{MOST_LOGS} logs are the most that one class takes")));
        }
        let mut events = vec![SeatEvent::Practised { log: Box::new(log.clone()) }.of(seat)];
        let is_known = of.practised.iter().any(|one| one.id == log.id && one.hurt);
        if log.hurt && !is_known {
            // After a whole class nobody asks which of its drills it was.
            let hurt = match &log.run {
                Some(run) => format!(
                    "something in “{}” hurt, in or before “{}”,",
                    short(run.title.as_str()),
                    short(drill)
                ),
                None => format!("“{}” hurt", short(drill)),
            };
            let what = format!("Said that {hurt} at home on {}. Call and ask how they are.", log.day);
            let what = Sentence::try_from(what).map_err(|error| Refusal::Wrong(error.to_string()))?;
            let lead = self.names.get(&self.lead).or_else(|| self.names.values().next());
            let owner = match lead {
                Some(name) => name.clone(),
                None => Name::try_from(SOMEBODY).map_err(|error| Refusal::Wrong(error.to_string()))?,
            };
            let id = self.next_follow_up();
            events.push(CareEvent::FollowUpAdded { id, what, owner, due: today }.of(seat));
        }
        Ok(events)
    }
}

/// A title with its end left out where it is long: what is to be done has to fit too.
fn short(title: &str) -> String {
    const MOST: usize = 45;
    if title.chars().count() <= MOST {
        return title.to_owned();
    }
    let begin: String = title.chars().take(MOST - 1).collect();
    format!("{}…", begin.trim_end())
}
