//! Rules about the floor along which work is fed through machines.

use super::finding::{metres, wording};
use super::scene::FreeRun;
use super::shapes::overlap;
use super::{Finding, Level, Scene, Wording};
use crate::floor::strips::{Allowances, Body, Fit, Need, Strip, need};
use crate::floor::{Placement, Point, Polygon, SAME_POINT_M};
use crate::shop::{Size, StationId, Work};

/// A piece that some route sends through a station, as large as it is at that step.
struct Fed {
    /// The item and the operation.
    what: String,
    size: Size,
}

/// All different pieces that come to a station, in the file's order.
fn fed_through(scene: &Scene<'_>, station: StationId) -> Vec<Fed> {
    let shop = scene.shop;
    let mut fed: Vec<Fed> = Vec::new();
    for project in &shop.projects {
        for item in &project.items {
            for step in &item.route {
                let choice = step.choices.iter().find(|choice| choice.station == station);
                let (Some(choice), Some(size)) = (choice, step.piece) else {
                    continue;
                };
                let of = match shop.projects.len() {
                    1 => String::new(),
                    _ => format!(" of {}", project.name),
                };
                let same = |known: &Fed| {
                    known.size.length == size.length && known.size.width == size.width
                };
                if !fed.iter().any(same) {
                    let operation = &shop.operations[choice.work.operation];
                    let what = format!("{}{of} at {operation}", item.name);
                    fed.push(Fed { what, size });
                }
            }
        }
    }
    fed
}

/// A station through which work is fed, with the strip for one piece.
struct Feeding<'a> {
    station: StationId,
    name: &'a str,
    placement: &'a Placement,
    fed: Fed,
    fit: Fit,
    /// Of length 1, the way the work goes.
    toward: Point,
    run_in: FreeRun<'a>,
    run_out: FreeRun<'a>,
}

impl<'a> Feeding<'a> {
    fn new(
        scene: &Scene<'a>,
        (station, name, placement): (StationId, &'a str, &'a Placement),
        fed: Fed,
    ) -> Option<Feeding<'a>> {
        let side = placement.feed?;
        let toward = placement.turned(side.direction());
        let limits = scene.limits;
        let allowances = Allowances {
            operator: limits.operator,
            outfeed: limits.outfeed_walk,
            side: limits.side_clearance,
        };
        let body = Body::of(placement, side);
        let need = need(fed.size.length, fed.size.width, body, allowances);
        let strip = |toward| Strip {
            from: placement.at,
            toward,
            width: need.width,
        };
        let run_in = scene.run(strip(toward * -1.0), station);
        let run_out = scene.run(strip(toward), station);
        Some(Feeding {
            station,
            name,
            placement,
            fed,
            fit: Fit {
                run_in: run_in.free,
                run_out: run_out.free,
                need,
                allowances,
            },
            toward,
            run_in,
            run_out,
        })
    }

    /// What is left at the tighter end, in metres; negative: what is missing there.
    fn slack(&self) -> f64 {
        let left = |run: Option<f64>, need: f64| run.map_or(f64::INFINITY, |run| run - need);
        let Need {
            infeed, outfeed, ..
        } = self.fit.need;
        left(self.fit.run_in, infeed).min(left(self.fit.run_out, outfeed))
    }

    /// The strip as far as it is needed and free.
    fn outline(&self) -> Option<Polygon> {
        let reach = |need: f64, run: Option<f64>| run.map_or(need, |run| run.min(need));
        let before = reach(self.fit.need.infeed, self.fit.run_in);
        let behind = reach(self.fit.need.outfeed, self.fit.run_out);
        let strip = Strip {
            from: self.placement.at - self.toward * before,
            toward: self.toward,
            width: self.fit.need.width,
        };
        strip.outline(before + behind)
    }
}

