//! Commands to events, or why not. The desk's commands about people and reports are in
//! `decide_people`, those that move the class in `decide_motion`, the participants' in `decide_seat`.

mod begin;
mod motion;
mod notice;
pub(super) mod people;
mod seat;

use crate::live::command::{Command, Context, DeskCommand, Noticed, Pressed, SeatCommand};
use crate::live::event::Event;
use crate::live::ids::{Actor, DeskRole, StepId};
use crate::live::refusal::Refusal;
use crate::live::state::seat::Place;
use crate::live::state::{LiveClue, Session};
use crate::plan::Step;
use crate::text::{Name, name};
use crate::time::EpochMs;

impl DeskCommand {
    /// Whether only the desk that leads may give it. The others serve people's safety and the
    /// roster, and both desks may give them.
    #[must_use]
    pub fn is_for_the_lead(&self) -> bool {
        match self {
            Self::Open
            | Self::Start
            | Self::Next
            | Self::Back
            | Self::GoTo { .. }
            | Self::Pause
            | Self::GoOn
            | Self::Resume
            | Self::AgainStep
            | Self::AgainRep
            | Self::MoreTime { .. }
            | Self::CutShort
            | Self::Insert { .. }
            | Self::SwapDose { .. }
            | Self::ShowClue
            | Self::ShowHint
            | Self::ShowAnswer
            | Self::AskEffort
            | Self::End => true,
            Self::PauseForSafety
            | Self::SetEntry { .. }
            | Self::LetIn { .. }
            | Self::TurnAway { .. }
            | Self::HandleReport { .. }
            | Self::SeeStop { .. }
            | Self::TakeLost { .. }
            | Self::CloseLost { .. }
            | Self::AskRest { .. }
            | Self::Message { .. }
            | Self::Remove { .. }
            | Self::Merge { .. }
            | Self::Expect { .. }
            | Self::AddByPhone { .. }
            | Self::MarkSeat { .. }
            | Self::ClearSwallow { .. }
            | Self::EndSwallow { .. }
            | Self::ClearFamily { .. }
            | Self::EndFamily { .. }
            | Self::SetPrecautions { .. }
            | Self::SetForm { .. }
            | Self::LiftForm { .. }
            | Self::MarkOff { .. }
            | Self::LiftOff { .. }
            | Self::AddFollowUp { .. }
            | Self::CloseFollowUp { .. }
            | Self::SayName { .. }
            | Self::ShareHealth
            | Self::EndShareHealth
            | Self::HandDesk { .. } => false,
        }
    }

    /// How long after the press it may still act, in milliseconds; nothing where it is never too late. The desk itself
    /// gives up a little earlier and says so; this is for what the network kept.
    #[must_use]
    pub fn acts_within_ms(&self) -> Option<i64> {
        match self {
            // What sees to a person does no harm when it is late, and a text would be lost.
            Self::HandleReport { .. }
            | Self::SeeStop { .. }
            | Self::TakeLost { .. }
            | Self::CloseLost { .. }
            | Self::AskRest { .. }
            | Self::Message { .. }
            | Self::AddFollowUp { .. }
            | Self::CloseFollowUp { .. }
            | Self::SayName { .. } => None,
            // Late is better than never, while the class is still in the step in which it was pressed.
            Self::PauseForSafety => Some(60_000),
            _ => Some(8_000),
        }
    }

    /// Refuses a key that was pressed elsewhere, or too long ago.
    fn check_pressed(&self, session: &Session, pressed: &Pressed, now: EpochMs) -> Result<(), Refusal> {
        let late = |ms| pressed.at.is_some_and(|at| now.since(at) > ms);
        if self.acts_within_ms().is_some_and(late) {
            return Err(Refusal::TooLate);
        }
        if !self.is_for_the_lead() && !matches!(self, Self::PauseForSafety) {
            return Ok(());
        }
        let clue = session.shown_clue();
        let of_clues = matches!(self, Self::ShowClue | Self::ShowHint | Self::ShowAnswer);
        let elsewhere = pressed.step != session.moves.last().map(|m| m.step)
            || of_clues && pressed.clue != clue.map_or(0, |clue| clue.number)
            || matches!(self, Self::ShowHint) && pressed.hints != clue.map_or(0, |clue| clue.hints);
        if elsewhere { Err(Refusal::MovedMeanwhile) } else { Ok(()) }
    }

    /// Whether it says what a drill may ask of a person: only whoever may see health notes gives it,
    /// and their name is kept with it.
    #[must_use]
    pub fn is_clinical(&self) -> bool {
        matches!(
            self,
            Self::ClearSwallow { .. }
                | Self::EndSwallow { .. }
                | Self::ClearFamily { .. }
                | Self::EndFamily { .. }
                | Self::SetPrecautions { .. }
                | Self::SetForm { .. }
                | Self::LiftForm { .. }
                | Self::LiftOff { .. }
        )
    }
}

