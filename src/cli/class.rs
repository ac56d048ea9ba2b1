//! `shopstride class`: the layouts of a class on one page, ranked.

use std::fs;
use std::path::{Path, PathBuf};

use super::class_options::ClassOptions;
use super::output::{self, is_standard_output};
use super::places::Places;
use super::{Refusal, memory, scenario};
use crate::experiment::{ClassStudy, ClassWork, LayoutFindings, rank};
use crate::report::class::{ClassSubject, html, is_ranked, text};
use crate::report::{counted, listed};
use crate::scenario::printable_name;

/// More files than this are no class.
const MOST_FILES: usize = 200;

pub fn class(options: &ClassOptions) -> Result<(), Refusal> {
    let out = Some(options.out.clone());
    let mut places = Places::new("class", None).file("--out", &out);
    if let Some(given) = &options.given {
        places = places.reads("--given", given);
    }
    places.check()?;
    let files = files(&options.folder, options.given.as_deref())?;
    let given = options.given.as_deref();
    let given = given
        .map(|file| scenario::load(Some(file), true))
        .transpose()?;
    let (works, unread) = works(&files, options)?;
    let class = ClassStudy::of(&works, given.as_ref());
    let mut class = class.ok_or_else(|| nothing_in(&options.folder))?;
    scenario::play_as_asked(&mut class.study, &options.how);
    memory::check(&class.study, 1)?;
    let sites = class.study.sites();
    let bar = output::progress(options.how.quiet, 0);
    let mut layouts = Vec::new();
    let ranking = rank(
        &class.study,
        options.by.into(),
        |findings| {
            layouts = LayoutFindings::all(&class.study, &sites, findings);
            is_ranked(&class, findings, &layouts)
        },
        &|played| bar.inc(played),
    );
    bar.finish_and_clear();
    let ranking = ranking.map_err(|failure| scenario::stuck(&failure))?;
    let left_out = class.left_out.iter();
    // Nothing is walked in them, so that no aisle is judged.
    let left_out: Vec<_> = left_out
        .map(|(_, candidate)| LayoutFindings::checked(candidate, &[]))
        .collect();
    let subject = ClassSubject {
        works: &works,
        class: &class,
        by: options.by.into(),
        ranking: &ranking,
        layouts: &layouts,
        left_out: &left_out,
        unread: &unread,
    };
    let page = html(&subject);
    let page =
        page.map_err(|error| Refusal::because(format!("the page cannot be made: {error}")))?;
    if !is_standard_output(&out) {
        output::print(&text(&subject, output::reading_width()))?;
    }
    output::write_page(&options.out, &page, "", options.how.quiet)
}

/// The scenarios of a folder in the order of their names, but for the one that was handed out.
fn files(folder: &Path, given: Option<&Path>) -> Result<Vec<PathBuf>, Refusal> {
    if folder.is_file() {
        return Err(Refusal::with_hint(
            format!(
                "{} is a file: a class has a folder with a file for each",
                folder.display()
            ),
            format!(
                "`shopstride compare {}` compares the layouts of one file",
                folder.display()
            ),
        ));
    }
    let unreadable =
        |error| Refusal::because(format!("{} cannot be read: {error}", folder.display()));
    let is_given = |file: &Path| given.is_some_and(|given| is_same_file(file, given));
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let file = entry.map_err(unreadable)?.path();
        // Opening a pipe would wait for somebody to write to it. What is hidden, systems put beside other files.
        if super::is_scenario(&file) && !is_hidden(&file) && file.is_file() && !is_given(&file) {
            files.push(file);
        }
    }
    files.sort();
    match files.len() {
        0 => Err(nothing_in(folder)),
        many if many > MOST_FILES => Err(Refusal::because(format!(
            "{} holds {many} scenarios: at most {MOST_FILES} are put on one page",
            folder.display()
        ))),
        _ => Ok(files),
    }
}

fn is_hidden(file: &Path) -> bool {
    let name = file.file_name().unwrap_or_default();
    name.as_encoded_bytes().starts_with(b".")
}

fn is_same_file(one: &Path, other: &Path) -> bool {
    match (one.canonicalize(), other.canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}

fn nothing_in(folder: &Path) -> Refusal {
    Refusal::with_hint(
        format!("no scenario is in {}", folder.display()),
        "put the file of each pupil there, called as its pupil and ending in .yaml",
    )
}

/// What is read of the files, and the names of those that are left out because something is wrong in them, which is said.
fn works(
    files: &[PathBuf],
    options: &ClassOptions,
) -> Result<(Vec<ClassWork>, Vec<String>), Refusal> {
    let (mut works, mut unread) = (Vec::new(), Vec::new());
    for file in files {
        let whose = file
            .file_stem()
            .map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
        match scenario::load(Some(file), true) {
            Ok(study) => works.push(ClassWork { whose, study }),
            Err(refusal) => {
                super::tell(&refusal);
                unread.push(whose);
            }
        }
    }
    if unread.is_empty() || options.leave_out && !works.is_empty() {
        return Ok((works, unread));
    }
    let names: Vec<String> = unread
        .iter()
        .map(|name| printable_name(name).into_owned())
        .collect();
    let what = format!(
        "something is wrong in {} of {}: {}",
        unread.len(),
        counted(files.len(), "file"),
        listed(&names, "and")
    );
    Err(match works.is_empty() {
        true => Refusal::because(what),
        false => Refusal::with_hint(what, "--leave-out makes the page of the others"),
    })
}
