//! What is compiled again for plain shops tells the same as what plays any shop.

mod heard;

use super::{Prepared, Run, simulate};
use crate::floor::Distances;
use crate::random::{Distribution, Key};
use crate::shop::{
    Arrivals, CHOICES, Calendar, Choice, Item, ItemKind, MaterialHandling, OnIn, OpeningTime,
    OperationId, OrderLine, PartSource, Person, PlaceId, PriceList, Project, ProjectId,
    QUEUE_RULES, Rules, SWITCHES, Shop, Station, StationId, Step, Table, WeeklySessions, Work,
};
use crate::units::{Mass, Moment, Span, Speed};
use heard::Heard;

const SHOPS: u64 = 300;
/// Of shops with several people and work that needs nobody, which have more ways of going wrong.
const PEOPLED: u64 = 1500;
/// Of shops with more than 64 stations.
const WIDE: u64 = 200;
const STATIONS: u64 = 4;
const SPEED: Speed = Speed::from_metres_per_second(1.0);

/// Numbers below a limit, the same for the same seed.
struct Dice(Key, u64);

impl Dice {
    fn below(&mut self, limit: u64) -> u64 {
        self.1 += 1;
        self.0.with(self.1).bits() % limit
    }
}

/// What the shops of a family have in common.
#[derive(Clone, Copy)]
struct Family {
    people: u64,
    /// From this station on nobody is needed.
    alone: u64,
    rules: Rules,
    /// Whether orders may follow one another as they are done. Then all work takes time, for without it they would go
    /// on for ever at one instant.
    may_follow: bool,
}

/// Few, short and whole durations, so that much happens at one instant.
fn minutes(dice: &mut Dice, least: u64) -> Distribution {
    let minutes = (least + dice.below(4 - least)) as f64;
    Distribution::fixed(60.0 * minutes).expect("it is a duration")
}

fn work(dice: &mut Dice, people: u32, least: u64) -> Work {
    Work {
        operation: OperationId(dice.below(3) as u32),
        setup: (dice.below(4) == 0).then(|| minutes(dice, least)),
        per_piece: (dice.below(3) == 0).then(|| minutes(dice, least)),
        per_lot: Some(minutes(dice, least)),
        by_size: 0.0,
        teardown: (dice.below(4) == 0).then(|| minutes(dice, least)),
        people,
        lifts_together: false,
        cure: None,
        gear: Vec::new(),
        fetch_from: None,
        stands_at: None,
        catches: None,
        pausable: true,
        after_hours: false,
        open_time: None,
        tacky: None,
        dusty: false,
        spoils: 0.0,
        along_width: false,
        length_cut: crate::units::Length::ZERO,
        chips: crate::units::Chips::NONE,
        is_crosscut: false,
        on_in: OnIn::RUN,
        bite: None,
    }
}

fn item(dice: &mut Dice, family: Family) -> Item {
    let least = u64::from(family.may_follow && family.people > 1);
    let steps = 1 + dice.below(5);
    let step = |dice: &mut Dice| {
        let station = dice.below(STATIONS);
        Step {
            choices: vec![Choice {
                station: StationId(station as u32),
                work: work(dice, u32::from(station < family.alone), least),
                sources: Default::default(),
            }],
            piece: None,
            setting: None,
        }
    };
    Item {
        name: format!("item {}", dice.below(1000)),
        kind: ItemKind::Part {
            comes_from: PartSource::LiesAt(PlaceId(dice.below(STATIONS) as u32)),
        },
        pieces: 1 + dice.below(4) as u32,
        batch: (dice.below(2) == 0).then_some(1 + dice.below(2) as u32),
        route: (0..steps).map(|_| step(dice)).collect(),
        deliver_to: None,
        mass: None,
        rough: None,
        finished: None,
        goes_into: None,
    }
}

fn order_line(dice: &mut Dice, project: usize, may_follow: bool) -> OrderLine {
    let count = 1 + dice.below(6);
    OrderLine {
        project: ProjectId(project as u32),
        arrivals: match dice.below(3) {
            0 => Arrivals::AtStart { count },
            1 if may_follow => Arrivals::InProgress { count: 2 },
            _ => Arrivals::Every {
                every: Distribution::fixed(600.0).expect("it is a duration"),
                first: None,
                count: Some(count),
                until: None,
            },
        },
        together: 1 + dice.below(2) as u32,
        due: None,
        by: None,
    }
}

/// A shop of one person who goes by the longest wait.
fn in_turn(dice: &mut Dice) -> Shop {
    let family = Family {
        people: 1,
        alone: STATIONS,
        rules: Rules::default(),
        may_follow: true,
    };
    shop(dice, family)
}

