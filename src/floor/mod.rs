//! Where things stand, and how far it is from one standing place to another.

pub mod access;
mod bisection;
mod capacity;
pub mod check;
mod choke_point;
mod distances;
mod door_recess;
mod evaluate;
mod feed_fact;
mod finding;
mod floor_state;
mod foot_paths;
mod free_place;
mod handling;
pub mod hauling;
mod heights;
mod limits;
mod near_gap;
mod passing;
mod paths;
mod placement;
mod plan;
mod point;
mod polygon;
mod premises;
mod rolled_out;
mod room;
mod rule_id;
mod sag;
mod set_out;
mod shapes;
mod shift;
mod site;
mod standing_places;
pub mod strips;
mod tolerance;
mod walls;

pub(crate) use bisection::largest;
pub use capacity::{
    KeptPiece, MachineCapacity, SheetCapacity, Shortfall, StationShift, StockSizes, capacities,
    kept_pieces, machine_capacities, pieces_refused,
};
pub use choke_point::ChokePoint;
pub use distances::{Disconnected, Distances, Manner, chains};
pub use evaluate::{Evaluation, Flow, FlowLeg, Placements, Prices, Score};
pub use finding::{
    AccessFact, AccessHelp, Away, Between, Cargo, Direction, Fact, FedAtTable, FedPiece, FeedFact,
    FeedHazard, Finding, FindingLevel, FindingSubject, Grade, Held, Instead, Kickback, Lowered,
    MassSource, Passage, RuleId, SeenSide, Shift, SpareOf, Spot,
};
pub use floor_state::FloorState;
pub use foot_paths::FootPaths;
pub use free_place::{roomy_floor, roomy_place};
pub use handling::{IndoorVerdict, IndoorWay, Tightest, indoor_ways};
pub use handling::{MachineVerdict, MachineWay, machine_ways};
pub use heights::HeightRange;
pub use limits::{LIMITS, LimitRow, LimitUnit, Limits};
pub use near_gap::{NEAR_M, NearGap, TakenWay, WORTH_TELLING};
pub use paths::{AllPairs, Blocked, FreeSpace, Narrowest, Obstruction, Passages, Path, Piece};
pub use paths::{Move, Moved, Outcome, Trip, Trips};
pub use placement::{Placement, Pose, STAND_OFF_M, Side};
pub use plan::{Going, NoWay, Obstacle, PlacedStand, Plan, RolledOut};
pub use point::Point;
pub use polygon::{NotAnOutline, Polygon, nearest_on_segment, outward, segments_meet};
pub use premises::Premises;
pub use rolled_out::shared_floor;
pub use room::{AccessRoute, Door, KeptKind, KeptThing, Panel, Room, Stair, Stock, Thing};
pub use set_out::{
    Opening, SetOut, TapedFloor, TapedPlace, TapedStation, WallLine, taped_floor, taped_places,
};
pub use shapes::AxisBox;
pub use site::Site;
pub use tolerance::{FITS_M, SAME_POINT_M};
pub use walls::{BandUse, WallUse, wall_uses};
