//! What holds of every shop that keeps hours, on generated ones.

use crate::second_reading::generate;
use crate::support::{record, study, trace, waited};
use shopstride::engine::{Doing, Occupied};
use shopstride::experiment::Study;
use shopstride::metrics::{LineLeadTime, Record, TraceLine, What};
use shopstride::shop::Calendar;
use shopstride::statistics::Histogram;
use shopstride::units::{Moment, Span, Time};

const SHOPS: u64 = 400;

const SESSIONS: [&str; 3] = [
    "sessions: [{days: [mon, tue, wed, thu, fri, sat, sun], open: \"0:00\", close: \"24:00\"}]\n",
    "sessions: [{days: [mon, tue, wed, thu, fri], open: \"8:00\", close: \"12:00\", set up: 5 min}, \
     {days: [mon, tue, wed, thu, fri], open: \"12:00\", close: \"16:30\"}]\n",
    "sessions: {when: [{days: [tue, thu, sat], open: \"19:00\", close: \"19:07\", set up: 1 min, tidy up: 90 s}]}\n",
];

/// A generated shop with these sessions.
fn keeping(yaml: &str, sessions: &str) -> Study {
    study(&format!("{yaml}{sessions}"))
}

/// Whether the shop is opened before the run ends; otherwise the file is refused.
fn is_opened(study: &Study, sessions: &str) -> bool {
    let opening = match sessions.contains("tue, thu") {
        true => Moment::from_micros((43 * 60 + 1) * 60_000_000),
        false => Moment::from_micros((8 * 60 + 5) * 60_000_000),
    };
    study.settings.until.is_none_or(|until| until > opening)
}

fn all_of(study: &Study) -> Record {
    record(study, 0, study.settings.seed, 0)
}

fn lead_times(study: &Study) -> Vec<LineLeadTime> {
    waited(study).lead_times
}

/// Everything but the sessions that orders take, which are none where there are none.
fn without_sessions(record: &Record) -> String {
    let mut record = record.clone();
    for project in &mut record.projects {
        project.sessions = 0;
        project.session_counts = Histogram::new();
    }
    format!("{record:?}")
}

#[test]
fn open_all_week_is_the_same_as_without_sessions() {
    let mut done = 0;
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let always = all_of(&study(&yaml));
        let all_week = all_of(&keeping(&yaml, SESSIONS[0]));
        assert_eq!(
            without_sessions(&all_week),
            without_sessions(&always),
            "seed {seed}\n{yaml}"
        );
        done += always.orders_done();
    }
    assert!(done > SHOPS, "{done} orders are done");
}

/// Whether nothing in it happens on the calendar: no cure, no order that comes at a time, and no end of the run.
fn has_no_dates(study: &Study) -> bool {
    use shopstride::shop::Arrivals;
    let shop = &study.candidates[0].shop;
    let cures = shop.ordered_work().any(|(_, work)| work.cure.is_some());
    let comes = |arrivals: &Arrivals| matches!(arrivals, Arrivals::Every { .. });
    let settings = &study.settings;
    !cures
        && !shop.orders.iter().any(|line| comes(&line.arrivals))
        && settings.until.is_none()
        && settings.warm_up == Span::ZERO
}

#[test]
fn without_anything_on_the_calendar_shop_time_is_what_it_was_without_sessions() {
    let mut shops = 0;
    for seed in 0..3 * SHOPS {
        let yaml = generate::shop(seed);
        let always = study(&yaml);
        if !has_no_dates(&always) {
            continue;
        }
        shops += 1;
        let always = all_of(&always);
        for sessions in &SESSIONS[1..] {
            let hours = all_of(&keeping(&yaml, sessions));
            let of = |record: &Record| -> Vec<String> {
                let projects = record.projects.iter();
                projects
                    .map(|of| format!("{} {} {:?}", of.orders_done, of.in_shop_time(), of.hands_on))
                    .collect()
            };
            assert_eq!(of(&hours), of(&always), "seed {seed}\n{yaml}");
            assert_eq!(hours.stations, always.stations, "seed {seed}\n{yaml}");
            assert_eq!(hours.crew, always.crew, "seed {seed}\n{yaml}");
            assert_eq!(hours.end, always.end, "seed {seed}\n{yaml}");
        }
    }
    assert!(shops > SHOPS / 10, "{shops} shops have no dates");
}

/// Nothing begins or ends while the shop is shut but cures and what they tie up; and what lies between beginning and end
/// of a phase adds up to the shop time that the totals count.
#[test]
fn nothing_is_done_while_the_shop_is_shut_and_the_books_balance() {
    let mut phases = 0;
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let sessions = SESSIONS[1 + (seed % 2) as usize];
        if !is_opened(&study(&yaml), sessions) {
            continue;
        }
        let study = keeping(&yaml, sessions);
        let calendar = &study.candidates[0].shop.calendar;
        let record = all_of(&study);
        let lines = trace(&study, 0, 0);
        phases += lines.len();
        let working: Span = lines.iter().map(|line| working(calendar, line)).sum();
        if study.settings.warm_up == Span::ZERO {
            let expected: Span = record.crew.iter().map(|one| one.hands_on()).sum();
            assert_eq!(working, expected, "seed {seed}\n{yaml}");
        }
        let measured = record.measured();
        let stations = study.candidates[0]
            .shop
            .stations
            .iter()
            .zip(&record.stations);
        for (station, of) in stations {
            let idle = of.idle(measured, station.count);
            assert!(idle >= Span::ZERO, "seed {seed} {}\n{yaml}", station.name);
        }
        let ended = calendar.time(record.on_calendar.1);
        assert_eq!(record.end, ended, "seed {seed}\n{yaml}");
        for line in lead_times(&study) {
            let parts = line.split.parts();
            let all = i128::from(line.leaves) * line.lead_time;
            if line.leaves > 0 {
                assert_eq!(parts.iter().sum::<i128>(), all, "seed {seed}\n{yaml}");
            }
            assert!(
                parts.iter().all(|part| *part >= 0),
                "seed {seed} {parts:?}\n{yaml}"
            );
        }
    }
    assert!(phases > 20 * SHOPS as usize, "{phases} things happened");
}

/// The shop time of what somebody does, none of what is no such phase.
fn working(calendar: &Calendar, line: &TraceLine) -> Span {
    let What::Phase { of, doing } = line.what else {
        return Span::ZERO;
    };
    let [start, end] = [line.start, line.end].map(|at| calendar.time(at));
    let is_cut = line.cut.is_some();
    if !matches!(doing, Doing::Cure | Doing::Taken) {
        // What takes no time may fall on the very closing.
        assert!(
            line.end == line.start || is_working(calendar, line.start),
            "{line:?} begins while shut"
        );
        assert!(
            is_cut || line.end == line.start || is_working_before(calendar, line.end),
            "{line:?} ends while shut"
        );
    }
    match of {
        Occupied::Person(_) => end - start,
        _ => Span::ZERO,
    }
}

fn is_working(calendar: &Calendar, moment: Moment) -> bool {
    calendar.session_at(moment).opens <= moment
}

/// Whether work could be done up to a moment.
fn is_working_before(calendar: &Calendar, moment: Moment) -> bool {
    let before = Moment::from_micros(moment.micros() - 1);
    calendar.time(moment) > Time::START && is_working(calendar, before)
}
