//! What waits for something to be over beside which it may not go on, by hand.

use crate::support::{record, study, waited};
use shopstride::experiment::Study;
use shopstride::metrics::LeadTimeComponents;
use shopstride::shop::PersonId;
use shopstride::units::Span;

const MIN: i64 = 60_000_000;

/// Two people, a sander and a planer on one circuit: the box is sanded from 0 to 10 min, the lid planed from 10 to 15.
fn one_circuit() -> Study {
    study(
        "title: One circuit\n\
         stations: {sander: {does: {sand: {per lot: 10 min}}}, planer: {does: {plane: {per lot: 5 min}}}}\n\
         not together: [{of: [sander, planer], at most: 1}]\n\
         handling: {pick up: 0, put down: 0}\ncrew: {ann: {}, bob: {}}\n\
         projects: {box: {route: [sand]}, lid: {route: [plane]}}\norders: [{project: box}, {project: lid}]\n\
         layouts: {spot: {distances: 0}}\n",
    )
}

#[test]
fn a_lot_and_a_person_are_kept_apart_and_wait_for_no_person_and_no_station() {
    let study = one_circuit();
    let waits = waited(&study);
    let minutes = |minutes: i64| i128::from(minutes * MIN);
    let expected = LeadTimeComponents {
        worked: minutes(5),
        kept_apart: minutes(10),
        ..LeadTimeComponents::default()
    };
    assert_eq!(waits.lead_times[1].split, expected);
    let [ann, bob] = &waits.crew[..] else {
        panic!("two people");
    };
    assert_eq!(bob.kept_apart, Span::from_micros(10 * MIN));
    // Ann planes; Bob has nothing to do when all is begun.
    assert_eq!(
        (ann.waiting(), bob.nothing),
        (Span::ZERO, Span::from_micros(5 * MIN))
    );
    let record = record(&study, 0, 1, 0);
    assert_eq!(record.waiting(PersonId(1)), bob.waiting());
}

/// Dusty work waits until varnish is dry, 2 h after the work, also when somebody is there and the sander free.
#[test]
fn dust_waits_for_varnish() {
    let study = study(
        "title: Varnish\n\
         stations: {shelf: {does: {varnish: {per lot: 10 min, tacky: 2 h}}}, sander: {does: {sand: {per lot: 5 min, dusty: true}}}}\n\
         handling: {pick up: 0, put down: 0}\n\
         projects: {box: {route: [varnish]}, lid: {route: [sand]}}\norders: [{project: box}, {project: lid}]\n\
         layouts: {spot: {distances: 0}}\n",
    );
    let split = waited(&study).lead_times[1].split;
    assert_eq!(split.kept_apart, i128::from(130 * MIN));
    assert_eq!((split.waiting_person, split.waiting_station), (0, 0));
}
