//! What a drill asks of a person: precautions, clearance, personal forms, the empty mouth.

use crate::common::class::{Class, FACILITATOR, HELPER, LEAD_MS};
use samebreath_core::drill::Family;
use samebreath_core::file::Source;
use samebreath_core::live::{
    Command, DeskCommand, DeskRole, Form, Refusal, SeatCommand, SeatId, Status, StepId,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::rules::{self, CONDITIONS, Rule};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::record::incidents::{IncidentKind, incidents};

const SWALLOW: &str =
    "[[step]]\ndrill = \"tongue-hold-swallow\"\n[[step]]\ndrill = \"hold-at-top-swallow\"\n";
const NECK: &str = "[[step]]\ndrill = \"neck-five\"\n[[step]]\ndrill = \"steady-ah\"\n";

/// The grid of suggested defaults: X off until cleared, ! easier, . fine. Judgement from the cautions and clearances of
/// the drills, no published table. Columns as in [`CONDITIONS`]: heart, lung, neck, aspiration, jaw, surgery, low
/// pressure, thinking; voice, spine, shoulder, mouth, tracheostomy, stimulator.
const GRID: &str = "
    posture           . . ! . . . ! .  . ! ! . . .
    breath            ! ! . . . . ! .  . . . . X .
    cough             X ! . . . X ! .  ! ! . . X .
    trainer           X X . . . X X X  . . . X X .
    voice             ! ! . . . ! . .  X . . . X .
    effortful-swallow X . . X . . . !  . . . ! X .
    tongue-hold       . . . X X . . X  . . . X X .
    hold-at-top       X X . X . . ! X  . . . . X .
    head-lift         X X X ! . X X X  . X . . X X
    chin-tuck         ! . X . X . . .  . X . . X !
    jaw-opening       . . . . X . . .  . . . ! . .
    neck              ! . X . . . X .  . ! ! . . X
    lips-face         . . . . ! ! . .  . . . X . .
    words             . . . . . . . !  ! . . . ! .";

#[test]
fn the_shipped_grid_is_the_suggested_one() {
    let rules = crate::common::rules();
    let mut rows = 0;
    for line in GRID.lines().filter(|line| !line.trim().is_empty()) {
        let mut cells = line.split_whitespace();
        let family: Family = serde_json::from_value(cells.next().unwrap().into()).unwrap();
        let cells: Vec<_> = cells.collect();
        assert_eq!(cells.len(), CONDITIONS.len(), "{line}");
        for (cell, (name, condition)) in cells.into_iter().zip(CONDITIONS) {
            let expected = match cell {
                "X" => Rule::Off,
                "!" => Rule::Easier,
                _ => Rule::Fine,
            };
            assert_eq!(rules.rule(family, condition), expected, "{family:?} with {name}");
        }
        rows += 1;
    }
    assert_eq!(rows, 14, "every family has a row");
}

#[test]
fn numbers_become_words_by_the_cut_points() {
    let rules = crate::common::rules();
    // A pain of 4 of 10 or more stops a drill: common practice, no source.
    let words = [0, 3, 4, 6, 7, 10].map(|n| rules.strength(Felt::Number(n)));
    use Strength::{Little, Quite, Very};
    assert_eq!(words, [Little, Little, Quite, Quite, Very, Very]);
    assert_eq!(rules.strength(Felt::Word(Quite)), Quite);
}

#[test]
fn wrong_house_rules_say_where_and_what_would_be_right() {
    let check = |text: &str, expected: &str| {
        let error = rules::read(Source::new("house.toml", text)).unwrap_err().to_string();
        assert_eq!(error, expected);
    };
    let strength = "[strength]\nquite_from = 4\nvery_from = 7\n";
    check("", "house.toml:1: this rules file needs `strength`");
    check(
        "[strength]\nquite_from = 8\nvery_from = 7\n",
        "house.toml:3: `very_from` must be above `quite_from`",
    );
    check(
        "[strength]\nquite_from = 4\nvery_from = 11\n",
        "house.toml:3: `very_from` is 11; it must be from 1 to 10",
    );
    check(
        &format!("{strength}[grid]\nneck = {{ haert = \"off\" }}\n"),
        "house.toml:5: there is no key in a grid row called `haert`; did you mean `heart`?",
    );
    check(
        &format!("{strength}[grid]\nneck = {{ heart = \"never\" }}\n"),
        "house.toml:5: `heart` is `never`; it must be \"fine\", \"easier\" or \"off\"",
    );
}

#[test]
fn swallow_drills_are_off_until_a_named_clinician_turns_them_on() {
    let mut class = Class::open(SWALLOW);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::Start);
    assert_eq!((class.form(ann, 1), class.status(ann)), (Form::Rest, Status::Resting));
    assert_eq!(class.refused(DeskCommand::ClearSwallow { seats: vec![ann] }), Refusal::NoName);
    let mut class = class.named();
    class.desk(DeskCommand::ClearSwallow { seats: vec![ann] });
    assert_eq!(class.form(ann, 1), Form::MouthFirst, "cleared, and not yet said that the mouth is empty");
    assert_eq!(class.form(ben, 1), Form::Rest);
    class.desk(DeskCommand::ClearSwallow { seats: vec![ann, ben] });
    assert_eq!(class.form(ben, 1), Form::MouthFirst);
    assert_eq!(class.refused(DeskCommand::ClearSwallow { seats: vec![ann, ben] }), Refusal::NoChange);
    class.desk(DeskCommand::EndSwallow { seat: ben });
    assert_eq!(class.form(ben, 1), Form::Rest);
    let health = class.session.person(ann, DeskRole::Facilitator).unwrap().health.unwrap();
    assert_eq!(health.swallow_cleared_by.unwrap().as_str(), "Rosamund");
    let cleared = incidents(&class.ledger).into_iter().filter(|i| i.what == IncidentKind::SwallowCleared);
    let of: Vec<_> = cleared.map(|i| (i.seat.unwrap(), i.staff.unwrap().to_string())).collect();
    assert_eq!(of, [(ann, "Rosamund".to_owned()), (ben, "Rosamund".to_owned())]);
}

