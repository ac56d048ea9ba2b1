//! What scenarios mean: the figures that follow from a file, by hand.

use std::fs;
use std::path::{Path, PathBuf};

use shopstride::experiment::{Replications, Study};
use shopstride::floor::Manner;
use shopstride::scenario::{self, Loaded, STARTER};
use shopstride::shop::{
    Arrivals, Choice, Item, ItemKind, OrderLineId, PlaceId, ProjectId, Shop, Work,
};

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data")
}

fn load(path: &Path) -> Loaded {
    let text = fs::read(path).expect("readable");
    scenario::load(&path.to_string_lossy(), &text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn study(name: &str) -> Study {
    load(&data().join("scenarios").join(name)).study
}

fn item<'a>(shop: &'a Shop, name: &str) -> &'a Item {
    let mut items = shop.projects.iter().flat_map(|project| &project.items);
    items
        .find(|item| item.name == name)
        .expect("an item of this name")
}

fn close(found: f64, expected: f64) {
    let tolerance = 1e-9 * expected.abs().max(1.0);
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, not {expected}"
    );
}

#[test]
fn every_scenario_of_the_tests_loads() {
    let mut loaded = 0;
    for directory in ["scenarios", "worked", "bench"] {
        let Ok(files) = fs::read_dir(data().join(directory)) else {
            continue;
        };
        for file in files {
            let path = file.expect("readable").path();
            if path
                .extension()
                .is_some_and(|extension| extension == "yaml")
            {
                let study = load(&path).study;
                assert!(!study.candidates.is_empty(), "{}", path.display());
                loaded += 1;
            }
        }
    }
    assert!(loaded >= 3, "{loaded}");
}

#[test]
fn the_starter_loads_without_a_word() {
    let loaded = scenario::load("starter.yaml", STARTER.as_bytes());
    let loaded = loaded.unwrap_or_else(|problems| panic!("{problems}"));
    assert!(loaded.warnings.is_empty(), "{}", loaded.warnings);
    assert_eq!(loaded.study.candidates.len(), 2);
}

#[test]
fn what_is_not_given_has_the_documented_defaults() {
    let study = study("boxes.yaml");
    let shop = &study.candidates[0].shop;
    assert_eq!(study.settings.replications, Replications::Sufficient);
    assert_eq!((study.settings.seed, study.settings.until), (1, None));
    let [maker] = &shop.crew.iter().collect::<Vec<_>>()[..] else {
        panic!("one person");
    };
    assert_eq!((&*maker.name, maker.starts_at), ("maker", PlaceId(0)));
    assert_eq!(maker.walking_speed.metres_per_second(), 1.25);
    let handling = &shop.handling;
    assert_eq!(handling.loaded_speed.metres_per_second(), 1.0);
    assert_eq!(
        handling.pick_up.seconds() + handling.put_down.seconds(),
        4.0
    );
    assert_eq!(
        (handling.carry_mass.kilograms(), handling.carry_pieces),
        (15.0, None)
    );
    assert!(handling.carts.is_none());
    let lines: Vec<_> = shop.orders.iter().collect();
    assert!(matches!(lines[0].arrivals, Arrivals::AtStart { count: 1 }));
    assert!(!shop.varies());
}

#[test]
fn a_distance_counts_both_ways_unless_both_are_given() {
    let study = study("boxes.yaml");
    let metres = |candidate: usize, from, to| {
        let walks = &study.candidates[candidate].walks;
        walks
            .distance(Manner::Empty, PlaceId(from), PlaceId(to))
            .metres()
    };
    assert_eq!(
        (metres(0, 0, 1), metres(0, 1, 0)),
        (8.0, 9.0),
        "each way on its own"
    );
    assert_eq!((metres(0, 0, 2), metres(0, 2, 0)), (6.0, 6.0));
    assert_eq!(
        (metres(1, 0, 2), metres(1, 2, 0)),
        (5.0, 5.0),
        "3 m and 2 m"
    );
}

fn choices(item: &Item) -> impl Iterator<Item = &Choice> {
    item.route.iter().map(|step| &step.choices[0])
}

fn works(item: &Item) -> Vec<&Work> {
    choices(item).map(|choice| &choice.work).collect()
}

