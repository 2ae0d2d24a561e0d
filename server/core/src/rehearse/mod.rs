//! Rehearsed participants: invented people who behave like real ones, so that one person can practise leading any
//! plan. They come from a seed, without a clock: the same seed gives the same class.

pub mod past;
mod players;

pub use players::Players;

use crate::drill::Phase;
use crate::live::{
    CheckIn, Company, Content, ContentKind, Feeling, HowFar, Partner, Said, SeatCommand, StepId, StopReason,
    Where, Whose,
};
use crate::people::rules::{Felt, Strength};
use crate::text::{Name, Sentence};
use crate::time::seconds;

/// How a rehearsed person tends to behave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Habit {
    /// Answers soon in every rest.
    Steady,
    /// Comes when the class is already running.
    Late,
    /// Answers long after the others.
    Slow,
    /// Stops in the second half, tired.
    Tired,
    /// Stops once, for no stated reason, and goes on in the next drill.
    Pauses,
    /// Reports a sore neck in the first neck drill.
    SoreNeck,
    /// Is off the network for a while and comes back.
    LosesNetwork,
    /// Watches, but never taps.
    Quiet,
}

/// A rehearsed person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rehearsed {
    /// An invented first name.
    pub name: Name,
    /// How they behave.
    pub habit: Habit,
}

/// The names of a large class, all invented; the first dozen people have the habits of [`HABITS`].
const NAMES: [&str; 40] = [
    "Odile",
    "Bertram",
    "Ifeoma",
    "Casimir",
    "Maelys",
    "Tobias",
    "Anselm",
    "Yuki",
    "Philippa",
    "Renzo",
    "Sunniva",
    "Odhran",
    "Adaeze",
    "Benedikt",
    "Clelia",
    "Dragan",
    "Eithne",
    "Florin",
    "Gudrun",
    "Hamid",
    "Ilse",
    "Joaquim",
    "Katarzyna",
    "Lubo",
    "Mireille",
    "Nandini",
    "Ottoline",
    "Pavel",
    "Quirin",
    "Rosalba",
    "Sigrun",
    "Teodor",
    "Ursel",
    "Valentin",
    "Wilhelmina",
    "Xaver",
    "Ysolde",
    "Zbigniew",
    "Amparo",
    "Birgit",
];

/// How the first dozen behave. The others are steady, except that every third of them is slow.
const HABITS: [Habit; 12] = [
    Habit::Steady,
    Habit::Steady,
    Habit::Slow,
    Habit::Tired,
    Habit::SoreNeck,
    Habit::Steady,
    Habit::LosesNetwork,
    Habit::Late,
    Habit::Pauses,
    Habit::Quiet,
    Habit::Steady,
    Habit::Slow,
];

/// Most rehearsed people.
pub const MOST_PEOPLE: usize = NAMES.len();

/// A class of `count` people, at most [`MOST_PEOPLE`].
#[must_use]
pub fn people(count: usize) -> Vec<Rehearsed> {
    let habit = |index: usize| {
        let later = if index.is_multiple_of(3) { Habit::Slow } else { Habit::Steady };
        HABITS.get(index).copied().unwrap_or(later)
    };
    let named = NAMES.iter().enumerate().take(count);
    named
        .filter_map(|(index, name)| {
            Some(Rehearsed { name: Name::try_from(*name).ok()?, habit: habit(index) })
        })
        .collect()
}

/// When an act is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Due {
    /// This many milliseconds after the moment that it answers.
    After(i64),
    /// When the step's clock reaches this offset; dropped if the class leaves the step before that.
    At(StepId, i64),
}

/// Something a rehearsed person does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Takes a seat.
    Join,
    /// Gives a command.
    Tell(SeatCommand),
    /// Reports a sore neck; the caller makes the report's id.
    ReportSoreNeck,
    /// Is no longer heard from.
    Vanish,
    /// Is heard from again.
    Return,
}

