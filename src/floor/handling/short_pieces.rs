//! The rule about pieces that are too short for a machine.

use crate::floor::finding::{Fact, FedPiece, FeedHazard, Finding, FindingLevel, FindingSubject};
use crate::floor::{Premises, SAME_POINT_M};
use crate::shop::StationId;

/// What is fed through a planer or over a jointer is long enough: of each the shortest piece. What a station is says
/// its kind, or else its name.
pub fn short_pieces(premises: Premises<'_>, fed: &[Vec<FedPiece>]) -> Vec<Finding> {
    let least = premises.limits.short_piece;
    let stations = premises.shop.stations.enumerate().zip(fed);
    let findings = stations.filter_map(|((station, of), fed)| {
        if !holds_down_with_rollers_or_hands(of.kind.unwrap_or(&of.name)) {
            return None;
        }
        let by_length = |a: &&FedPiece, b: &&FedPiece| a.size.length.total_cmp(&b.size.length);
        let piece = *fed.iter().min_by(by_length)?;
        let missing = least - piece.size.length;
        (missing > SAME_POINT_M).then(|| found(station, piece, least).missing(missing))
    });
    findings.collect()
}

fn found(station: StationId, piece: FedPiece, least: f64) -> Finding {
    let fact = Fact::FeedHazard(FeedHazard::Short { piece, least });
    let subject = FindingSubject::Place(station.into());
    Finding::new(FindingLevel::Warning, "short piece", subject, fact)
}

/// Whether a name, of a kind or a station, is that of a planer or a jointer: not of a hand plane, and not of a sled on which pieces are fixed.
fn holds_down_with_rollers_or_hands(name: &str) -> bool {
    let name = name.to_lowercase();
    let words: Vec<&str> = name.split(|letter: char| !letter.is_alphabetic()).collect();
    let any = |of: &[&str]| words.iter().any(|word| of.contains(word));
    any(&["planer", "jointer", "thicknesser"]) && !any(&["hand", "sled", "router"])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planers_and_jointers_are_known_by_their_names() {
        let are = ["planer", "Jointer (8 in)", "planer-thicknesser", "planer 2"];
        let are_not = [
            "hand planer",
            "router planer sled",
            "bench",
            "joint table",
            "planerium",
        ];
        assert!(are.into_iter().all(holds_down_with_rollers_or_hands));
        assert!(!are_not.into_iter().any(holds_down_with_rollers_or_hands));
    }
}
