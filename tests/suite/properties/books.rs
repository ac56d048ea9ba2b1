//! The record of a run, reckoned anew from its trace.

use std::collections::BTreeMap;

use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::Study;
use shopstride::floor::Manner;
use shopstride::metrics::{Record, StationTotals, TraceLine, What};
use shopstride::shop::{PersonId, PlaceId};
use shopstride::units::{Length, Moment, Span};

/// Phases of one person or one unit, added up from a trace.
#[derive(Debug, Default, PartialEq)]
struct Sums {
    by_state: [i64; 4],
    gaps: i64,
    free_from: i64,
}

impl Sums {
    /// Phases come in the order of their beginnings, and none may begin before the last one has ended.
    fn add(&mut self, state: usize, line: &TraceLine) {
        let (start, end) = (line.start.micros(), line.end.micros());
        assert!(start >= self.free_from, "{line:?} overlaps what was before");
        assert!(end >= start, "{line:?} ends before it begins");
        self.gaps += start - self.free_from;
        self.by_state[state] += end - start;
        self.free_from = end;
    }

    fn close(&mut self, end: Moment) {
        assert!(self.free_from <= end.micros());
        self.gaps += end.micros() - self.free_from;
    }
}

/// How long a walk of this distance takes; the scenario says how fast people are.
fn time_for(study: &Study, person: PersonId, manner: Manner, distance: Length) -> Span {
    let shop = &study.candidates[0].shop;
    let speed = match manner {
        Manner::Empty => shop.crew[person].walking_speed,
        Manner::Carrying => shop.handling.loaded_speed,
        Manner::Pushing => shop.handling.carts.as_ref().expect("a cart").speed,
    };
    speed.time_for(distance)
}

