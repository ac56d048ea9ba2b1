//! What stands in the shop as somebody says it: `table saw, 2 workbenches, big lathe: lathe`.

use super::Complaint;
use super::length::in_units;
use crate::scenario::kinds::{self, StationKind};

/// A station that is wanted.
#[derive(Debug, Clone)]
pub struct SaidStation {
    pub name: String,
    pub kind: &'static StationKind,
    /// Whether the kind is only the usual one of what was said, as of a table saw.
    pub is_kind_guessed: bool,
}

/// More than any small shop has.
const MOST: usize = 60;

/// What people call things of which the kinds have another name, and whether other kinds are called so as well.
const CALLED: [(&str, &str, bool); 165] = [
    ("6 in jointer", "jointer 6 in", false),
    ("8 in jointer", "jointer 8 in", false),
    ("14 in band saw", "band saw 14 in", false),
    ("18 in band saw", "band saw 18 in", false),
    ("table saw", "contractor saw", true),
    ("saw bench", "contractor saw", true),
    ("bench saw", "portable table saw", true),
    ("circular saw bench", "contractor saw", true),
    ("contractor table saw", "contractor saw", false),
    ("contractors saw", "contractor saw", false),
    ("contractors table saw", "contractor saw", false),
    ("hybrid saw", "contractor saw", false),
    ("hybrid table saw", "contractor saw", false),
    ("cabinet table saw", "cabinet saw", false),
    ("cabinetmakers saw", "cabinet saw", false),
    ("panel saw", "cabinet saw", true),
    ("sliding table saw", "cabinet saw", true),
    ("jobsite saw", "portable table saw", false),
    ("jobsite table saw", "portable table saw", false),
    ("portable saw", "portable table saw", false),
    ("benchtop table saw", "portable table saw", false),
    ("folding table saw", "portable table saw", false),
    ("planer", "bench-top planer", true),
    ("thickness planer", "bench-top planer", true),
    ("thicknesser", "bench-top planer", true),
    ("lunchbox planer", "bench-top planer", false),
    ("portable planer", "bench-top planer", false),
    ("bench planer", "bench-top planer", false),
    ("surfacer", "bench-top planer", true),
    ("stationary planer", "floor planer", false),
    ("15 in planer", "floor planer", false),
    ("20 in planer", "floor planer", false),
    ("12 in planer", "bench-top planer", false),
    ("13 in planer", "bench-top planer", false),
    ("jointer", "jointer 6 in", true),
    ("surface planer", "jointer 6 in", true),
    ("benchtop jointer", "jointer 6 in", true),
    ("bench jointer", "jointer 6 in", true),
    ("long bed jointer", "jointer 8 in", false),
    ("planer thicknesser", "jointer-planer", false),
    ("planer jointer", "jointer-planer", false),
    ("combination machine", "jointer-planer", false),
    ("band saw", "band saw 14 in", true),
    ("benchtop band saw", "band saw 14 in", true),
    ("large band saw", "band saw 18 in", false),
    ("resaw", "band saw 18 in", true),
    ("mitre saw", "miter saw", false),
    ("sliding miter saw", "miter saw", false),
    ("sliding mitre saw", "miter saw", false),
    ("compound miter saw", "miter saw", false),
    ("compound mitre saw", "miter saw", false),
    ("sliding compound miter saw", "miter saw", false),
    ("miter saw station", "miter saw", false),
    ("mitre saw station", "miter saw", false),
    ("cutoff saw", "miter saw", false),
    ("chopsaw station", "miter saw", false),
    ("chop saw", "miter saw", false),
    ("mitre station", "miter saw", false),
    ("miter station", "miter saw", false),
    ("radial saw", "radial-arm saw", false),
    ("radial arm", "radial-arm saw", false),
    ("pillar drill", "drill press", false),
    ("floor drill press", "drill press", false),
    ("pedestal drill", "drill press", false),
    ("drilling machine", "drill press", true),
    ("benchtop drill press", "bench drill press", false),
    ("bench drill", "bench drill press", false),
    ("drill", "drill press", true),
    ("router", "router table", false),
    ("router station", "router table", false),
    ("router bench", "router table", false),
    ("routing table", "router table", false),
    ("spindle shaper", "shaper", false),
    ("moulder", "shaper", true),
    ("molder", "shaper", true),
    ("spindle moulder", "shaper", false),
    ("wood lathe", "lathe", true),
    ("mini lathe", "small lathe", false),
    ("benchtop lathe", "small lathe", false),
    ("midi lathe", "small lathe", false),
    ("turning lathe", "lathe", true),
    ("full size lathe", "lathe", false),
    ("morticer", "mortiser", false),
    ("mortising machine", "mortiser", false),
    ("hollow chisel mortiser", "mortiser", false),
    ("fret saw", "scroll saw", false),
    ("sander", "drum sander", true),
    ("belt sander", "edge sander", true),
    ("thickness sander", "drum sander", false),
    ("wide belt sander", "drum sander", true),
    ("oscillating sander", "edge sander", true),
    ("spindle sander", "disc sander", true),
    ("disk sander", "disc sander", false),
    ("belt disk sander", "belt-disc sander", false),
    ("disc belt sander", "belt-disc sander", false),
    ("combination sander", "belt-disc sander", false),
    ("bench", "workbench", false),
    ("work table", "workbench", true),
    ("woodworking bench", "workbench", false),
    ("joiners bench", "workbench", false),
    ("cabinetmakers bench", "workbench", false),
    ("assembly bench", "assembly table", false),
    ("outfeed", "out-feed table", false),
    ("outfeed bench", "out-feed table", false),
    ("run off table", "out-feed table", false),
    ("glue up table", "assembly table", false),
    ("gluing table", "assembly table", false),
    ("finishing table", "finishing bench", false),
    ("spray booth", "finishing bench", true),
    ("finishing area", "finishing bench", false),
    ("finishing station", "finishing bench", false),
    ("finish table", "finishing bench", false),
    ("paint bench", "finishing bench", true),
    ("track saw", "sheet horses", false),
    ("saw horses", "sheet horses", false),
    ("horses", "sheet horses", false),
    ("plywood horses", "sheet horses", false),
    ("breakdown table", "sheet horses", false),
    ("cutting table", "sheet horses", true),
    ("rack", "lumber rack", true),
    ("wood rack", "lumber rack", true),
    ("timber rack", "lumber rack", true),
    ("board rack", "lumber rack", true),
    ("lumber storage", "lumber rack", true),
    ("wood storage", "lumber rack", true),
    ("timber store", "lumber rack", true),
    ("vertical lumber rack", "upright lumber rack", false),
    ("plywood rack", "sheet rack", false),
    ("panel rack", "sheet rack", false),
    ("sheet goods rack", "sheet rack", false),
    ("plywood storage", "sheet rack", false),
    ("sheet storage", "sheet rack", false),
    ("clamps", "clamp rack", false),
    ("clamp storage", "clamp rack", false),
    ("clamp wall", "clamp rack", false),
    ("cabinet", "wall cabinet", false),
    ("wall shelf", "wall cabinet", true),
    ("wall cupboard", "wall cabinet", false),
    ("tool cabinet", "wall cabinet", true),
    ("tool wall", "tool board", false),
    ("pegboard", "tool board", false),
    ("tool rack", "tool board", false),
    ("scrap bin", "offcut bin", false),
    ("off cut bin", "offcut bin", false),
    ("cutoff bin", "offcut bin", false),
    ("trolley", "cart", false),
    ("rolling cart", "cart", false),
    ("shop cart", "cart", false),
    ("sharpening bench", "sharpening station", false),
    ("grinder", "sharpening station", true),
    ("bench grinder", "sharpening station", true),
    ("dust collector", "small dust collector", true),
    ("dust extractor", "small dust collector", true),
    ("dust collection", "small dust collector", true),
    ("cyclone", "large dust collector", false),
    ("cyclone dust collector", "large dust collector", false),
    ("dust separator", "chip separator", false),
    ("separator", "chip separator", false),
    ("air filter", "air cleaner", false),
    ("air scrubber", "air cleaner", false),
    ("compressor", "air compressor", false),
    ("vacuum", "shop vacuum", false),
    ("shop vac", "shop vacuum", false),
    ("wet dry vac", "shop vacuum", false),
    ("vac", "shop vacuum", false),
];

