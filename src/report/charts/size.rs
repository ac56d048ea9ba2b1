//! How large charts are: how much texts and strokes are enlarged, and the shape of a page.

use std::ops::RangeInclusive;
use std::str::FromStr;

use super::style;

/// How much texts and strokes of charts may be enlarged.
pub const SCALES: RangeInclusive<f64> = 0.5..=3.0;

/// Width through height of a page, at the least and at the most.
const SHAPES: RangeInclusive<f64> = 0.5..=4.0;

/// The size of charts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartSize {
    /// How much texts and strokes are enlarged; the picture grows less, so that they can be read from farther away.
    pub scale: f64,
    /// The shape of every page, if charts are divided into such; otherwise a chart is as high as what is in it.
    pub page: Option<PageShape>,
}

impl From<f64> for ChartSize {
    fn from(scale: f64) -> ChartSize {
        ChartSize { scale, page: None }
    }
}

impl ChartSize {
    /// The width to lay a chart out in, in units of the picture.
    pub(super) fn width(self) -> f64 {
        style::width(self.scale)
    }

    /// The height of a page in the same units.
    pub(super) fn height(self) -> Option<f64> {
        let page = self.page?;
        Some(self.width() / page.ratio())
    }

    /// The height of something that may take so much of the width where there are no pages, and so much of a page.
    pub(super) fn high(self, of_width: f64, of_page: f64) -> f64 {
        match self.height() {
            Some(page) => page * of_page,
            None => self.width() * of_width,
        }
    }
}

/// The shape of a page, such as 16:9.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PageShape {
    width: u32,
    height: u32,
}

impl PageShape {
    /// Width through height.
    pub fn ratio(self) -> f64 {
        f64::from(self.width) / f64::from(self.height)
    }
}

impl FromStr for PageShape {
    type Err = String;

    fn from_str(text: &str) -> Result<PageShape, String> {
        let parts = text.split_once(':').and_then(|(width, height)| {
            let number = |text: &str| text.trim().parse::<u32>().ok().filter(|number| *number > 0);
            Some((number(width)?, number(height)?))
        });
        let Some((width, height)) = parts else {
            return Err(
                "width and height of a page are two whole numbers, such as 16:9".to_owned(),
            );
        };
        let shape = PageShape { width, height };
        match SHAPES.contains(&shape.ratio()) {
            true => Ok(shape),
            false => Err(
                "a page is at most four times as wide as high, and at most twice as high as wide"
                    .to_owned(),
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_are_two_numbers() {
        let ratio = |text: &str| text.parse::<PageShape>().map(PageShape::ratio);
        assert_eq!(ratio("16:9"), Ok(16.0 / 9.0));
        assert_eq!(ratio("4:3"), Ok(4.0 / 3.0));
        for wrong in [
            "",
            "16",
            "16:",
            "0:9",
            "16:0",
            "16:9:1",
            "-16:9",
            "1e9:1",
            "100:1",
            "1:3",
            "4294967296:1",
        ] {
            assert!(ratio(wrong).is_err(), "{wrong}");
        }
    }
}
