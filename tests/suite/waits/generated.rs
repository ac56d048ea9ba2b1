//! Generated shops: what one pass finds against the definitions read plainly, and that it adds up.

use shopstride::experiment::Study;
use shopstride::units::{Moment, Span, Time};

use super::{assert_adds_up, play, waited};
use crate::second_reading::generate;
use crate::support::{many, study};
use crate::waits_plainly::Heard;

/// A generated shop, with pieces spoiled in every third where none of that work is done on an assembly.
fn shop(seed: u64) -> String {
    let yaml = generate::shop(seed);
    let spoils = yaml.replace("per piece: ", "spoils: 10 %, per piece: ");
    let makes_sense = || shopstride::scenario::load("spoils.yaml", spoils.as_bytes()).is_ok();
    match seed % 3 {
        0 if makes_sense() => spoils,
        _ => yaml,
    }
}

/// The same where some of it does not go together: of two stations, of two operations or of a cure and an operation one at
/// a time.
fn shop_kept_apart(seed: u64) -> String {
    let yaml = shop(seed);
    let all = &study(&yaml).candidates[0].shop;
    let of: Vec<String> = match seed % 3 {
        0 => all
            .stations
            .iter()
            .take(2)
            .map(|of| of.name.clone())
            .collect(),
        1 => all.operations.iter().take(2).cloned().collect(),
        _ => {
            let names = all.operations.iter().cloned();
            let cures = names.clone().map(|name| format!("cure of {name}"));
            cures
                .chain(names.rev())
                .take(all.operations.len() + 1)
                .collect()
        }
    };
    let of: Vec<String> = of.iter().map(|name| format!("\"{name}\"")).collect();
    format!(
        "{yaml}\nnot together: [{{of: [{}], at most: {}}}]\n",
        of.join(", "),
        1 + seed / 3 % 2
    )
}

/// As long as it lasts, cut at the end, with a warm-up, and both, by turns.
fn measured(study: &mut Study, seed: u64) {
    let record = crate::support::record(study, 0, study.settings.seed, 0);
    let share = |of: i64, by: i64| Moment::from_micros(of * by / 10);
    let end = record.end.micros();
    if seed % 2 == 1 {
        study.settings.warm_up = share(end, 2) - Moment::START;
    }
    if seed / 2 % 2 == 1 {
        study.settings.until = Some(share(end, 7));
    }
}

#[test]
fn one_pass_finds_what_the_definitions_say() {
    let mut parts = [0; 8];
    let mut causes = [0; 5];
    let mut spoiled = 0;
    for seed in 0..many(300) {
        let yaml = match seed % 4 {
            0 => shop_kept_apart(seed),
            _ => shop(seed),
        };
        let mut study = study(&yaml);
        spoiled += u32::from(yaml.contains("spoils"));
        measured(&mut study, seed);
        let waits = waited(&study);
        let record = crate::support::record(&study, 0, study.settings.seed, 0);
        assert_adds_up(&waits, &record);
        let mut heard = Heard::default();
        play(&study, &mut heard);
        let shop = &study.candidates[0].shop;
        let from = Moment::START + study.settings.warm_up;
        let splits: Vec<[i128; 8]> = (waits.lead_times.iter())
            .map(|line| super::while_open(&line.split))
            .collect();
        assert_eq!(splits, heard.splits(shop, from), "seed {seed}\n{yaml}");
        let waited: Vec<[i64; 5]> = (waits.crew.iter())
            .map(|of| [of.cure, of.station, of.kept_apart, of.gear, of.nothing].map(Span::micros))
            .collect();
        assert_eq!(
            waited,
            heard.people(shop, Time::from_micros(from.micros())),
            "seed {seed}\n{yaml}"
        );
        for split in splits {
            (parts.iter_mut().zip(split)).for_each(|(sum, part)| *sum += i32::from(part > 0));
        }
        for of in waited {
            (causes.iter_mut().zip(of)).for_each(|(sum, part)| *sum += i32::from(part > 0));
        }
    }
    println!("order lines with each part {parts:?}, people with each cause {causes:?}");
    assert!(spoiled > 13, "{spoiled} shops spoil pieces");
    assert!(
        parts.iter().chain(&causes).all(|&found| found > 13),
        "{parts:?} {causes:?}"
    );
}

/// Where times vary, a cure's end may not be known; all the same everything adds up.
#[test]
fn it_adds_up_where_times_vary() {
    let mut varied_shops = 0;
    for seed in 0..many(300) {
        let yaml = shop(seed);
        let varied = vary_cures(&yaml);
        varied_shops += u32::from(varied != yaml);
        let mut study = study(&varied);
        measured(&mut study, seed);
        let record = crate::support::record(&study, 0, study.settings.seed, 0);
        assert_adds_up(&waited(&study), &record);
    }
    assert!(varied_shops > 100, "cures vary in {varied_shops} shops");
}

/// Every cure takes anything up to twice as long.
fn vary_cures(yaml: &str) -> String {
    let mut parts = yaml.split("cure: {time: ");
    let mut text = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let end = part.find([',', '}']).expect("a duration ends");
        let (time, rest) = part.split_at(end);
        text += "cure: {time: ";
        match time.split_once(' ') {
            None => text += time,
            Some((number, unit)) => {
                let most = 2.0 * number.parse::<f64>().expect("a number");
                text += &format!("{{uniform: [0 {unit}, {most} {unit}]}}");
            }
        }
        text += rest;
    }
    text
}