/// For every station with a feed direction that stands in the room, its most demanding piece.
fn feedings<'a>(scene: &Scene<'a>) -> Vec<Feeding<'a>> {
    let Some(room) = scene.room() else {
        return Vec::new();
    };
    let inside = scene
        .placed()
        .filter(|(.., placement)| room.outline.contains(placement.at));
    let hardest = inside.filter_map(|placed| {
        let fed = fed_through(scene, placed.0).into_iter();
        let feedings = fed.filter_map(|fed| Feeding::new(scene, placed, fed));
        feedings.min_by(|one, other| {
            let by_slack = one.slack().total_cmp(&other.slack());
            by_slack.then(other.fit.needed().total_cmp(&one.fit.needed()))
        })
    });
    hardest.collect()
}

/// There is straight floor enough to feed what comes to a machine.
pub fn feed(scene: &Scene<'_>) -> Vec<Finding> {
    feedings(scene)
        .iter()
        .map(|feeding| judged(scene, feeding))
        .collect()
}

fn judged(scene: &Scene<'_>, feeding: &Feeding<'_>) -> Finding {
    let Feeding { name, fit, fed, .. } = feeding;
    let missing = fit.missing();
    let fits = missing <= SAME_POINT_M;
    let blocked = fit.run_in.is_some_and(|run| run <= SAME_POINT_M)
        && fit.run_out.is_some_and(|run| run <= SAME_POINT_M);
    if blocked && !fits {
        return beside(scene, feeding);
    }
    let says = demand(feeding).and(match (fit.run(), fit.window()) {
        (Some(run), Some(window)) if window >= -SAME_POINT_M => {
            let says = wording![
                "; there is ",
                metres(run),
                ": the cutter may stand anywhere in a band of ",
                metres(window.max(0.0))
            ];
            if fits {
                says
            } else {
                says.and(wording![", and it stands ", metres(missing), " beside it"])
            }
        }
        (Some(run), Some(window)) => wording![
            "; there is only ",
            metres(run),
            ": ",
            metres(-window),
            " is missing wherever along it the cutter stands"
        ],
        _ if fits => wording!["; there is enough"],
        _ => wording!["; ", metres(missing), " is missing where it stands"],
    });
    let says = says.and(ends(feeding)).and(longest(fit));
    let level = if fits { Level::Note } else { Level::Fault };
    let mut finding = Finding::new(level, "feed", *name, says)
        .at(feeding.placement.at)
        .figure("piece_length_m", fed.size.length)
        .figure("piece_width_m", fed.size.width)
        .figure("strip_width_m", fit.need.width)
        .figure("needed_m", fit.needed())
        .figure("operator_m", fit.allowances.operator);
    let figures = [
        ("run_in_m", fit.run_in),
        ("run_out_m", fit.run_out),
        ("run_m", fit.run()),
        ("window_m", fit.window()),
        ("longest_here_m", fit.longest_here()),
        ("longest_anywhere_m", fit.longest_anywhere()),
    ];
    for (figure, value) in figures {
        if let Some(value) = value {
            finding = finding.figure(figure, value);
        }
    }
    if fits {
        return finding;
    }
    let short_in = fit
        .run_in
        .is_some_and(|run| fit.need.infeed - run > SAME_POINT_M);
    let (end, way) = if short_in {
        (feeding.run_in.end, "the way the work is fed")
    } else {
        (feeding.run_out.end, "against the feed")
    };
    if let Some(end) = end {
        finding = finding.other(end);
    }
    let could = fit.window().is_none_or(|window| window >= -SAME_POINT_M);
    let helps = if could {
        wording![format!("move {name} {way} by "), metres(missing)]
    } else {
        wording![
            "cut to rough length before this step, clear what ends the strip, or turn the feed toward a door or along \
             the longer wall"
        ]
    };
    finding.missing(missing).help(helps.and(lower(end)))
}