#[test]
fn the_class_stands_before_the_first_swallow_until_mouths_are_empty() {
    let mut class = Class::open(&format!("[[step]]\ndrill = \"sit-tall\"\n{SWALLOW}")).named();
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::ClearSwallow { seats: vec![ann, ben] });
    class.desk(DeskCommand::Start);
    class.wait_ms(5_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(60_000);
    assert!(!class.session.position(class.now).unwrap().of.running);
    assert!(class.offset_ms() < 0, "before the first repetition");
    let mouths = |class: &Class| {
        let mouths = class.session.desk(class.now, &class.presence).mouths.unwrap();
        (mouths.empty, mouths.of)
    };
    assert_eq!(mouths(&class), (0, 2));
    class.seat(ann, SeatCommand::ConfirmMouth { empty: true });
    class.seat(ben, SeatCommand::ConfirmMouth { empty: false });
    assert_eq!(mouths(&class), (1, 2));
    assert_eq!((class.form(ann, 2), class.form(ben, 2)), (Form::Full, Form::MouthFirst));
    class.desk(DeskCommand::GoOn);
    class.wait_ms(LEAD_MS);
    class.desk(DeskCommand::Next);
    class.wait_ms(LEAD_MS);
    assert!(class.session.position(class.now).unwrap().of.running, "only before the first");
}

#[test]
fn precautions_rule_out_and_soften_by_family() {
    let mut class = Class::open(NECK).named();
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    let set = |seat, conditions: &[Condition]| DeskCommand::SetPrecautions {
        seat,
        conditions: conditions.to_vec(),
    };
    class.desk(set(ann, &[Condition::Neck, Condition::Heart]));
    assert_eq!((class.form(ann, 1), class.form(ann, 2)), (Form::Rest, Form::Easier), "the worst one holds");
    assert_eq!((class.form(ben, 1), class.form(ben, 2)), (Form::Full, Form::Full));
    class.desk(DeskCommand::ClearFamily { seat: ann, family: Family::Neck });
    assert_eq!(class.form(ann, 1), Form::Full, "cleared by the clinician for today");
    class.desk(DeskCommand::EndFamily { seat: ann, family: Family::Neck });
    assert_eq!(class.form(ann, 1), Form::Rest);
    class.desk(set(ann, &[]));
    assert_eq!(class.form(ann, 1), Form::Full);
}

#[test]
fn personal_forms_hold_for_a_drill_or_a_family_and_off_today_softens_all() {
    let mut class = Class::open(NECK).named();
    let ann = class.join("Ann");
    let form = |of, way| DeskCommand::SetForm { seat: SeatId(1), form: PersonalForm { of, way, note: None } };
    let neck_five = Of::Drill("neck-five".try_into().unwrap());
    class.desk(form(Of::Family(Family::Neck), Way::Seated));
    assert_eq!(class.form(ann, 1), Form::Seated);
    class.desk(form(neck_five.clone(), Way::LeaveOut));
    assert_eq!(class.form(ann, 1), Form::Rest, "the drill's own form goes before the family's");
    class.desk(DeskCommand::LiftForm { seat: ann, of: neck_five });
    class.desk(form(Of::Family(Family::Neck), Way::Easier));
    assert_eq!((class.form(ann, 1), class.form(ann, 2)), (Form::Easier, Form::Full));
    class.desk(DeskCommand::MarkOff { seat: ann });
    assert_eq!(class.form(ann, 2), Form::Easier);
    class.desk(DeskCommand::LiftOff { seat: ann });
    assert_eq!(class.form(ann, 2), Form::Full);
}

