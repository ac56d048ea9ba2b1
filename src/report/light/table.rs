//! The light of each station.

use super::lux;
use crate::experiment::LightFindings;
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::tables::{note, table as grid, text};

/// Nothing where nobody says anything of light, or where its lamps are.
pub fn table(light: Option<&LightFindings>, width: u16) -> Option<String> {
    let light = light.filter(|light| !light.stations.is_empty())?;
    let header = ["station", "light", "without\na body", "wanted"];
    let mut table = grid(&header, 1, width);
    for station in &light.stations {
        let usual = if station.is_wanted_usual {
            "\n(usual)"
        } else {
            ""
        };
        table.add_row([
            station.name.clone(),
            lux(station.illuminance),
            lux(station.without_body),
            format!("{}{usual}", lux(station.wanted)),
        ]);
    }
    let usual = match light.is_utilisation_usual {
        true => ", as is usual: `surfaces` would say it",
        false => "",
    };
    let remark = format!(
        "In the middle of each top, of lamps that are dusty, behind the body of whoever stands there. Of {} lm {} reaches the plane 36 in up{usual}: {} in the mean. Wanted where nobody says so: 500 lx, for work at machines (EN 12464-1, from memory); old eyes and fine work want more.",
        fixed(light.lumens, 0),
        about::share(light.utilisation),
        lux(light.mean),
    );
    Some(format!("{}{}", text(table), note(&remark, width)))
}
