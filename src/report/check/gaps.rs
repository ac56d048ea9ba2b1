//! Words about gaps on which it hangs how far people walk.

use super::phrase::{Wording, at_least, metres, wording};
use super::said::{Said, Subjects};
use crate::floor::{Between, NearGap};
use crate::report::about;

pub fn said(about: &Subjects<'_>, gap: &NearGap, body: f64, between: Between) -> Said {
    let between = about.names.between(between);
    let is_open = gap.is_open(body);
    let spare = wording![
        format!("the gap {between} is "),
        at_least((gap.width - body).abs()),
        match is_open {
            true => " wider than a person",
            false => " too narrow for a person",
        }
    ];
    let hangs = match (is_open, gap.only_way) {
        (_, Some((from, to))) => {
            let [from, to] = [from, to].map(|place| about.names.place(place));
            wording![format!(", and there is no other way from {from} to {to}")]
        }
        (true, None) => wording![": with it closed, people walk "]
            .and(walking(gap))
            .and(wording![" more"]),
        (false, None) => wording![": with it open, people walk "]
            .and(walking(gap))
            .and(wording![" less"]),
    };
    let said = Said::new(spare.and(hangs))
        .figure("width_m", gap.width)
        .figure("person_m", body)
        .figure("walking_m", gap.metres);
    let said = match gap.only_way {
        Some(_) => said.figure("only_way", 1.0),
        None => said,
    };
    said.help(wording![
            "measure it again, and make it wider or do without it: so little is less than a tape and a drawing are off"
        ])
}

fn walking(gap: &NearGap) -> Wording {
    wording![
        metres(gap.metres),
        format!(" ({})", about::share(gap.share))
    ]
}
