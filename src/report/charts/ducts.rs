//! The ducts of a layout on its plan: what flows in each section and how fast, what settles there, and which station is
//! starved.

use super::areas::around;
use super::canvas::{Align, Canvas, Font};
use super::duct_signs::{self, PORT, THINNEST, pipe, port};
use super::floor::{self, AROUND};
use super::frame::{heading, signs_in};
use super::labels::{Labels, LetterKey};
use super::layout::Layout;
use super::sheet::{self, Extent, Sheet};
use super::style::{BODY, Colour, FAINT, MARGIN, SMALL, TEXT};
use super::text::wrap;
use super::{Chart, ChartSize, Picture, Subject, capital, slug};
use crate::experiment::{CandidateFindings, DustFindings, GatesOpen, Units};
use crate::floor::Point;
use crate::report::about;
use crate::report::dust;
use crate::report::measures::{airflow, velocity};
use crate::report::sentence::{listed, with_the};
use crate::services::air::{DuctPart, LaidDucts, SectionAir, StationAir, Supply};

/// The height of a plan at most, in widths of the picture and in heights of a page.
const HIGHEST: (f64, f64) = (0.6, 0.66);
/// Its width at most where the list is to stand beside it, in widths of the picture.
const WIDEST: f64 = 0.62;
/// A list stands beside a plan that leaves so much room.
const BESIDE: f64 = 250.0;
const GAP: f64 = 24.0;
/// Sets of gates that are told.
const TOLD: usize = 8;

/// A picture for each layout that has ducts.
pub fn draw(chart: &Chart, subject: &Subject, size: ChartSize) -> Vec<Picture> {
    let layouts = subject.layouts.iter().enumerate();
    let with_ducts = layouts.filter_map(|(index, layout)| {
        let mut candidates = subject.findings.candidates.iter();
        let found = candidates.find(|found| found.name == layout.name)?;
        let extent = sheet::shown(layout).filter(|_| !found.dust.is_empty())?;
        Some((index, layout, found, extent))
    });
    let pictures = with_ducts.flat_map(|(index, layout, found, extent)| {
        let stem = format!("{}-{}{}", chart.stem, index + 1, slug(&layout.name));
        let title = format!("{} – {}", chart.title, layout.name);
        Picture::of(stem, (&title, chart.about), size, |canvas| {
            let drawing = DuctDrawing {
                layout,
                found,
                units: subject.findings.units,
            };
            drawing.body(canvas, (&title, &subject.findings.title), (&extent, size))
        })
    });
    pictures.collect()
}

struct DuctDrawing<'a> {
    layout: &'a Layout,
    found: &'a CandidateFindings,
    units: Units,
}

/// A section as it is drawn: what flows there when it is slowest.
struct DrawnSection {
    line: Vec<Point>,
    diameter: f64,
    is_hose: bool,
    /// None where no gate of it is ever open for more than seldom.
    slowest: Option<SectionAir>,
}

/// Sets of gates that were open together for more than seldom, the longest first.
fn sets(dust: &DustFindings) -> impl Iterator<Item = &GatesOpen> {
    dust.together.iter().filter(|gates| gates.is_told())
}

