//! One shop on every candidate, many times: what is asked, and what was found.

mod against_expectation;
mod aggregate;
mod air;
mod bottleneck_shares;
mod busiest;
mod calendar_sums;
mod changes;
mod class_study;
mod comparison;
mod completion;
mod current;
mod doubted_places;
mod draws;
mod edit;
mod estimates;
mod findings;
mod first_difference;
mod first_move;
mod heat;
mod heat_course;
mod in_time;
mod layout_findings;
mod leg_paths;
mod legs;
mod light;
mod memory;
mod near_gaps;
mod other_floors;
mod overload;
mod placed;
mod possible_ways;
mod project_sums;
mod queue_levels;
mod quick_look;
mod ranking;
mod relief;
mod relief_sums;
mod replications;
mod resource_sums;
mod run;
mod selection;
mod sensitivity;
mod service_runs;
mod sound;
mod study;
mod time_breakdown;
mod timeline;
mod typical_values;
mod wood_moisture;
mod worked_weeks;

pub use against_expectation::{MoreTakesLonger, more_takes_longer};
pub use air::{AirHelp, DustFindings, GatesOpen, PipeHelp, SlowestAir, duct_figures};
pub use changes::{Changes, Untried, WhyNot};
pub use class_study::{ClassLayout, ClassStudy, ClassWork, OtherShop, ShopPart};
pub use comparison::{Comparison, CompletionChange, ProjectComparison};
pub use current::{
    CircuitCurrents, CircuitCurve, CircuitFindings, Combination, CordFindings, CurrentStep,
    LoadFindings, OverRating, PanelFindings, PowerFindings, Replug, VoltageDrop,
};
pub use doubted_places::{PlacesDoubt, doubt_places};
pub use draws::{DRAWS, LITTLE, REPLICATIONS, Standing, doubt_replications};
pub use edit::{BOLD_CUT, Edit, ReliefKind, SMALL_CUT, Trial, half_more};
pub use findings::{
    ActiveShares, CandidateFindings, CandidateHours, Completion, DiagnosedTime, Findings,
    GearFindings, InTime, Leg, OrderSessions, PersonFindings, ProjectFindings, ProjectHours,
    ProjectSelection, Resource, ResourceKind, StationFindings, WaitingFor, WalkedMetres,
    WorkAtStation,
};
pub use first_difference::{Blocker, Delayed, Departure, FirstDifference, TaskName};
pub use first_move::{
    FirstMove, Rearrangement, Unlike, WORTH_A_MOVE, farthest_move, rearrangement,
};
pub use heat::{ExhaustHeat, GLUE_WANTS, HeatFindings, MonthHeat, WeekHeat};
pub use heat_course::{HeatCourse, HeatPlace};
pub use layout_findings::{LayoutFindings, check_layout};
pub use leg_paths::{LegPath, flow, leg_paths, widths};
pub use legs::{CHECKED, checked_legs};
pub use light::{LightFindings, StationLight};
pub use memory::Memory;
pub use near_gaps::near_gaps;
pub use placed::flow_if_placed;
pub use possible_ways::judged_flow;
pub use queue_levels::WaitingLots;
pub use quick_look::quick_look;
pub use ranking::{RankedBy, RankedStudy, rank};
pub use relief::{Interrupted, Reliefs, relieve, replications};
pub use relief_sums::{Goal, ProjectRelief, Relief};
pub use replications::{DIAGNOSED, Failure};
pub use run::{decisions, run, run_while, trace};
pub use selection::{Indifference, MOST_PLAYED, NoRace, Race, STAGE, select};
pub use sensitivity::{Doubt, doubt, doubted};
pub use sound::{
    DayDoses, HeardMachine, HouseNoise, LoudestNoise, NoiseFindings, PersonNoise, QuietNoise,
};
pub use study::{Candidate, LOOKS, Replications, Settings, Study, Units};
pub use timeline::{
    Activity, BottleneckSpell, Timeline, TimelineBar, TimelineKind, TimelineOpening, TimelineRow,
    activity, play_timeline, play_timelines,
};
pub use typical_values::TypicalValues;
pub use wood_moisture::{HOUSE, MoistureFindings, WidestPiece};
pub use worked_weeks::{DriedStretch, WorkedOrder, WorkedStretch, WorkedWeeks};
