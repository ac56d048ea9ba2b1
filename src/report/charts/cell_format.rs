//! How the figures of a table of walks are written.

use super::additive;
use super::quantity::short;
use crate::report::figure::{Shown, fixed};

/// How all figures of one kind are written: with the same number of decimals, and shorter where they are very large.
#[derive(Clone, Copy)]
pub struct CellFormat {
    per_unit: f64,
    decimals: usize,
    is_large: bool,
    after: &'static str,
}

impl CellFormat {
    const LARGE: f64 = 9_999.5;

    /// For lengths in metres.
    pub fn metres(all: &[f64], unit: Shown) -> CellFormat {
        let most = all.iter().map(|metres| metres / unit.per_unit);
        let most = most.fold(0.0, f64::max);
        CellFormat {
            per_unit: unit.per_unit,
            decimals: usize::from(most < 10.0),
            is_large: most >= CellFormat::LARGE,
            after: "",
        }
    }

    pub fn trips(all: &[f64]) -> CellFormat {
        let mut each = all.iter();
        let is_whole = each.all(|trips| (trips - trips.round()).abs() < 0.05);
        let most = all.iter().copied().fold(0.0, f64::max);
        CellFormat {
            per_unit: 1.0,
            decimals: usize::from(!is_whole),
            is_large: most >= CellFormat::LARGE,
            after: "×",
        }
    }

    /// Whole numbers of this share of a unit are shown.
    fn tens(self) -> f64 {
        match self.decimals {
            0 => 1.0,
            _ => 10.0,
        }
    }

    /// What stands in each cell, with the sums of rows and columns: what is shown adds up, but for figures so large that
    /// they are shortened.
    pub fn written(self, values: &[Vec<f64>]) -> Vec<Vec<String>> {
        let scale = self.tens() / self.per_unit;
        let mut exact: Vec<Vec<f64>> = values
            .iter()
            .map(|row| row.iter().map(|value| value * scale).collect())
            .collect();
        let whole = match self.is_large {
            true => None,
            false => additive::rounded(&exact),
        };
        for row in &mut exact {
            row.push(row.iter().sum());
        }
        let columns = exact.first().map_or(0, Vec::len);
        let sums = (0..columns).map(|column| exact.iter().map(|row| row[column]).sum());
        exact.push(sums.collect());
        let shown = exact.iter().enumerate().map(|(row, values)| {
            let texts = values.iter().enumerate().map(|(column, &value)| {
                let shown = match &whole {
                    Some(whole) => whole[row][column] as f64,
                    None if self.is_large => value,
                    // Halves as tables and sentences round them.
                    None => value.round_ties_even(),
                };
                self.text(value, shown / self.tens())
            });
            texts.collect()
        });
        shown.collect()
    }

    fn text(self, exact: f64, shown: f64) -> String {
        let figure = match shown {
            0.0 if exact > 0.0 && self.decimals == 0 => "<1".to_owned(),
            0.0 if exact > 0.0 => "<0.1".to_owned(),
            shown if self.is_large || shown >= CellFormat::LARGE * 10.0 => short(shown),
            shown => fixed(shown, self.decimals),
        };
        figure + self.after
    }
}