/// Reckons the record of a run without warm-up anew from its trace, phase by phase.
pub(super) fn assert_trace_gives_record(study: &Study, lines: &[TraceLine], record: &Record) {
    let candidate = &study.candidates[0];
    let shop = &candidate.shop;
    let (_, end) = record.on_calendar;
    let mut people: Vec<Sums> = shop.crew.iter().map(|_| Sums::default()).collect();
    let mut places: Vec<PlaceId> = shop.crew.iter().map(|person| person.starts_at).collect();
    let mut units: BTreeMap<(usize, u32), Sums> = BTreeMap::new();
    let mut walked = [Length::ZERO; 3];
    let mut trips = vec![0; record.trips.len()];
    let (mut released, mut done) = (0, 0);
    for line in lines {
        assert!(
            line.start <= end && line.end <= end,
            "{line:?} after {end:?}"
        );
        match line.what {
            What::Phase {
                of: Occupied::Person(person),
                doing:
                    Doing::Walk {
                        manner,
                        from,
                        to,
                        distance,
                    },
            } => {
                people[person.index()].add(0, line);
                assert_eq!(places[person.index()], from, "{line:?} begins elsewhere");
                places[person.index()] = to;
                assert_eq!(distance, candidate.walks.distance(manner, from, to));
                let arrives = line.start + time_for(study, person, manner, distance);
                assert_eq!(line.end, arrives.min(end), "{line:?}");
                if arrives <= end {
                    walked[manner as usize] += distance;
                    let row = manner as usize * record.places + from.index();
                    trips[row * record.places + to.index()] += 1;
                }
            }
            What::Phase {
                of: Occupied::Person(person),
                doing: Doing::Handle { at, .. },
            } => {
                people[person.index()].add(1, line);
                assert_eq!(places[person.index()], at, "{line:?} is elsewhere");
            }
            What::Phase {
                of: Occupied::Person(person),
                doing: Doing::Work { at, .. },
            } => {
                people[person.index()].add(2, line);
                let operation = line.job.and_then(|job| job.operation);
                let stands = shop.work_stands.iter().filter(|one| one.station == at);
                let mut stands = stands.zip(shop.places_at(at).skip(1));
                let of_its_own = stands.find(|(one, _)| Some(one.operation) == operation);
                let at = of_its_own.map_or(PlaceId::from(at), |(_, place)| place);
                assert_eq!(places[person.index()], at, "{line:?} is elsewhere");
            }
            What::Phase {
                of: Occupied::Unit(station, unit),
                doing,
            } => {
                assert!(unit < shop.stations[station].count, "{line:?}");
                let state = match doing {
                    Doing::Reserved => 0,
                    Doing::Work {
                        phase: WorkPhase::Setup,
                        ..
                    } => 1,
                    Doing::Work { .. } => 2,
                    Doing::Cure => 3,
                    other => panic!("a unit does not {other:?}"),
                };
                units
                    .entry((station.index(), unit))
                    .or_default()
                    .add(state, line);
            }
            What::Released { .. } => released += 1,
            What::Done { .. } => done += 1,
            _ => {}
        }
    }
    let measured = record.measured().micros();
    for (sums, (id, person)) in people.iter_mut().zip(shop.crew.ids().zip(&record.crew)) {
        sums.close(end);
        let of_record = [person.walking, person.handling, person.working].map(Span::micros);
        assert_eq!(sums.by_state[..3], of_record);
        assert_eq!(record.waiting(id).micros(), sums.gaps);
        assert_eq!(of_record.iter().sum::<i64>() + sums.gaps, measured);
        assert_eq!(
            person.working_at.iter().copied().sum::<Span>(),
            person.working
        );
    }
    for ((id, of_shop), of_record) in shop.stations.enumerate().zip(&record.stations) {
        let mut sums = [0; 4];
        let mut idle = 0;
        for unit in 0..of_shop.count {
            let of_unit = units.entry((id.index(), unit)).or_default();
            of_unit.close(end);
            idle += of_unit.gaps;
            (0..4).for_each(|state| sums[state] += of_unit.by_state[state]);
        }
        assert_eq!(sums, states(of_record), "{}", of_shop.name);
        let left = of_record.idle(record.measured(), of_shop.count).micros();
        assert_eq!(idle, left, "{}", of_shop.name);
        assert_eq!(
            sums.iter().sum::<i64>() + idle,
            measured * i64::from(of_shop.count)
        );
        assert_eq!(of_record.queue, i128::from(of_record.waited.micros()));
    }
    assert_eq!(walked, record.walked);
    assert_eq!(trips, record.trips);
    assert_eq!(done, record.orders_done());
    if study.settings.until.is_none() {
        assert_eq!(released, done, "an order was never done");
        let sum: i128 = record.projects.iter().map(|p| p.lead_time).sum();
        assert_eq!(record.in_process, sum);
    } else {
        assert!(released >= done);
    }
}

/// Microseconds that a station was reserved, set up, running and curing.
pub(super) fn states(station: &StationTotals) -> [i64; 4] {
    let spans = [
        station.reserved,
        station.setup,
        station.running,
        station.curing,
    ];
    spans.map(Span::micros)
}

/// Metres are the same, counted by leg, by person, by project and by manner.
pub(super) fn assert_walking_is_the_same_however_counted(study: &Study, record: &Record) {
    let candidate = &study.candidates[0];
    let shop = &candidate.shop;
    let nm = Length::nanometres;
    let mut by_leg = [0; 3];
    for manner in Manner::ALL {
        for from in (0..record.places).map(|i| PlaceId(i as u32)) {
            for to in (0..record.places).map(|i| PlaceId(i as u32)) {
                by_leg[manner as usize] += record.trips(manner, from, to) as i64
                    * nm(candidate.walks.distance(manner, from, to));
            }
        }
    }
    assert_eq!(by_leg, record.walked.map(nm));
    let by_person = Manner::ALL.map(|manner| {
        let of_manner = record.crew.iter().map(|p| nm(p.walked[manner as usize]));
        of_manner.sum::<i64>()
    });
    assert_eq!(by_person, by_leg);
    let by_project: i64 = record.projects.iter().map(|p| nm(p.walked)).sum();
    assert_eq!(by_project, nm(record.walking()));
    let hands_on: Span = record.projects.iter().map(|p| p.hands_on).sum();
    assert_eq!(hands_on, record.hands_on());
    assert_eq!(shop.projects.len(), record.projects.len());
}