#[test]
fn times_follow_from_sizes_and_overrides_go_key_by_key() {
    let study = study("table.yaml");
    let shop = &study.candidates[0].shop;
    let leg = item(shop, "leg");
    let [_, plane, rip] = works(leg)[..] else {
        panic!("three steps");
    };
    let explained: Vec<&Vec<String>> = (choices(leg).map(|choice| &choice.sources))
        .map(|sources| &sources.by_size_explained)
        .collect();
    // From 2 in to 1-1/2 in by 1/16 in: 8 passes on each of 2 faces, 30 in at 16 ft/min.
    close(plane.by_size, 30.0 * 16.0 / (16.0 * 12.0) * 60.0);
    assert_eq!(
        explained[1][..],
        ["30 in × 16 passes ÷ 16 ft/min = 2.5 min"].map(String::from)
    );
    assert_eq!(plane.people, 0);
    // The step gives the passes, the station the feed, its setup and the time per piece, the operation the tear-down.
    assert_eq!(
        explained[2][..],
        ["30 in × 2 passes ÷ 20 ft/min = 15 s"].map(String::from)
    );
    close(rip.by_size, 15.0);
    let mean = |d: &Option<shopstride::random::Distribution>| d.as_ref().map(|d| d.mean());
    assert_eq!(
        (mean(&rip.setup), mean(&rip.per_piece), mean(&rip.teardown)),
        (Some(120.0), Some(6.0), Some(10.0))
    );
    assert_eq!(leg.route[2].choices.len(), 1, "`on` leaves one station");
    let top = item(shop, "top");
    let stations: Vec<u32> = top.route[2]
        .choices
        .iter()
        .map(|choice| choice.station.0)
        .collect();
    assert_eq!(stations, [2, 3], "both saws, in the file's order");
    let band_saw = &top.route[2].choices[1].work;
    assert_eq!((band_saw.people, mean(&band_saw.setup)), (2, Some(300.0)));
    close(band_saw.by_size, 24.0 / 120.0 * 60.0);
    // 1/4 in by 1/16 in is 4 passes, not 5.
    close(works(top)[1].by_size, 24.0 * 8.0 / (16.0 * 12.0) * 60.0);
}

#[test]
fn an_assembly_has_the_surface_and_mass_of_its_inputs() {
    let study = study("table.yaml");
    let shop = &study.candidates[0].shop;
    let leg = 2.0 * (28.0 * 1.5 + 28.0 * 1.5 + 1.5 * 1.5);
    let top = 2.0 * (22.0 * 18.0 + 22.0 * 0.75 + 18.0 * 0.75);
    let table = item(shop, "table");
    let [finish] = works(table)[..] else {
        panic!("one step");
    };
    close(finish.by_size, (4.0 * leg + top) / 144.0 / 5.0 * 60.0);
    // Finished sizes at 40 lb/ft3.
    let pounds = (4.0 * 28.0 * 1.5 * 1.5 + 22.0 * 18.0 * 0.75) / 1728.0 * 40.0;
    close(
        table.mass.expect("known").kilograms(),
        pounds * 0.453_592_37,
    );
    close(
        item(shop, "leg").mass.expect("known").kilograms(),
        120.0 / 1728.0 * 40.0 * 0.453_592_37,
    );
    assert!(
        matches!(&table.kind, ItemKind::Assembly { made_of } if made_of.iter().map(|i| i.0).eq([2, 1]))
    );
    assert_eq!(item(shop, "leg").goes_into.map(|i| i.0), Some(2));
    assert_eq!(table.deliver_to, Some(PlaceId(0)));
    // The first operation of a leg is done at the table saw only.
    assert_eq!(item(shop, "leg").lies_at(), Some(PlaceId(2)));
}

#[test]
fn gear_and_cures_tie_up_what_is_named_or_all() {
    let study = study("table.yaml");
    let shop = &study.candidates[0].shop;
    let [glue] = works(item(shop, "frame"))[..] else {
        panic!("one step");
    };
    let cure = glue.cure.as_ref().expect("glue cures");
    assert_eq!(
        glue.gear
            .iter()
            .map(|&(id, n)| (id.0, n.of(1)))
            .collect::<Vec<_>>(),
        [(0, 6)]
    );
    assert!(!cure.ties_up_station && cure.ties_up_gear.len() == 1);
    let finish = works(item(shop, "table"))[0];
    let cure = finish.cure.as_ref().expect("finish cures");
    assert!(cure.ties_up_station && cure.ties_up_gear.is_empty());
    assert_eq!(
        (finish.fetch_from, finish.pausable),
        (Some(PlaceId(1)), false)
    );
}