impl Session {
    /// What `command` of `by` causes.
    ///
    /// # Errors
    /// Why it is refused; the session is unchanged either way.
    pub fn decide(&self, ctx: &Context<'_>, by: Actor, command: &Command) -> Result<Vec<Event>, Refusal> {
        if self.has_ended() && !command.is_for_afterwards() {
            return Err(Refusal::Ended);
        }
        if let Some(name) = command.name() {
            name::check(name.as_str()).map_err(|error| Refusal::Wrong(error.to_string()))?;
        }
        match (by, command) {
            (Actor::Entry, Command::TakeSeat { name }) => self.take_seat(name, ctx.now),
            (Actor::Entry, Command::Arrive { seat }) => self.arrive(*seat),
            (Actor::Watch, Command::Notice(noticed)) => self.decide_notice(ctx, *noticed),
            (Actor::Desk(role), Command::Desk(command)) => {
                if command.is_for_the_lead() && role != self.lead {
                    return Err(Refusal::NotLeading);
                }
                if command.is_clinical() && !self.sees_health(role) {
                    return Err(Refusal::NotClinical);
                }
                if let Some(pressed) = &ctx.pressed {
                    command.check_pressed(self, pressed, ctx.now)?;
                }
                self.decide_desk(ctx, role, command)
            }
            (Actor::Seat(seat), Command::Seat(command)) => {
                let (id, seat) = self.seat_of(seat).ok_or(Refusal::NoSuchSeat(seat.0))?;
                let may = match seat.place {
                    Place::In | Place::Left | Place::Expected => true,
                    // One report that was on its way when they were taken out; no more.
                    Place::Removed(_) => {
                        matches!(command, SeatCommand::Report { .. }) && seat.reported_at <= seat.removed_at
                    }
                    Place::Asking | Place::TurnedAway => false,
                };
                if may { self.decide_seat(ctx, id, seat, command) } else { Err(Refusal::NotIn) }
            }
            (Actor::Entry | Actor::Watch | Actor::Desk(_) | Actor::Seat(_), _) => Err(Refusal::NotYours),
        }
    }

    fn decide_desk(
        &self,
        ctx: &Context<'_>,
        role: DeskRole,
        command: &DeskCommand,
    ) -> Result<Vec<Event>, Refusal> {
        let event = match command {
            DeskCommand::Open if self.opened_at.is_some() => return Err(Refusal::NoChange),
            DeskCommand::Open => Event::Opened,
            DeskCommand::SetEntry { to } if *to == self.entry => return Err(Refusal::NoChange),
            DeskCommand::SetEntry { to } => Event::EntrySet { to: *to },
            DeskCommand::Insert { after, step } => {
                let after = after.or(self.moves.last().map(|m| m.step));
                if let Some(after) = after {
                    self.need_step(after)?;
                }
                let step = Step::of_request(step, ctx.library).map_err(Refusal::Wrong)?;
                let id = StepId(self.steps.iter().map(|s| s.id.0).max().unwrap_or(0) + 1);
                Event::StepInserted { id, after, step }
            }
            DeskCommand::AskEffort => {
                self.present_step().ok_or(Refusal::NotStarted)?;
                if self.effort.is_some() {
                    return Err(Refusal::NoChange);
                }
                Event::EffortAsked { number: self.efforts_asked + 1 }
            }
            DeskCommand::HandDesk { to } if *to == self.lead => return Err(Refusal::NoChange),
            DeskCommand::HandDesk { to } => {
                // Whoever gave the lead away takes it back at any time, and so does the facilitator.
                let takes_back = role == DeskRole::Facilitator || self.handed_by == Some(role);
                if role != self.lead && !takes_back && ctx.presence.desk_is_here(self.lead) {
                    return Err(Refusal::StillLed);
                }
                if *to != role && !ctx.presence.desk_is_here(*to) {
                    return Err(Refusal::NobodyThere);
                }
                Event::DeskHanded { to: *to }
            }
            DeskCommand::LetIn { seat, known_as } => return self.let_in(*seat, *known_as),
            DeskCommand::SayName { name } if self.names.get(&role) == Some(name) => {
                return Err(Refusal::NoChange);
            }
            DeskCommand::SayName { name } => Event::DeskNamed { role, name: name.clone() },
            DeskCommand::ShareHealth | DeskCommand::EndShareHealth => {
                let with_helper = matches!(command, DeskCommand::ShareHealth);
                if role != DeskRole::Facilitator {
                    return Err(Refusal::NotClinical);
                }
                if self.helper_sees_health == with_helper {
                    return Err(Refusal::NoChange);
                }
                Event::HealthShared { with_helper }
            }
            DeskCommand::ShowClue | DeskCommand::ShowHint | DeskCommand::ShowAnswer => {
                self.decide_clue(ctx, command)?
            }
            DeskCommand::End => Event::Ended,
            DeskCommand::Start
            | DeskCommand::Next
            | DeskCommand::Back
            | DeskCommand::GoTo { .. }
            | DeskCommand::Pause
            | DeskCommand::PauseForSafety
            | DeskCommand::GoOn
            | DeskCommand::Resume
            | DeskCommand::AgainStep
            | DeskCommand::AgainRep
            | DeskCommand::MoreTime { .. }
            | DeskCommand::CutShort
            | DeskCommand::SwapDose { .. } => return self.decide_motion(ctx, command),
            about_people => self.decide_people(role, about_people)?,
        };
        Ok(vec![event])
    }

