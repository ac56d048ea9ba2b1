//! How long the walking table of a layout takes, the graph of touching places included, and checking a layout.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use shopstride::experiment::{Replications, leg_paths, run, widths};
use shopstride::floor::check::check;
use shopstride::floor::{FreeSpace, Passages, Placement, Point, Polygon, segments_meet};
use shopstride::scenario;

const RADIUS: f64 = 0.25;

/// A shop whose floor grows with its stations, with five corners that point inward.
struct Shop {
    room: Polygon,
    obstacles: Vec<Polygon>,
    places: Vec<Point>,
}

/// Numbers from 0 to a most, the same at every run: the additive step and the mixing of SplitMix64.
struct Spread(u64);

impl Spread {
    fn next(&mut self, most: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64 * most
    }
}

fn shop(stations: usize) -> Shop {
    // About 6 square metres for each station, and things between them.
    let (width, depth) = (
        (stations as f64 * 6.0 * 1.5).sqrt(),
        (stations as f64 * 6.0 / 1.5).sqrt(),
    );
    let corner = Point::new;
    let room = [
        corner(0.0, 0.0),
        corner(width * 0.4, 0.0),
        corner(width * 0.4, 0.4),
        corner(width * 0.45, 0.4),
        corner(width * 0.45, 0.0),
        corner(width, 0.0),
        corner(width, depth * 0.7),
        corner(width - 1.0, depth * 0.7),
        corner(width - 1.0, depth),
        corner(width * 0.3, depth),
        corner(width * 0.3, depth - 0.5),
        corner(width * 0.2, depth - 0.5),
        corner(width * 0.2, depth),
        corner(0.0, depth),
    ];
    let room = Polygon::new(&room).expect("an outline");
    let mut spread = Spread(1);
    let mut obstacles = Vec::new();
    let mut places: Vec<Point> = Vec::new();
    let mut tries = 0;
    while places.len() < stations {
        tries += 1;
        assert!(tries < 100_000, "the floor is full");
        let size = (0.5 + spread.next(1.2), 0.4 + spread.next(0.6));
        let at = Point::new(spread.next(width), spread.next(depth));
        let turn = (spread.next(24.0).floor()) * 15.0;
        let placement = Placement {
            stand: Point::new(0.0, -size.1 / 2.0 - 0.3),
            ..Placement::new(at, turn, size)
        };
        add(
            &room,
            &mut obstacles,
            &mut places,
            Some(placement.standing()),
            placement.footprint(),
        );
    }
    let things = obstacles.len() + 10;
    while obstacles.len() < things {
        let at = Point::new(spread.next(width), spread.next(depth));
        let size = (0.1 + spread.next(0.4), 0.1 + spread.next(0.4));
        let thing = Polygon::rectangle(at, size, spread.next(90.0));
        add(&room, &mut obstacles, &mut places, None, thing);
    }
    Shop {
        room,
        obstacles,
        places,
    }
}

/// Adds something unless it stands in something else, or somebody could no longer stand or walk where they did.
fn add(
    room: &Polygon,
    obstacles: &mut Vec<Polygon>,
    places: &mut Vec<Point>,
    place: Option<Point>,
    footprint: Option<Polygon>,
) {
    let Some(footprint) = footprint else { return };
    let overlaps = |other: &Polygon| {
        let meet = |edge| other.edges().any(|side| segments_meet(edge, side));
        footprint.edges().any(meet)
            || other.contains(footprint.corners()[0])
            || footprint.contains(other.corners()[0])
    };
    if obstacles.iter().any(overlaps) {
        return;
    }
    obstacles.push(footprint);
    places.extend(place);
    let ground = FreeSpace::new(Some(room), obstacles, RADIUS);
    let fits = places.iter().all(|&place| ground.is_free(place).is_ok());
    let reached = (places.iter()).all(|&other| ground.reachable(places[0], other));
    if !fits || !reached {
        obstacles.pop();
        if place.is_some() {
            places.pop();
        }
    }
}

fn tables(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("floor");
    for stations in [10, 30, 100] {
        let shop = shop(stations);
        let table = || {
            let ground = FreeSpace::new(Some(&shop.room), &shop.obstacles, RADIUS);
            ground.table(&shop.places)
        };
        assert!(table().iter().all(Option::is_some), "everything is reached");
        group.bench_function(format!("table of {stations} stations"), |bencher| {
            bencher.iter(|| black_box(table()));
        });
    }
    // The longest walk of the shop.
    let shop = shop(30);
    let ground = FreeSpace::new(Some(&shop.room), &shop.obstacles, RADIUS);
    let path = (shop.places.iter())
        .filter_map(|&place| ground.path(shop.places[0], place))
        .max_by(|one, other| one.length.total_cmp(&other.length))
        .expect("a walk");
    group.bench_function("narrowest passage of a walk", |bencher| {
        let passages = Passages::new(Some(&shop.room), &[], &shop.obstacles);
        bencher.iter(|| black_box(passages.narrowest(&path, [RADIUS; 2])));
    });
    group.bench_function("walk between two of 30 stations", |bencher| {
        bencher.iter(|| black_box(ground.path(path.from, path.to)));
    });
    group.bench_function("what 30 stations can reach", |bencher| {
        bencher.iter(|| {
            let ground = FreeSpace::new(Some(&shop.room), &shop.obstacles, RADIUS);
            black_box(ground.components(&shop.places))
        });
    });
    // The walks of one station after it has moved by 10 cm, the lines of the floor before being known.
    let aside = Point::new(0.1, 0.0);
    let corners: Vec<Point> = (shop.obstacles[0].corners().iter())
        .map(|&corner| corner + aside)
        .collect();
    let moved = [(0, Polygon::new(&corners).expect("an outline"))];
    let mut places = shop.places.clone();
    places[0] = places[0] + aside;
    let pairs: Vec<[usize; 2]> = (1..places.len()).map(|to| [0, to]).collect();
    ground.survey();
    group.bench_function(
        "walks of one of 30 stations after it has moved",
        |bencher| {
            bencher.iter(|| black_box(ground.moved(&moved).some_pairs(&places, &pairs)));
        },
    );
    group.finish();
}

/// The checks of both layouts of the built-in scenario, the ways that people take among them.
fn checks(criterion: &mut Criterion) {
    let text = include_bytes!("../tests/data/bench/garage.yaml");
    let Ok(loaded) = scenario::load_to_check("garage.yaml", text) else {
        panic!("the built-in scenario loads");
    };
    let mut study = loaded.study;
    study.settings.replications = Replications::Fixed(1);
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let all = || -> usize {
        let layouts = study.candidates.iter().zip(&findings.candidates);
        let found = layouts.map(|(candidate, found)| {
            let plan = candidate.plan.as_ref().expect("both layouts are drawn");
            let walked = widths(candidate, &leg_paths(candidate, &found.legs));
            check(&candidate.shop, plan, &walked, &candidate.limits).len()
        });
        found.sum()
    };
    assert!(all() > 0, "there is something to say");
    criterion.bench_function("check of the built-in scenario", |bencher| {
        bencher.iter(|| black_box(all()));
    });
}

criterion_group!(benches, tables, checks);
criterion_main!(benches);
