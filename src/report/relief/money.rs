//! What one can buy, by what it brings for its price.

use super::edits::{number, phrase};
use super::effects::{Digits, brings_and_costs, crew, goal, helps, is_worth_saying};
use crate::experiment::{Relief, Reliefs};
use crate::report::difference::is_shown;
use crate::report::figure::{fixed, number as in_digits};
use crate::report::sentence::{capital, listed};

/// So many are named behind the one that brings most for its price.
const NAMED: usize = 3;

/// The changes that cost money, whether they help or not, by what they bring for it: what brings most comes first.
pub fn by_price(reliefs: &Reliefs) -> Vec<(&Relief, f64)> {
    let all = reliefs.list.iter();
    let mut priced: Vec<(&Relief, f64)> = all
        .filter_map(|relief| Some((relief, relief.trial.price?)))
        .collect();
    let for_each = |(relief, price): &(&Relief, f64)| {
        let towards = relief.towards(reliefs.goal);
        towards.map_or(f64::INFINITY, |towards| towards.mean / price)
    };
    priced.sort_by(|a, b| for_each(a).total_cmp(&for_each(b)));
    priced
}

/// What brings most for its price, and what comes behind it; none where nothing has a price.
pub fn for_the_money(reliefs: &Reliefs, digits: Digits) -> Option<String> {
    let priced = by_price(reliefs);
    if priced.is_empty() {
        let none = "Nothing that has a price was tried: more of it cannot matter here.";
        return reliefs.has_prices.then(|| none.to_owned());
    }
    let mut helping = (priced.into_iter()).filter(|(relief, _)| match digits {
        Digits::Few => is_worth_saying(reliefs, relief),
        Digits::All => helps(reliefs, relief),
    });
    let Some((most, price)) = helping.next() else {
        return Some("Nothing that has a price visibly helps.".to_owned());
    };
    let what = phrase(&most.trial, crew(reliefs));
    let number = number(&most.trial);
    let brings = brings_and_costs(reliefs, most, number, digits);
    let mut says = format!(
        "{} brings most for its price of {}: {} {brings}.",
        capital(&what),
        money(price),
        number.pronoun()
    );
    if let Some(saved) = hands_on_saved_a_year(reliefs, most)
        && is_shown(&most.hands_on.difference)
    {
        let much = hours(saved.abs());
        says.push_str(&match saved < 0.0 {
            true => format!(" But it takes {much} more of hands-on work a year."),
            false => format!(" That is {much} less of hands-on work a year."),
        });
    }
    let others: Vec<String> = helping
        .take(NAMED)
        .map(|(relief, price)| {
            let what = phrase(&relief.trial, crew(reliefs));
            format!("{what} ({})", money(price))
        })
        .collect();
    if !others.is_empty() {
        says.push_str(&format!(" Less for the money: {}.", listed(&others, "and")));
    }
    Some(says)
}

/// Seconds of hands-on work that a change saves in a year; none where nobody said how much is built, or nothing is done.
pub fn hands_on_saved_a_year(reliefs: &Reliefs, relief: &Relief) -> Option<f64> {
    let a_year = reliefs.orders_a_year?;
    let done = relief.projects.iter().map(|project| &project.orders_done);
    let before: f64 = done.clone().map(|done| done.base_mean).sum();
    let after: f64 = before + done.map(|done| done.difference.mean).sum::<f64>();
    let base = relief.hands_on.base_mean;
    let changed = base + relief.hands_on.difference.mean;
    (before > 0.0 && after > 0.0).then(|| a_year * (base / before - changed / after))
}

/// What a change brings for each unit of its price, in the unit of the goal: seconds sooner, or orders an hour more.
pub fn brings_for_one(reliefs: &Reliefs, relief: &Relief, price: f64) -> f64 {
    goal(reliefs, relief).difference.mean.abs() / price
        * match relief.towards(reliefs.goal) {
            Some(towards) if towards.mean > 0.0 => -1.0,
            _ => 1.0,
        }
}

/// "300", "12.50": whole amounts without digits behind the point, tiny ones with the first two that say anything.
pub fn money(price: f64) -> String {
    const LEAST_WRITTEN_OUT: f64 = 1e-9;
    match price {
        _ if price.fract() == 0.0 => fixed(price, 0),
        0.01.. => fixed(price, 2),
        LEAST_WRITTEN_OUT.. => fixed(price, 1 + (-price.log10()).ceil() as usize),
        _ => format!("{price:.1e}"),
    }
}

/// Hours of work, since nobody works days of 24 hours.
fn hours(seconds: f64) -> String {
    format!("{} h", in_digits(seconds / 3600.0))
}

#[cfg(test)]
mod tests {
    use super::money;

    #[test]
    fn no_price_is_written_as_nothing() {
        let written = [300.0, 12.5, 0.01, 0.0012, 3e-12].map(money);
        assert_eq!(written, ["300", "12.50", "0.01", "0.0012", "3.0e-12"]);
    }
}
