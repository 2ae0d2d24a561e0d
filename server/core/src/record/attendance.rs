//! Who was in a class, and for how long, by what its ledger says of coming, leaving and screens.

use std::collections::BTreeMap;

use crate::live::{Actor, CareEvent, ClassEvent, Event, How, Recorded, SeatEvent, SeatId};
use crate::time::EpochMs;

/// A stretch of time in which somebody was there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct There {
    /// When it began.
    pub from: EpochMs,
    /// When it ended.
    pub to: EpochMs,
}

/// What is known of one seat up to a line of the ledger.
#[derive(Debug, Clone, Copy, Default)]
struct Known {
    /// Since when they are there; `None` while they are not.
    since: Option<EpochMs>,
    /// Whether only their screen is away: they did not leave.
    away: bool,
}

/// When the people of a session were there, in the order of time, by seat. Somebody without a word that they left was there to
/// the end, unless their screen was away by then. In ledgers of versions that did not write down when a screen went away,
/// only somebody who was lost in the middle of a drill counts as away.
#[must_use]
pub fn attendance(ledger: &[Recorded]) -> BTreeMap<SeatId, Vec<There>> {
    let mut known: BTreeMap<SeatId, Known> = BTreeMap::new();
    let mut there: BTreeMap<SeatId, Vec<There>> = BTreeMap::new();
    for line in ledger {
        if matches!(line.event, Event::Class(ClassEvent::Ended)) {
            break;
        }
        if let Event::Class(ClassEvent::Merged { from, into }) = &line.event {
            let gone = known.remove(from).unwrap_or_default();
            close(there.entry(*from).or_default(), gone.since, line.at);
            let stays = known.entry(*into).or_default();
            if stays.since.is_none() {
                // From now on what is heard of them is said of the seat that stays.
                *stays = Known { since: gone.since.map(|_| line.at), away: stays.away || gone.away };
            }
            continue;
        }
        let Some(seat) = line.event.seat() else { continue };
        let of = known.entry(seat).or_default();
        match change(line) {
            Some(Change::Comes) => {
                of.since = of.since.or(Some(line.at));
                of.away = false;
            }
            Some(Change::Goes(at)) => {
                close(there.entry(seat).or_default(), of.since.take(), at);
                of.away = false;
            }
            Some(Change::ScreenGoes(at)) if of.since.is_some() => {
                close(there.entry(seat).or_default(), of.since.take(), at);
                of.away = true;
            }
            Some(Change::ScreenComes) if of.away => (of.since, of.away) = (Some(line.at), false),
            // Whoever says something is there, whatever is known of their screen.
            None if of.away && matches!(line.by, Actor::Seat(_)) => {
                (of.since, of.away) = (Some(line.at), false);
            }
            Some(Change::ScreenGoes(_) | Change::ScreenComes) | None => {}
        }
    }
    let end = ledger.iter().find(|line| matches!(line.event, Event::Class(ClassEvent::Ended)));
    if let Some(end) = end.or(ledger.last()).map(|line| line.at) {
        for (seat, Known { since, .. }) in known {
            close(there.entry(seat).or_default(), since, end);
        }
    }
    there.retain(|_, stretches| !stretches.is_empty());
    there
}

fn close(there: &mut Vec<There>, since: Option<EpochMs>, to: EpochMs) {
    there.extend(since.filter(|from| *from < to).map(|from| There { from, to }));
}

enum Change {
    Comes,
    Goes(EpochMs),
    ScreenGoes(EpochMs),
    ScreenComes,
}

fn change(line: &Recorded) -> Option<Change> {
    Some(match &line.event {
        Event::Seat { what: SeatEvent::CameBack, .. } => Change::Comes,
        Event::Seat { what: SeatEvent::Left, .. } => Change::Goes(line.at),
        Event::Care { what, .. } => match what {
            CareEvent::SeatTaken { how: How::ByCode | How::ByPhone, .. } | CareEvent::CameIn => Change::Comes,
            CareEvent::Removed { .. } => Change::Goes(line.at),
            CareEvent::Lost { heard_at, .. } | CareEvent::ScreenAway { heard_at } => {
                Change::ScreenGoes(*heard_at)
            }
            CareEvent::Found | CareEvent::ScreenBack => Change::ScreenComes,
            CareEvent::SeatTaken { how: How::Asking | How::Expected, .. }
            | CareEvent::NewDevice
            | CareEvent::SentWord { .. }
            | CareEvent::TurnedAway
            | CareEvent::StopSeen
            | CareEvent::ReportHandled { .. }
            | CareEvent::LostTaken
            | CareEvent::LostClosed
            | CareEvent::RestAsked
            | CareEvent::MessageSent { .. }
            | CareEvent::Marked { .. }
            | CareEvent::SwallowKeptOff
            | CareEvent::SwallowEnded
            | CareEvent::FamilyCleared { .. }
            | CareEvent::FamilyEnded { .. }
            | CareEvent::PrecautionsSet { .. }
            | CareEvent::FormSet { .. }
            | CareEvent::FormLifted { .. }
            | CareEvent::OffToday { .. }
            | CareEvent::FollowUpAdded { .. }
            | CareEvent::FollowUpDone { .. }
            | CareEvent::AttendanceSet { .. } => return None,
        },
        Event::Seat { .. } | Event::Safety { .. } | Event::Class(_) => return None,
    })
}

/// The stretches of one person who had several seats, each within `from` to `to`, joined where they overlap.
#[must_use]
pub fn within(stretches: impl IntoIterator<Item = There>, from: EpochMs, to: EpochMs) -> Vec<There> {
    let cut = |one: There| There { from: one.from.max(from), to: one.to.min(to) };
    let mut cut: Vec<There> = stretches.into_iter().map(cut).filter(|one| one.from < one.to).collect();
    cut.sort_by_key(|one| one.from);
    let mut joined: Vec<There> = Vec::new();
    for one in cut {
        match joined.last_mut() {
            Some(last) if one.from <= last.to => last.to = last.to.max(one.to),
            _ => joined.push(one),
        }
    }
    joined
}
