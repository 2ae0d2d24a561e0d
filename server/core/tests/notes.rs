//! Notes: facts are folded, nobody else is named in them, and what they mean is left to a clinician.

use proptest::prelude::{Strategy, prop_oneof, proptest};
use proptest::sample::select;
use proptest::test_runner::Config as ProptestConfig;
use proptest::{collection, prop_assert};
use samebreath_core::live::{
    CheckIn, Company, DeskCommand, Feeling, HowFar, Partner, ReportId, Said, SeatCommand, SeatId, Session,
    StepId, StopReason, Where, Whose,
};
use samebreath_core::people::rules::Felt;
use samebreath_core::record::class::class_record;
use samebreath_core::record::note::{
    Fact, NoteAbout, NoteContent, NotePart, NoteWords, SignedNote, Signer, WORDING, facts_about,
    facts_of_class, title_for,
};
use samebreath_core::staff::account::{AccountId, Clinician};
use samebreath_core::text::Sentence;
use samebreath_core::text::name::folded;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::common::class::Class;
use crate::common::roll::day;
use crate::record::{HOUR, MINUTE_MS, record};

fn texts(class: &Class, seat: SeatId) -> Vec<String> {
    facts(class, seat).into_iter().map(|fact| fact.text).collect()
}

fn facts(class: &Class, seat: SeatId) -> Vec<Fact> {
    let record = record(class);
    facts_about(&class.session, &record, record.people.iter().find(|one| one.seat == seat).unwrap())
}

/// Whether a text has a name as a word, without case and accents.
fn names(text: &str, name: &str) -> bool {
    folded(text).split(' ').any(|word| word == folded(name))
}

fn sentence(text: &str) -> Sentence {
    text.try_into().unwrap()
}

fn hour() -> (Class, SeatId, SeatId) {
    let mut class = Class::open(HOUR).staffed();
    let (ada, ben) = (class.join("Ada"), class.join("Ben"));
    class.desk(DeskCommand::SayName { name: "Ines".try_into().unwrap() });
    let answers = CheckIn {
        feeling: Some(Feeling::SoSo),
        seated: Some(true),
        company: Some(Company::With),
        place: Some(sentence("kitchen, Harbour Street 4")),
        partner: Some(Partner { name: "Lena".try_into().unwrap(), feeling: None, mouth_empty: None }),
        ..CheckIn::default()
    };
    class.seat(ada, SeatCommand::CheckIn { answers });
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    class.wait_ms(3 * MINUTE_MS);
    (class, ada, ben)
}

