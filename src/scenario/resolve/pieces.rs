//! How large a piece is when it comes to each step of its route.

use crate::shop::Size;

/// A piece on its route: cut from stock, then rough, then finished, each of its three sizes for itself.
#[derive(Debug, Clone)]
pub struct Cutting {
    /// Its sizes as stock, rough and finished, as far as the file gives them.
    sizes: Vec<Size>,
    /// The index into `sizes` that its length, width and thickness have reached.
    stages: [usize; 3],
}

impl Cutting {
    pub fn new(stock: Option<Size>, rough: Option<Size>, finished: Option<Size>) -> Cutting {
        Cutting {
            sizes: stock.into_iter().chain(rough).chain(finished).collect(),
            stages: [0; 3],
        }
    }

    /// The size now, if any is given.
    pub fn size(&self) -> Option<Size> {
        let at = |side: usize| self.sizes.get(self.stages[side]);
        Some(Size {
            length: at(0)?.length,
            width: at(1)?.width,
            thickness: at(2)?.thickness,
        })
    }

    /// An operation has brought these sizes (0 length, 1 width, 2 thickness) one stage further.
    pub fn cut(&mut self, sides: &[usize]) {
        for &side in sides {
            self.stages[side] = (self.stages[side] + 1).min(self.sizes.len().saturating_sub(1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(length: f64, width: f64, thickness: f64) -> Size {
        Size {
            length,
            width,
            thickness,
        }
    }

    #[test]
    fn a_crosscut_takes_a_board_to_its_rough_length_and_the_next_one_to_its_finished_length() {
        let mut piece = Cutting::new(
            Some(size(2.4, 0.2, 0.03)),
            Some(size(0.8, 0.1, 0.03)),
            Some(size(0.75, 0.09, 0.02)),
        );
        assert_eq!(piece.size(), Some(size(2.4, 0.2, 0.03)));
        piece.cut(&[0]);
        assert_eq!(piece.size(), Some(size(0.8, 0.2, 0.03)));
        piece.cut(&[0, 2]);
        assert_eq!(piece.size(), Some(size(0.75, 0.2, 0.03)));
        piece.cut(&[0, 1]);
        assert_eq!(piece.size(), Some(size(0.75, 0.1, 0.03)));
    }

    #[test]
    fn without_sizes_nothing_is_known() {
        let mut piece = Cutting::new(None, None, None);
        piece.cut(&[0, 1, 2]);
        assert_eq!(piece.size(), None);
    }
}