/// A shop of several people, some work of which needs nobody, half of the time with the rules nobody has to name.
fn peopled(dice: &mut Dice) -> Shop {
    let any = |dice: &mut Dice, count: usize| match dice.below(2) {
        0 => 0,
        _ => dice.below(count as u64) as usize,
    };
    let rules = Rules {
        queue: QUEUE_RULES[any(dice, QUEUE_RULES.len())].rule,
        switch: SWITCHES[any(dice, SWITCHES.len())].rule,
        choose: CHOICES[any(dice, CHOICES.len())].rule,
        ..Rules::default()
    };
    let family = Family {
        people: 2 + dice.below(2),
        alone: STATIONS - dice.below(3),
        rules,
        may_follow: dice.below(2) == 0,
    };
    shop(dice, family)
}

fn shop(dice: &mut Dice, family: Family) -> Shop {
    let projects: Table<ProjectId, Project> = (0..3)
        .map(|number| Project {
            name: format!("project {number}"),
            items: (0..1 + dice.below(2)).map(|_| item(dice, family)).collect(),
        })
        .collect();
    Shop {
        stations: (0..STATIONS)
            .map(|number| Station {
                name: format!("station {number}"),
                kind: None,
                count: 1 + dice.below(2) as u32,
                is_size_usual: false,
                upkeep: Vec::new(),
                set_down: None,
                rolling: None,
                setup_from: Vec::new(),
                is_worked_at: true,
                is_loud: false,
                has_blade: false,
                widest: None,
                asked: Default::default(),
            })
            .collect(),
        operations: (0..3).map(|number| format!("work {number}")).collect(),
        settings: Table::new(),
        gear: Table::new(),
        crew: (0..family.people)
            .map(|number| Person {
                name: format!("maker {number}"),
                group: "maker".to_string(),
                can: None,
                walking_speed: SPEED,
                starts_at: PlaceId(0),
                elbow: None,
                protection: None,
                hours: None,
            })
            .collect(),
        handling: MaterialHandling {
            loaded_speed: SPEED,
            pick_up: Span::ZERO,
            put_down: Span::from_seconds(60.0 * dice.below(2) as f64),
            carry_mass: Mass::from_kilograms(10.0),
            carry_pieces: Some(2),
            carts: None,
        },
        orders: (0..projects.len())
            .map(|project| order_line(dice, project, family.may_follow))
            .collect(),
        projects,
        rules: family.rules,
        calendar: Calendar::AlwaysOpen,
        quiet: None,
        no_blades: None,
        heat: None,
        not_together: Vec::new(),
        shared_floor: Vec::new(),
        prices: PriceList::default(),
        doors: Vec::new(),
        work_stands: Vec::new(),
    }
}

/// The same shop with so many stations, those that it makes use of `apart` from each other.
fn spread(mut shop: Shop, stations: u32, apart: u32) -> Shop {
    let projects = (0..shop.projects.len()).map(|project| ProjectId(project as u32));
    for project in projects {
        for item in &mut shop.projects[project].items {
            if let ItemKind::Part {
                comes_from: PartSource::LiesAt(place),
            } = &mut item.kind
            {
                place.0 *= apart;
            }
            for choice in item.route.iter_mut().flat_map(|step| &mut step.choices) {
                choice.station.0 *= apart;
            }
        }
    }
    let used: Vec<Station> = shop.stations.iter().cloned().collect();
    shop.stations = (0..stations)
        .map(|number| {
            let station = number.checked_div(apart).map(|number| number as usize);
            let station = station
                .filter(|_| number % apart == 0)
                .and_then(|number| used.get(number));
            station.cloned().unwrap_or_else(|| Station {
                name: format!("further station {number}"),
                kind: None,
                count: 1,
                is_size_usual: false,
                upkeep: Vec::new(),
                set_down: None,
                rolling: None,
                setup_from: Vec::new(),
                is_worked_at: true,
                is_loud: false,
                has_blade: false,
                widest: None,
                asked: Default::default(),
            })
        })
        .collect();
    shop
}

/// A shop that is shut now and then within the two hours that are played, for some minutes or for no time at all.
fn keeping_hours(shop: &Shop) -> Shop {
    let minutes = [(3, 20), (20, 31), (33, 34), (40, 75), (82, 119)];
    let calendar = every_day(&minutes.map(|(open, close)| (60 * open, 60 * close)));
    Shop {
        calendar,
        ..shop.clone()
    }
}

/// Sessions from one second of each day to another one.
fn every_day(sessions: &[(i64, i64)]) -> Calendar {
    let span = |seconds: i64| Span::from_micros(1_000_000 * seconds);
    let days = 0..7;
    let times: Vec<OpeningTime> = days
        .flat_map(|weekday| {
            sessions.iter().map(move |&(open, close)| OpeningTime {
                weekday,
                open: span(open),
                close: span(close),
                set_up: Span::ZERO,
                tidy_up: Span::ZERO,
            })
        })
        .collect();
    Calendar::Weekly(WeeklySessions::new(&times, 0).expect("they are sessions"))
}

/// The same shop, and as it keeps hours.
fn with_hours(shop: Shop) -> [Shop; 2] {
    let keeping = keeping_hours(&shop);
    [shop, keeping]
}

fn walks(places: usize) -> Distances {
    let apart = |one: usize| (one % places).abs_diff(one / places);
    let metres: Vec<f64> = (0..places * places)
        .map(|pair| 60.0 * (apart(pair) % 3) as f64)
        .collect();
    Distances::from_metres(places, &metres)
}

