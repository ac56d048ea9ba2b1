//! How loud a station says that it is.

use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::scenario::tree::MapKey;

/// What the file says of one station, in dB(A).
pub struct DeclaredNoise<'a> {
    pub key: &'a MapKey,
    pub idle: Option<f64>,
    pub cutting: Option<f64>,
}

impl<'a> DeclaredNoise<'a> {
    pub fn read(station: &Fields<'a>) -> Option<DeclaredNoise<'a>> {
        let sink = station.sink;
        let entry = station.entry("noise")?;
        let given = Fields::open(&entry.node, &entry.key.span, &keys::MACHINE_NOISE, sink)?;
        let level = |key| given.quantity(key, Dimension::SoundLevel);
        let (idle, cutting) = (level("idle"), level("cutting"));
        if given.entry("idle").is_none() && given.entry("cutting").is_none() {
            sink.report(
                Problem::error(&entry.key.span, "nothing says how loud it is")
                    .hint("write for example `noise: {idle: 88 dB, cutting: 97 dB}`"),
            );
        }
        if let (Some(idle), Some(cutting)) = (&idle, &cutting)
            && cutting.value < idle.value
        {
            sink.report(
                Problem::warning(
                    &cutting.span,
                    "it is quieter while it cuts than while it idles",
                )
                .hint("the two may be interchanged"),
            );
        }
        Some(DeclaredNoise {
            key: &entry.key,
            idle: idle.map(|level| level.value),
            cutting: cutting.map(|level| level.value),
        })
    }
}
