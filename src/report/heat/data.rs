//! Heat as data: °C, W, W/K, J, m³/s and s.

use serde_json::{Map, Value, json};

use crate::experiment::{ExhaustHeat, HeatFindings, MoistureFindings, MonthHeat};

/// The `heat` of a candidate.
pub fn json(heat: &HeatFindings) -> Value {
    let losses: Map<String, Value> = (heat.losses.iter())
        .map(|(name, loss)| (name.clone(), json!(loss)))
        .collect();
    let sum: f64 = heat.losses.iter().map(|(_, loss)| loss).sum();
    json!({
        "open_c": heat.open,
        "shut_c": heat.shut,
        "heater_w": heat.heater,
        "loss_w_k": sum,
        "loss_of_parts_w_k": losses,
        "longest_pause_s": heat.pause,
        "months": heat.months.iter().map(month).collect::<Vec<Value>>(),
        "moisture": heat.moisture.as_ref().map(moisture),
        "exhausts": heat.exhausts.iter().map(exhaust).collect::<Vec<Value>>(),
    })
}

fn moisture(of: &MoistureFindings) -> Value {
    json!({
        "outdoors_humidity": of.outdoors,
        "shop_humidity": of.humidity,
        "wood_in_shop": of.in_shop,
        "wood_in_house": of.in_house,
        "widest": of.widest.as_ref().map(|widest| json!({
            "name": widest.name,
            "width_m": widest.width,
            "grows_in_house_m": widest.grows,
        })),
    })
}

fn month(of: &MonthHeat) -> Value {
    let mut value = json!({
        "month": of.month,
        "outside_c": of.outside,
        "loss_w": of.loss,
    });
    if let Some(week) = &of.week {
        value["warm_up_s"] = json!(week.warm_up);
        value["reaches_c"] = json!(week.reaches);
        value["coldest_air_c"] = json!(week.coldest[0]);
        value["coldest_mass_c"] = json!(week.coldest[1]);
        value["opening_air_c"] = json!(week.opening[0]);
        value["opening_mass_c"] = json!(week.opening[1]);
        value["closing_mass_c"] = json!(week.closing_mass);
        value["night_mass_c"] = json!(week.night_mass);
        value["mass_above_10_c_s"] = json!(week.stays_warm);
    }
    value
}

fn exhaust(of: &ExhaustHeat) -> Value {
    json!({
        "collector": of.collector,
        "airflow_m3_s": of.airflow,
        "time_s": of.seconds,
        "loss_w": of.loss,
        "energy_j": of.energy,
    })
}