/// What people in the class notice.
#[derive(Debug, Clone, Copy)]
pub enum Moment<'a> {
    /// People are let in.
    Opened,
    /// A step begins; `entered` counts the steps entered so far, of `of` in the plan.
    Step {
        /// Its content.
        content: &'a Content,
        /// How many steps were entered, this one included.
        entered: u32,
        /// How many steps the plan has.
        of: u32,
    },
    /// A clue is on the screens.
    Clue {
        /// The step of the clue round.
        step: StepId,
        /// The clue's number in the round, from 1.
        number: u32,
    },
    /// The class is asked how much effort it was.
    Effort {
        /// The number of the question in this class, from 1.
        number: u32,
    },
}

/// What a person does at a moment. `seed` is the rehearsal's; `index` is the person's place in the class.
#[must_use]
pub fn acts(person: &Rehearsed, index: u64, seed: u64, moment: Moment<'_>) -> Vec<(Due, Act)> {
    match moment {
        Moment::Opened => {
            let mut dice = Dice::new(seed, index, 0);
            if person.habit == Habit::Late { Vec::new() } else { arrive(index, dice.ms(500, 9_000)) }
        }
        Moment::Step { content, entered, of } => {
            let mut dice = Dice::new(seed, index, u64::from(content.id.0) + 1);
            let mut acts = at_step(person, content, entered, of, &mut dice);
            if person.habit == Habit::Late && entered == 3 {
                acts = arrive(index, dice.ms(3_000, 9_000));
            }
            acts
        }
        Moment::Clue { step, number } => {
            let mut dice = Dice::new(seed, index, 1_000 + u64::from(number));
            let taps = person.habit != Habit::Quiet && dice.below(100) < 70;
            let wait =
                if person.habit == Habit::Slow { dice.ms(9_000, 20_000) } else { dice.ms(3_000, 12_000) };
            let answer = SeatCommand::AnswerClue { step, number, word: None };
            if taps { vec![(Due::After(wait), Act::Tell(answer))] } else { Vec::new() }
        }
        Moment::Effort { number } => {
            let mut dice = Dice::new(seed, index, 2_000 + u64::from(number));
            let score = u8::try_from(2 + dice.below(7)).unwrap_or(5);
            let says = Act::Tell(SeatCommand::SayEffort { number, score });
            let wait = Due::After(dice.ms(2_000, 9_000));
            if person.habit == Habit::Quiet { Vec::new() } else { vec![(wait, says)] }
        }
    }
}

/// Takes a seat and checks in. One person in the class is not seated yet, and one is alone.
fn arrive(index: u64, wait_ms: i64) -> Vec<(Due, Act)> {
    let place = format!("{} Harbour Steps", 3 + 2 * index);
    let partner = (index == 5).then(|| Name::try_from("Greta").ok()).flatten();
    let answers = CheckIn {
        feeling: Some(if index % 5 == 3 { Feeling::SoSo } else { Feeling::Well }),
        seated: Some(index != 2),
        mouth_empty: Some(index != 7),
        water: Some(true),
        must_not_drink: false,
        company: Some(if index % 3 == 1 { Company::Alone } else { Company::With }),
        news: if index == 9 { None } else { Some(index == 8) },
        easier: index == 11,
        place: Sentence::try_from(place).ok(),
        contact: Sentence::try_from("neighbour, 555 0100").ok(),
        partner: partner.map(|name| Partner { name, feeling: Some(Feeling::Well), mouth_empty: Some(true) }),
    };
    let check_in = Act::Tell(SeatCommand::CheckIn { answers });
    vec![(Due::After(wait_ms), Act::Join), (Due::After(wait_ms + 4_000), check_in)]
}

