//! The answer key of one sheet.

use minijinja::{Error, Value, context};

use super::numbers::by_hand;
use super::plans::{self, letter};
use super::{Pages, charts};
use crate::lesson::{BrokenRule, JudgedPlan, LessonSheet, Mistake};
use crate::report::listed;

/// A plan in the key is so wide.
const PLAN_MM: f64 = 58.0;

impl Pages<'_> {
    pub(super) fn key(&self, sheet: &LessonSheet) -> Result<String, Error> {
        let (walking, walked) = &sheet.walking;
        let (redesign, [before, after]) = &sheet.redesign;
        let dots = |points: &[_]| {
            plans::dots(
                &self.templates,
                walking.grid,
                points,
                &walked.cells,
                PLAN_MM,
            )
        };
        let room = |spots: &[_]| plans::room(&self.templates, redesign, spots, PLAN_MM);
        self.templates.whole(
            "key.html",
            context! {
                charts => charts::from_to(self.places.len(), &walked.cells),
                today => dots(&walking.today)?,
                proposed => dots(&walking.proposed())?,
                walking => walking_key(sheet),
                machines => self.machine_keys(sheet),
                orders => order_keys(sheet),
                line => self.line_key(sheet),
                ways => self.ways_key(sheet),
                before => room(&redesign.before)?,
                after => room(&redesign.after)?,
                loads => load_keys(sheet),
                plan => self.plan_key(before, after),
                ..self.about(sheet)
            },
        )
    }

    fn machine_keys(&self, sheet: &LessonSheet) -> Vec<Value> {
        let (_, answer) = &sheet.line;
        let names = self.machines().into_iter().enumerate();
        names
            .map(|(machine, name)| {
                let with = &answer.one_more[machine];
                context! {
                    name,
                    utilisation => by_hand(answer.utilisation[machine]),
                    waited => by_hand(answer.waited[machine]),
                    queue => by_hand(answer.queues[machine]),
                    all_done => by_hand(with.all_done),
                    mean_lead => by_hand(with.mean_lead),
                }
            })
            .collect()
    }

    fn line_key(&self, sheet: &LessonSheet) -> Value {
        let (_, answer) = &sheet.line;
        let names = self.machines();
        let relieved = answer.one_more.iter().enumerate();
        let best =
            relieved.min_by(|(_, one), (_, other)| one.mean_lead.total_cmp(&other.mean_lead));
        context! {
            all_done => by_hand(answer.all_done),
            mean_lead => by_hand(answer.mean_lead),
            per_hour => by_hand(answer.per_hour),
            in_line => by_hand(answer.in_line),
            bottleneck => best.map(|(machine, _)| &names[machine]),
            relieved => best.map(|(_, with)| by_hand(with.mean_lead)),
        }
    }

    fn ways_key(&self, sheet: &LessonSheet) -> Value {
        let (exercise, answer) = &sheet.two_ways;
        let lid = exercise.glue + exercise.dry + exercise.plane.unwrap_or(0);
        let ends = exercise.shape + exercise.sand.unwrap_or(0);
        let names = self.stations();
        let shares = names.iter().zip(&answer.utilisation);
        let shares: Vec<String> = shares
            .map(|(name, share)| format!("{name} {} %", by_hand(*share)))
            .collect();
        context! {
            lid,
            ends,
            slack => lid - ends,
            done => by_hand(answer.done),
            utilisation => listed(&shares, "and"),
            busiest => &names[exercise.shaping()],
            shaped => by_hand(answer.shaped_sooner),
            shaped_saved => by_hand(answer.done - answer.shaped_sooner),
            dried => by_hand(answer.dried_sooner),
            dried_saved => by_hand(answer.done - answer.dried_sooner),
        }
    }

    fn plan_key(&self, before: &JudgedPlan, after: &JudgedPlan) -> Value {
        let mistakes: Vec<String> = before.mistakes.iter().map(mistake_in_words).collect();
        context! {
            before_m => by_hand(before.walked_m),
            after_m => by_hand(after.walked_m),
            saved => by_hand(before.walked_m - after.walked_m),
            mistakes => listed(&mistakes, "and"),
        }
    }
}

fn walking_key(sheet: &LessonSheet) -> Value {
    let (exercise, answer) = &sheet.walking;
    let [today, proposed] = answer.loaded_m.map(by_hand);
    let [all_today, all_proposed] = answer.walked_m.map(by_hand);
    context! {
        today,
        proposed,
        saved => by_hand(answer.saved_m),
        saved_day => by_hand(answer.saved_m * exercise.products as f64),
        minutes => by_hand(answer.saved_min),
        all_today,
        all_proposed,
    }
}

fn order_keys(sheet: &LessonSheet) -> Vec<Value> {
    let (exercise, answer) = &sheet.line;
    let orders = exercise
        .arrivals
        .iter()
        .zip(&answer.visits)
        .zip(&answer.leads);
    orders
        .map(|((came, visits), &lead)| {
            let visits = visits.iter().map(|visit| {
                context! { begins => by_hand(visit.begins), ends => by_hand(visit.ends) }
            });
            context! { came, visits => visits.collect::<Vec<Value>>(), lead => by_hand(lead) }
        })
        .collect()
}

fn load_keys(sheet: &LessonSheet) -> Vec<Value> {
    let (exercise, [before, after]) = &sheet.redesign;
    let metres = before.metres.iter().zip(&after.metres);
    let loads = exercise.loads.iter().zip(metres);
    loads
        .map(|(load, (&before, &after))| {
            context! {
                from => letter(load.from),
                to => letter(load.to),
                trips => load.trips,
                before => by_hand(before),
                after => by_hand(after),
            }
        })
        .collect()
}

fn mistake_in_words(mistake: &Mistake) -> String {
    let place = letter(mistake.place);
    match mistake.rule {
        BrokenRule::Panel => format!("{place} stands before the electrical panel"),
        BrokenRule::Standing => format!("nobody can stand at {place}"),
        BrokenRule::CutOff => format!("no way leads from the door to {place}"),
    }
}
