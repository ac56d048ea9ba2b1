//! What the stations of a shop can do.

use super::length::INCH;
use super::parts::Stuff;
use crate::scenario::kinds::{Keeps, StationKind};

/// What the stations of a shop can do.
pub struct Abilities<'a> {
    pub stations: Vec<AbleStation<'a>>,
    /// The first door, by which comes in what is kept nowhere.
    pub door: &'a str,
    /// Something is cut from sheets.
    pub needs_sheets: bool,
    /// Nobody feeds whole sheets through a saw: they come cut to size.
    pub sheets_come_cut: bool,
    /// Boards come cut to rough length.
    pub boards_come_cut: bool,
}

/// A station with what its kind does.
pub struct AbleStation<'a> {
    pub name: &'a str,
    pub kind: &'static StationKind,
    /// Whether it stands nowhere.
    pub is_out: bool,
}

impl Abilities<'_> {
    /// Stations that do it in some route.
    pub fn doers(&self, operation: &str) -> Vec<usize> {
        let mut doers = self.all_doers(operation);
        if operation == "crosscut" {
            doers.retain(|&saw| !self.never_crosscuts(saw));
        }
        doers
    }

    pub fn can(&self, operation: &str) -> bool {
        !self.doers(operation).is_empty()
    }

    fn all_doers(&self, operation: &str) -> Vec<usize> {
        let stations = self.stations.iter().enumerate();
        stations
            .filter(|(_, station)| {
                let mut does = station.kind.does.iter();
                !station.is_out && does.any(|does| does.name == operation)
            })
            .map(|(index, _)| index)
            .collect()
    }

    /// A saw on which boards lie still, before which long ones need no straight floor.
    pub fn chop_saw(&self) -> Option<usize> {
        let crosscut = self.all_doers("crosscut");
        crosscut.into_iter().find(|&saw| !self.rips(saw))
    }

    /// Whether whole sheets are cut and go over a saw.
    pub fn feeds_whole_sheets(&self) -> bool {
        self.needs_sheets && !self.has_horses() && self.sheet_saw().is_some()
    }

    /// Whether a saw shall not cut across, since there is one on which long boards lie still.
    fn never_crosscuts(&self, saw: usize) -> bool {
        self.rips(saw) && self.chop_saw().is_some() && !self.feeds_whole_sheets()
    }

    /// Operations of stations that shall not do them, by the station's index.
    pub fn never(&self) -> Vec<(usize, &'static str)> {
        let saws = self.all_doers("crosscut").into_iter();
        let saws = saws.filter(|&saw| self.never_crosscuts(saw));
        saws.map(|saw| (saw, "crosscut")).collect()
    }

    fn rips(&self, saw: usize) -> bool {
        let does = self.stations[saw].kind.does;
        does.iter().any(|does| does.name == "rip")
    }

    /// The saw through which whole sheets are fed where there are no horses for them.
    pub fn sheet_saw(&self) -> Option<usize> {
        let rip = self.all_doers("rip").into_iter();
        let mut both = rip.filter(|saw| self.all_doers("crosscut").contains(saw));
        both.next().filter(|_| !self.sheets_come_cut)
    }

    /// Whether the fence of a station stands between it and a wall, so that nothing long lies across it.
    pub fn is_fenced(&self, station: usize) -> bool {
        let kind = self.stations[station].kind;
        kind.feed.is_some() && !kind.kickback
    }

    /// How wide a board any jointer takes, in metres; nothing where there is none.
    pub fn jointer_width(&self) -> Option<f64> {
        let jointers = self.doers("joint").into_iter();
        let widths = jointers.map(|jointer| {
            let widest = self.stations[jointer].kind.widest;
            widest.map_or(f64::INFINITY, |widest| widest.usual * INCH)
        });
        widths.reduce(f64::max)
    }

    pub fn has_horses(&self) -> bool {
        self.can("rip sheet")
    }

    /// Whether what is bought is cut here, rather than where it is bought.
    pub fn is_cut_here(&self, stuff: Stuff) -> bool {
        match stuff {
            Stuff::Boards => !self.boards_come_cut && self.can("crosscut"),
            Stuff::Sheets => self.has_horses() || self.sheet_saw().is_some(),
        }
    }

    pub fn has_board_rack(&self) -> bool {
        let mut stations = self.stations.iter();
        stations.any(|station| station.kind.keeps == Some(Keeps::Boards))
    }

    /// Where material lies, where the station that would usually keep it stands nowhere.
    pub fn lies_elsewhere(&self, stuff: Stuff) -> Option<&str> {
        let first = |keeps: Keeps| {
            let mut stations = self.stations.iter();
            stations.find(|station| station.kind.keeps == Some(keeps))
        };
        let usual = match stuff {
            Stuff::Sheets => first(Keeps::Sheets).or_else(|| first(Keeps::Boards)),
            Stuff::Boards => first(Keeps::Boards),
        };
        usual?.is_out.then_some(self.door)
    }
}