#[test]
fn a_hold_of_ones_own_goes_with_any_form_and_the_harder_one_only_where_nothing_speaks_against_it() {
    let mut class = Class::open(NECK).named();
    let ann = class.join("Ann");
    let form = |way| DeskCommand::SetForm {
        seat: SeatId(1),
        form: PersonalForm { of: Of::Family(Family::Neck), way, note: None },
    };
    let hold = |class: &Class| {
        let mine = class.session.mine(SeatId(1), class.now).unwrap();
        mine.forms.iter().map(|of| (of.form, of.hold_ms)).collect::<Vec<_>>()
    };
    class.desk(form(Way::OwnHold(8_000)));
    assert_eq!(hold(&class), [(Form::Full, Some(8_000)), (Form::Full, None)]);
    class.desk(DeskCommand::MarkOff { seat: ann });
    assert_eq!(hold(&class)[0], (Form::Easier, Some(8_000)), "the easier form, held no longer than they may");
    class.desk(form(Way::Harder));
    assert_eq!(class.form(ann, 1), Form::Easier, "not on a bad day");
    class.desk(DeskCommand::LiftOff { seat: ann });
    assert_eq!(hold(&class)[0], (Form::Harder, None));
    class.desk(DeskCommand::SetPrecautions { seat: ann, conditions: vec![Condition::Heart] });
    assert_eq!(class.form(ann, 1), Form::Easier, "the house rules are more careful");
    let wrong = class.refused(form(Way::OwnHold(200)));
    assert_eq!(wrong, Refusal::Wrong("hold is 0.2 s; it must be from 0.5 to 600 s".to_owned()));
}

#[test]
fn the_helper_sees_health_notes_only_when_allowed() {
    let mut class = Class::open(NECK).named();
    let ann = class.join("Ann");
    let clear = Command::Desk(DeskCommand::ClearSwallow { seats: vec![ann] });
    assert_eq!(class.session.person(ann, DeskRole::Helper).unwrap().health, None);
    assert_eq!(class.try_do(HELPER, clear.clone()), Err(Refusal::NotClinical));
    let by_themselves = class.try_do(HELPER, Command::Desk(DeskCommand::ShareHealth));
    assert_eq!(by_themselves, Err(Refusal::NotClinical), "nobody allows it to themselves");
    class.desk(DeskCommand::ShareHealth);
    assert!(class.session.person(ann, DeskRole::Helper).unwrap().health.is_some());
    assert_eq!(class.try_do(HELPER, clear.clone()), Err(Refusal::NoName));
    class.try_do(HELPER, Command::Desk(DeskCommand::SayName { name: "Otto".try_into().unwrap() })).unwrap();
    class.try_do(HELPER, clear).unwrap();
    class.try_do(FACILITATOR, Command::Desk(DeskCommand::EndShareHealth)).unwrap();
    assert_eq!(class.session.person(ann, DeskRole::Helper).unwrap().health, None);
}

#[test]
fn forms_are_known_before_a_step_begins() {
    let mut class = Class::open(NECK).named();
    let ann = class.join("Ann");
    class.desk(DeskCommand::SetPrecautions { seat: ann, conditions: vec![Condition::Neck] });
    let mine = class.session.mine(ann, class.now).unwrap();
    let known: Vec<_> = mine.forms.iter().map(|of| of.step).collect();
    assert_eq!(known, [StepId(1), StepId(2)], "so that no screen shows a drill that is not for this person");
}

#[test]
fn follow_ups_have_an_owner_and_a_day_and_are_closed_once() {
    let mut class = Class::open(NECK);
    let ann = class.join("Ann");
    class.desk(DeskCommand::End);
    let due = "2027-03-09".to_owned().try_into().unwrap();
    let what = "Telephone Ann about her neck".try_into().unwrap();
    class.desk(DeskCommand::AddFollowUp { seat: ann, what, owner: "Otto".try_into().unwrap(), due });
    let added = class.session.follow_ups()[0].clone();
    assert_eq!((added.due.to_string(), added.closed_at), ("2027-03-09".to_owned(), None));
    class.desk(DeskCommand::CloseFollowUp { id: added.id, outcome: "reached".try_into().unwrap() });
    assert_eq!(class.session.follow_ups()[0].closed_at, Some(class.now));
    assert_eq!(
        class.refused(DeskCommand::CloseFollowUp { id: added.id, outcome: "again".try_into().unwrap() }),
        Refusal::NoSuchFollowUp
    );
}

#[test]
fn a_trainer_is_a_rest_until_a_clinician_cleared_the_person() {
    let mut class = Class::open("[[step]]\ndrill = \"trainer-breaths\"\n").named();
    let ann = class.join("Ann");
    let form = |class: &Class| class.session.mine(ann, class.now).unwrap().forms[0].form;
    assert_eq!(form(&class), Form::Rest, "also without a precaution");
    class.desk(DeskCommand::ClearFamily { seat: ann, family: Family::Trainer });
    assert_eq!(form(&class), Form::Full);
}