/// The stations of a shop of which nobody says what is in it: enough to build something of boards.
pub const USUAL: &str = "lumber rack, miter saw, table saw, jointer, planer, workbench, assembly table, clamp rack, \
                         finishing bench";

/// In small letters with short units, words parted by one blank.
fn words(text: &str) -> String {
    // Of a contractor's saw the apostrophe is no foot.
    let letters =
        in_units(&text.replace("'s", "s").replace("\u{2019}s", "s")).replace(['-', '_'], " ");
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn squeezed(text: &str) -> String {
    words(text).replace(' ', "")
}

/// The same in the singular, as far as the last word may be a plural.
fn singulars(text: &str) -> Vec<String> {
    let mut forms = vec![text.to_owned()];
    forms.extend(text.strip_suffix('s').map(str::to_owned));
    forms.extend(text.strip_suffix("es").map(str::to_owned));
    forms
}

/// The kind that is meant, what it is called, and whether others are called so as well.
fn meant(said: &str) -> Option<(&'static StationKind, String, bool)> {
    let forms = singulars(&words(said));
    let forms = || forms.iter();
    let by_kind = forms().find_map(|form| {
        let same = |kind: &&StationKind| squeezed(kind.name) == squeezed(form);
        let kind = kinds::kinds().find(same)?;
        Some((kind, without_size(kind.name).to_owned(), false))
    });
    let by_name = || {
        forms().find_map(|form| {
            let mut called = CALLED.iter();
            let (name, kind, others) =
                called.find(|(name, ..)| squeezed(name) == squeezed(form))?;
            let name = name.trim_start_matches(|sign: char| !sign.is_alphabetic());
            let name = name.strip_prefix("in ").unwrap_or(name);
            Some((kinds::find(kind)?, name.to_owned(), *others))
        })
    };
    by_kind.or_else(by_name)
}

/// The name of a kind without the size that tells it from others: `jointer` of `jointer 6 in`.
fn without_size(name: &str) -> &str {
    let end = name.find(|letter: char| letter.is_ascii_digit());
    end.map_or(name, |end| name[..end].trim_end())
}

/// Single words that say what a machine is, whatever stands before them.
const SURE: [&str; 9] = [
    "jointer",
    "planer",
    "thicknesser",
    "bandsaw",
    "lathe",
    "shaper",
    "mortiser",
    "workbench",
    "cart",
];

/// What is meant by the last words, such as the table saw of `old 10 in table saw`.
fn meant_at_the_end(said: &str) -> Option<(&'static StationKind, String, bool)> {
    let plain = words(said);
    let all: Vec<&str> = plain.split(' ').collect();
    (1..all.len()).find_map(|from| {
        let last = all[from..].join(" ");
        let is_sure = all.len() - from > 1
            || singulars(&last)
                .iter()
                .any(|form| SURE.contains(&&form[..]));
        let (kind, called, _) = meant(&last).filter(|_| is_sure)?;
        Some((kind, called, true))
    })
}

/// How many, and of what: `2 workbenches`, `2x workbench`.
fn counted(said: &str) -> (usize, &str) {
    let digits = said.bytes().take_while(u8::is_ascii_digit).count();
    let count = said[..digits].parse().ok();
    let rest = said[digits..].trim_start();
    let of = rest
        .strip_prefix(['x', '×'])
        .filter(|of| of.starts_with(' '));
    let rest = of.map_or(&said[digits..], |of| of);
    // Neither the 10 of `10 in table saw` nor the 3 of `3 hp planer` is a number of machines.
    const UNITS: [&str; 11] = [
        "in", "inch", "inches", "ft", "mm", "cm", "m", "hp", "kw", "volt", "amp",
    ];
    let first = words(rest);
    let is_size = (first.split(' ').next()).is_some_and(|word| UNITS.contains(&word));
    match (count, rest.starts_with(' ') && !is_size) {
        (Some(count), true) => (count, rest.trim()),
        _ => (1, said),
    }
}

/// Reads a list of machines and furniture.
///
/// # Errors
/// All that is no kind of station, each with what may be meant.
pub fn read_stations(text: &str) -> Result<Vec<SaidStation>, Vec<Complaint>> {
    let mut stations: Vec<SaidStation> = Vec::new();
    let mut complaints = Vec::new();
    for said in text.split([',', ';', '\n']).map(str::trim) {
        if said.is_empty() {
            continue;
        }
        let (name, said) = match said.split_once(':') {
            Some((name, kind)) => (Some(name.trim()), kind.trim()),
            None => (None, said),
        };
        // The 6 of `6 in jointer` is no number of jointers.
        let (count, of) = match meant(said) {
            Some(_) => (1, said),
            None => counted(said),
        };
        let Some((kind, called, others)) = meant(of).or_else(|| meant_at_the_end(of)) else {
            complaints.push(Complaint {
                what: format!("there is no kind of station called `{of}`"),
                hint: Some(hint(of)),
            });
            continue;
        };
        if !(1..=MOST).contains(&count) || stations.len() + count > MOST {
            complaints.push(Complaint {
                what: format!("`{said}` are more stations than are accepted"),
                hint: Some(format!("there may be 1 to {MOST} of them together")),
            });
            continue;
        }
        let name = name.filter(|name| !name.is_empty()).unwrap_or(&called);
        for _ in 0..count {
            let name = unused(name, |name| stations.iter().any(|known| known.name == name));
            stations.push(SaidStation {
                name,
                kind,
                is_kind_guessed: others,
            });
        }
    }
    if stations.is_empty() && complaints.is_empty() {
        complaints.push(Complaint {
            what: "there is no machine in the list".to_owned(),
            hint: Some("write for example `table saw, planer, workbench`".to_owned()),
        });
    }
    match complaints.is_empty() {
        true => Ok(stations),
        false => Err(complaints),
    }
}

fn hint(said: &str) -> String {
    let names = CALLED.iter().map(|(name, ..)| *name);
    let names = names.chain(kinds::kinds().map(|kind| kind.name));
    let plain = words(said);
    crate::scenario::problem::nearest(&plain, names)
        .map_or_else(|| kinds::hint(&plain), crate::scenario::problem::meant)
}

/// A name that is not used yet: itself, or with a number.
pub fn unused(name: &str, is_used: impl Fn(&str) -> bool) -> String {
    let numbered = (2..).map(|number| format!("{name} {number}"));
    let mut all = std::iter::once(name.to_owned()).chain(numbered);
    all.find(|name| !is_used(name)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_things_are_called_means_a_kind_and_is_none_itself() {
        for (name, kind, _) in CALLED {
            assert!(kinds::find(kind).is_some(), "{kind}");
            assert!(kinds::find(name).is_none(), "{name} is a kind");
        }
        assert!(read_stations(USUAL).is_ok());
    }
}
