//! How much stock a list of pieces takes, by a plain packing.
//!
//! A piece of stock is cut into strips, one beside the other, each as wide as the widest piece in it, and each strip into
//! pieces: guillotine cuts alone, as a saw makes them. Pieces come in the order of their widths, and each goes into the
//! first strip with room for it, or into a new one on the first piece of stock with room for that: finite first fit of
//! Berkey and Wang (1987), whose strips are shelves. It is a plan that works, and not always the best.

/// Pieces that are alike, along the strips of their stock and across them, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutPiece {
    pub along: f64,
    pub across: f64,
    pub count: u32,
}

/// What a packing takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Packing {
    /// Pieces of stock of as much area as all that is cut from them: no packing takes fewer.
    pub least: u32,
    pub stock: u32,
    /// Strips on all of them together.
    pub strips: u32,
}

/// Sizes that differ by less are the same, in metres.
const SAME_M: f64 = 1e-6;

struct CutStrip {
    across: f64,
    /// Of its length, in metres.
    taken: f64,
}

/// Packs pieces into stock of one size, along and across its strips, with a cut as wide as the saw's blade between two;
/// nothing where a piece is larger than the stock.
pub fn packed(stock: (f64, f64), kerf: f64, pieces: &[CutPiece]) -> Option<Packing> {
    let (along, across) = stock;
    let is_too_large = |piece: &&CutPiece| {
        piece.along > along + SAME_M || piece.across > across + SAME_M || piece.along <= 0.0
    };
    if pieces.iter().any(|piece| is_too_large(&piece)) {
        return None;
    }
    let mut pieces = pieces.to_vec();
    // The sort is stable: of equals the first of the list comes first.
    pieces.sort_by(|one, other| {
        let widest = other.across.total_cmp(&one.across);
        widest.then(other.along.total_cmp(&one.along))
    });
    let mut strips: Vec<CutStrip> = Vec::new();
    // Of each piece of stock, how much of its width is taken.
    let mut taken: Vec<f64> = Vec::new();
    let after = |taken: f64| if taken > 0.0 { taken + kerf } else { 0.0 };
    for piece in &pieces {
        // What has no room for the first of several has none for the others.
        let (mut strip, mut sheet) = (0, 0);
        for _ in 0..piece.count {
            let fits = |strip: &CutStrip| {
                piece.across <= strip.across + SAME_M
                    && after(strip.taken) + piece.along <= along + SAME_M
            };
            while strips.get(strip).is_some_and(|strip| !fits(strip)) {
                strip += 1;
            }
            if strip == strips.len() {
                let is_full = |taken: &f64| after(*taken) + piece.across > across + SAME_M;
                while taken.get(sheet).is_some_and(is_full) {
                    sheet += 1;
                }
                if sheet == taken.len() {
                    taken.push(0.0);
                }
                taken[sheet] = after(taken[sheet]) + piece.across;
                strips.push(CutStrip {
                    across: piece.across,
                    taken: 0.0,
                });
            }
            let strip = &mut strips[strip];
            strip.taken = after(strip.taken) + piece.along;
        }
    }
    let area = |piece: &CutPiece| piece.along * piece.across * f64::from(piece.count);
    let area: f64 = pieces.iter().map(area).sum();
    Some(Packing {
        least: (area / (along * across) - SAME_M).ceil() as u32,
        stock: taken.len() as u32,
        strips: strips.len() as u32,
    })
}
