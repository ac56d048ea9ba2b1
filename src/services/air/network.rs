//! Ducts as a tree that begins at a collector's inlet.

use thiserror::Error;

use super::friction::{
    FLEXIBLE_FACTOR, PORT_ENTRY, bore, flexible_loss, smooth_loss, velocity_pressure,
};

/// A stretch of duct of one diameter without a junction. One without sections behind it ends in a port.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DuctSection {
    /// The section that its air goes into, which stands before it; none at the collector's inlet.
    pub into: Option<usize>,
    pub diameter: f64,
    /// Of galvanised pipe.
    pub smooth: f64,
    /// Of hose.
    pub flexible: f64,
    /// By how much that hose loses more than straight smooth hose.
    pub flexible_factor: f64,
    /// Losses of elbows, and of the wye with which it joins the next section, in its own velocity pressures.
    pub fittings: f64,
    /// Loss of entry in velocity pressures, where it ends in a port.
    pub entry: f64,
    /// Whether a gate can shut it off, with all that is behind it.
    pub has_gate: bool,
    /// What a shut gate leaves open, in m².
    pub leak: f64,
}

/// Why sections are no network. The number is the section's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NetworkError {
    #[error("section {0} goes into one that does not stand before it")]
    NotBefore(usize),
    #[error("section {0} has a diameter that is not above 0, or another figure below 0")]
    OutOfRange(usize),
}

/// The ducts of one collector.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctNetwork {
    sections: Vec<DuctSection>,
    /// The sections that go into each.
    behind: Vec<Vec<usize>>,
    /// Those at the collector's inlet.
    first: Vec<usize>,
}

impl DuctNetwork {
    /// # Errors
    /// If a section goes into one that does not stand before it, or has a figure out of range.
    pub fn new(sections: Vec<DuctSection>) -> Result<DuctNetwork, NetworkError> {
        let mut behind = vec![Vec::new(); sections.len()];
        let mut first = Vec::new();
        for (number, section) in sections.iter().enumerate() {
            let figures = [
                section.smooth,
                section.flexible,
                section.flexible_factor,
                section.fittings,
                section.entry,
                section.leak,
            ];
            let in_range = |figure: &f64| *figure >= 0.0 && figure.is_finite();
            let has_diameter = section.diameter > 0.0 && section.diameter.is_finite();
            if !has_diameter || !figures.iter().all(in_range) {
                return Err(NetworkError::OutOfRange(number));
            }
            match section.into {
                None => first.push(number),
                Some(into) if into < number => behind[into].push(number),
                Some(_) => return Err(NetworkError::NotBefore(number)),
            }
        }
        Ok(DuctNetwork {
            sections,
            behind,
            first,
        })
    }

    pub fn sections(&self) -> &[DuctSection] {
        &self.sections
    }

    /// The sections that join at the far end of a section, or at the collector's inlet.
    pub fn behind(&self, section: Option<usize>) -> &[usize] {
        section.map_or(&self.first, |number| &self.behind[number])
    }

    pub fn is_port(&self, section: usize) -> bool {
        self.behind[section].is_empty()
    }

    /// The sections through which air goes in from an open port, where `is_open` tells of each gate.
    pub fn on_open_ways(&self, is_open: &dyn Fn(usize) -> bool) -> Vec<bool> {
        let mut open = vec![false; self.sections.len()];
        for number in (0..self.sections.len()).rev() {
            let lets_through = !self.sections[number].has_gate || is_open(number);
            let behind = &self.behind[number];
            open[number] =
                lets_through && (behind.is_empty() || behind.iter().any(|&next| open[next]));
        }
        // Nothing comes through behind a gate that is shut.
        for (number, section) in self.sections.iter().enumerate() {
            open[number] &= section.into.is_none_or(|into| open[into]);
        }
        open
    }
}

impl DuctSection {
    /// Of no length yet, ending in a usual port if nothing is behind it, with the losses of its fittings.
    pub fn of_pipe(into: Option<usize>, diameter: f64, fittings: f64) -> DuctSection {
        DuctSection {
            into,
            diameter,
            smooth: 0.0,
            flexible: 0.0,
            flexible_factor: FLEXIBLE_FACTOR,
            fittings,
            entry: PORT_ENTRY,
            has_gate: false,
            leak: 0.0,
        }
    }

    pub fn velocity(&self, airflow: f64) -> f64 {
        airflow / bore(self.diameter)
    }

    pub fn velocity_pressure(&self, airflow: f64) -> f64 {
        velocity_pressure(self.velocity(airflow))
    }

    /// What friction and fittings of the section lose, in Pa.
    pub fn loss(&self, airflow: f64) -> f64 {
        self.loss_with(airflow, smooth_loss)
    }

    /// The same with what a metre of smooth pipe loses, by velocity and airflow.
    pub(super) fn loss_with(&self, airflow: f64, smooth_loss: impl Fn(f64, f64) -> f64) -> f64 {
        if airflow <= 0.0 {
            return 0.0;
        }
        let velocity = self.velocity(airflow);
        let smooth = match self.smooth > 0.0 {
            true => self.smooth * smooth_loss(velocity, airflow),
            false => 0.0,
        };
        let flexible = match self.flexible > 0.0 {
            true => self.flexible * self.flexible_factor * flexible_loss(velocity, airflow),
            false => 0.0,
        };
        (smooth + flexible + self.fittings) * velocity_pressure(velocity)
    }

    /// What it takes to bring still air into its port, in Pa.
    pub fn entrance(&self, airflow: f64) -> f64 {
        (1.0 + self.entry) * self.velocity_pressure(airflow)
    }

    /// The suction that draws an airflow through its shut gate: 4005 × 0.6 × area × √suction in ft/min, ft² and inches of
    /// water. The 0.6 is a sharp orifice's, and that a gate is one is ours.
    pub fn leak_suction(&self, airflow: f64) -> f64 {
        const ORIFICE: f64 = 0.6;
        debug_assert!(self.leak > 0.0);
        velocity_pressure(airflow / (ORIFICE * self.leak))
    }
}
