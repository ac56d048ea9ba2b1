//! What a station's kind fills in where the file says nothing.

use super::spec::{CureSpec, Passes, Spec};
use crate::floor::Side;
use crate::random::Distribution;
use crate::scenario::fields::Fields;
use crate::scenario::keys::{NEVER, SMALLEST};
use crate::scenario::kinds::{self, Figure, KindOperation, OFF, Stand, StationKind};
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::Size;
pub use crate::units::customary::INCH;

/// A kind, and where the file names it.
#[derive(Clone, Copy)]
pub struct NamedKind<'a> {
    pub kind: &'static StationKind,
    pub span: &'a Bytes,
}

impl NamedKind<'_> {
    pub fn operation(self, name: &str) -> Option<&'static KindOperation> {
        self.kind.does.iter().find(|does| does.name == name)
    }
}

/// The kind of a station, if it has one.
pub fn kind_of<'a>(station: &Fields<'a>) -> Option<NamedKind<'a>> {
    let node = station.get("kind")?;
    let name = reader::text(node, "a kind of station", station.sink)?;
    let Some(called) = kinds::called(name) else {
        station.sink.report(
            Problem::error(
                &node.span,
                format!("there is no kind of station called `{name}`"),
            )
            .hint(kinds::hint_of_called(name)),
        );
        return None;
    };
    let kind = called.kind;
    if called.is_one_of_several {
        station.sink.report(
            Problem::warning(
                &node.span,
                format!("`{name}` is taken to be a {}, as usual", kind.name),
            )
            .hint(format!(
                "say `kind: {}`, or which other it is: `shopstride kinds` lists them",
                kind.name
            )),
        );
    }
    Some(NamedKind {
        kind,
        span: &node.span,
    })
}

/// Whether an operation stands among those of a station only to say that this one does not do it.
pub fn is_never(does: &MapEntry) -> bool {
    does.node.value == YamlValue::Scalar(NEVER.to_owned())
}

/// Reports an operation that is taken from a station which does not do it anyway.
pub fn check_never(does: &MapEntry, kind: Option<NamedKind>, sink: &Sink) {
    let name = &does.key.text;
    if kind.is_some_and(|kind| kind.operation(name).is_some()) {
        return;
    }
    let what = match kind {
        Some(kind) => format!("a {} does not do `{name}` anyway", kind.kind.name),
        None => format!("nothing says that this station does `{name}`"),
    };
    let all = kind.map_or(&[][..], |kind| kind.kind.does);
    let names: Vec<String> = all.iter().map(|does| format!("`{}`", does.name)).collect();
    let hint = match names.is_empty() {
        true => "leave it out".to_owned(),
        false => format!("it does {}", names.join(", ")),
    };
    sink.report(Problem::error(&does.key.span, what).hint(hint));
}

const FOOT: f64 = 12.0 * INCH;

/// The size of the body in metres.
pub fn size(kind: &StationKind) -> (f64, f64) {
    (kind.size[0].usual * INCH, kind.size[1].usual * INCH)
}

/// Whether a size is only said to be the smallest in which things of the kind come.
pub fn is_smallest(size: &YamlNode) -> bool {
    size.value == YamlValue::Scalar(SMALLEST.to_owned())
}

/// The smallest size in which things of a kind come, in metres; without a kind nobody knows it.
pub fn smallest(size: &YamlNode, kind: Option<&StationKind>, sink: &Sink) -> Option<(f64, f64)> {
    let Some(kind) = kind else {
        let what = format!("`{SMALLEST}` is said of a kind, and this station has none");
        let hint = "say its `kind`, or its size: [along x, along y]";
        sink.report(Problem::error(&size.span, what).hint(hint));
        return None;
    };
    let [x, y] = &kind.size;
    Some((x.least * INCH, y.least * INCH))
}

/// Where one stands at a body of this size, in metres from its centre.
pub fn standing(stand: Stand, size: (f64, f64)) -> (f64, f64) {
    let out = stand.side.direction();
    let edge = match stand.side {
        Side::PlusX | Side::MinusX => size.0 / 2.0,
        Side::PlusY | Side::MinusY => size.1 / 2.0,
    };
    // To the right of somebody who looks at the station from there.
    let right = out.left();
    let place = out * (edge + OFF * INCH) + right * (stand.along * INCH);
    (place.x, place.y)
}

/// What a part is larger than finished while it is rough, in inches: what crosscutting, ripping and planing take off.
/// Common practice: 1 to 2, 1/4 to 1/2 and 1/8 to 1/4 in; 3/16 in are lost of rough boards of 1 in.
const ALLOWANCE: [f64; 3] = [1.5, 3.0 / 8.0, 3.0 / 16.0];

/// The rough size of a part of which only the finished one is known.
pub fn rough_of(finished: &[GivenQuantity; 3], sink: &Sink) -> [GivenQuantity; 3] {
    std::array::from_fn(|side| {
        let value = finished[side].value + ALLOWANCE[side] * INCH;
        GivenQuantity {
            value,
            text: sink.length(value),
            span: finished[side].span.clone(),
        }
    })
}

/// A piece that is wider than this comes from a sheet.
const BOARD_WIDTH_M: f64 = 24.0 * INCH;

/// Whether this is cut from a sheet rather than a board.
pub fn is_of_sheet(size: &Size) -> bool {
    size.width >= BOARD_WIDTH_M * (1.0 - 1e-9)
}

/// What an operation usually takes at a station of a kind.
pub fn spec(does: &KindOperation, span: &Bytes, sink: &Sink) -> Spec {
    let given = |value: f64, text: String| GivenQuantity {
        value,
        text,
        span: span.clone(),
    };
    let shown = |value: f64, (metric, imperial): (&str, &str), per_metric: f64| {
        let (value, unit) = match sink.imperial {
            true => (value, imperial),
            false => (value / per_metric, metric),
        };
        format!("{} {unit}", short(value))
    };
    Spec {
        setup: does.setup.map(time),
        per_piece: does.per_piece.map(time),
        per_lot: does.per_lot.map(time),
        feed: does.feed.map(|feed| {
            let text = shown(feed.usual, ("m/min", "ft/min"), 1.0 / FOOT);
            given(feed.usual * FOOT / 60.0, text)
        }),
        passes: match (does.passes, does.depth) {
            (Some(passes), _) => Some(Passes::Number(passes.usual)),
            (None, Some(depth)) => Some(Passes::Depth(given(
                depth.usual * INCH,
                sink.length(depth.usual * INCH),
            ))),
            (None, None) => None,
        },
        area_rate: does.area_rate.map(|rate| {
            let text = shown(rate.usual, ("m2/min", "ft2/min"), 1.0 / (FOOT * FOOT));
            given(rate.usual * FOOT * FOOT / 60.0, text)
        }),
        cure: does.cure.map(|cure| CureSpec {
            time: time(cure),
            least: None,
            take_off: None,
            ties_up: None,
        }),
        pausable: does.is_unbroken.then_some(false),
        cuts: Some(does.cuts.to_vec()),
        along_width: does.is_across.then_some(true),
        allows_for_sizes: true,
        ..Spec::default()
    }
}

/// A number with two or three digits.
fn short(value: f64) -> String {
    let digits = match value {
        _ if value >= 10.0 => 0,
        _ if value >= 1.0 => 1,
        _ => 3,
    };
    let text = format!("{value:.digits$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// A time that is most often the usual one.
fn time(figure: Figure) -> Distribution {
    Distribution::triangular(figure.least, figure.usual, figure.most)
        .expect("the figures of the kinds are in order")
}
