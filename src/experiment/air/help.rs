//! What would help a collector, of what can be tried without another fan.

use super::findings::{AirHelp, PipeHelp};
use crate::services::air::{CollectorAir, LaidAir};
use crate::services::sizing::{METRIC_PIPES, PIPES_IN_INCHES};

/// By connection, whether all is well with its gate alone open and a clean filter.
fn well_alone(laid: &LaidAir) -> Vec<bool> {
    let connections = 0..laid.air.connections.len();
    connections
        .map(|nth| laid.state(&[nth], false).is_well())
        .collect()
}

/// A larger or a narrower pipe where that mends most; and for each station that is not well alone, of those that `are_alone`
/// in the runs, another gate that mends it when it is opened as well.
pub fn help(laid: &LaidAir, are_alone: &[bool]) -> Vec<AirHelp> {
    let now = well_alone(laid);
    let unwell: Vec<usize> = (0..now.len()).filter(|&nth| !now[nth]).collect();
    if unwell.is_empty() {
        return Vec::new();
    }
    let mut helps: Vec<AirHelp> = Vec::new();
    helps.extend(another_pipe(laid, &now, Pipes::Mains));
    helps.extend(another_pipe(laid, &now, Pipes::Branches));
    let told = unwell.iter().filter(|&&of| are_alone[of]);
    helps.extend(told.filter_map(|&of| second_gate(laid, of)));
    helps
}

fn second_gate(laid: &LaidAir, of: usize) -> Option<AirHelp> {
    let others = (0..laid.air.connections.len()).filter(|&with| with != of);
    let mut mending = others.filter(|&with| laid.state(&[of, with], false).is_well());
    Some(AirHelp::SecondGate {
        of,
        with: mending.next()?,
    })
}

#[derive(Clone, Copy, PartialEq)]
enum Pipes {
    Mains,
    Branches,
}

/// The diameter with which most are well alone, if any mends more than it harms; of equals the one nearest to what is there.
fn another_pipe(laid: &LaidAir, now: &[bool], which: Pipes) -> Option<AirHelp> {
    let air = laid.air;
    let is = match which {
        Pipes::Mains => air.mains.first()?.diameter,
        Pipes::Branches => air.branch.diameter,
    };
    let is_metric = !PIPES_IN_INCHES.iter().any(|pipe| (pipe - is).abs() < 1e-6);
    let sizes = if is_metric {
        METRIC_PIPES
    } else {
        PIPES_IN_INCHES
    };
    let well = |well: &[bool]| well.iter().filter(|&&well| well).count();
    let tries = sizes.into_iter().filter(|pipe| (pipe - is).abs() > 1e-6);
    let tried = tries.map(|diameter| {
        let other = with_pipes(air, which, diameter);
        (well_alone(&other.laid()), diameter)
    });
    let farther = |diameter: f64| libm::log(diameter / is).abs();
    let best = tried.reduce(|one, other| {
        let nearer = well(&other.0) == well(&one.0) && farther(other.1) < farther(one.1);
        if well(&other.0) > well(&one.0) || nearer {
            other
        } else {
            one
        }
    });
    let (then, diameter) = best?;
    let turned = |to: bool| -> Vec<usize> {
        let connections = now.iter().zip(&then).enumerate();
        let turned = connections.filter(|&(_, (&before, &after))| before != to && after == to);
        turned.map(|(nth, _)| nth).collect()
    };
    let help = PipeHelp {
        diameter,
        mended: turned(true),
        harmed: turned(false),
        of: now.len() - well(now),
    };
    (help.mended.len() > help.harmed.len()).then_some(match which {
        Pipes::Mains => AirHelp::Mains(help),
        Pipes::Branches => AirHelp::Branches(help),
    })
}

fn with_pipes(air: &CollectorAir, which: Pipes, diameter: f64) -> CollectorAir {
    let mut other = air.clone();
    match which {
        Pipes::Mains => other
            .mains
            .iter_mut()
            .for_each(|main| main.diameter = diameter),
        Pipes::Branches => other.branch.diameter = diameter,
    }
    other
}