    fn decide_clue(&self, ctx: &Context<'_>, command: &DeskCommand) -> Result<Event, Refusal> {
        let present = self.present_step().ok_or(Refusal::NotStarted)?;
        let set = present.step.clues().ok_or(Refusal::NoClue)?;
        if self.safety_pause.is_some() {
            return Err(Refusal::SafetyPause);
        }
        let shown = self.shown_clue();
        let from = ctx.now.plus(ctx.lead_ms);
        if matches!(command, DeskCommand::ShowClue) {
            let number = shown.map_or(0, |clue| clue.number) + 1;
            let last = u32::try_from(set.clues.len()).unwrap_or(u32::MAX);
            return if number > last {
                Err(Refusal::NothingLeft)
            } else {
                Ok(Event::ClueShown { step: present.id, number, from })
            };
        }
        let clue = shown.ok_or(Refusal::NoClue)?;
        if clue.answer {
            return Err(Refusal::NothingLeft);
        }
        if matches!(command, DeskCommand::ShowAnswer) {
            return Ok(Event::AnswerShown { from });
        }
        let words = set.clues.get(clue.number as usize - 1).ok_or(Refusal::NoClue)?;
        if clue.hints as usize >= words.hints.len() {
            return Err(Refusal::NothingLeft);
        }
        Ok(Event::HintShown { hints: clue.hints + 1, from })
    }

    /// The clue on the screens of the present step.
    fn shown_clue(&self) -> Option<LiveClue> {
        let present = self.present_step()?.id;
        self.clue.filter(|clue| clue.step == present)
    }

    pub(in crate::live) fn need_step(&self, id: StepId) -> Result<usize, Refusal> {
        self.steps.iter().position(|s| s.id == id).ok_or(Refusal::NoSuchStep(id.0))
    }
}

impl Command {
    /// The name that somebody gets by it. One in a check-in is not among them: what a person says of how they are is
    /// never refused for a name.
    fn name(&self) -> Option<&Name> {
        match self {
            Self::TakeSeat { name }
            | Self::Desk(
                DeskCommand::Expect { name }
                | DeskCommand::AddByPhone { name }
                | DeskCommand::SayName { name },
            ) => Some(name),
            _ => None,
        }
    }

    /// Safety does not end with the class: reports, their handling, messages and follow-ups go on.
    fn is_for_afterwards(&self) -> bool {
        match self {
            Self::Seat(command) => {
                command.is_for_safety()
                    || matches!(command, SeatCommand::ReadMessage { .. } | SeatCommand::Leave)
            }
            Self::Desk(command) => matches!(
                command,
                DeskCommand::HandleReport { .. }
                    | DeskCommand::SeeStop { .. }
                    | DeskCommand::TakeLost { .. }
                    | DeskCommand::CloseLost { .. }
                    | DeskCommand::Message { .. }
                    | DeskCommand::AddFollowUp { .. }
                    | DeskCommand::CloseFollowUp { .. }
                    | DeskCommand::SayName { .. }
                    | DeskCommand::ShareHealth
                    | DeskCommand::EndShareHealth
                    | DeskCommand::HandDesk { .. }
            ),
            Self::Notice(noticed) => matches!(noticed, Noticed::Found(_)),
            Self::TakeSeat { .. } | Self::Arrive { .. } => false,
        }
    }
}

impl SeatCommand {
    /// What is taken from a person at every instant: also after the class, and from a seat that was
    /// taken out.
    #[must_use]
    pub fn is_for_safety(&self) -> bool {
        matches!(self, Self::Report { .. } | Self::TakeBack { .. } | Self::Stop { .. })
    }
}