#[test]
fn facts_are_what_the_record_says_in_the_order_of_a_note() {
    let (mut class, ada, ben) = hour();
    class.seat(ada, SeatCommand::Done { step: StepId(2) });
    class.seat(ada, SeatCommand::HowFar { step: StepId(2), far: HowFar::Target });
    let said = |whose, words: &str| Said {
        whose,
        place: Some(Where::Neck),
        strength: Some(Felt::Number(6)),
        words: Some(sentence(words)),
        ..Said::default()
    };
    let report = |n, said| SeatCommand::Report { report: ReportId(Uuid::from_u128(n)), said };
    class.seat(ada, report(1, said(Whose::Own, "it pulls")));
    class.seat(ada, report(2, said(Whose::Partner, "hers too")));
    class.seat(ben, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.watch();
    class.desk(DeskCommand::End);
    let reason = sentence("was there to the end");
    class.desk(DeskCommand::SetAttendance { seat: ada, minutes: 2, reason });

    assert_eq!(
        facts(&class, ada).iter().map(|fact| (fact.part, fact.text.as_str())).collect::<Vec<_>>(),
        [
            (NotePart::Subjective, "At check-in: felt so-so; sat upright in a stable chair; with somebody."),
            (NotePart::Subjective, "Where they were: “kitchen, Harbour Street 4”."),
            (NotePart::Subjective, "Reported in minute 3, in Long steady hiss: neck, 6 of 10. “it pulls”"),
            (
                NotePart::Objective,
                "In class for 2 of 3 minutes, by screen. Put right by hand; the record said 3 minutes: \
                 “was there to the end”. Somebody took part beside them."
            ),
            (NotePart::Objective, "At the desks: Ines."),
            (
                NotePart::Objective,
                "Long steady hiss: the class did 3 × 8 s, as planned; said done; to the target by their own word."
            ),
            (NotePart::Objective, "Stopped in minute 3, in Long steady hiss: it hurt."),
        ]
    );
    let of_ben = texts(&class, ben);
    assert!(of_ben.contains(&"Stopped in minute 3, in Long steady hiss: tired.".to_owned()), "{of_ben:?}");
    assert!(!of_ben.iter().any(|text| text.contains("neck")), "{of_ben:?}");
}

#[test]
fn the_group_note_has_figures_and_no_name_but_that_of_staff() {
    let (mut class, ada, _) = hour();
    class.seat(ada, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.watch();
    class.desk(DeskCommand::End);
    let facts: Vec<String> =
        facts_of_class(&class.session, &record(&class)).into_iter().map(|fact| fact.text).collect();
    let begin =
        ["The class took 3 minutes.", "0 of 0 who are enrolled came.", "Guests: 2.", "At the desks: Ines."];
    assert_eq!(facts[..4], begin);
    assert_eq!(facts.last().unwrap(), "Stops: 1. Reports: 0, urgent among them: 0.");
    assert!(facts.contains(&"Neck in five positions: left out.".to_owned()), "{facts:?}");
    assert!(!facts.iter().any(|text| text.contains("Ada") || text.contains("Ben")), "{facts:?}");
}

#[test]
fn a_note_is_a_late_entry_from_48_hours_on() {
    let note = |signed_ms: i64| SignedNote {
        about: NoteAbout {
            class: Uuid::nil(),
            title: "Tuesday".try_into().unwrap(),
            day: day("2026-10-20"),
            ended_at: EpochMs(0),
            person: None,
            name: None,
        },
        content: NoteContent::Note { wording: WORDING, facts: Vec::new(), words: NoteWords::default() },
        signer: Signer {
            account: AccountId(Uuid::nil()),
            name: "Ines".try_into().unwrap(),
            clinician: Clinician {
                title: "Speech-language pathologist".try_into().unwrap(),
                licence: "1".try_into().unwrap(),
            },
        },
        signed_at: EpochMs(signed_ms),
    };
    assert!(!note(48 * 3_600_000).is_late());
    assert!(note(48 * 3_600_000 + 1).is_late());
}

/// People of a class, among them two of one name, a pair on one screen, and an initial.
const NAMES: [&str; 7] = ["Ada", "Ada", "Ben & Ida", "Zoë", "Mary Ann", "Grace", "Rosa M."];
/// How somebody may be named, and whose name it is not.
const CALLED: [(&str, &[usize]); 9] = [
    ("Ada", &[2, 3, 4, 5, 6]),
    ("Ben", &[0, 1, 3, 4, 5, 6]),
    ("Ida", &[0, 1, 3, 4, 5, 6]),
    ("Zoe", &[0, 1, 2, 4, 5, 6]),
    ("ZOË", &[0, 1, 2, 4, 5, 6]),
    ("Mary", &[0, 1, 2, 3, 5, 6]),
    ("Grace", &[0, 1, 2, 3, 4, 6]),
    ("Rosa", &[0, 1, 2, 3, 4, 5]),
    ("Nadia", &[0, 1, 2, 3, 4, 5, 6]),
];

/// What somebody may do in which words stand.
#[derive(Debug, Clone)]
enum Typed {
    Place,
    Report,
    Stop,
    FollowUp,
    Closed,
    Attendance,
}

fn typed() -> impl Strategy<Value = (Typed, usize, Sentence)> {
    let what = select(vec![
        Typed::Place,
        Typed::Report,
        Typed::Stop,
        Typed::FollowUp,
        Typed::Closed,
        Typed::Attendance,
    ]);
    let word = prop_oneof![
        3 => select(vec!["with", "fell", "today", "and", "at", "home", "it", "pulls"]).prop_map(str::to_owned),
        2 => select(CALLED.to_vec()).prop_map(|(name, _)| name.to_owned()),
        1 => select(CALLED.to_vec()).prop_map(|(name, _)| name.to_uppercase()),
        1 => select(CALLED.to_vec()).prop_map(|(name, _)| format!("({name}’s)")),
    ];
    let words = collection::vec(word, 1..7).prop_map(|words| sentence(&words.join(" ")));
    (what, 0..NAMES.len(), words)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    /// W-22.
    #[test]
    fn no_sentence_about_one_person_names_another(all in collection::vec(typed(), 1..20)) {
        let mut class = Class::open(HOUR).staffed();
        let seats: Vec<SeatId> = NAMES.iter().map(|name| class.join(name)).collect();
        class.desk(DeskCommand::Start);
        class.desk(DeskCommand::Next);
        let partner = Partner { name: "Nadia".try_into().unwrap(), feeling: None, mouth_empty: None };
        let answers = CheckIn { partner: Some(partner), ..CheckIn::default() };
        class.seat(seats[3], SeatCommand::CheckIn { answers });
        for (n, (what, who, words)) in (1..).zip(all) {
            let seat = seats[who];
            class.wait_ms(1_000);
            match what {
                Typed::Place => {
                    let partner = Partner { name: "Nadia".try_into().unwrap(), feeling: None, mouth_empty: None };
                    let answers = CheckIn { place: Some(words), partner: Some(partner), ..CheckIn::default() };
                    class.seat(seat, SeatCommand::CheckIn { answers });
                }
                Typed::Report => {
                    let said = Said { words: Some(words), ..Said::default() };
                    class.seat(seat, SeatCommand::Report { report: ReportId(Uuid::from_u128(n)), said });
                }
                Typed::Stop => class.seat(seat, SeatCommand::Stop { reason: None, whose: Whose::Own }),
                Typed::FollowUp => {
                    let (owner, due) = ("Ines".try_into().unwrap(), day("2027-01-20"));
                    class.desk(DeskCommand::AddFollowUp { seat, what: words, owner, due });
                }
                Typed::Closed => {
                    let open = class.session.follow_ups().iter().find(|one| one.closed_at.is_none()).map(|one| one.id);
                    if let Some(id) = open {
                        class.desk(DeskCommand::CloseFollowUp { id, outcome: words });
                    }
                }
                Typed::Attendance => class.desk(DeskCommand::SetAttendance { seat, minutes: 12, reason: words }),
            }
        }
        class.desk(DeskCommand::End);
        for (at, seat) in seats.iter().enumerate() {
            for text in texts(&class, *seat) {
                for (name, _) in CALLED.iter().filter(|(_, of_others)| of_others.contains(&at)) {
                    prop_assert!(!names(&text, name), "{}: {text}", NAMES[at]);
                }
            }
        }
        let of_class: String = facts_of_class(&class.session, &record(&class)).into_iter().map(|fact| fact.text).collect();
        prop_assert!(!CALLED.iter().any(|(name, _)| names(&of_class, name)), "{of_class}");
    }
}

/// A step or a class may be named after somebody, and a word in small letters is no name.
#[test]
fn titles_with_names_stand_in_no_note_but_that_persons() {
    let plan = "[[step]]\ndrill = \"long-hiss\"\ntitle = \"Grace’s long hiss\"\n\
                [[step]]\ndrill = \"sit-tall\"\ntitle = \"Sit with grace\"\n";
    let mut class = Class::open(plan).staffed();
    let (ada, grace) = (class.join("Ada"), class.join("Grace"));
    class.desk(DeskCommand::Start);
    class.wait_ms(MINUTE_MS);
    class.desk(DeskCommand::Next);
    class.watch();
    class.desk(DeskCommand::End);
    let has = |seat, title: &str| texts(&class, seat).iter().any(|text| text.contains(title));
    assert!(has(grace, "Grace’s long hiss") && !has(ada, "Grace’s long hiss") && has(ada, "a drill: "));
    assert!(has(ada, "Sit with grace"));
    let record = record(&class);
    let of_class: Vec<_> = facts_of_class(&class.session, &record);
    assert!(!of_class.iter().any(|fact| names(&fact.text, "Grace") && fact.text.contains("Grace")));
    assert_eq!(title_for(&class.session, None).as_str(), "x");
}

/// Of two people of one first name the initial says who is meant.
#[test]
fn a_namesake_with_another_initial_is_somebody_else() {
    let mut class = Class::open(HOUR).staffed();
    let (k, l) = (class.join("Ada K."), class.join("Ada L."));
    class.desk(DeskCommand::Start);
    let said = Said { words: Some(sentence("Ada K choked, and Ada held my hand")), ..Said::default() };
    class.seat(l, SeatCommand::Report { report: ReportId(Uuid::from_u128(1)), said });
    let said = Said { words: Some(sentence("Ada is fine")), ..Said::default() };
    class.seat(k, SeatCommand::Report { report: ReportId(Uuid::from_u128(2)), said });
    class.desk(DeskCommand::End);
    let has = |seat, words: &str| texts(&class, seat).iter().any(|text| text.contains(words));
    assert!(!has(l, "choked") && has(k, "Ada is fine"));
}

#[test]
fn in_whole_classes_nobody_else_is_named() {
    for seed in 0..6 {
        let ledger = crate::past::played(seed);
        let (session, record) = (Session::replay(&ledger).unwrap(), class_record(&ledger).unwrap());
        for person in &record.people {
            let facts = facts_about(&session, &record, person);
            assert!(facts.len() > 3, "{facts:?}");
            for other in record.people.iter().filter(|one| one.seat != person.seat) {
                let named = facts.iter().find(|fact| names(&fact.text, other.name.as_str()));
                assert_eq!(named, None, "of {} about {}", other.name, person.name);
            }
        }
    }
}
