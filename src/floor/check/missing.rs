//! How much is missing for a layout to keep the rules.

use crate::floor::SAME_POINT_M;
use crate::floor::finding::{Finding, FindingLevel};

/// Faults and warnings, and the metres that are missing at them. Notes do not count.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Missing {
    pub faults: u32,
    pub warnings: u32,
    /// In metres, over all faults. Where nobody gets through, the whole width that is wanted counts as missing.
    pub fault_m: f64,
    /// In metres, over all warnings that lack a length.
    pub warning_m: f64,
}

impl Missing {
    /// One finding of this level that lacks so many metres.
    pub fn one(level: FindingLevel, metres: f64) -> Missing {
        let mut missing = Missing::default();
        missing.add(level, metres);
        missing
    }

    pub fn add(&mut self, level: FindingLevel, metres: f64) {
        match level {
            FindingLevel::Fault => {
                self.faults += 1;
                self.fault_m += metres;
            }
            FindingLevel::Warning => {
                self.warnings += 1;
                self.warning_m += metres;
            }
            FindingLevel::Note => {}
        }
    }

    /// What these findings lack.
    pub fn of<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> Missing {
        let mut missing = Missing::default();
        for finding in findings {
            missing.add(finding.level, finding.missing.unwrap_or(0.0));
        }
        missing
    }

    pub fn is_nothing(&self) -> bool {
        self.faults == 0 && self.warnings == 0
    }

    /// The faults alone.
    pub fn faults_alone(self) -> Missing {
        Missing {
            faults: self.faults,
            fault_m: self.fault_m,
            ..Missing::default()
        }
    }

    /// Whether there is no more of anything, but for what comes of roundings.
    pub fn is_no_worse_than(&self, other: &Missing) -> bool {
        self.faults <= other.faults
            && self.warnings <= other.warnings
            && self.fault_m <= other.fault_m + SAME_POINT_M
            && self.warning_m <= other.warning_m + SAME_POINT_M
    }
}

impl std::ops::AddAssign for Missing {
    fn add_assign(&mut self, other: Missing) {
        self.faults += other.faults;
        self.warnings += other.warnings;
        self.fault_m += other.fault_m;
        self.warning_m += other.warning_m;
    }
}

impl std::iter::Sum for Missing {
    fn sum<I: Iterator<Item = Missing>>(all: I) -> Missing {
        let mut sum = Missing::default();
        all.for_each(|one| sum += one);
        sum
    }
}
