//! `shopstride explain`: what a key of a scenario means.

use super::arguments::ExplainOptions;
use super::{Refusal, output};
use crate::report::explain::{list, page, words};
use crate::scenario::{explain_all, explain_key, near_word};

pub fn explain(options: &ExplainOptions) -> Result<(), Refusal> {
    let name = options.key.join(" ");
    if name.is_empty() {
        return output::print(&list(&explain_all()));
    }
    match page(&name, &explain_key(&name)) {
        Some(page) => output::print(&page),
        None => Err(Refusal::with_hint(
            format!("there is no key called `{name}`"),
            match near_word(&name, words()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "`shopstride explain` lists them".to_owned(),
            },
        )),
    }
}
