//! The reasons for advice: why it matters, where that comes from, and how far the source was checked.

use crate::drill::Trust;

pub(super) type Because = (&'static str, &'static str, Trust);

pub(super) const HOUR: Because = (
    "The game people come for gets cut when a class runs over.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const SLACK: Because = (
    "Time that nobody planned is lost, or filled with talk.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const APART: Because = (
    "Mouths run dry: left alone, older adults swallow only about once in 2 to 5 minutes.",
    "Bulmer et al. 2021, PMC8481724",
    Trust::Seen,
);
pub(super) const EMPTY: Because = (
    "Food, gum, a lozenge or a loose denture can go the wrong way in a swallow drill.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const REST: Because = (
    "Fatigue affects 33 to 58 % of people with Parkinson's; planned rests help.",
    "PMC3359731, PMC3236421",
    Trust::Seen,
);
pub(super) const DRY: Because = (
    "Voices and dry mouths need water; sips are only for those whose plan allows them.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const CLEARED: Because = (
    "Silent aspiration is common: of 119 people with Parkinson's a quarter aspirated. Until a clinician decides, they rest.",
    "Pflug et al. 2018, link.springer.com s00455-017-9831-1",
    Trust::Seen,
);
pub(super) const GRID: Because = (
    "The house rules turn it off for one of their precautions; a clinician can clear them.",
    "house rules, from the cautions of the drills",
    Trust::Judgement,
);
pub(super) const CEILING: Because = (
    "A clinician set a limit for the week, over classes and home practice.",
    "the group's own record",
    Trust::Judgement,
);
pub(super) const FEW: Because = (
    "Adults of 67 to 82 did 2 home exercises better than 8.",
    "Henry et al. 1999, scribd.com/document/385754673",
    Trust::Seen,
);
pub(super) const HOME_ONLY: Because = (
    "A camera cannot watch over people who lie flat; a clinician shows it to one person at a time.",
    "common practice; Shaker et al. 1997",
    Trust::CommonPractice,
);
pub(super) const MANY: Because = (
    "Saliva runs out: left alone, older adults swallow only about once in 2 to 5 minutes. The number is our choice.",
    "Bulmer et al. 2021, PMC8481724, for how seldom",
    Trust::Judgement,
);
pub(super) const WARM_UP: Because = (
    "Voices, necks and jaws take long holds better after something easy.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const ASK: Because = (
    "Where they are, whom to call, and whether they are well, seated and not alone: asked at the start of every class.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const EXPLAIN: Because = (
    "A drill takes as long as its clock and the words before it; without them an hour runs over.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const BRING: Because = (
    "Nobody can fetch it in the middle of a class. Tell them with the invitation.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const EFFORT: Because = (
    "A strong effort is repeated well only after a rest; long holds are rested for as long as they last.",
    "60 s of hold and 60 s of rest: Shaker et al. 1997, fcd.mcw.edu 22353",
    Trust::Seen,
);
pub(super) const BLOWS: Because = (
    "Strong blows one after another make people light-headed.",
    "common practice, no source",
    Trust::CommonPractice,
);
pub(super) const SETS: Because =
    ("A set is a set because a rest follows it.", "common practice, no source", Trust::CommonPractice);
pub(super) const STRETCH: Because = (
    "60 s in all for each stretch are enough.",
    "ACSM guidelines, 11th ed., table 5.6, acsm.org 2021/03/18",
    Trust::Seen,
);
pub(super) const BY_CLINICIAN: Because = (
    "Nobody watches at home. Swallow drills, head lifts and trainers are given person by person, by a clinician.",
    "common practice, no source",
    Trust::CommonPractice,
);
