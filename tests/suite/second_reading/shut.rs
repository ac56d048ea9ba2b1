//! How much of a lead time goes by because the shop is shut.

use super::clock::{Spans, length, union, without};
use super::play::Play;
use super::record::LotPhase;

impl Play<'_> {
    /// Over all parts of an order that is done, lot by lot, the time in which the shop is shut and the lot in which the part
    /// is does not cure, nor is worked on after hours.
    ///
    /// Reading: whatever a lot would wait for at night, it waits for the opening.
    pub fn shop_shut(&self, order: usize) -> Option<i64> {
        let of = &self.orders[order];
        let done = of.done?;
        let leaves = of.lots.iter().filter(|&&lot| {
            let line = self.line(lot);
            line.made_of.is_empty() && !line.is_material
        });
        Some(leaves.map(|&leaf| self.leaf_shut(leaf, done)).sum())
    }

    fn leaf_shut(&self, leaf: usize, done: i64) -> i64 {
        let order = &self.orders[self.lots[leaf].order];
        let of_order = |test: &dyn Fn(usize) -> bool| order.lots.iter().copied().find(|&l| test(l));
        // The part is in the material that it is cut from until it is ready for something itself, and then in itself until
        // an assembly that it goes into is.
        let mut inside = vec![(leaf, order.released)];
        let line = self.line(leaf);
        if let Some(material) = line.cut_from {
            let material = of_order(&|lot| self.lots[lot].line == material);
            inside.insert(0, (material.expect("it is cut from one"), order.released));
            match self.lots[leaf].first_ready {
                Some(ready) => inside[1].1 = ready,
                None => _ = inside.pop(),
            }
        }
        let mut last = leaf;
        while let Some(assembly) = of_order(&|lot| self.lots[lot].inputs.contains(&last)) {
            if let Some(ready) = self.lots[assembly].first_ready {
                inside.push((assembly, ready));
            }
            last = assembly;
        }
        let ends = inside[1..].iter().map(|next| next.1).chain([done]);
        let stretches = inside.iter().zip(ends);
        stretches
            .map(|(&(lot, from), to)| self.lot_shut(lot, from, to))
            .sum()
    }

    fn lot_shut(&self, lot: usize, from: i64, to: i64) -> i64 {
        let cures = self.record.lots.iter();
        let cures = cures.filter(|of| of.0 == lot && of.1 == LotPhase::Curing);
        let worked = self.record.after_hours.iter().filter(|of| of.0 == lot);
        let busy: Spans = cures
            .map(|of| (of.2, of.3))
            .chain(worked.map(|of| (of.1, of.2)))
            .chain(self.shop.hours.open.between(from, to))
            .collect();
        length(&without(&union(vec![(from, to)]), &union(busy)))
    }
}
