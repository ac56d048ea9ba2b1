//! The page of `shopstride edit`, which is served and not kept: what it shows comes from the program, answer by answer.

use minijinja::{AutoEscape, Environment, Value as Filled, context};

use crate::report::charts::floor_signs;
use crate::report::charts::scene::{ChartScene, font_faces_with};
use crate::report::check::{CAUTION, NOT_LOOKED_AT};
use crate::report::page::{self, served_policy};
use crate::scenario::printable_name;

/// The page, as HTML with places for what differs.
const PAGE: &str = include_str!("editor.html");
const STYLE: &str = include_str!("editor.css");

/// The scripts in the order in which they need each other.
const SCRIPTS: [&str; 15] = [
    include_str!("elements.js"),
    include_str!("asking.js"),
    include_str!("plan.js"),
    include_str!("figures.js"),
    include_str!("dragging.js"),
    include_str!("saving.js"),
    include_str!("improving.js"),
    include_str!("beginning.js"),
    include_str!("building.js"),
    include_str!("drawing.js"),
    include_str!("times.js"),
    include_str!("cutting.js"),
    include_str!("comparing.js"),
    include_str!("windows.js"),
    include_str!("editor.js"),
];

/// A page with what it may do, which is said beside it when it is served.
pub struct EditorPage {
    pub html: String,
    pub policy: String,
}

/// The page of a scenario of this title, with letters for these pictures.
///
/// # Errors
/// If the page that comes with the program is wrong.
pub fn editor_page(title: &str, drawn: &[ChartScene]) -> Result<EditorPage, minijinja::Error> {
    let script = format!("(() => {{\n\"use strict\";\n{}}})();\n", SCRIPTS.concat());
    let faces = font_faces_with(drawn.iter(), &usual_letters());
    let style = format!("{faces}\n{}{STYLE}", page::STYLE);
    let signs = floor_signs();
    let patterns = signs.iter().filter_map(|sign| sign.pattern.clone());
    let legend = signs.iter().map(|sign| {
        context! { words => sign.words, fill => Filled::from_safe_string(sign.fill.clone()) }
    });
    let policy = served_policy(&script, &style);
    let mut pages = Environment::new();
    pages.set_auto_escape_callback(|_| AutoEscape::Html);
    pages.add_template("editor.html", PAGE)?;
    let html = pages.get_template("editor.html")?.render(context! {
        style => Filled::from_safe_string(style),
        script => Filled::from_safe_string(script),
        patterns => Filled::from_safe_string(patterns.collect()),
        legend => legend.collect::<Vec<_>>(),
        title => printable_name(title),
        caution => format!("{NOT_LOOKED_AT} {CAUTION}"),
    })?;
    Ok(EditorPage { html, policy })
}

/// Letters of which names are made that are given while the page is open: those of ASCII and of Latin 1.
fn usual_letters() -> String {
    let all = (' '..='~').chain('\u{a1}'..='\u{ff}');
    all.collect()
}
