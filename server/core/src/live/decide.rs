//! Commands to events, or why not. The desk's commands about people and reports are here; those
//! that move the class are in `decide_motion`, the participants' in `decide_seat`.

use crate::live::state::{Seat, Session};
use crate::live::{
    Actor, Command, Context, DeskCommand, DeskRole, Event, Report, ReportId, ReportState, SeatId, StepId,
};
use crate::plan::Step;
use crate::text::Name;

/// Most seats of one session (an agreed choice, far above the largest class that was asked for).
pub const MOST_SEATS: u32 = 2_000;

/// Why a command was not carried out. A refused command changes nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The kind of command does not belong to this person.
    #[error("this is not yours to do")]
    NotYours,
    /// A desk that does not lead.
    #[error("the other desk leads; ask for the desk first")]
    NotLeading,
    /// The other desk is connected and has not handed over.
    #[error("the other desk is here and leads; it can hand the desk over")]
    StillLed,
    /// People are not let in yet, or no longer.
    #[error("the class is not open")]
    NotOpen,
    /// The class has not begun.
    #[error("the class has not started yet")]
    NotStarted,
    /// Begun already.
    #[error("the class has already started")]
    AlreadyStarted,
    /// Over.
    #[error("the class has ended")]
    Ended,
    /// No step of that id.
    #[error("there is no step {0}")]
    NoSuchStep(u32),
    /// No seat of that id, or it is gone.
    #[error("there is no seat {0}")]
    NoSuchSeat(u32),
    /// A report id that nobody sent, or somebody else's.
    #[error("there is no such report")]
    NoSuchReport,
    /// The last step.
    #[error("this is the last step; end the class when you are done")]
    LastStep,
    /// The first step.
    #[error("this is the first step")]
    FirstStep,
    /// Standing still already.
    #[error("the class is paused already")]
    Paused,
    /// Not standing still.
    #[error("the class is not paused")]
    NotPaused,
    /// A step that has no clock.
    #[error("this step has no clock")]
    NoClock,
    /// The step's clock has run out.
    #[error("this step's clock has run out")]
    ClockOver,
    /// The span ends anyway.
    #[error("this ends in a moment anyway")]
    EndsAnyway,
    /// Not in a clue round, or no clue shown.
    #[error("no clue is on the screens")]
    NoClue,
    /// The round has no more.
    #[error("nothing is left to show here")]
    NothingLeft,
    /// Everything is the same already.
    #[error("nothing would change")]
    NoChange,
    /// Too many seats.
    #[error("the class is full: it has {MOST_SEATS} seats")]
    Full,
    /// A step or dose that cannot be; the sentence says why.
    #[error("{0}")]
    Wrong(String),
}

