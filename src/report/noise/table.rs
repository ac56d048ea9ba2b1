//! What each person hears, side by side.

use super::level;
use crate::experiment::{Findings, NoiseFindings, PersonNoise};
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::sentence::listed;
use crate::report::tables::{note, of_first_runs, table as grid, text};
use crate::services::noise::eight_hour_level;

const CAUTION: &str = "Estimates that say nothing of a single ear: NIOSH's limit is 85 dB(A) over 8 h, and half as long for \
                       every 3 dB more; what is below 80 dB(A) counts nothing. The law of a workplace may ask for less.";

/// Nothing where nobody says anything of noise.
pub fn table(findings: &Findings, noise: Option<&NoiseFindings>, width: u16) -> Option<String> {
    let noise = noise?;
    let header = [
        "person",
        "loudest",
        "above 85\na day",
        "dose,\nmean day",
        "worst\nday",
        "over\n8 h",
    ];
    let mut table = grid(&header, 1, width);
    for person in &noise.people {
        table.add_row(row(person));
    }
    let mut remarks = vec!["Doses are of what is allowed in a day of the calendar, without protection; in brackets behind what they wear.".to_owned()];
    remarks.push(match noise.is_placed {
        true => "Who works at a machine gets its level, others 6 dB less for each doubling of 3 ft, but no more than 8 dB less.".to_owned(),
        false => "Nobody knows how far people are from machines: they hear all of them as if they stood there.".to_owned(),
    });
    remarks.push(format!("Levels: {}.", levels(noise)));
    remarks.extend(of_first_runs(findings, noise.runs));
    remarks.push(CAUTION.to_owned());
    Some(format!(
        "{}{}",
        text(table),
        note(&remarks.join(" "), width)
    ))
}

fn levels(noise: &NoiseFindings) -> String {
    let told: Vec<String> = (noise.machines.iter())
        .map(|machine| {
            let typical = if machine.is_typical {
                ", usual for its kind"
            } else {
                ""
            };
            format!(
                "{} {} to {}{typical}",
                machine.name,
                fixed(machine.idle, 0),
                level(machine.cutting)
            )
        })
        .collect();
    listed(&told, "and")
}

fn row(person: &PersonNoise) -> [String; 6] {
    let worn = person.protected.as_ref().map(|(_, doses)| doses);
    let both = |own: String, worn: Option<String>| match worn {
        Some(worn) => format!("{own}\n({worn})"),
        None => own,
    };
    let over_a_day = |dose: f64| eight_hour_level(dose).map_or("–".to_owned(), level);
    [
        person.name.clone(),
        person.peak.map_or("–".to_owned(), level),
        about::time(person.above_limit),
        both(
            about::share(person.bare.mean.mean),
            worn.map(|doses| about::share(doses.mean.mean)),
        ),
        both(
            about::share(person.bare.worst),
            worn.map(|doses| about::share(doses.worst)),
        ),
        both(
            over_a_day(person.bare.worst),
            worn.map(|doses| over_a_day(doses.worst)),
        ),
    ]
}