impl DuctDrawing<'_> {
    fn body(
        &self,
        canvas: &mut Canvas,
        (title, scenario): (&str, &str),
        (extent, size): (&Extent, ChartSize),
    ) -> f64 {
        let top = heading(canvas, title, scenario, &self.notes());
        canvas.describe(&self.described());
        let signs = duct_signs::explained();
        let room = canvas.inner();
        let top = signs_in(canvas, (MARGIN, top), room, &signs);
        canvas.header_ends(top);
        let beside_width = canvas.inner() * WIDEST - 2.0 * AROUND;
        let high = size.high(HIGHEST.0, HIGHEST.1);
        let beside = (beside_width / extent.width()).min(high / extent.height());
        let is_beside = canvas.inner() - extent.width() * beside - 2.0 * AROUND - GAP >= BESIDE;
        let metre = match is_beside {
            true => beside,
            false => ((room - 2.0 * AROUND) / extent.width()).min(high / extent.height()),
        };
        let sheet = Sheet::new(extent, (MARGIN + AROUND, top + AROUND), metre);
        let mut key = LetterKey::of(std::slice::from_ref(self.layout));
        self.plan(canvas, &sheet, &mut key);
        let end = sheet.area.y + sheet.area.height + AROUND;
        let (x, room, mut y) = match is_beside {
            true => {
                let x = sheet.area.x + sheet.area.width + AROUND + GAP;
                (x, canvas.right() - x, top + AROUND)
            }
            false => {
                canvas.may_break(end + 2.0);
                (MARGIN, canvas.inner(), end + 8.0)
            }
        };
        floor::scale_bar(canvas, (x, y), metre, self.units);
        y = key.draw(canvas, (x, y + 14.0), room) + 8.0;
        for dust in &self.found.dust {
            y = self.list(canvas, (x, y), room, dust);
        }
        y.max(end) + MARGIN / 2.0
    }

    fn notes(&self) -> String {
        let dirty = match self.found.dust.iter().any(|dust| dust.air.dirt > 1.0) {
            true => " All with a clean filter: the table of dust has the dirty one too.",
            false => "",
        };
        format!(
            "At each section stands what flows there when it is slowest, of all sets of gates that are open together in the \
             runs for at least 1 % of the time in which the collector is needed; at each port the least that it gets, of what \
             it wants.{dirty} A good velocity is not clean air."
        )
    }

    fn described(&self) -> String {
        let of = |dust: &DustFindings| {
            let told = sets(dust).map(|gates| self.of_gates(dust, gates));
            told.collect::<Vec<String>>().join(" ")
        };
        self.found
            .dust
            .iter()
            .map(of)
            .collect::<Vec<String>>()
            .join(" ")
    }

    fn plan(&self, canvas: &mut Canvas, sheet: &Sheet, key: &mut LetterKey) {
        floor::draw(canvas, sheet, self.layout);
        floor::stations(canvas, sheet, self.layout);
        let mut labels = Labels::new(key, sheet.with_strip(AROUND));
        let mut all: Vec<(DrawnSection, String)> = Vec::new();
        for dust in &self.found.dust {
            all.extend(self.sections(dust));
        }
        for (nth, (section, name)) in all.iter().enumerate() {
            let points = sheet.points(&section.line);
            let wide = (section.diameter * sheet.metre).max(THINNEST);
            let says = section.slowest.as_ref().map(|air| {
                format!(
                    "{name}: {}, {}, {}",
                    airflow(self.units, air.airflow),
                    velocity(self.units, air.velocity),
                    air.state.in_words()
                )
            });
            let says = says.unwrap_or_else(|| format!("{name}: never open"));
            let id = format!("{}duct-{}", sheet.id, nth + 1);
            canvas.group("duct", (Some(id), Some(says)), |canvas| {
                let state = section.slowest.as_ref().map(|air| air.state);
                pipe(canvas, &points, wide, (state, section.is_hose));
            });
            labels.keep_off(&points, false);
        }
        for dust in &self.found.dust {
            self.ports(canvas, sheet, &mut labels, dust);
        }
        for (section, _) in &all {
            self.figures(canvas, sheet, &mut labels, section);
        }
        floor::names(canvas, sheet, self.layout, &mut labels);
    }

    /// The sections of a collector that lie on the floor, with their names.
    fn sections(&self, dust: &DustFindings) -> Vec<(DrawnSection, String)> {
        let laid: LaidDucts = dust.air.laid().ducts;
        let parts = laid.parts.iter().zip(&laid.lines).enumerate();
        let drawn = parts.filter_map(|(number, (&(part, _), line))| {
            let line = match (part, &line[..]) {
                (DuctPart::Hose { to, .. }, []) => self.hose(dust, to)?,
                (_, line) if line.len() > 1 => line.to_vec(),
                _ => return None,
            };
            let sections = sets(dust).flat_map(|gates| &gates.clean.sections);
            let own = sections.filter(|section| section.part == part);
            let slowest = own.min_by(|one, other| one.velocity.total_cmp(&other.velocity));
            let diameter = laid.network.sections()[number].diameter;
            let section = DrawnSection {
                line,
                diameter,
                is_hose: matches!(part, DuctPart::Hose { .. }),
                slowest: slowest.cloned(),
            };
            Some((section, dust::part_name(dust, part)))
        });
        drawn.collect()
    }

    /// From the collector to the port at which a hose is.
    fn hose(&self, dust: &DustFindings, to: crate::shop::StationId) -> Option<Vec<Point>> {
        let mut names = self.layout.stations.iter();
        let collector = names.position(|name| *name == dust.collector)?;
        let from = self
            .layout
            .plan
            .placements
            .iter()
            .nth(collector)?
            .as_ref()?;
        let mut connections = dust.air.connections.iter();
        let at = connections.find(|connection| connection.station == to)?.at;
        Some(vec![from.at, at])
    }

    /// What flows in a section and how fast, beside its middle.
    fn figures(
        &self,
        canvas: &mut Canvas,
        sheet: &Sheet,
        labels: &mut Labels,
        section: &DrawnSection,
    ) {
        let Some(air) = &section.slowest else { return };
        let points = sheet.points(&section.line);
        let longest = points.windows(2).max_by(|one, other| {
            let length = |ends: &[(f64, f64)]| (ends[1].0 - ends[0].0).hypot(ends[1].1 - ends[0].1);
            length(one).total_cmp(&length(other))
        });
        let Some(&[from, to]) = longest else { return };
        let font = Font::BODY.size(SMALL).align(Align::Middle);
        let lines = [
            airflow(self.units, air.airflow),
            velocity(self.units, air.velocity),
        ];
        let wide = lines
            .iter()
            .map(|line| font.width(line))
            .fold(0.0, f64::max)
            + 4.0;
        let high = 2.0 * SMALL + 4.0;
        let aside = section.diameter * sheet.metre / 2.0 + 3.0;
        let mut places: Vec<(f64, f64)> = [0.5, 0.35, 0.65, 0.2, 0.8]
            .into_iter()
            .flat_map(|share| {
                let x = from.0 + (to.0 - from.0) * share;
                let y = from.1 + (to.1 - from.1) * share;
                let (across, down) = (aside + wide / 2.0, aside + high / 2.0);
                [
                    (x + across, y),
                    (x - across, y),
                    (x, y - down),
                    (x, y + down),
                ]
            })
            .collect();
        places.sort_by_key(|&at| !labels.is_clear(around(at, wide, high)));
        if let Some((x, y)) = labels.take(&places, (wide, high)) {
            canvas.plate((x, y), (wide, high));
            for (nth, line) in lines.iter().enumerate() {
                let y = y + (nth as f64 - 0.5) * (SMALL + 1.0);
                canvas.text(line, (x, y), wide, font.bold(nth == 1));
            }
        }
    }

    /// Ports with what they get at least, of what they want.
    fn ports(&self, canvas: &mut Canvas, sheet: &Sheet, labels: &mut Labels, dust: &DustFindings) {
        for (nth, connection) in dust.air.connections.iter().enumerate() {
            let stations = sets(dust).flat_map(|gates| &gates.clean.stations);
            let own = stations.filter(|station| station.station == connection.station);
            let worst: Option<&StationAir> = own.reduce(|one, other| {
                let ranked = |of: &StationAir| (of.supply, -of.airflow / of.wanted.good);
                if ranked(other) > ranked(one) {
                    other
                } else {
                    one
                }
            });
            let at = sheet.at(connection.at);
            let name = dust.station(nth);
            let says = match worst {
                Some(of) => format!(
                    "{name}: {} of {}",
                    airflow(self.units, of.airflow),
                    airflow(self.units, of.wanted.least)
                ),
                None => format!("{name}: never open"),
            };
            let id = format!("{}port-{}", sheet.id, nth + 1);
            canvas.group("port", (Some(id), Some(says)), |canvas| {
                port(canvas, at, worst.map(|of| of.supply));
            });
            labels.keep_clear(at, 2.0 * PORT);
        }
    }

    /// What was open together, in the order of how long; returns where that ends.
    fn list(&self, canvas: &mut Canvas, (x, y): (f64, f64), room: f64, dust: &DustFindings) -> f64 {
        let bold = Font::BODY.bold(true);
        let mut y = y + BODY / 2.0;
        canvas.text(&capital(&dust.collector), (x, y), room, bold);
        y += BODY + 6.0;
        let all: Vec<&GatesOpen> = sets(dust).collect();
        let mut says: Vec<(String, Colour)> = (all.iter().take(TOLD))
            .map(|gates| (self.of_gates(dust, gates), TEXT))
            .collect();
        if all.is_empty() {
            says.push(("It is never needed in the runs.".to_owned(), FAINT));
        }
        if all.len() > TOLD {
            let more = format!(
                "{} more sets of open gates: see the table of dust.",
                all.len() - TOLD
            );
            says.push((more, FAINT));
        }
        for (text, colour) in says {
            for line in wrap(&text, BODY, false, room, 6) {
                canvas.text(&line, (x, y), room, Font::BODY.colour(colour));
                y += BODY + 4.0;
            }
            y += 4.0;
            canvas.may_break(y);
        }
        y + 6.0
    }

    /// "Gate of the planer open, 52 % of the time: 380 cfm at the planer (wants 400, starved); slowest main up to planer,
    /// 2216 ft/min, settles."
    fn of_gates(&self, dust: &DustFindings, gates: &GatesOpen) -> String {
        let names: Vec<String> = gates
            .open
            .iter()
            .map(|&nth| with_the(dust.station(nth)))
            .collect();
        let which = match &names[..] {
            [] => {
                return format!(
                    "All gates shut, {} of the time: no air moves.",
                    about::share(gates.share)
                );
            }
            [one] => format!("gate of {one} open"),
            several => format!("gates of {} open", listed(several, "and")),
        };
        let stations = gates.clean.stations.iter().map(|of| {
            let state = match of.supply {
                Supply::Enough => "",
                Supply::Short => ", short of what is good",
                Supply::Starved => ", starved",
            };
            format!(
                "{} of {} at {}{state}",
                airflow(self.units, of.airflow),
                airflow(self.units, of.wanted.least),
                with_the(dust::station_name(dust, of.station))
            )
        });
        let stations: Vec<String> = stations.collect();
        let slowest = gates.clean.slowest().map(|section| {
            format!(
                "; slowest {}: {}, {}",
                dust::part_name(dust, section.part),
                velocity(self.units, section.velocity),
                section.state.in_words()
            )
        });
        capital(&format!(
            "{which}, {} of the time: {}{}.",
            about::share(gates.share),
            listed(&stations, "and"),
            slowest.unwrap_or_default()
        ))
    }
}