impl Refusal {
    /// A stable name for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotYours => "not_yours",
            Self::NotLeading => "not_leading",
            Self::StillLed => "still_led",
            Self::NotOpen => "not_open",
            Self::NotStarted => "not_started",
            Self::AlreadyStarted => "already_started",
            Self::Ended => "ended",
            Self::NoSuchStep(_) => "no_such_step",
            Self::NoSuchSeat(_) => "no_such_seat",
            Self::NoSuchReport => "no_such_report",
            Self::LastStep => "last_step",
            Self::FirstStep => "first_step",
            Self::Paused => "paused",
            Self::NotPaused => "not_paused",
            Self::NoClock => "no_clock",
            Self::ClockOver => "clock_over",
            Self::EndsAnyway => "ends_anyway",
            Self::NoClue => "no_clue",
            Self::NothingLeft => "nothing_left",
            Self::NoChange => "no_change",
            Self::Full => "full",
            Self::Wrong(_) => "wrong",
        }
    }
}

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
            | Self::AgainStep
            | Self::AgainRep
            | Self::MoreTime { .. }
            | Self::CutShort
            | Self::Insert { .. }
            | Self::SwapDose { .. }
            | Self::ShowClue
            | Self::ShowHint
            | Self::ShowAnswer
            | Self::End => true,
            Self::PauseForSafety
            | Self::SeeReport { .. }
            | Self::CloseReport { .. }
            | Self::AskRest { .. }
            | Self::Message { .. }
            | Self::Remove { .. }
            | Self::Merge { .. }
            | Self::AddByPhone { .. }
            | Self::MarkSeat { .. }
            | Self::ClearSwallow { .. }
            | Self::HandDesk { .. } => false,
        }
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
        match (by, command) {
            (Actor::Entry, Command::TakeSeat { name }) => self.take_seat(name, false),
            (Actor::Desk(role), Command::Desk(command)) => {
                if command.is_for_the_lead() && role != self.lead {
                    return Err(Refusal::NotLeading);
                }
                self.decide_desk(ctx, role, command)
            }
            (Actor::Seat(seat), Command::Seat(command)) => {
                let (id, seat) = self.seat_of(seat).ok_or(Refusal::NoSuchSeat(seat.0))?;
                if seat.removed.is_some() {
                    return Err(Refusal::NoSuchSeat(id.0));
                }
                self.decide_seat(ctx, id, seat, command)
            }
            (Actor::Entry | Actor::Desk(_) | Actor::Seat(_), _) => Err(Refusal::NotYours),
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
            DeskCommand::Insert { after, step } => {
                let after = after.or(self.moves.last().map(|m| m.step));
                if let Some(after) = after {
                    self.need_step(after)?;
                }
                let step = Step::of_request(step, ctx.library).map_err(Refusal::Wrong)?;
                let id = StepId(self.steps.iter().map(|s| s.id.0).max().unwrap_or(0) + 1);
                Event::StepInserted { id, after, step }
            }
            DeskCommand::SeeReport { report } => match self.need_report(*report)?.state {
                ReportState::Recorded => Event::ReportSeen { report: *report },
                ReportState::Seen | ReportState::Closed => return Err(Refusal::NoChange),
            },
            DeskCommand::CloseReport { report } => match self.need_report(*report)?.state {
                ReportState::Recorded | ReportState::Seen => Event::ReportClosed { report: *report },
                ReportState::Closed => return Err(Refusal::NoChange),
            },
            DeskCommand::AskRest { seat } => Event::RestAsked { seat: self.need_seat(*seat)? },
            DeskCommand::Message { seat, text } => {
                Event::MessageSent { seat: self.need_seat(*seat)?, text: text.clone() }
            }
            DeskCommand::Remove { seat, reason } => {
                Event::Removed { seat: self.need_seat(*seat)?, reason: reason.clone() }
            }
            DeskCommand::Merge { from, into } => {
                let (from, into) = (self.need_seat(*from)?, self.need_seat(*into)?);
                if from == into {
                    return Err(Refusal::NoChange);
                }
                Event::Merged { from, into }
            }
            DeskCommand::AddByPhone { name } => return self.take_seat(name, true),
            DeskCommand::MarkSeat { seat, answer } => {
                let step = self.moves.last().map(|m| m.step);
                Event::Marked { seat: self.need_seat(*seat)?, step, mark: *answer }
            }
            DeskCommand::ClearSwallow { seat } => self.clear_swallow(*seat)?,
            DeskCommand::HandDesk { to } if *to == self.lead => return Err(Refusal::NoChange),
            DeskCommand::HandDesk { to } => {
                if role != self.lead && ctx.presence.desk_is_here(self.lead) {
                    return Err(Refusal::StillLed);
                }
                Event::DeskHanded { to: *to }
            }
            DeskCommand::ShowClue | DeskCommand::ShowHint | DeskCommand::ShowAnswer => {
                self.decide_clue(command)?
            }
            DeskCommand::End => Event::Ended,
            DeskCommand::Start
            | DeskCommand::Next
            | DeskCommand::Back
            | DeskCommand::GoTo { .. }
            | DeskCommand::Pause
            | DeskCommand::PauseForSafety
            | DeskCommand::GoOn
            | DeskCommand::AgainStep
            | DeskCommand::AgainRep
            | DeskCommand::MoreTime { .. }
            | DeskCommand::CutShort
            | DeskCommand::SwapDose { .. } => return self.decide_motion(ctx, command),
        };
        Ok(vec![event])
    }

    fn take_seat(&self, name: &Name, by_phone: bool) -> Result<Vec<Event>, Refusal> {
        if !self.is_open() && !by_phone {
            return Err(Refusal::NotOpen);
        }
        let taken = self.seats.keys().next_back().map_or(0, |seat| seat.0);
        if taken >= MOST_SEATS {
            return Err(Refusal::Full);
        }
        Ok(vec![Event::SeatTaken { seat: SeatId(taken + 1), name: name.clone(), by_phone }])
    }

    fn clear_swallow(&self, seat: Option<SeatId>) -> Result<Event, Refusal> {
        let seats = match seat {
            Some(seat) => vec![self.need_seat(seat)?],
            None => {
                let wanting = |(_, s): &(&SeatId, &Seat)| s.is_here() && !s.swallow_cleared;
                self.seats.iter().filter(wanting).map(|(id, _)| *id).collect()
            }
        };
        if seats.is_empty() { Err(Refusal::NoChange) } else { Ok(Event::SwallowCleared { seats }) }
    }

    fn decide_clue(&self, command: &DeskCommand) -> Result<Event, Refusal> {
        let present = self.present_step().ok_or(Refusal::NotStarted)?;
        let set = present.step.clues().ok_or(Refusal::NoClue)?;
        let shown = self.clue.filter(|clue| clue.step == present.id);
        if matches!(command, DeskCommand::ShowClue) {
            let number = shown.map_or(1, |clue| clue.number + 1);
            let last = u32::try_from(set.clues.len()).unwrap_or(u32::MAX);
            return if number > last {
                Err(Refusal::NothingLeft)
            } else {
                Ok(Event::ClueShown { step: present.id, number })
            };
        }
        let clue = shown.ok_or(Refusal::NoClue)?;
        if clue.answer {
            return Err(Refusal::NothingLeft);
        }
        if matches!(command, DeskCommand::ShowAnswer) {
            return Ok(Event::AnswerShown);
        }
        let words = set.clues.get(clue.number as usize - 1).ok_or(Refusal::NoClue)?;
        if clue.hints as usize >= words.hints.len() {
            return Err(Refusal::NothingLeft);
        }
        Ok(Event::HintShown { hints: clue.hints + 1 })
    }

    pub(super) fn need_step(&self, id: StepId) -> Result<usize, Refusal> {
        self.steps.iter().position(|s| s.id == id).ok_or(Refusal::NoSuchStep(id.0))
    }

    /// The seat `id` stands for, if that person can still be reached.
    fn need_seat(&self, id: SeatId) -> Result<SeatId, Refusal> {
        match self.seat_of(id) {
            Some((id, seat)) if seat.removed.is_none() => Ok(id),
            _ => Err(Refusal::NoSuchSeat(id.0)),
        }
    }

    fn need_report(&self, id: ReportId) -> Result<&Report, Refusal> {
        self.reports.iter().find(|r| r.id == id).ok_or(Refusal::NoSuchReport)
    }
}

impl Command {
    /// Safety does not end with the class: reports, their handling and messages go on.
    fn is_for_afterwards(&self) -> bool {
        use crate::live::SeatCommand as Seat;
        match self {
            Self::Seat(command) => matches!(
                command,
                Seat::Report { .. } | Seat::TakeBack { .. } | Seat::ReadMessage | Seat::Leave
            ),
            Self::Desk(command) => matches!(
                command,
                DeskCommand::SeeReport { .. }
                    | DeskCommand::CloseReport { .. }
                    | DeskCommand::Message { .. }
                    | DeskCommand::HandDesk { .. }
            ),
            Self::TakeSeat { .. } => false,
        }
    }
}

impl Seat {
    /// Whether this is a person of the class: not left, taken out or merged.
    #[must_use]
    pub fn is_here(&self) -> bool {
        !self.left && self.removed.is_none() && self.merged_into.is_none()
    }
}
