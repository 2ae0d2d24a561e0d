//! A ledger without one person.

use crate::common::class::{Class, FACILITATOR};
use crate::common::roll::{group, id, person};
use samebreath_core::live::{
    Actor, CareEvent, CheckIn, DeskCommand, Partner, Recorded, SeatCommand, SeatId, Session, Whose,
};
use samebreath_core::record::erase::{erased, mentions};

const PLAN: &str = "[[step]]\ndrill = \"sit-tall\"\n";

/// The ledger with its changed lines in their places.
fn without_ann(class: &Class) -> Vec<Recorded> {
    let mut ledger = class.ledger.clone();
    for line in erased(&class.ledger, id(1)) {
        let at = usize::try_from(line.seq - 1).unwrap();
        assert_eq!(ledger[at].seq, line.seq);
        ledger[at] = line;
    }
    ledger
}

#[test]
fn a_person_is_gone_from_every_seat_that_was_theirs_and_others_are_untouched() {
    let mut class = Class::open(PLAN);
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann"), person("Ben")]), &[]));
    let asks = class.join("Ann");
    class.desk(DeskCommand::LetIn { seat: asks, known_as: Some(SeatId(1)) });
    class.hear(SeatId(1));
    let partner = Partner { name: "Gaston".try_into().unwrap(), feeling: None, mouth_empty: None };
    let answers = CheckIn { partner: Some(partner), ..CheckIn::default() };
    class.seat(asks, SeatCommand::CheckIn { answers });
    class
        .desk(DeskCommand::Message { seat: SeatId(2), text: "Sit opposite Ann, please".try_into().unwrap() });
    class.desk(DeskCommand::Message { seat: SeatId(2), text: "Annual report".try_into().unwrap() });
    class.desk(DeskCommand::Message { seat: SeatId(1), text: "Well done, Ann".try_into().unwrap() });
    assert_eq!(mentions(&class.ledger, id(1)), 1, "a name is a word of its own");
    let ledger = without_ann(&class);
    let text = serde_json::to_string(&ledger).unwrap();
    assert_eq!(text.matches("Ann").count(), 2, "{text}");
    assert!(text.contains("opposite Ann") && text.contains("Annual") && !text.contains("Gaston"));
    let (before, after) = (&class.session, Session::replay(&ledger).unwrap());
    assert_eq!(after.seat_of(asks).unwrap().1.name.as_str(), "Person 1");
    assert_eq!(after.name_of(SeatId(1), Whose::Partner).unwrap().as_str(), "Partner");
    assert_eq!(after.seats()[&SeatId(2)], before.seats()[&SeatId(2)]);
    assert_eq!(
        after.roster(class.now, &class.presence).len(),
        before.roster(class.now, &class.presence).len()
    );
    assert_eq!(erased(&ledger, id(1)), [], "nothing is left to be erased");
    assert_eq!(erased(&class.ledger, id(9)), [], "nobody of this class");
}

/// A desk merged two people by mistake: the other one is not erased with the first.
#[test]
fn somebody_else_who_was_merged_by_mistake_keeps_their_name() {
    let mut class = Class::open(PLAN);
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann"), person("Ben")]), &[]));
    class.desk(DeskCommand::Merge { from: SeatId(1), into: SeatId(2) });
    let stranger = class.join("Ann");
    let text = serde_json::to_string(&without_ann(&class)).unwrap();
    assert!(text.contains("Ben") && text.contains("Person 1"), "{text}");
    assert_eq!(class.session.seats()[&stranger].name.as_str(), "Ann");
    assert_eq!(
        mentions(&class.ledger, id(1)),
        1,
        "a seat of that name which nobody merged with theirs is told"
    );
}

#[test]
fn what_was_tapped_stays_as_it_was() {
    let mut class = Class::open(PLAN);
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann")]), &[]));
    class.record(FACILITATOR, vec![CareEvent::CameIn.of(SeatId(1))]);
    class.hear(SeatId(1));
    class.desk(DeskCommand::Start);
    class.seat(SeatId(1), SeatCommand::Stop { reason: None, whose: Whose::Own });
    let (before, after) = (&class.session, Session::replay(&without_ann(&class)).unwrap());
    let (one, other) = (&before.seats()[&SeatId(1)], &after.seats()[&SeatId(1)]);
    assert_eq!((one.stopped, &one.answers, &one.place), (other.stopped, &other.answers, &other.place));
    assert_eq!(before.moves(), after.moves());
}
