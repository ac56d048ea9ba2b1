//! A way that is taken seldom: every command checks a layout along the same ways.

use shopstride::experiment::{
    LayoutFindings, Replications, Study, check_layout, checked_legs, run,
};
use shopstride::scenario;

/// A wall divides a room. Work goes through the wide opening; only who fetches wood for a spoiled piece goes back
/// through the one of 70 cm.
const SHOP: &str = "
title: Fetch it again
room:
  size: [8 m, 6 m]
  blocked:
    - {name: low wall, at: [4 m, 25 mm], size: [10 cm, 5 cm]}
    - {name: wall, at: [4 m, 2.375 m], size: [10 cm, 3.25 m]}
stations:
  store: {stand: [0, 0]}
  saw: {stand: [0, 0], does: {cut: {per piece: 1 min}}}
  planer: {stand: [0, 0], does: {plane: {per piece: 1 min, spoils: 2 %}}}
  bench: {stand: [0, 0], does: {fit: {per piece: 1 min}}}
crew: {maker: {starts at: store}}
projects:
  board:
    parts: {board: {material at: store, route: [cut, plane, fit]}}
orders: [{project: board}]
layouts:
  walled:
    at: {store: [3 m, 60 cm], saw: [3 m, 5 m], planer: [5 m, 1 m], bench: [6.5 m, 1 m]}
";

fn study(seed: u64, replications: u32) -> Study {
    let loaded = scenario::load_to_check("seldom", SHOP.as_bytes());
    let mut study = loaded.map(|loaded| loaded.study).expect("it loads");
    study.settings.seed = seed;
    study.settings.replications = Replications::Fixed(replications);
    study
}

#[test]
fn faults_do_not_depend_on_how_often_a_shop_is_played() {
    let study_of_check = study(1, 5);
    let checked = checked_legs(&study_of_check).expect("it ends");
    let expected = check_layout(&study_of_check.candidates[0], &checked[0]).expect("it is drawn");
    for (seed, replications) in [(1, 1), (1, 5), (1, 400), (2, 1), (9, 400)] {
        let study = study(seed, replications);
        let findings = run(&study, 0, &|_| ()).expect("it ends");
        let layouts = LayoutFindings::all(&study, &study.sites(), &findings);
        let found = layouts[0].as_ref().expect("it is drawn");
        assert_eq!(found.findings, expected, "{seed} {replications}");
        // What is walked seldom comes up among many, and would be found there.
        let legs = &findings.candidates[0].legs;
        let along_all = check_layout(&study.candidates[0], legs).expect("it is drawn");
        let more = along_all.len() - expected.len();
        assert_eq!(more, usize::from(replications == 400), "{along_all:#?}");
    }
}
