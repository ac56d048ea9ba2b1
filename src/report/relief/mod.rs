//! What would help most: the relief experiment in sentences, a table and data.

mod advice;
mod caution;
mod data;
mod edits;
mod effects;
mod money;
mod safely;
mod table;
mod unexpected;

pub use advice::{advice, lines, tried_in};
pub use caution::{caution, caution_in_short};
pub use data::json;
pub use edits::{change, change_in_words, resource, resource_in_words, why_not};
pub(super) use edits::{number, phrase};
pub(super) use effects::{
    Digits, Number, WORTH_SAYING, amount_and_whole, few_orders, goal, helps, orders_instead,
    projects,
};
pub(super) use safely::{safely, safely_of_all};
pub use table::{in_short, reliefs};
pub(super) use unexpected::departure;
