//! What people call the kinds: `bandsaw`, `mitre saw`, and `table saw`, which is said of several.

use super::{StationKind, find, hint, kinds, nearest_called};
use crate::scenario::problem::meant;
use crate::scenario::quantity::in_units;

/// What people call things of which the kinds have another name, and whether other kinds are called so as well.
const CALLED: [(&str, &str, bool); 177] = [
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
    ("glue up station", "assembly table", true),
    ("glue up area", "assembly table", true),
    ("glue station", "assembly table", true),
    ("assembly station", "assembly table", true),
    ("assembly area", "assembly table", true),
    ("gluing table", "assembly table", false),
    ("finishing table", "finishing bench", false),
    ("finishing shelf", "finishing bench", true),
    ("spray booth", "finishing bench", true),
    ("finishing area", "finishing bench", false),
    ("finishing station", "finishing bench", false),
    ("finishing corner", "finishing bench", true),
    ("finishing room", "finishing bench", true),
    ("finishing", "finishing bench", true),
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
    ("sharpening corner", "sharpening station", true),
    ("sharpening area", "sharpening station", true),
    ("sharpening", "sharpening station", true),
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

/// In small letters with short units, words parted by one blank.
pub fn words(text: &str) -> String {
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

/// A kind as somebody calls it.
#[derive(Debug, Clone)]
pub struct CalledKind {
    pub kind: &'static StationKind,
    /// What it is called: without a size.
    pub name: String,
    /// Whether other kinds are called so as well, so that this one is only the usual one.
    pub is_one_of_several: bool,
}

/// The kind that is meant: by its own name, or else by what people call it.
pub fn called(said: &str) -> Option<CalledKind> {
    let forms = singulars(&words(said));
    let forms = || forms.iter();
    let by_kind = forms().find_map(|form| {
        let same = |kind: &&StationKind| squeezed(kind.name) == squeezed(form);
        let kind = kinds().find(same)?;
        Some(CalledKind {
            kind,
            name: without_size(kind.name).to_owned(),
            is_one_of_several: false,
        })
    });
    let by_name = || {
        forms().find_map(|form| {
            let mut all = CALLED.iter();
            let (name, kind, others) = all.find(|(name, ..)| squeezed(name) == squeezed(form))?;
            let name = name.trim_start_matches(|sign: char| !sign.is_alphabetic());
            let name = name.strip_prefix("in ").unwrap_or(name);
            Some(CalledKind {
                kind: find(kind)?,
                name: name.to_owned(),
                is_one_of_several: *others,
            })
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
pub fn called_at_the_end(said: &str) -> Option<CalledKind> {
    let plain = words(said);
    let all: Vec<&str> = plain.split(' ').collect();
    (1..all.len()).find_map(|from| {
        let last = all[from..].join(" ");
        let is_sure = all.len() - from > 1
            || singulars(&last)
                .iter()
                .any(|form| SURE.contains(&&form[..]));
        let called = called(&last).filter(|_| is_sure)?;
        Some(CalledKind {
            is_one_of_several: true,
            ..called
        })
    })
}

/// What somebody may have meant who calls a kind in a way that nobody does.
pub fn hint_of_called(said: &str) -> String {
    let names = CALLED.iter().map(|(name, ..)| *name);
    let names = names.chain(kinds().map(|kind| kind.name));
    let plain = words(said);
    let is_heater = plain.split(' ').any(|word| HEATERS.contains(&word));
    if is_heater {
        return "nobody works at it: say it in `--blocked` of `new`, or write it into the file afterwards, as `blocked` of the \
                room, with `name`, `at` and `size`; keep the clearances that its maker and local code ask for"
            .to_owned();
    }
    if plain.contains("drying") {
        return "the nearest kind is `finishing bench`, where what is finished dries; write `drying rack: finishing bench` \
                if it is worked at"
            .to_owned();
    }
    nearest_called(&plain, names).map_or_else(|| hint(&plain), meant)
}

/// What warms a shop or its water, at which nobody works.
const HEATERS: [&str; 6] = [
    "stove",
    "heater",
    "furnace",
    "boiler",
    "fireplace",
    "radiator",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_things_are_called_means_a_kind_and_is_none_itself() {
        for (name, kind, _) in CALLED {
            assert!(find(kind).is_some(), "{kind}");
            assert!(find(name).is_none(), "{name} is a kind");
        }
    }
}
