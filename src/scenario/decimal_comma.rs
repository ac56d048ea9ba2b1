//! Numbers written with a decimal comma, which YAML takes for the end of an item.

use super::problem::Bytes;
use super::quantity::with_a_point;
use super::tree::{MapEntry, MapKey, YamlNode, YamlValue};

/// A hint at a number whose decimal comma has cut a list in two, such as `12` and `5 ft`.
pub fn decimal_comma(items: &[YamlNode]) -> Option<String> {
    let mut pairs = items.windows(2);
    pairs.find_map(|pair| match [&pair[0].value, &pair[1].value] {
        [YamlValue::Scalar(whole), YamlValue::Scalar(rest)]
            if whole != "0" || touch(&pair[0], &pair[1].span) =>
        {
            joined(whole, rest).map(|joined| with_a_point(&joined))
        }
        _ => None,
    })
}

/// Numbers of a list that may be the halves of one that is written with a decimal comma, such as `[0,5 min]`: nothing
/// stands between comma and digit. Only what has a unit can be a second half.
pub fn halves(items: &[YamlNode]) -> Vec<(&YamlNode, String)> {
    let pairs = items.windows(2).filter_map(|pair| {
        let [YamlValue::Scalar(whole), YamlValue::Scalar(rest)] = [&pair[0].value, &pair[1].value]
        else {
            return None;
        };
        let has_unit = rest.contains(|c: char| c.is_alphabetic());
        let joined = joined(whole, rest).filter(|_| has_unit && touch(&pair[0], &pair[1].span))?;
        Some((&pair[0], joined))
    });
    pairs.collect()
}

/// Whether nothing but a comma stands between a value and what follows it.
fn touch(value: &YamlNode, next: &Bytes) -> bool {
    value.span.end + 1 == next.start
}

/// The same where YAML took the second half for a key: the value of the entry before it is the first half.
pub fn broken_off<'a>(before: &'a [MapEntry], key: &MapKey) -> Option<(&'a YamlNode, String)> {
    let node = &before.last()?.node;
    match &node.value {
        YamlValue::Scalar(whole) if whole != "0" || touch(node, &key.span) => {
            Some((node, joined(whole, &key.text)?))
        }
        _ => None,
    }
}

/// The number that two halves make with a point between them.
fn joined(whole: &str, rest: &str) -> Option<String> {
    let is_whole = !whole.is_empty() && whole.bytes().all(|byte| byte.is_ascii_digit());
    let goes_on = rest.starts_with(|c: char| c.is_ascii_digit());
    (is_whole && goes_on).then(|| format!("{whole}.{rest}"))
}
