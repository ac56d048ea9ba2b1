//! Three lessons as pages to print: a sheet for each pupil, and one key behind all of them.

mod charts;
mod key;
mod numbers;
mod plans;
mod templates;

use minijinja::{Error, Value, context};

use super::listed;
use crate::lesson::{LessonLevel, LessonNames, LessonSheet, WalkingExercise};
use crate::scenario::printable_name;
use plans::letter;
use templates::Templates;

/// What is the same on all pages of a set.
pub struct LessonSet<'a> {
    pub title: &'a str,
    pub names: &'a LessonNames,
    pub level: &'a LessonLevel,
    pub seed: u64,
}

/// What is printed fits A4 and Letter with margins of 11 mm: the width of a page, and of each of two pictures beside each
/// other.
const WIDTH_MM: f64 = 186.0;
const HALF_MM: f64 = 80.0;
/// The plan before, and the one after.
const BEFORE_MM: f64 = 68.0;
/// A square of the room to cut out.
const SQUARE_MM: f64 = 13.5;

/// The page as HTML that needs nothing beside it: the pupils' sheets first, then the key.
///
/// # Errors
/// What is wrong with the pages that come with the program.
pub fn html(set: &LessonSet<'_>, sheets: &[LessonSheet]) -> Result<String, Error> {
    let pages = Pages {
        set,
        templates: Templates::new()?,
        title: printable_name(set.title).into_owned(),
        product: printable_name(&set.names.product).into_owned(),
        places: named(set.names.first(set.level.places)),
    };
    let mut sections = String::new();
    for sheet in sheets {
        sections.push_str(&pages.walking(sheet)?);
        sections.push_str(&pages.line(sheet)?);
        sections.push_str(&pages.two_ways(sheet)?);
        sections.push_str(&pages.cut_out(sheet)?);
        sections.push_str(&pages.before_after(sheet)?);
    }
    for sheet in sheets {
        sections.push_str(&pages.key(sheet)?);
    }
    pages.templates.whole(
        "frame.html",
        context! { title => pages.title, sections => Value::from_safe_string(sections) },
    )
}

struct Pages<'a> {
    set: &'a LessonSet<'a>,
    templates: Templates,
    title: String,
    product: String,
    /// What the places of the first and of the third lesson are called.
    places: Vec<String>,
}

