//! Where what comes out of a machine is taken.

use super::sizes::{Reported, Sizes};
use super::spec::Spec;
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::shop::{Catching, Work};

/// Nobody walks around a machine more often for one piece.
const MOST_PASSES: f64 = 1000.0;

impl Spec {
    /// Where the work is taken behind the machine, and after how many passes of each piece.
    pub(super) fn catching(
        &self,
        operation: &str,
        sizes: &Sizes,
        at: &Bytes,
        sink: &Sink,
    ) -> Result<Option<Catching>, Reported> {
        let Some(place) = self.catches else {
            return Ok(None);
        };
        let passes = self.count_passes(operation, sizes, at, sink)?;
        if passes > MOST_PASSES {
            sink.report(
                Problem::error(
                    at,
                    format!("nobody takes one piece {passes} times behind a machine"),
                )
                .hint(format!(
                    "`catches` is for work with up to {MOST_PASSES} passes; leave it out"
                )),
            );
            return Err(Reported);
        }
        Ok(Some(Catching {
            at: place,
            passes: passes.ceil() as u32,
        }))
    }
}

/// Reports what is taken where it goes in, or by nobody.
pub(super) fn check(
    work: &Work,
    (station, name): (usize, &str),
    operation: &str,
    at: &Bytes,
    sink: &Sink,
) {
    if work.catches.is_some_and(|of| of.at.index() == station) {
        sink.report(
            Problem::error(
                at,
                format!("what comes out of `{operation}` is taken at `{name}` itself"),
            )
            .hint("`catches` names a station behind the machine; one without a size is a place to stand"),
        );
    }
    if work.people == 0 {
        sink.report(
            Problem::error(
                at,
                format!("`{operation}` needs nobody, but what comes out is taken by somebody"),
            )
            .hint("leave `people: 0` or `catches` out"),
        );
    }
}
