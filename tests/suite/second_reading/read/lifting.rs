//! Who lifts what is too heavy for one.

use super::super::shop::Shop;

/// Reading: a second person is there from the beginning of a step to its end where one piece, as it comes to it, is heavier
/// than one person lifts, and two people can do it; otherwise one person does it as always.
pub(super) fn call_second(shop: &mut Shop, one_lifts_kg: f64) {
    let crew = &shop.crew;
    let able = |op: &String| {
        let can = crew.iter().map(|person| person.can.as_ref());
        can.filter(|can| can.is_none_or(|can| can.contains(op)))
            .count()
    };
    for line in shop
        .projects
        .iter_mut()
        .flat_map(|project| &mut project.lines)
    {
        for (step, kg) in line.route.iter_mut().zip(&line.piece_kg) {
            let is_called = kg.is_some_and(|kg| kg > one_lifts_kg) && able(&step.op) > 1;
            for (_, work) in step.at.iter_mut().filter(|_| is_called) {
                if work.lifts_together && work.people == 1 {
                    work.people = 2;
                }
            }
        }
    }
}
