//! What a collector can do: its fan's curve, its filter and its separator.

use thiserror::Error;

/// Suction in a collector's inlet pipe by airflow, without filter and separator.
#[derive(Debug, Clone, PartialEq)]
pub struct FanCurve {
    /// Airflow in m³/s and pressure in Pa, rising in airflow.
    points: Vec<(f64, f64)>,
    shape: CurveShape,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum CurveShape {
    /// SP₀ (1 − (Q / Q₀)²).
    Parabola { shut_off: f64, free: f64 },
    /// Straight lines from point to point.
    Lines,
}

/// Why points are no curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum CurveError {
    /// The free airflow alone says nothing about what comes through a duct.
    #[error("a fan's curve needs two points at least")]
    TooFewPoints,
    /// How a curve bends between two points only follows from where it ends.
    #[error("two points are a fan's curve only if the second is where no suction is left")]
    NoFreeAirflow,
    #[error("airflow must rise from point to point, and no pressure may be below 0")]
    NotRising,
    #[error(
        "a fan's pressure must fall to 0 at the end of its curve, but the last piece does not fall"
    )]
    NeverFalls,
}

impl FanCurve {
    /// A curve through a maker's points, airflow in m³/s and pressure in Pa. Two points of which the second is at 0 Pa are a
    /// parabola. More of them are joined by straight lines, level before the first, and the last piece goes on to 0 Pa.
    ///
    /// # Errors
    /// If there are too few points, or two without one at 0 Pa, if they are out of order, or if the last piece does not fall.
    pub fn new(points: Vec<(f64, f64)>) -> Result<FanCurve, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints);
        }
        let rises = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
        let in_range = |&(airflow, pressure): &(f64, f64)| airflow >= 0.0 && pressure >= 0.0;
        if !rises || !points.iter().all(in_range) {
            return Err(CurveError::NotRising);
        }
        let [before, last] = [points[points.len() - 2], points[points.len() - 1]];
        if last.1 >= before.1 {
            return Err(CurveError::NeverFalls);
        }
        let shape = match points[..] {
            [_, (_, pressure)] if pressure > 0.0 => return Err(CurveError::NoFreeAirflow),
            [(airflow, pressure), (free, _)] => CurveShape::Parabola {
                shut_off: pressure / (1.0 - (airflow / free) * (airflow / free)),
                free,
            },
            _ => CurveShape::Lines,
        };
        Ok(FanCurve { points, shape })
    }

    /// The pressure at an airflow; below 0 beyond the airflow at which nothing is left.
    pub fn pressure(&self, airflow: f64) -> f64 {
        match self.shape {
            CurveShape::Parabola { shut_off, free } => {
                shut_off * (1.0 - (airflow / free) * (airflow / free))
            }
            CurveShape::Lines => self.on_lines(airflow),
        }
    }

    fn on_lines(&self, airflow: f64) -> f64 {
        let points = &self.points;
        if airflow <= points[0].0 {
            return points[0].1;
        }
        let after = points.iter().position(|&(end, _)| airflow < end);
        let after = after.unwrap_or(points.len() - 1);
        let ((q0, p0), (q1, p1)) = (points[after - 1], points[after]);
        p0 + (p1 - p0) * (airflow - q0) / (q1 - q0)
    }

    /// Whether an airflow lies beyond the maker's points.
    pub fn is_beyond(&self, airflow: f64) -> bool {
        airflow > self.last().0
    }

    /// The airflow at which no pressure is left.
    pub fn free_airflow(&self) -> f64 {
        let points = &self.points;
        let ((q0, p0), (q1, p1)) = (points[points.len() - 2], self.last());
        match self.shape {
            CurveShape::Parabola { free, .. } => free,
            CurveShape::Lines => q1 + p1 * (q1 - q0) / (p0 - p1),
        }
    }

    /// Airflows between which the curve has no kink, from the least to that at which nothing is left.
    pub(super) fn pieces(&self) -> Vec<f64> {
        let mut ends = vec![0.0];
        if self.shape == CurveShape::Lines {
            let kinks = self.points.iter().map(|&(airflow, _)| airflow);
            ends.extend(kinks.filter(|&kink| kink > 0.0 && kink < self.free_airflow()));
        }
        ends.push(self.free_airflow());
        ends
    }

    fn last(&self) -> (f64, f64) {
        self.points[self.points.len() - 1]
    }
}