#[test]
fn people_are_counted_and_changes_make_a_further_candidate() {
    let study = study("table.yaml");
    let names: Vec<&str> = study.candidates.iter().map(|c| &*c.name).collect();
    assert_eq!(names, ["one spot", "floor", "three planers"]);
    let crew = |index: usize| -> Vec<&str> {
        study.candidates[index]
            .shop
            .crew
            .iter()
            .map(|person| &*person.name)
            .collect()
    };
    assert_eq!(crew(1), ["maker", "student 1", "student 2"]);
    assert_eq!(crew(2), ["maker"], "null removes");
    let planers = |index: usize| {
        study.candidates[index]
            .shop
            .stations
            .iter()
            .nth(4)
            .map(|s| s.count)
    };
    assert_eq!((planers(1), planers(2)), (Some(2), Some(3)));
    assert_eq!(study.candidates[2].layout, "floor");
    assert_eq!(study.candidates[1].walks, study.candidates[2].walks);
    // Standing 30 in to the right of the turned saw, and 1 ft below the band saw, which has no size.
    let saws = study.candidates[1]
        .walks
        .distance(Manner::Empty, PlaceId(2), PlaceId(3))
        .metres();
    close(saws, ((16.0 - 12.5) + 1.0) * 0.3048);
    assert_eq!(study.settings.replications, Replications::Precision(0.02));
    close(study.settings.confidence, 0.9);
}

#[test]
fn orders_are_read_as_they_are_meant() {
    let study = study("table.yaml");
    let orders = &study.candidates[0].shop.orders;
    let (first, second) = (&orders[OrderLineId(0)], &orders[OrderLineId(1)]);
    assert!(matches!(first.arrivals, Arrivals::AtStart { count: 2 }));
    assert_eq!(
        (first.together, first.due.map(|due| due.seconds())),
        (2, Some(3.0 * 86_400.0))
    );
    let Arrivals::Every {
        every,
        first,
        count,
        until,
    } = &second.arrivals
    else {
        panic!("one after another");
    };
    assert_eq!(
        (
            every.mean(),
            every.is_fixed(),
            first.map(|first| first.seconds())
        ),
        (86_400.0, false, Some(7200.0))
    );
    assert_eq!(
        (*count, until.map(|until| until.seconds())),
        (None, Some(432_000.0))
    );
}

#[test]
fn names_are_text_whatever_they_look_like() {
    let study = study("names.yaml");
    let shop = &study.candidates[0].shop;
    let stations: Vec<&str> = shop.stations.iter().map(|station| &*station.name).collect();
    assert_eq!(stations, ["no", "12", "1e3", "0x10"]);
    assert_eq!(study.title, "2026");
    assert_eq!(study.candidates[0].name, "1.0");
    let projects: Vec<&str> = shop.projects.iter().map(|project| &*project.name).collect();
    assert_eq!(projects, ["yes", "off"]);
    assert_eq!(
        shop.projects[ProjectId(0)].items[0].deliver_to,
        Some(PlaceId(3))
    );
    assert!(shop.varies());
}

/// Whoever cannot do what a station does alone need not bring what lies there already: it starts with nobody. The
/// second person's work follows: two pieces of 10 s, a walk of 5 m with both, and 20 s.
#[test]
fn a_station_that_works_alone_needs_nobody_where_its_material_lies() {
    let text = "
title: Alone
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 1 s, put down: 1 s}
stations:
  kiln: {does: {dry: {per piece: 10 s, people: 0}}}
  bench: {does: {plane: {per lot: 20 s}}}
projects: {slat: {pieces: 2, material at: kiln, route: [dry, plane]}}
orders: [{project: slat}]
crew: {helper: {can: [plane], starts at: kiln}}
layouts: {one: {distances: {kiln: {bench: 5 m}}}}
";
    let loaded = scenario::load("alone.yaml", text.as_bytes());
    let study = loaded
        .unwrap_or_else(|problems| panic!("{}", problems.render(false)))
        .study;
    let findings = shopstride::experiment::run(&study, 0, &|_| {}).expect("it ends");
    let makespan = findings.candidates[0].makespan.mean;
    assert!(
        (makespan - (20.0 + 1.0 + 5.0 + 1.0 + 20.0)).abs() < 2e-6,
        "{makespan}"
    );
    // What lies elsewhere somebody has to bring, and nobody can.
    let elsewhere = text.replace("material at: kiln", "material at: bench");
    let problems = scenario::load("alone.yaml", elsewhere.as_bytes()).expect_err("it cannot start");
    assert!(problems.render(false).contains("could bring a lot to it"));
}
