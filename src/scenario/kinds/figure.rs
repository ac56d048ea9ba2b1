//! Usual figures, with where they come from.

/// A usual figure, and between what it lies in most shops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    pub usual: f64,
    pub least: f64,
    pub most: f64,
    pub source: FigureSource,
}

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FigureSource {
    Published,
    CommonPractice,
    Reckoned,
    Guess,
}

impl FigureSource {
    pub const ALL: [FigureSource; 4] = [
        FigureSource::Published,
        FigureSource::CommonPractice,
        FigureSource::Reckoned,
        FigureSource::Guess,
    ];

    /// The name in data.
    pub fn name(self) -> &'static str {
        match self {
            FigureSource::Published => "published",
            FigureSource::CommonPractice => "common practice",
            FigureSource::Reckoned => "reckoned",
            FigureSource::Guess => "guess",
        }
    }

    pub fn in_words(self) -> &'static str {
        match self {
            FigureSource::Published => {
                "published tables, manuals and trade pages, put together and rounded for the kind"
            }
            FigureSource::CommonPractice => {
                "common practice, no source: ordinary machines of the class"
            }
            FigureSource::Reckoned => {
                "reckoned from such figures, as the table of kinds says beside it"
            }
            FigureSource::Guess => "a guess, for want of anything better",
        }
    }
}

/// Between these, usually this.
pub const fn about(usual: f64, least: f64, most: f64) -> Figure {
    Figure {
        usual,
        least,
        most,
        source: FigureSource::CommonPractice,
    }
}

pub const fn just(usual: f64) -> Figure {
    about(usual, usual, usual)
}

impl Figure {
    const fn from(self, source: FigureSource) -> Figure {
        Figure { source, ..self }
    }

    pub const fn published(self) -> Figure {
        self.from(FigureSource::Published)
    }

    pub const fn reckoned(self) -> Figure {
        self.from(FigureSource::Reckoned)
    }

    pub const fn guess(self) -> Figure {
        self.from(FigureSource::Guess)
    }

    /// With a range on both sides of what is usual.
    pub fn has_range(&self) -> bool {
        self.least < self.most
    }
}