fn at_step(person: &Rehearsed, content: &Content, entered: u32, of: u32, dice: &mut Dice) -> Vec<(Due, Act)> {
    let mut acts = Vec::new();
    let is_drill = content.kind == ContentKind::Drill;
    let is_neck = content.sides.iter().any(|s| s.pose.as_ref().is_some_and(|p| p.as_str() == "turn-left"));
    if content.swallow && person.habit != Habit::Quiet {
        let says = SeatCommand::ConfirmMouth { empty: true };
        acts.push((Due::After(dice.ms(1_500, 6_000)), Act::Tell(says)));
    }
    match person.habit {
        Habit::Tired if is_drill && entered * 2 > of => {
            let at = Due::At(content.id, seconds(6));
            acts.push((at, Act::Tell(SeatCommand::Stop { reason: None, whose: Whose::Own })));
            let why = SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own };
            acts.push((Due::At(content.id, seconds(9)), Act::Tell(why)));
            return acts;
        }
        Habit::Pauses if is_drill && entered % 6 == 4 => {
            acts.push((
                Due::At(content.id, seconds(8)),
                Act::Tell(SeatCommand::Stop { reason: None, whose: Whose::Own }),
            ));
            return acts;
        }
        Habit::Pauses if entered % 6 == 5 => {
            acts.push((Due::After(seconds(2)), Act::Tell(SeatCommand::GoOn)));
        }
        Habit::SoreNeck if is_neck => {
            acts.push((Due::At(content.id, seconds(45)), Act::ReportSoreNeck));
            return acts;
        }
        Habit::LosesNetwork if entered % 4 == 3 => {
            acts.push((Due::After(seconds(5)), Act::Vanish));
            acts.push((Due::After(seconds(65)), Act::Return));
            return acts;
        }
        Habit::Quiet => return acts,
        Habit::Steady
        | Habit::Late
        | Habit::Slow
        | Habit::Tired
        | Habit::Pauses
        | Habit::SoreNeck
        | Habit::LosesNetwork => {}
    }
    if is_drill && dice.below(100) < 93 {
        let late_ms = if person.habit == Habit::Slow { dice.ms(3_500, 7_000) } else { dice.ms(600, 3_000) };
        let at = Due::At(content.id, tap_at(content, dice) + late_ms);
        acts.push((at, Act::Tell(SeatCommand::Done { step: content.id })));
        if content.timeline.spans.iter().any(|s| s.marks.is_some()) {
            let far = [HowFar::Under, HowFar::FirstMark, HowFar::Target, HowFar::Target, HowFar::Beyond];
            let far = far[usize::try_from(dice.below(5)).unwrap_or(0)];
            let told = Act::Tell(SeatCommand::HowFar { step: content.id, far });
            acts.push((Due::At(content.id, content.timeline.total_ms + late_ms + 1_500), told));
        }
    }
    acts
}

/// When this person taps: people tap in rests, so in one of the later rests, or at the end.
fn tap_at(content: &Content, dice: &mut Dice) -> i64 {
    let spans = &content.timeline.spans;
    let rests: Vec<i64> = spans
        .iter()
        .filter(|s| s.phase == Phase::Rest || s.phase == Phase::Sip)
        .map(|s| s.start_ms)
        .collect();
    let later = &rests[rests.len() / 2..];
    match later.len() {
        0 => content.timeline.total_ms,
        n => later[usize::try_from(dice.below(n as u64)).unwrap_or(0)],
    }
}

/// A sore neck, as a rehearsed person reports it.
#[must_use]
pub fn sore_neck() -> Said {
    Said { place: Some(Where::Neck), strength: Some(Felt::Word(Strength::Quite)), ..Said::default() }
}

/// `SplitMix64` (Steele, Lea and Flood 2014): small, and the same everywhere.
struct Dice(u64);

impl Dice {
    fn new(seed: u64, person: u64, moment: u64) -> Self {
        Self(seed ^ person.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ moment.wrapping_mul(0xD1B5_4A32_D192_ED03))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    fn ms(&mut self, least: i64, most: i64) -> i64 {
        least + i64::try_from(self.below(most.abs_diff(least).max(1))).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first outputs for seed 1234567, as published with the reference code
    /// (prng.di.unimi.it/splitmix64.c; values from memory of its common test vector).
    #[test]
    fn the_dice_are_splitmix64() {
        let mut dice = Dice(1_234_567);
        assert_eq!(dice.next(), 6_457_827_717_110_365_317);
        assert_eq!(dice.next(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn the_same_seed_gives_the_same_class() {
        let class = people(12);
        assert_eq!(class.len(), 12);
        assert_eq!(people(MOST_PEOPLE).len(), MOST_PEOPLE, "every name is one");
        let all = |seed| -> Vec<_> {
            (0..).zip(&class).map(|(i, person)| acts(person, i, seed, Moment::Opened)).collect()
        };
        assert_eq!(all(7), all(7));
        assert_ne!(all(7), all(8));
        assert!(all(7).iter().any(Vec::is_empty), "somebody is late");
    }
}
