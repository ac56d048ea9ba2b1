//! What is compiled again for plain shops tells the same as what plays any shop.

use super::recorder::{AtStation, Handling, Job, OrderDone, Recorder, Walk};
use super::{Prepared, Run, simulate};
use crate::floor::Walks;
use crate::random::{Distribution, Key};
use crate::shop::{
    Arrivals, Choice, ChooseNext, GearId, Handling as Carrying, Item, ItemKind, OperationId,
    OrderLine, Person, PersonId, PlaceId, Project, ProjectId, QueueRule, Rules, Shop, Station,
    StationId, Step, SwitchStation, Table, Work,
};
use crate::units::{Mass, Span, Speed, Time};

const SHOPS: u64 = 300;
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

/// Few, short and whole durations, some of them none at all, so that much happens at one instant.
fn minutes(dice: &mut Dice) -> Distribution {
    let minutes = dice.below(4) as f64;
    Distribution::fixed(60.0 * minutes).expect("it is a duration")
}

fn work(dice: &mut Dice) -> Work {
    Work {
        operation: OperationId(dice.below(3) as u32),
        setup: (dice.below(4) == 0).then(|| minutes(dice)),
        per_piece: (dice.below(3) == 0).then(|| minutes(dice)),
        per_lot: Some(minutes(dice)),
        by_size: 0.0,
        by_size_explained: Vec::new(),
        teardown: (dice.below(4) == 0).then(|| minutes(dice)),
        people: 1,
        cure: None,
        gear: Vec::new(),
        fetch_from: None,
        pausable: false,
        spoils: 0.0,
        given: Default::default(),
    }
}

fn item(dice: &mut Dice) -> Item {
    let steps = 1 + dice.below(5);
    let step = |dice: &mut Dice| Step {
        choices: vec![Choice {
            station: StationId(dice.below(STATIONS) as u32),
            work: work(dice),
        }],
        piece: None,
    };
    Item {
        name: format!("item {}", dice.below(1000)),
        kind: ItemKind::Part {
            material_at: PlaceId(dice.below(STATIONS) as u32),
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

fn order_line(dice: &mut Dice, project: usize) -> OrderLine {
    let count = 1 + dice.below(6);
    OrderLine {
        project: ProjectId(project as u32),
        arrivals: match dice.below(3) {
            0 => Arrivals::AtStart { count },
            1 => Arrivals::InProgress { count: 2 },
            _ => Arrivals::Every {
                every: Distribution::fixed(600.0).expect("it is a duration"),
                first: Span::ZERO,
                count: Some(count),
                until: None,
            },
        },
        together: 1 + dice.below(2) as u32,
        due: None,
    }
}

/// A plain shop of one person who goes by the longest wait.
fn shop(dice: &mut Dice) -> Shop {
    let projects: Table<ProjectId, Project> = (0..3)
        .map(|number| Project {
            name: format!("project {number}"),
            items: (0..1 + dice.below(2)).map(|_| item(dice)).collect(),
        })
        .collect();
    Shop {
        stations: (0..STATIONS)
            .map(|number| Station {
                name: format!("station {number}"),
                count: 1 + dice.below(2) as u32,
            })
            .collect(),
        operations: (0..3).map(|number| format!("work {number}")).collect(),
        gear: Table::new(),
        crew: std::iter::once(Person {
            name: "maker".to_string(),
            group: "maker".to_string(),
            can: None,
            walking_speed: SPEED,
            starts_at: PlaceId(0),
        })
        .collect(),
        handling: Carrying {
            loaded_speed: SPEED,
            pick_up: Span::ZERO,
            put_down: Span::from_seconds(60.0 * dice.below(2) as f64),
            carry_mass: Mass::from_kilograms(10.0),
            carry_pieces: Some(2),
            carts: None,
        },
        orders: (0..projects.len())
            .map(|project| order_line(dice, project))
            .collect(),
        projects,
        rules: Rules {
            queue: QueueRule::Fifo,
            switch: SwitchStation::AfterEachLot,
            choose: ChooseNext::FirstCome,
        },
        doors: Vec::new(),
    }
}

/// Writes down all that it hears.
#[derive(Default)]
struct Heard(Vec<String>);

impl Recorder for Heard {
    fn task(&mut self, job: &Job, now: Time) {
        self.0.push(format!("{job:?} {now:?}"));
    }

    fn walk(&mut self, walk: &Walk) {
        self.0.push(format!("{walk:?}"));
    }

    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time) {
        self.0
            .push(format!("{person:?} {what:?} {at:?} {start:?} {end:?}"));
    }

    fn work(&mut self, work: &AtStation, workers: impl Iterator<Item = PersonId> + Clone) {
        let workers: Vec<PersonId> = workers.collect();
        self.0.push(format!("{work:?} {workers:?}"));
    }

    fn cure(&mut self, station: StationId, unit: Option<u32>, start: Time, end: Time) {
        self.0
            .push(format!("cure {station:?} {unit:?} {start:?} {end:?}"));
    }

    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        self.0.push(format!("{gear:?} {amount} {start:?} {end:?}"));
    }

    fn ready(&mut self, job: &Job, now: Time) {
        self.0.push(format!("ready {job:?} {now:?}"));
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.0.push(format!("queued {station:?} {now:?}"));
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.0
            .push(format!("unqueued {station:?} {since:?} {now:?}"));
    }

    fn released(&mut self, project: ProjectId, order: u64, now: Time) {
        self.0.push(format!("released {project:?} {order} {now:?}"));
    }

    fn done(&mut self, order: &OrderDone) {
        self.0.push(format!("{order:?}"));
    }

    fn end(&mut self, now: Time) {
        self.0.push(format!("end {now:?}"));
    }
}

#[test]
fn lots_in_one_line_are_played_like_lots_at_their_stations() {
    let mut told = 0;
    for seed in 0..SHOPS {
        let shop = shop(&mut Dice(Key::from_seed(seed), 0));
        let places = STATIONS as usize;
        let apart = |one: usize| (one % places).abs_diff(one / places);
        let metres: Vec<f64> = (0..places * places)
            .map(|pair| 60.0 * (apart(pair) % 3) as f64)
            .collect();
        let walks = Walks::from_metres(places, &metres);
        let run = Run {
            seed,
            replication: 0,
            until: Some(Time::from_micros(7_200_000_000)),
        };
        let mut prepared = Prepared::new(&shop, &walks);
        assert!(prepared.in_turn, "seed {seed}");
        let mut hear = |in_turn, is_plain| {
            (prepared.in_turn, prepared.is_plain) = (in_turn, is_plain);
            let mut heard = Heard::default();
            let end = simulate(&prepared, &run, &mut heard);
            (end, heard.0)
        };
        let any = hear(false, false);
        assert_eq!(hear(false, true), any, "seed {seed}");
        assert_eq!(hear(true, true), any, "seed {seed}");
        told += any.1.len();
    }
    assert!(told > 100 * SHOPS as usize, "{told} things were told");
}
