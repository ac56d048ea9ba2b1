//! Who lifts what is too heavy for one.

use crate::floor::Limits;
use crate::scenario::fields::Fields;
use crate::scenario::problem::Problem;
use crate::shop::{Choice, OperationId, Person, PersonId, Project, ProjectId, Table};

/// Calls a second person for work whose pieces two lift together, where they are too heavy for one as they come to that
/// step and two people can do it. Where no two can, `check` says so.
pub fn call_second(
    fields: &Fields,
    projects: &mut Table<ProjectId, Project>,
    (crew, operations): (&Table<PersonId, Person>, &Table<OperationId, String>),
    limits: &Limits,
) {
    let lifts = |choice: &Choice| choice.work.lifts_together;
    let are_two = |operation| crew.iter().filter(|one| one.can_do(operation)).count() >= 2;
    for id in projects.ids() {
        let project = &mut projects[id];
        for item in &mut project.items {
            let masses: Vec<_> = (item.route.iter()).map(|step| item.mass_at(step)).collect();
            for (step, mass) in item.route.iter_mut().zip(masses) {
                let Some(mass) = mass else {
                    if let Some(choice) = step.choices.iter().find(|choice| lifts(choice)) {
                        let operation = &operations[choice.work.operation];
                        warn_of_unknown(fields, &project.name, &item.name, operation);
                    }
                    continue;
                };
                if limits.one_can_lift(mass.kilograms()) {
                    continue;
                }
                for choice in step.choices.iter_mut().filter(|choice| lifts(choice)) {
                    let work = &mut choice.work;
                    if work.people == 1 && are_two(work.operation) {
                        work.people = 2;
                    }
                }
            }
        }
    }
}

fn warn_of_unknown(fields: &Fields, project: &str, item: &str, operation: &str) {
    let projects = fields.get("projects");
    let Some(entry) = projects.and_then(|projects| projects.entry(project)) else {
        return;
    };
    let what = format!(
        "how heavy `{item}` is at `{operation}` is not known, so nobody is called to lift it"
    );
    fields.sink.report(
        Problem::warning(&entry.key.span, what).hint(
            "say its size: `rough: [length, width, thickness]`; the mass follows by `density`",
        ),
    );
}
