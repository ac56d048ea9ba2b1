//! Numbers as people write them, with fractions.

/// A number at the start of the text: `12`, `1.5`, `.5`, `1e3`, `3/4`, `1-3/4` or `1 3/4`, and what follows.
pub fn number(text: &str) -> Option<(f64, &str)> {
    if let Some((value, rest)) = fraction(text) {
        return Some((value, rest));
    }
    let digits = run_of_digits(text);
    let (whole, after) = text.split_at(digits);
    if digits > 0 {
        // A mixed number; `6 ft` or `6 8 in` is none, because no fraction follows.
        if let Some(rest) = after.strip_prefix(['-', ' '])
            && let Some((part, rest)) = fraction(rest.trim_start())
        {
            return Some((whole.parse::<f64>().ok()? + part, rest));
        }
    }
    let mut end = digits;
    if let Some(decimals) = after.strip_prefix('.') {
        let count = run_of_digits(decimals);
        if digits == 0 && count == 0 {
            return None;
        }
        end += 1 + count;
    }
    if end == 0 {
        return None;
    }
    if let Some(exponent) = text[end..].strip_prefix(['e', 'E']) {
        let sign = usize::from(exponent.starts_with(['+', '-']));
        let digits = run_of_digits(&exponent[sign..]);
        if digits > 0 {
            end += 1 + sign + digits;
        }
    }
    let value: f64 = text[..end].parse().ok()?;
    Some((value, &text[end..]))
}

fn fraction(text: &str) -> Option<(f64, &str)> {
    let top = run_of_digits(text);
    let rest = text[top..].strip_prefix('/')?;
    let bottom = run_of_digits(rest);
    let numerator: f64 = text[..top].parse().ok()?;
    let denominator: f64 = rest[..bottom].parse().ok()?;
    (denominator > 0.0).then(|| (numerator / denominator, &rest[bottom..]))
}

fn run_of_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}