/// What a piece needs: the beginning of the sentence.
fn demand(feeding: &Feeding<'_>) -> Wording {
    let Feeding { name, fit, fed, .. } = feeding;
    let walk = match fit.allowances.outfeed {
        0.0 => wording![" of it for the operator to stand"],
        outfeed => wording![
            " of it for the operator to stand and ",
            metres(outfeed),
            " for somebody behind the out-feed"
        ],
    };
    wording![
        format!("{name}: {}, ", fed.what),
        metres(fed.size.length),
        " long, needs ",
        metres(fit.needed()),
        " of straight run in a strip of ",
        metres(fit.need.width),
        ", ",
        metres(fit.allowances.operator),
    ]
    .and(walk)
}

/// Where the strip ends on either side.
fn ends(feeding: &Feeding<'_>) -> Wording {
    let side = |run: FreeRun<'_>| {
        let through = match run.through {
            Some(door) => format!(" through the open {door}"),
            None => String::new(),
        };
        match (run.free, run.end) {
            (Some(free), Some(end)) => {
                wording![metres(free), format!("{through} as far as {end}")]
            }
            _ => wording![format!("out{through} without an end")],
        }
    };
    wording!["; before the cutter it runs "]
        .and(side(feeding.run_in))
        .and(wording![", behind it "])
        .and(side(feeding.run_out))
}

/// How long pieces may be.
fn longest(fit: &Fit) -> Wording {
    let here = fit.longest_here().map(|here| {
        wording![
            "; the longest piece that passes here is ",
            metres(here),
            " long"
        ]
    });
    let anywhere = fit
        .longest_anywhere()
        .map(|anywhere| wording![", at the best place along this strip ", metres(anywhere)]);
    here.unwrap_or_default().and(anywhere.unwrap_or_default())
}

/// The plan knows no heights, so say what it cannot know.
fn lower(end: Option<&str>) -> Wording {
    match end {
        Some(end) if end != "the wall" => wording![format!(
            "; if {end} is lower than the table, so that work passes over it, this does not count"
        )],
        _ => Wording::default(),
    }
}

/// Something stands beside the cutter within the strip's width.
fn beside(scene: &Scene<'_>, feeding: &Feeding<'_>) -> Finding {
    let Feeding { name, fit, .. } = feeding;
    let narrower = |width: f64| {
        [-1.0, 1.0].into_iter().all(|way| {
            let strip = Strip {
                from: feeding.placement.at,
                toward: feeding.toward * way,
                width,
            };
            let run = scene.run(strip, feeding.station);
            run.free.is_none_or(|free| free > SAME_POINT_M)
        })
    };
    let (mut low, mut high) = (0.0, fit.need.width);
    for _ in 0..40 {
        let width = (low + high) / 2.0;
        if narrower(width) {
            low = width;
        } else {
            high = width;
        }
    }
    let end = feeding
        .run_in
        .end
        .or(feeding.run_out.end)
        .unwrap_or("something");
    // Both sides of the strip are equally far from the cutter, so one side lacks half of what the strip does.
    let missing = (fit.need.width - low) / 2.0;
    let says = demand(feeding).and(wording![
        format!("; {end} stands beside the cutter and leaves a strip of "),
        metres(low)
    ]);
    Finding::new(Level::Fault, "feed", *name, says)
        .other(end)
        .at(feeding.placement.at)
        .missing(missing)
        .figure("strip_width_m", fit.need.width)
        .figure("free_width_m", low)
        .help(
            wording![
                format!("move {name} sideways from {end} by "),
                metres(missing)
            ]
            .and(lower(Some(end))),
        )
}

/// Strips of stations that can run at the same time do not cross.
pub fn crossing(scene: &Scene<'_>) -> Vec<Finding> {
    let feedings = feedings(scene);
    let mut findings = Vec::new();
    for (index, one) in feedings.iter().enumerate() {
        for other in &feedings[index + 1..] {
            let (Some(strip), Some(crossed)) = (one.outline(), other.outline()) else {
                continue;
            };
            let Some(depth) = overlap(&strip, &crossed) else {
                continue;
            };
            if !at_once(scene, one.station, other.station) {
                continue;
            }
            let says = wording![
                format!(
                    "the strips along which {} and {} are fed overlap by ",
                    one.name, other.name
                ),
                metres(depth),
                ", and both can run at the same time"
            ];
            findings.push(
                Finding::new(Level::Note, "crossing", one.name, says)
                    .other(other.name)
                    .at((one.placement.at + other.placement.at) * 0.5)
                    .missing(depth)
                    .help(wording![
                        "agree who waits, or turn one of them, or set them apart by ",
                        metres(depth)
                    ]),
            );
        }
    }
    findings
}