impl Pages<'_> {
    /// What is said of every sheet.
    fn about(&self, sheet: &LessonSheet) -> Value {
        /// As many lines as a page has room for; those that go beyond its end are cut off.
        const LINES: usize = 14;
        context! {
            title => &self.title,
            number => sheet.number,
            level => self.set.level.number,
            seed => self.set.seed,
            product => &self.product,
            places => self.legend(),
            lines => vec![0; LINES],
        }
    }

    /// Heading and cautions, with which each lesson begins.
    fn first(&self, sheet: &LessonSheet, heading: &str) -> Result<Value, Error> {
        let about = self.about(sheet);
        self.templates
            .part("first.html", context! { heading, ..about })
    }

    fn legend(&self) -> Vec<Value> {
        let places = self.places.iter().enumerate();
        places
            .map(|(place, name)| context! { letter => letter(place), name })
            .collect()
    }

    fn walking(&self, sheet: &LessonSheet) -> Result<String, Error> {
        let (exercise, _) = &sheet.walking;
        let plan = |points: &[_]| plans::dots(&self.templates, exercise.grid, points, &[], HALF_MM);
        let parts = exercise.parts.iter().zip(1..);
        let parts: Vec<Value> = parts
            .map(|(part, number)| {
                let route: Vec<String> = part.route.iter().map(|&place| letter(place)).collect();
                context! { name => format!("part {number}"), pieces => part.pieces, route => route.join(" → ") }
            })
            .collect();
        self.templates.whole(
            "walking.html",
            context! {
                first => self.first(sheet, "Lesson 1: walking and flow")?,
                products => exercise.products,
                carried => exercise.carried,
                parts,
                today => plan(&exercise.today)?,
                proposed => plan(&exercise.proposed())?,
                exchanged => self.exchanged(exercise),
                charts => charts::from_to(self.places.len(), &[]),
                ..self.about(sheet)
            },
        )
    }

    fn exchanged(&self, exercise: &WalkingExercise) -> String {
        let (one, other) = exercise.exchanged;
        let (one, other) = (one.min(other), one.max(other));
        format!("{} and {} change places", letter(one), letter(other))
    }

    fn line(&self, sheet: &LessonSheet) -> Result<String, Error> {
        let (exercise, _) = &sheet.line;
        let names = self.machines();
        let machines = names.iter().zip(&exercise.minutes);
        let machines: Vec<Value> = machines
            .map(|(name, minutes)| context! { name, minutes })
            .collect();
        self.templates.whole(
            "line.html",
            context! {
                first => self.first(sheet, "Lesson 2: bottleneck and queues")?,
                in_words => listed(&names, "and"),
                machines,
                orders => &exercise.arrivals,
                count => exercise.arrivals.len(),
                ..self.about(sheet)
            },
        )
    }

    /// What the machines of the line are called: the places behind that of the material.
    fn machines(&self) -> Vec<String> {
        let machines = self.places.iter().skip(1).take(self.set.level.machines);
        machines.cloned().collect()
    }

    /// What the stations of the second product are called, in the order of the exercise. Its work is that of a chest, whatever
    /// is built in the scenario, so that only the place where glue dries is from there.
    fn stations(&self) -> Vec<String> {
        let glue_table = printable_name(&self.set.names.glue_table).into_owned();
        let joining = match &*glue_table {
            "workbench" => "assembly bench",
            _ => "workbench",
        };
        let others: &[&str] = match self.set.level.more_steps {
            true => &["planer", "table saw", "sander", joining],
            false => &["table saw", joining],
        };
        let others = others.iter().map(|name| (*name).to_owned());
        std::iter::once(glue_table).chain(others).collect()
    }

    fn two_ways(&self, sheet: &LessonSheet) -> Result<String, Error> {
        /// About so many squares are drawn for bars.
        const SQUARES: i64 = 31;
        let (exercise, _) = &sheet.two_ways;
        let stations = self.stations();
        let all = exercise.dry + exercise.work().iter().sum::<i64>() - exercise.shape;
        let square = if all > 5 * (SQUARES - 1) { 10 } else { 5 };
        let bars = plans::bars(&self.templates, SQUARES, WIDTH_MM)?;
        let mut at = stations.iter();
        let mut step = |what: &str, minutes: i64| {
            let place = at.next().map_or("", String::as_str);
            context! { what, place, minutes }
        };
        let mut steps = vec![step("lid: glue", exercise.glue)];
        steps
            .push(context! { what => "lid: dries", place => "set aside", minutes => exercise.dry });
        steps.extend(exercise.plane.map(|minutes| step("lid: flatten", minutes)));
        steps.push(step("ends: shape", exercise.shape));
        steps.extend(exercise.sand.map(|minutes| step("ends: smooth", minutes)));
        steps.push(step("put together", exercise.join));
        self.templates.whole(
            "two_ways.html",
            context! {
                first => self.first(sheet, "Lesson 2, second sheet: the busiest")?,
                steps,
                square,
                bars,
                stations,
                ..self.about(sheet)
            },
        )
    }

    fn cut_out(&self, sheet: &LessonSheet) -> Result<String, Error> {
        let (exercise, _) = &sheet.redesign;
        let width = plans::in_scale(exercise.room, SQUARE_MM);
        self.templates.whole(
            "cut_out.html",
            context! {
                first => self.first(sheet, "Lesson 3: redesign and defend")?,
                room => plans::room(&self.templates, exercise, &[], width)?,
                pieces => plans::pieces(&self.templates, exercise, width)?,
                ..self.about(sheet)
            },
        )
    }

    fn before_after(&self, sheet: &LessonSheet) -> Result<String, Error> {
        let (exercise, [before, _]) = &sheet.redesign;
        let loads = exercise.loads.iter().map(|load| {
            context! {
                from => self.lettered(load.from),
                to => self.lettered(load.to),
                trips => load.trips,
            }
        });
        let (finding_count, them) = match before.mistakes.len() {
            1 => ("is one".to_owned(), "it"),
            count => (format!("are {count}"), "them"),
        };
        self.templates.whole(
            "before_after.html",
            context! {
                before => plans::room(&self.templates, exercise, &exercise.before, BEFORE_MM)?,
                after => plans::room(&self.templates, exercise, &[], BEFORE_MM)?,
                finding_count,
                them,
                loads => loads.collect::<Vec<Value>>(),
                ..self.about(sheet)
            },
        )
    }

    fn lettered(&self, place: usize) -> String {
        format!("{} {}", letter(place), self.places[place])
    }
}

fn named(names: Vec<String>) -> Vec<String> {
    let names = names.iter();
    names
        .map(|name| printable_name(name).into_owned())
        .collect()
}
