//! What a lesson takes of the scenario that it is made from: what its places and its product are called.

use crate::experiment::Study;
use crate::shop::{Shop, StationId};

/// Places of the largest lesson.
const MOST_PLACES: usize = 6;

/// Where a scenario has too few stations of its own.
const INVENTED: [&str; MOST_PLACES] = [
    "lumber rack",
    "table saw",
    "planer",
    "drill press",
    "sander",
    "workbench",
];
const INVENTED_GLUE_TABLE: &str = "glue table";

/// Names of the scenario for lessons.
#[derive(Debug, Clone)]
pub struct LessonNames {
    /// What is built.
    pub product: String,
    /// Where the material lies, then stations in the order in which work comes to them.
    pub places: Vec<String>,
    /// Where something is glued and dries.
    pub glue_table: String,
}

impl LessonNames {
    pub fn of(study: &Study) -> LessonNames {
        let shop = &*study.candidates[0].shop;
        let glue_table = glue_table(shop);
        let mut places: Vec<String> = Vec::new();
        // What nobody works at, such as a heater, is no place of a lesson.
        for name in in_order_of_work(shop).chain(INVENTED) {
            let is_new = places.iter().all(|known| known != name) && name != glue_table;
            if is_new && places.len() < MOST_PLACES {
                places.push(name.to_owned());
            }
        }
        let mut ordered = shop.ordered_projects();
        let product = ordered.next().map_or("stool", |(_, project)| &project.name);
        LessonNames {
            product: product.to_owned(),
            places,
            glue_table: glue_table.to_owned(),
        }
    }

    /// So many places, the first where the material lies.
    pub fn first(&self, count: usize) -> Vec<String> {
        self.places.iter().take(count).cloned().collect()
    }
}

/// Where material lies, then the first choice of every step.
fn in_order_of_work(shop: &Shop) -> impl Iterator<Item = &str> {
    let racks = (shop.ordered_items())
        .filter_map(|item| item.lies_at())
        .take(1)
        .map(|place| shop.place_name(place));
    let steps = shop.ordered_items().flat_map(|item| &item.route);
    let stations = steps.filter_map(|step| step.choices.first());
    racks.chain(stations.map(|choice| station_name(shop, choice.station)))
}

fn glue_table(shop: &Shop) -> &str {
    let mut work = shop.ordered_work();
    work.find(|(_, work)| work.cure.is_some())
        .map_or(INVENTED_GLUE_TABLE, |(station, _)| {
            station_name(shop, station)
        })
}

fn station_name(shop: &Shop, station: StationId) -> &str {
    &shop.stations[station].name
}
