//! How charts are drawn.

use clap::Args;

use super::option_values::{chart_format, chart_scale};
use crate::report::charts::{ChartSize, Format, PageShape};

/// Written if nothing else is asked for.
const CHART_FORMATS: &str = if cfg!(feature = "png") {
    "svg,png"
} else {
    "svg"
};

/// How charts are drawn.
#[derive(Debug, Args)]
pub struct ChartOptions {
    /// Size of text and lines in the charts; 2 suits a projector.
    #[arg(long, value_name = "FACTOR", allow_negative_numbers = true, default_value_t = 1.0, value_parser = chart_scale)]
    pub chart_scale: f64,
    /// Divides charts into pages of this shape, such as 16:9 for slides; default: each as high as what is in it.
    #[arg(long, value_name = "W:H")]
    pub chart_size: Option<PageShape>,
    /// In what form charts are written: svg, png or json, several with commas between them.
    #[arg(long, value_name = "FORMATS", value_delimiter = ',', default_value = CHART_FORMATS, value_parser = chart_format)]
    pub chart_format: Vec<Format>,
    /// Draws no charts; `compare` alone draws them unasked, but all that draw take it.
    #[arg(long, conflicts_with_all = ["charts", "chart_scale", "chart_size", "chart_format"])]
    pub no_charts: bool,
}

impl ChartOptions {
    /// How large charts are drawn.
    pub fn size(&self) -> ChartSize {
        ChartSize {
            scale: self.chart_scale,
            page: self.chart_size,
        }
    }
}
