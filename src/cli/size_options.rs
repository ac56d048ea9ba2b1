//! What `shopstride size` is asked for.

use clap::{Args, Subcommand};

use crate::scenario::sizing::{self, HeatDoor, SaidLoad, SaidPort, SizedRoom};
use crate::services::air::{FanCurve, RatedLoss};
use crate::services::light::Surfaces;

#[derive(Debug, Args)]
pub struct SizeOptions {
    #[command(subcommand)]
    pub what: SizeWhat,
}

#[derive(Debug, Subcommand)]
pub enum SizeWhat {
    /// How many lamps, and where they hang.
    Light(SizeLightOptions),
    /// Which loads could share a circuit, and what runs together: for your electrician.
    Power(SizePowerOptions),
    /// How large a heater, where the heat goes, and how warm boards and glue get.
    Heat(SizeHeatOptions),
    /// How wide a main for a dust collector, and what each machine gets.
    Dust(SizeDustOptions),
}

#[derive(Debug, Args)]
pub struct SizeLightOptions {
    /// The room inside, such as "12 ft x 22 ft x 8 ft" or "6 m x 4 m"; a third length is the height of the ceiling.
    #[arg(long, value_name = "SIZE", value_parser = sizing::room)]
    pub room: SizedRoom,
    /// What a lamp gives.
    #[arg(long, value_name = "LIGHT", default_value = "4500 lm", value_parser = sizing::light_output)]
    pub lumens: f64,
    /// What is wanted at bench height: 300 lx to store and assemble, 500 at machines, 750 for fine work.
    #[arg(long, value_name = "LIGHT", default_value = "500 lx", value_parser = sizing::illuminance)]
    pub wanted: f64,
    /// What ceiling, walls and floor send back, such as "80 %, 50 %, 20 %". Default: 60 % of all light reaches the bench.
    #[arg(long, value_name = "SHARES", value_parser = sizing::surfaces)]
    pub reflects: Option<Surfaces>,
    /// How far below the ceiling lamps hang.
    #[arg(long, value_name = "LENGTH", default_value = "4 in", value_parser = sizing::length)]
    pub below_ceiling: f64,
}

#[derive(Debug, Args)]
pub struct SizePowerOptions {
    /// What is plugged in, such as "table saw: 1.75 hp, 120 V, 15 A" or "heater: 4 kW, 240 V"; may be given again. Motors
    /// in hp, heaters and lamps in W; `along` for what runs while somebody works elsewhere, `continuous` for what runs for
    /// hours. Of a kind that `shopstride kinds` lists the name is enough.
    #[arg(long, value_name = "LOAD", required = true, value_parser = sizing::load)]
    pub load: Vec<SaidLoad>,
    /// How many people work at machines at one time.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=3))]
    pub people: u8,
    /// What a circuit of 120 V that is shared is rated for.
    #[arg(long, value_name = "CURRENT", default_value = "20 A", value_parser = sizing::current)]
    pub rating: f64,
}

#[derive(Debug, Args)]
pub struct SizeHeatOptions {
    /// The room inside, such as "12 ft x 22 ft x 8 ft" or "6 m x 4 m"; a third length is the height of the ceiling.
    #[arg(long, value_name = "SIZE", value_parser = sizing::room)]
    pub room: SizedRoom,
    /// How cold it is outdoors on the days that count, such as "28 F" or "-5 C".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = sizing::temperature)]
    pub outside: f64,
    /// How warm it is to be.
    #[arg(long, value_name = "TEMPERATURE", default_value = "62 F", value_parser = sizing::temperature)]
    pub inside: f64,
    /// How warm it is when warming up begins. Default: 45 F, or as outdoors where that is warmer.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = sizing::temperature)]
    pub start: Option<f64>,
    /// How long warming up may take.
    #[arg(long, value_name = "TIME", default_value = "1 h", value_parser = sizing::time)]
    pub warm_up: f64,
    /// By how much walls keep heat in: "r 12" for studs with batts, "r 4.6" for bare ones; or "u 0.5" in W/(m² K).
    #[arg(long, value_name = "R", default_value = "r 12", value_parser = sizing::insulation)]
    pub walls: f64,
    /// The same of the ceiling: "r 20" with batts, "r 3.3" bare.
    #[arg(long, value_name = "R", default_value = "r 20", value_parser = sizing::insulation)]
    pub ceiling: f64,
    /// A door, such as "9 ft x 7 ft, r 5"; may be given again.
    #[arg(long, value_name = "DOOR", value_parser = sizing::heat_door)]
    pub door: Vec<HeatDoor>,
    /// How often an hour the air of the room leaks out.
    #[arg(long, value_name = "N", default_value = "1", value_parser = sizing::air_changes)]
    pub air_changes: f64,
    /// How long the edge of a slab is that lies outdoors; 0 for a wooden floor. Default: all around.
    #[arg(long, value_name = "LENGTH", value_parser = sizing::length)]
    pub slab_edge: Option<f64>,
    /// What a collector or fan throws outdoors while it runs, such as "500 cfm".
    #[arg(long, value_name = "AIRFLOW", default_value = "0 cfm", value_parser = sizing::airflow)]
    pub exhaust: f64,
}

#[derive(Debug, Args)]
pub struct SizeDustOptions {
    /// A machine's port, such as "planer: 4 in, 400 cfm to 785 cfm, 25 ft": its size, the air that it wants, and how far
    /// from the collector along the main its branch is; may be given again. Of a kind that `shopstride kinds` lists the last
    /// is enough: "planer: 25 ft".
    #[arg(long, value_name = "PORT", required = true, value_parser = sizing::port)]
    pub port: Vec<SaidPort>,
    /// What the collector's fan does: points of its maker's curve, such as "0 cfm 8.5 inH2O, 400 cfm 7 inH2O, 1000 cfm 0".
    /// Without one it is said what it would have to do.
    #[arg(long, value_name = "POINTS", value_parser = sizing::curve)]
    pub curve: Option<FanCurve>,
    /// What its filter loses while clean, such as "1 inH2O at 600 cfm".
    #[arg(long, value_name = "LOSS", requires = "curve", value_parser = sizing::rated_loss)]
    pub filter: Option<RatedLoss>,
    /// By how many times more the filter loses than clean: 3 is dirty.
    #[arg(long, value_name = "TIMES", requires = "filter", default_value_t = 1.0, value_parser = sizing::dirt)]
    pub dirt: f64,
    /// What a separator before the fan loses, such as "2.5 inH2O at 800 cfm".
    #[arg(long, value_name = "LOSS", requires = "curve", value_parser = sizing::rated_loss)]
    pub separator: Option<RatedLoss>,
    /// Of pipe from the main to a port.
    #[arg(long, value_name = "LENGTH", default_value = "5 ft", value_parser = sizing::length)]
    pub drop: f64,
    /// Of hose at a port.
    #[arg(long, value_name = "LENGTH", default_value = "5 ft", value_parser = sizing::length)]
    pub hose: f64,
}
