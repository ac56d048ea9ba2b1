//! What has been proved of placements, as charts.

use std::path::Path;

use super::chart_options::ChartOptions;
use super::proven_layouts::Proven;
use crate::report::charts::{self, ChartFiles, Floors, Layout};

impl Proven {
    /// Draws how far is walked with more and more stations moved, and the plans before and after.
    pub fn draw(&self, folder: &Path, drawn: &ChartOptions) -> std::io::Result<ChartFiles> {
        let mut findings = self.findings.clone();
        let rows = [&self.now].into_iter().chain(&self.curve);
        let rows = rows.filter_map(|row| Some((row.candidate?, row.moved.len())));
        findings.candidates = rows
            .filter_map(|(index, moved)| {
                let mut found = self.findings.candidates.get(index)?.clone();
                found.name = match moved {
                    0 => found.name,
                    1 => "1 station moved".to_owned(),
                    many => format!("{many} stations moved"),
                };
                Some(found)
            })
            .collect();
        findings.comparisons.clear();
        let units = self.study.units;
        let layouts = self.floors.iter().map(|floor| Layout::of(floor, units));
        let floors = Floors {
            title: &self.study.title,
            units,
            layouts: &layouts.collect::<Vec<_>>(),
        };
        charts::write_moves(
            (&findings, &floors),
            folder,
            drawn.size(),
            &drawn.chart_format,
        )
    }
}