/// Whether people and gear are there for some work at one station and some at another at the same time.
fn at_once(scene: &Scene<'_>, one: StationId, other: StationId) -> bool {
    let shop = scene.shop;
    let works = |station: StationId| -> Vec<&Work> {
        let items = shop.projects.iter().flat_map(|project| &project.items);
        let choices = items
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices);
        let here = choices.filter(|choice| choice.station == station);
        here.map(|choice| &choice.work).collect()
    };
    let possible = |a: &Work, b: &Work| {
        let able = |work: &Work| {
            shop.crew
                .iter()
                .filter(|p| p.can_do(work.operation))
                .count()
        };
        let either = shop.crew.iter();
        let either = either
            .filter(|p| p.can_do(a.operation) || p.can_do(b.operation))
            .count();
        let people = able(a) >= a.people as usize
            && able(b) >= b.people as usize
            && either >= (a.people + b.people) as usize;
        let gear = a.gear.iter().all(|&(kind, taken)| {
            let too = b.gear.iter().find(|&&(other, _)| other == kind);
            let too = too.map_or(0, |&(_, taken)| taken);
            u64::from(taken) + u64::from(too) <= u64::from(shop.gear[kind].count)
        });
        people && gear
    };
    let others = works(other);
    works(one)
        .iter()
        .any(|a| others.iter().any(|b| possible(a, b)))
}

/// Nobody stands, and no door opens, where a saw may throw a piece.
pub fn kickback(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let dangerous = scene.placed().filter(|(.., placement)| placement.kickback);
    for (station, name, placement) in dangerous {
        let Some(side) = placement.feed else { continue };
        let body = Body::of(placement, side);
        let back = placement.turned(side.direction()) * -1.0;
        let line = Strip {
            from: placement.at + back * body.before,
            toward: back,
            width: body.across,
        };
        let operator = (placement.standing() - line.from).dot(back).max(0.0);
        let reach = operator + scene.limits.kickback;
        let to_wall = scene.to_wall(Strip { width: 0.0, ..line });
        let reach = to_wall.map_or(reach, |wall| wall.min(reach));
        let mut found = |other: &str, at: Point, says: String, helps: String| {
            findings.push(
                Finding::new(Level::Warning, "kickback", name, wording![says])
                    .other(other)
                    .at(at)
                    .figure("reach_m", reach)
                    .help(wording![helps]),
            );
        };
        for (_, other, standing) in scene.placed().filter(|(id, ..)| *id != station) {
            let place = standing.standing();
            let from_line = place - line.from;
            let (along, aside) = (from_line.dot(back), back.cross(from_line).abs());
            let body_in_line = line.width / 2.0 + scene.plan.body_width / 2.0 - SAME_POINT_M;
            if along > 0.0 && along < reach - SAME_POINT_M && aside < body_in_line {
                let says = format!("who stands at {other} stands where {name} may throw a piece");
                found(other, place, says, format!("move {other} or turn {name}"));
            }
        }
        for door in scene.doors() {
            // A door in the wall that ends the line opens into it.
            let met = line.nearest(door.between);
            if met.is_some_and(|along| along <= reach + SAME_POINT_M) {
                let says = format!(
                    "who comes in through {} comes in where {name} may throw a piece",
                    door.name
                );
                let helps = format!("turn {name}, or keep {} shut while it runs", door.name);
                found(&door.name, door.middle(), says, helps);
            }
        }
    }
    findings
}
