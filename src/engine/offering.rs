//! Which work is offered, where some is put off.

use crate::shop::{CureRule, Shop, Work};
use crate::units::Span;

/// Which work is offered while somebody is asked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Offering {
    #[default]
    All,
    /// All but what is followed by a cure.
    WithoutCures,
    /// Of what is followed by a cure only what would keep whoever takes it for longer than this.
    NowOrNever(Span),
}

/// Whether work is put off for other work.
pub(super) fn is_put_off(shop: &Shop, work: &Work) -> bool {
    let cures = (work.cure.as_ref()).is_some_and(|cure| cure.time.mean() > 0.0);
    cures && shop.rules.cures == CureRule::LastInASession
}