/// What is heard of two hours in this shop, played as what it is taken for, and how they end.
fn heard(prepared: &Prepared, seed: u64) -> (String, Vec<String>) {
    let run = Run {
        seed,
        replication: 0,
        until: Some(Moment::from_micros(7_200_000_000)),
    };
    let mut heard = Heard::default();
    let end = simulate(prepared, &run, &mut heard);
    (format!("{end:?}"), heard.0)
}

#[test]
fn lots_in_one_line_are_played_like_lots_at_their_stations() {
    let mut told = 0;
    let shops = (0..SHOPS).flat_map(|seed| {
        let shop = in_turn(&mut Dice(Key::from_seed(seed), 0));
        with_hours(shop).map(|shop| (seed, shop))
    });
    for (seed, shop) in shops {
        let walks = walks(STATIONS as usize);
        let mut prepared = Prepared::new(&shop, &walks);
        assert!(prepared.in_turn, "seed {seed}");
        let mut hear = |in_turn, is_plain| {
            (prepared.in_turn, prepared.is_plain) = (in_turn, is_plain);
            heard(&prepared, seed)
        };
        let any = hear(false, false);
        assert_eq!(hear(false, true), any, "seed {seed}");
        assert_eq!(hear(true, true), any, "seed {seed}");
        told += any.1.len();
    }
    assert!(told > 100 * SHOPS as usize, "{told} things were told");
}

#[test]
fn several_people_and_work_that_needs_nobody_are_played_alike() {
    let mut told = 0;
    let shops = (0..PEOPLED).flat_map(|seed| {
        let shop = peopled(&mut Dice(Key::from_seed(seed).with_name("peopled"), 0));
        with_hours(shop).map(|shop| (seed, shop))
    });
    for (seed, shop) in shops {
        let walks = walks(STATIONS as usize);
        let mut prepared = Prepared::new(&shop, &walks);
        assert!(prepared.is_plain, "seed {seed}");
        prepared.in_turn = false;
        let plain = heard(&prepared, seed);
        prepared.is_plain = false;
        let any = heard(&prepared, seed);
        assert_eq!(plain, any, "seed {seed}");
        told += any.1.len();
    }
    assert!(told > 100 * PEOPLED as usize, "{told} things were told");
}

/// Sessions that last all day touch each other at midnight, which pauses nothing.
#[test]
fn open_all_week_is_the_same_as_without_sessions() {
    let mut told = 0;
    let all_day = [
        every_day(&[(0, 86_400)]),
        every_day(&[(0, 1200), (1200, 86_400)]),
    ];
    for seed in 0..SHOPS {
        let mut dice = Dice(Key::from_seed(seed).with_name("all week"), 0);
        for shop in [in_turn(&mut dice), peopled(&mut dice)] {
            let walks = walks(STATIONS as usize);
            let expected = heard(&Prepared::new(&shop, &walks), seed);
            for calendar in &all_day {
                let shop = Shop {
                    calendar: calendar.clone(),
                    ..shop.clone()
                };
                let same = heard(&Prepared::new(&shop, &walks), seed);
                assert_eq!(same, expected, "seed {seed}");
            }
            told += expected.1.len();
        }
    }
    assert!(told > 100 * SHOPS as usize, "{told} things were told");
}

/// A set of more than 64 stations is several words.
#[test]
fn one_station_too_many_for_a_word_changes_nothing() {
    let mut told = 0;
    for seed in 0..WIDE {
        let shop = peopled(&mut Dice(Key::from_seed(seed).with_name("wide"), 0));
        let [few, many] = [64, 65].map(|stations| {
            let shop = spread(shop.clone(), stations, 1);
            // As many places, for their pairs are numbered.
            let walks = walks(65);
            let mut prepared = Prepared::new(&shop, &walks);
            prepared.in_turn = false;
            assert!(prepared.is_plain, "seed {seed}");
            assert_eq!(prepared.shop.is_small, stations == 64);
            heard(&prepared, seed)
        });
        assert_eq!(few, many, "seed {seed}");
        told += few.1.len();
    }
    assert!(told > 100 * WIDE as usize, "{told} things were told");
}

#[test]
fn shops_of_many_stations_are_played_alike() {
    let mut told = 0;
    for seed in 0..WIDE {
        let shop = peopled(&mut Dice(Key::from_seed(seed).with_name("spread"), 0));
        // The last station that is used is the seventieth.
        let shop = spread(shop, 70, 23);
        let walks = walks(70);
        let mut prepared = Prepared::new(&shop, &walks);
        assert!(prepared.is_plain && !prepared.shop.is_small, "seed {seed}");
        prepared.in_turn = false;
        let plain = heard(&prepared, seed);
        prepared.is_plain = false;
        let any = heard(&prepared, seed);
        assert_eq!(plain, any, "seed {seed}");
        told += any.1.len();
    }
    assert!(told > 100 * WIDE as usize, "{told} things were told");
}
