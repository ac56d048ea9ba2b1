//! The figures by which the rules judge, each adjustable and each with its source.

use super::access::INCH_M;
use super::tolerance::ROUNDED_SHARE;

/// In what a limit is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitUnit {
    /// In metres.
    Length,
    /// In kilograms.
    Mass,
}

/// A row of the table of limits.
#[derive(Debug, Clone, Copy)]
pub struct LimitRow {
    /// As the scenario calls it.
    pub key: &'static str,
    pub about: &'static str,
    pub source: &'static str,
    pub unit: LimitUnit,
    /// In metres or kilograms.
    pub default: f64,
    pub get: fn(&Limits) -> f64,
    pub set: fn(&mut Limits, f64),
}

/// What has no better source than that shops do it this way.
const COMMON: &str = "common practice";
/// What is a choice of this program.
const OURS: &str = "modelling choice of this program";

macro_rules! limits {
    ($($field:ident, $key:literal, $unit:ident, $default:expr, $about:literal, $source:expr;)+) => {
        /// The figures by which the rules judge, in metres and kilograms.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Limits {
            $(#[doc = $about] pub $field: f64,)+
        }

        impl Default for Limits {
            fn default() -> Limits {
                Limits { $($field: $default,)+ }
            }
        }

        /// Every limit, in the order in which help and tables list them.
        pub const LIMITS: &[LimitRow] = &[$(LimitRow {
            key: $key,
            about: $about,
            source: $source,
            unit: LimitUnit::$unit,
            default: $default,
            get: |limits| limits.$field,
            set: |limits, value| limits.$field = value,
        },)+];
    };
}

impl Limits {
    /// Whether one person may lift this alone, in kilograms. A piece of exactly the limit is no rounding too heavy.
    pub fn one_can_lift(&self, mass: f64) -> bool {
        mass <= self.one_lifts * (1.0 + ROUNDED_SHARE)
    }

    /// Whether two may lift it together.
    pub fn two_can_lift(&self, mass: f64) -> bool {
        mass <= self.two_lift * (1.0 + ROUNDED_SHARE)
    }
}

