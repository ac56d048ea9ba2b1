//! The rule about straight floor before and behind the machines through which work is fed.

use super::finding::{at_least, at_most, metres, wording};
use super::scene::FreeRun;
use super::{FeedStrip, Finding, Level, Scene, Wording};
use crate::floor::strips::{Allowances, Body, Fit, Need, Strip, need};
use crate::floor::{Placement, Point, Polygon, SAME_POINT_M};
use crate::shop::{Size, StationId};

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
    for project in scene.ordered() {
        for item in &project.items {
            for step in &item.route {
                let choice = step.choices.iter().find(|choice| choice.station == station);
                let (Some(choice), Some(size)) = (choice, step.piece) else {
                    continue;
                };
                let size = if choice.work.along_width {
                    Size {
                        length: size.width,
                        width: size.length,
                        ..size
                    }
                } else {
                    size
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
pub struct Feeding<'a> {
    pub station: StationId,
    pub name: &'a str,
    pub placement: &'a Placement,
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
                body,
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
    pub fn outline(&self) -> Option<Polygon> {
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

/// The strips of [`feedings`], for drawing.
pub fn strips(scene: &Scene<'_>) -> Vec<FeedStrip> {
    let feedings = feedings(scene);
    let outlines = feedings.iter().filter_map(|feeding| {
        Some(FeedStrip {
            station: feeding.station,
            outline: feeding.outline()?,
            fits: feeding.slack() >= -SAME_POINT_M,
        })
    });
    outlines.collect()
}

/// For every station with a feed direction that stands in the room, its most demanding piece.
pub fn feedings<'a>(scene: &Scene<'a>) -> Vec<Feeding<'a>> {
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
            // Of equally long pieces the widest.
            by_slack.then(other.fit.need.width.total_cmp(&one.fit.need.width))
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
                at_most(run),
                ": the cutter may stand anywhere in a band of ",
                at_most(window.max(0.0))
            ];
            if fits {
                says
            } else {
                says.and(wording![
                    ", and it stands ",
                    at_least(missing),
                    " outside it"
                ])
            }
        }
        (Some(run), Some(window)) => {
            let says = wording![
                "; there is only ",
                at_most(run),
                ": ",
                at_least(-window),
                " is missing wherever along it the cutter stands"
            ];
            if (missing + window).abs() <= SAME_POINT_M {
                says
            } else {
                says.and(wording![
                    ", and ",
                    at_least(missing),
                    " at one end where it stands now"
                ])
            }
        }
        _ if fits => wording!["; there is enough"],
        _ => wording!["; ", at_least(missing), " is missing where it stands"],
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
        wording![format!("move {name} {way} by "), at_least(missing)]
    } else {
        wording![
            "cut to rough length before this step, or say `cuts: length` at the step that cuts it, if one does; or \
             clear what ends the strip, or turn the feed toward a door or along the longer wall"
        ]
    };
    finding.missing(missing).help(helps.and(lower(end)))
}

/// What a piece needs: the beginning of the sentence.
fn demand(feeding: &Feeding<'_>) -> Wording {
    let Feeding { name, fit, fed, .. } = feeding;
    let walk = match fit.allowances.outfeed {
        0.0 => Wording::default(),
        outfeed => wording![
            " and ",
            metres(outfeed),
            " for somebody to walk behind the out-feed"
        ],
    };
    let run = wording![
        format!("{name}: {}, ", fed.what),
        metres(fed.size.length),
        " long, needs ",
        at_least(fit.needed()),
        " of straight run, ",
        metres(fit.allowances.operator),
        " of it for the operator to stand",
    ];
    let strip = wording![", in a strip ", metres(fit.need.width), " wide"];
    run.and(walk).and(strip)
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
                wording![at_most(free), format!("{through} as far as {end}")]
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
    if fit.machine_lacks() > 0.0 {
        return wording![
            "; no piece passes here: the machine itself and the room to stand lack ",
            at_least(fit.machine_lacks())
        ];
    }
    let here = fit.longest_here().map(|here| {
        wording![
            "; the longest piece that passes here is ",
            at_most(here),
            " long"
        ]
    });
    let anywhere = fit
        .longest_anywhere()
        .map(|anywhere| wording![", at the best place along this strip ", at_most(anywhere)]);
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
    // What touches a strip's side is allowed, so the strip that just passes is wider than the gap.
    let low = (low - 2.0 * SAME_POINT_M).max(0.0);
    let end = feeding
        .run_in
        .end
        .or(feeding.run_out.end)
        .unwrap_or("something");
    // Both sides of the strip are equally far from the cutter, so one side lacks half of what the strip does.
    let missing = (fit.need.width - low) / 2.0;
    let says = demand(feeding).and(wording![
        format!("; {end} stands beside the cutter and leaves only "),
        at_most(low)
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
                at_least(missing)
            ]
            .and(lower(Some(end))),
        )
}
