//! Turns a command into events, or refuses it. Each command has one line here, which says where it is decided:
//! moving the class in `motion`, clues in `clues`, coming and going in `roster`, what staff do about people in
//! `people`, what only a clinician sets in `clinical`, what people
//! did at home in `practice`, the participants' own commands in `seat`, and what the
//! server notices in `notice`.

mod begin;
mod clinical;
mod clues;
mod desks;
mod motion;
mod notice;
mod people;
mod practice;
mod roster;
mod seat;

pub use motion::NOTICE_MS;
pub use notice::OPENS_BEFORE_MS;

use crate::live::command::{Command, Context, DeskCommand, Noticed, Pressed, SeatCommand};
use crate::live::event::{CareEvent, ClassEvent, Event};
use crate::live::ids::{Actor, DeskRole};
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::text::{Name, name};
use crate::time::EpochMs;

impl Session {
    /// The events that `command`, given by `by`, causes.
    ///
    /// # Errors
    /// Why it is refused; the session is unchanged either way.
    pub fn decide(&self, ctx: &Context<'_>, by: Actor, command: &Command) -> Result<Vec<Event>, Refusal> {
        if self.has_ended() && !command.is_for_afterwards() {
            return Err(Refusal::Ended);
        }
        match (by, command) {
            (Actor::Entry, Command::TakeSeat { name }) => self.take_seat(name, ctx.now),
            (Actor::Entry, Command::Arrive { seat }) => self.arrive(*seat),
            (Actor::Entry, Command::Come { who, new_device }) => self.come(who, *new_device, ctx.now),
            (Actor::Entry, Command::SendWord { person, comes }) => Ok(self.send_word(*person, *comes)),
            (Actor::Entry, Command::Practise { person, log, today }) => {
                self.practise(ctx, *person, log, *today)
            }
            (Actor::Watch, Command::Notice(noticed)) => self.decide_notice(ctx, *noticed),
            (Actor::Desk(role), Command::Desk(command)) => {
                let rights = command.rights();
                if rights.for_the_lead && role != self.lead {
                    return Err(Refusal::NotLeading);
                }
                if rights.clinical && !self.sees_health(role) {
                    return Err(Refusal::NotClinical);
                }
                if let Some(pressed) = &ctx.pressed {
                    self.check_pressed(command, pressed, ctx.now)?;
                }
                self.decide_desk(ctx, role, command)
            }
            (Actor::Seat(seat), Command::Seat(command)) => self.decide_seat(ctx, seat, command),
            (Actor::Entry | Actor::Watch | Actor::Desk(_) | Actor::Seat(_), _) => Err(Refusal::NotYours),
        }
    }

    /// Refuses a key that was pressed when the screens showed something else, or too long ago.
    fn check_pressed(&self, command: &DeskCommand, pressed: &Pressed, now: EpochMs) -> Result<(), Refusal> {
        let rights = command.rights();
        let late = |ms| pressed.at.is_some_and(|at| now.since(at) > ms);
        if rights.within_ms.is_some_and(late) {
            return Err(Refusal::TooLate);
        }
        if !rights.for_the_lead && !matches!(command, DeskCommand::PauseForSafety) {
            return Ok(());
        }
        let clue = self.shown_clue();
        let of_clues =
            matches!(command, DeskCommand::ShowClue | DeskCommand::ShowHint | DeskCommand::ShowAnswer);
        let elsewhere = pressed.step != self.moves.last().map(|m| m.step)
            || of_clues && pressed.clue != clue.map_or(0, |clue| clue.number)
            || matches!(command, DeskCommand::ShowHint) && pressed.hints != clue.map_or(0, |clue| clue.hints);
        if elsewhere { Err(Refusal::MovedMeanwhile) } else { Ok(()) }
    }