limits! {
    way_out, "way out", Length, 28.0 * INCH_M,
        "the least clear width of a way out of the room, and of floor kept free before a door",
        "29 CFR 1910.36(g)(2): exit access of at least 28 in";
    aisle, "aisle", Length, 36.0 * INCH_M,
        "advised width of a path that people walk",
        "common practice: paths of 3 ft in articles on home shops";
    aisle_loaded, "aisle loaded", Length, 48.0 * INCH_M,
        "advised width of a path along which pieces are carried",
        "OSHA letter of 15 May 1972, since withdrawn: at least 4 ft";
    standing_room, "standing room", Length, 24.0 * INCH_M,
        "advised diameter of the free circle where somebody stands at a station",
        COMMON;
    operator, "operator", Length, 30.0 * INCH_M,
        "room to stand behind the end of a piece that is fed in",
        "common practice: 24 to 36 in";
    outfeed_walk, "outfeed walk", Length, 0.0,
        "room behind the end of a piece that has been fed through; 24 in where somebody walks there",
        COMMON;
    planer_walk, "planer walk", Length, 24.0 * INCH_M,
        "room behind the end of a board that has been fed through a planer, for whoever walks around to take it; it only says how long a board then is",
        COMMON;
    side_clearance, "side clearance", Length, 2.0 * INCH_M,
        "room on each side of a piece that is fed through",
        COMMON;
    kickback, "kickback", Length, 96.0 * INCH_M,
        "how far behind the operator a piece that is thrown back is reckoned with",
        "common practice: 8 ft clear before a table saw";
    blade_line, "blade line", Length, 6.0 * INCH_M,
        "how far beside the middle of a saw somebody stands at least, out of the line of its blade",
        "common practice: stand beside the blade; the figure is this program's choice";
    short_piece, "short piece", Length, 12.0 * INCH_M,
        "the least length that is fed through a planer or over a jointer",
        "common practice: 12 in in makers' manuals and a university shop's page";
    short_sanded, "short sanded", Length, 9.0 * INCH_M,
        "the least length that is fed through a drum sander",
        "makers' manuals and pages of schools: from 2-3/8 to 9 in; the safe end of it";
    short_ripped, "short ripped", Length, 12.0 * INCH_M,
        "the least length that is ripped along the fence of a table saw",
        "common practice: 12 in in the rules of school shops, from memory";
    short_routed, "short routed", Length, 8.0 * INCH_M,
        "the least length that is passed by hand along the fence of a router table or a shaper",
        "common practice, from memory: 6 to 12 in, so that both hands stay away from the cutter";
    thin_piece, "thin piece", Length, 0.25 * INCH_M,
        "the least thickness that is left of what is planed or jointed",
        COMMON;
    narrow_piece, "narrow piece", Length, 0.75 * INCH_M,
        "the least width that is fed through a planer or over a jointer",
        COMMON;
    planer_cut, "planer cut", Length, 0.125 * INCH_M,
        "the most that a planer takes off in one pass",
        "makers' manuals: 1/8 in over the full width of floor planers";
    small_planer_cut, "bench-top planer cut", Length, 0.0625 * INCH_M,
        "the most that a bench-top planer takes off in one pass",
        "makers' manuals: 1/16 in of softwood, 3/64 in of hardwood, 10 to 12 in wide";
    jointer_cut, "jointer cut", Length, 0.0625 * INCH_M,
        "the most that a jointer takes off in one pass",
        "a teaching shop's page: 1/16 in";
    sander_cut, "sander cut", Length, 0.015625 * INCH_M,
        "the most that a drum sander takes off in one pass",
        "a teaching shop's page: 1/64 in";
    full_panel, "full panel", Length, 47.0 * INCH_M,
        "a piece that is as wide and as long is a full panel, which one person does not feed alone",
        "common practice; sheets of 4 ft by 8 ft and of 1.2 m by 2.4 m are that wide";
    free_end, "free end", Length, 1.25 * INCH_M,
        "how far the end of a piece sags at most behind a machine, where nothing carries it",
        "this program's choice: 3/4 in of oak, carried for half of 12 ft, sags 1 in over the other half";
    panel_width, "panel width", Length, 30.0 * INCH_M,
        "width of the floor kept free in front of an electrical panel, or the panel's own if that is greater",
        "NEC 110.26(A)(2)";
    panel_depth, "panel depth", Length, 36.0 * INCH_M,
        "depth of the floor kept free in front of an electrical panel",
        "NEC 110.26(A)(1), up to 150 V to ground";
    panel_height, "panel height", Length, 78.0 * INCH_M,
        "height of what is kept free in front of an electrical panel",
        "NEC 110.26(A)(3): 6-1/2 ft";
    head_room, "head room", Length, 80.0 * INCH_M,
        "people walk and stand below what hangs at least so high",
        "29 CFR 1910.36(g)(1): nothing over a way out hangs lower than 6 ft 8 in";
    table_tolerance, "table tolerance", Length, INCH_M / 16.0,
        "what is lower than a machine's table by no more carries the work; so much and its sag stay free below work that passes over",
        "trade pages: out-feed tables level to 1/16 in under, never higher";
    above_work, "above work", Length, 6.0 * INCH_M,
        "room for hands above work that passes below something",
        OURS;
    reach_over, "reach over", Length, 25.0 * INCH_M,
        "how far somebody reaches over what stands before a shelf or a cabinet",
        "2010 ADA Standards 308.2.2: over 25 in at most; forward reach is 25.8 in for one woman in twenty (Pheasant, Bodyspace)";
    reach_up, "reach up", Length, 72.0 * INCH_M,
        "the highest place from which somebody takes things without a step",
        "Pheasant, Bodyspace: vertical grip reach of 71.1 in for one woman in twenty, and 1 in of shoe";
    one_lifts, "one person lifts", Mass, 23.0,
        "the most that one person lifts alone",
        "NIOSH 94-110: load constant of 23 kg (51 lb), before any reduction for reach, height or twist";
    two_lift, "two people lift", Mass, 4.0 / 3.0 * 23.0,
        "the most that two people lift together",
        "HSE L23: two lift two thirds of what both lift alone; from the 23 kg of NIOSH 94-110";
    hands_beside, "hands beside", Length, 18.0 * INCH_M,
        "what somebody who walks beside a sheet adds to its thickness in a corner",
        OURS;
    hands_at_ends, "hands at the ends", Length, 12.0 * INCH_M,
        "what each of two people at the ends adds to the length of a sheet in a corner",
        OURS;
    board_width, "board width", Length, 12.0 * INCH_M,
        "up to this width a piece is carried like a board, over the shoulder: nobody beside it needs room",
        OURS;
    shoulder, "shoulder", Length, 48.0 * INCH_M,
        "how high a board is carried: over what is no higher",
        "Pheasant, Bodyspace: shoulder height of 48.2 in for one woman in twenty";
    stair_hands, "stair hands", Length, 6.0 * INCH_M,
        "room for hands above or below a piece that is carried along a stair",
        OURS;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_writes_its_own_field() {
        for (index, row) in LIMITS.iter().enumerate() {
            let mut limits = Limits::default();
            assert_eq!((row.get)(&limits), row.default, "{}", row.key);
            (row.set)(&mut limits, 1234.5);
            for (other, unchanged) in LIMITS.iter().enumerate() {
                let expected = if other == index {
                    1234.5
                } else {
                    unchanged.default
                };
                assert_eq!((unchanged.get)(&limits), expected, "{}", unchanged.key);
            }
            assert!(!row.about.is_empty() && !row.source.is_empty());
        }
    }
}