/// A loss that is known at one airflow: so many Pa at so many m³/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatedLoss {
    pub pressure: f64,
    pub airflow: f64,
}

/// A fan with what stands between it and its inlet.
#[derive(Debug, Clone, PartialEq)]
pub struct Collector {
    pub curve: FanCurve,
    /// Loses in proportion to airflow.
    pub filter: Option<RatedLoss>,
    /// By how many times a filter loses more than clean.
    pub dirt: f64,
    /// Loses in proportion to the square of airflow.
    pub separator: Option<RatedLoss>,
}

impl Collector {
    /// What is left of the fan's pressure at the inlet.
    pub fn inlet_suction(&self, airflow: f64) -> f64 {
        let relative = |loss: RatedLoss| airflow / loss.airflow;
        let filter = (self.filter).map_or(0.0, |loss| loss.pressure * relative(loss) * self.dirt);
        let separator =
            (self.separator).map_or(0.0, |loss| loss.pressure * relative(loss) * relative(loss));
        self.curve.pressure(airflow) - filter - separator
    }

    /// The same collector with a filter that loses so many times more than clean.
    #[must_use]
    pub fn with_dirt(&self, dirt: f64) -> Collector {
        Collector {
            dirt,
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_that_are_no_curve() {
        let curve = |points: &[(f64, f64)]| FanCurve::new(points.to_vec()).map(|_| ());
        assert_eq!(curve(&[]), Err(CurveError::TooFewPoints));
        assert_eq!(curve(&[(1.0, 0.0)]), Err(CurveError::TooFewPoints));
        assert_eq!(curve(&[(1.0, 5.0), (1.0, 0.0)]), Err(CurveError::NotRising));
        assert_eq!(
            curve(&[(0.0, 5.0), (1.0, -1.0)]),
            Err(CurveError::NotRising)
        );
        assert_eq!(
            curve(&[(0.0, 5.0), (f64::NAN, 0.0)]),
            Err(CurveError::NotRising)
        );
        assert_eq!(
            curve(&[(0.0, 5.0), (1.0, 5.0)]),
            Err(CurveError::NeverFalls)
        );
        assert_eq!(
            curve(&[(0.0, 0.0), (1.0, 0.0)]),
            Err(CurveError::NeverFalls)
        );
        assert_eq!(curve(&[(0.0, 1.0), (1.0, 0.0)]), Ok(()));
        assert_eq!(
            curve(&[(0.0, 5.0), (1.0, 2.0)]),
            Err(CurveError::NoFreeAirflow)
        );
    }

    #[test]
    fn two_points_are_a_parabola_and_more_are_lines() {
        let parabola = FanCurve::new(vec![(0.25, 3.0), (0.5, 0.0)]).expect("a curve");
        assert_eq!(parabola.pressure(0.0), 4.0);
        assert_eq!(parabola.free_airflow(), 0.5);
        let lines = FanCurve::new(vec![(0.1, 5.0), (0.3, 4.0), (0.5, 2.0)]).expect("a curve");
        assert_eq!(lines.pressure(0.05), 5.0);
        assert!((lines.pressure(0.2) - 4.5).abs() < 1e-12);
        assert!((lines.free_airflow() - 0.7).abs() < 1e-12);
        assert!(lines.pressure(0.7).abs() < 1e-12);
        assert!(lines.is_beyond(0.51) && !lines.is_beyond(0.5));
        assert_eq!(lines.pieces().len(), 5);
    }
}
