//! The figures of a kind, one row each, for text and data alike.

use super::quantity::KindQuantity;
use crate::scenario::kinds::{Figure, Height, KindOperation, StationKind};

/// One figure of a kind.
pub struct KindRow {
    /// What it is, as data call it.
    pub name: &'static str,
    pub figure: Figure,
    pub quantity: KindQuantity,
}

type Found = (&'static str, Option<Figure>, KindQuantity);

fn rows(found: impl IntoIterator<Item = Found>) -> Vec<KindRow> {
    let row = |(name, figure, quantity): Found| {
        Some(KindRow {
            name,
            figure: figure?,
            quantity,
        })
    };
    found.into_iter().filter_map(row).collect()
}

/// Everything about the thing itself.
pub fn of_kind(kind: &StationKind) -> Vec<KindRow> {
    let height = |of: fn(&Height) -> Option<Figure>| kind.height.as_ref().and_then(of);
    let [along_x, along_y] = kind.size;
    let (dust, motor, noise) = (kind.dust, kind.motor, kind.noise);
    rows([
        ("size along x", Some(along_x), KindQuantity::Inches),
        ("size along y", Some(along_y), KindQuantity::Inches),
        (
            "table height",
            height(|height| match *height {
                Height::Table(figure) => Some(figure),
                _ => None,
            }),
            KindQuantity::Inches,
        ),
        (
            "height",
            height(|height| match *height {
                Height::Body(figure) => Some(figure),
                _ => None,
            })
            .or(kind.overall),
            KindQuantity::Inches,
        ),
        ("bottom", height(Height::bottom), KindQuantity::Inches),
        ("top", height(Height::top), KindQuantity::Inches),
        ("mass", kind.mass, KindQuantity::Pounds),
        ("widest piece", kind.widest, KindQuantity::Inches),
        (
            "dust port",
            dust.map(|dust| dust.port),
            KindQuantity::Inches,
        ),
        (
            "airflow",
            dust.map(|dust| dust.airflow),
            KindQuantity::CubicFeetAMinute,
        ),
        (
            "motor",
            motor.and_then(|motor| motor.horsepower),
            KindQuantity::Horsepower,
        ),
        (
            "current",
            motor.map(|motor| motor.amps),
            KindQuantity::Amperes,
        ),
        (
            "noise idle",
            noise.map(|noise| noise.idle),
            KindQuantity::Decibels,
        ),
        (
            "noise cutting",
            noise.map(|noise| noise.cutting),
            KindQuantity::Decibels,
        ),
    ])
}

/// What one of its operations takes, by the keys of a scenario.
pub fn of_operation(does: &KindOperation) -> Vec<KindRow> {
    rows([
        ("setup", does.setup, KindQuantity::Seconds),
        ("feed speed", does.feed, KindQuantity::FeetAMinute),
        ("passes", does.passes, KindQuantity::Count),
        ("depth per pass", does.depth, KindQuantity::Inches),
        ("per piece", does.per_piece, KindQuantity::Seconds),
        ("area rate", does.area_rate, KindQuantity::SquareFeetAMinute),
        ("per lot", does.per_lot, KindQuantity::Seconds),
        ("cure", does.cure, KindQuantity::Seconds),
    ])
}