    /// One line for each command.
    fn decide_desk(
        &self,
        ctx: &Context<'_>,
        role: DeskRole,
        command: &DeskCommand,
    ) -> Result<Vec<Event>, Refusal> {
        let event = match command {
            DeskCommand::Start => self.unless_paused_for_safety()?.start(ctx)?,
            DeskCommand::Next => self.unless_paused_for_safety()?.next(ctx)?,
            DeskCommand::Back => self.unless_paused_for_safety()?.back(ctx)?,
            DeskCommand::GoTo { step } => self.unless_paused_for_safety()?.go_to(ctx, *step)?,
            DeskCommand::Pause => self.unless_paused_for_safety()?.pause(ctx)?,
            DeskCommand::PauseForSafety => self.pause_for_safety(ctx)?,
            DeskCommand::GoOn => self.unless_paused_for_safety()?.go_on(ctx)?,
            DeskCommand::Resume => self.resume(ctx)?,
            DeskCommand::AgainStep => self.unless_paused_for_safety()?.again_step(ctx)?,
            DeskCommand::AgainRep => self.unless_paused_for_safety()?.again_rep(ctx)?,
            DeskCommand::MoreTime { seconds } => self.unless_paused_for_safety()?.more_time(ctx, *seconds)?,
            DeskCommand::CutShort => self.unless_paused_for_safety()?.cut_short(ctx)?,
            DeskCommand::SwapDose { step, change } => {
                return self.unless_paused_for_safety()?.swap_dose(ctx, *step, change);
            }
            DeskCommand::ShowClue => self.show_clue(ctx)?,
            DeskCommand::ShowHint => self.show_hint(ctx)?,
            DeskCommand::ShowAnswer => self.show_answer(ctx)?,
            DeskCommand::AskEffort => self.ask_effort()?,
            DeskCommand::Open => self.open()?,
            DeskCommand::SetEntry { to } => self.set_entry(*to)?,
            DeskCommand::Insert { after, step } => self.insert(ctx, *after, step)?,
            DeskCommand::MoveStep { step, after } => self.move_step(*step, *after)?,
            DeskCommand::TakeOut { step } => self.take_out(*step)?,
            DeskCommand::SetTime { step, seconds } => self.set_time(*step, *seconds)?,
            DeskCommand::SayName { name } => self.say_name(role, name)?,
            DeskCommand::ShareHealth => self.share_health(role, true)?,
            DeskCommand::EndShareHealth => self.share_health(role, false)?,
            DeskCommand::HandDesk { to } => self.hand_desk(ctx, role, *to)?,
            DeskCommand::End => ClassEvent::Ended.into(),
            DeskCommand::LetIn { seat, known_as } => return self.let_in(*seat, *known_as),
            DeskCommand::TurnAway { seat } => self.turn_away(*seat)?,
            DeskCommand::Remove { seat, reason } => self.remove(*seat, reason)?,
            DeskCommand::Merge { from, into } => self.merge_seats(*from, *into)?,
            DeskCommand::Expect { name } => self.expect_person(name)?,
            DeskCommand::AddByPhone { name } => self.add_by_phone(name)?,
            DeskCommand::HandleReport { report, to } => self.handle_report(role, *report, *to)?,
            DeskCommand::SeeStop { seat } => self.see_stop(*seat)?,
            DeskCommand::TakeLost { seat } => self.take_lost(role, *seat)?,
            DeskCommand::CloseLost { seat } => self.close_lost(*seat)?,
            DeskCommand::AskRest { seat } => CareEvent::RestAsked.of(self.need_seat(*seat)?),
            DeskCommand::Message { seat, text } => self.message(*seat, text)?,
            DeskCommand::MessageAll { text } => return self.message_all(text),
            DeskCommand::MarkSeat { seat, answer } => self.mark_seat(*seat, *answer)?,
            DeskCommand::MarkOff { seat } => self.set_off_today(*seat, true)?,
            DeskCommand::LiftOff { seat } => self.set_off_today(*seat, false)?,
            DeskCommand::AddFollowUp { seat, what, owner, due } => {
                self.add_follow_up(*seat, what, owner, *due)?
            }
            DeskCommand::CloseFollowUp { id, outcome } => self.close_follow_up(*id, outcome)?,
            DeskCommand::SetAttendance { seat, minutes, reason } => {
                self.set_attendance(*seat, *minutes, reason)?
            }
            DeskCommand::ClearSwallow { seats } => self.clear_swallow(role, seats)?,
            DeskCommand::EndSwallow { seat } => self.end_swallow(role, *seat)?,
            DeskCommand::ClearFamily { seat, family } => self.clear_family(role, *seat, *family)?,
            DeskCommand::EndFamily { seat, family } => self.end_family(role, *seat, *family)?,
            DeskCommand::SetPrecautions { seat, conditions } => {
                self.set_precautions(role, *seat, conditions)?
            }
            DeskCommand::SetForm { seat, form } => self.set_form(role, *seat, form)?,
            DeskCommand::LiftForm { seat, of } => self.lift_form(role, *seat, of)?,
        };
        Ok(vec![event])
    }
}

impl Command {
    /// Whether it is accepted after the class. Safety does not end with the class: reports, what desks do about
    /// them, messages and follow-ups go on.
    fn is_for_afterwards(&self) -> bool {
        match self {
            Self::Seat(command) => {
                command.is_for_safety()
                    || matches!(command, SeatCommand::ReadMessage { .. } | SeatCommand::Leave)
            }
            Self::Desk(command) => command.rights().afterwards,
            Self::Notice(noticed) => matches!(noticed, Noticed::Found(_)),
            Self::Practise { .. } => true,
            Self::TakeSeat { .. } | Self::Arrive { .. } | Self::Come { .. } | Self::SendWord { .. } => false,
        }
    }
}

/// Refuses a name that nobody could read. Names in a check-in are not looked at: a check-in says how a person is,
/// and must never be refused because of a name.
fn check_name(name: &Name) -> Result<(), Refusal> {
    name::check(name.as_str()).map_err(|error| Refusal::Wrong(error.to_string()))
}
