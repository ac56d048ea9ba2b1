//! What charts a folder has of ours, so that those of another shop can be removed and nothing else.

use std::collections::BTreeMap;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use crate::report::write_in_folder;
use crate::scenario::printable_name;

/// The list of what was written, which stands beside it.
pub const LIST: &str = ".shopstride-charts";

/// Said at the head of the list, for those who find it.
const HEAD: &str = "# Charts that shopstride wrote here. When others are drawn, those of them that are still as they \
                    were written are removed.\n";

/// What the line begins with that says of which scenario the charts are.
const OF: &str = "# of ";

/// The scenario of which charts are drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChartSource {
    hash: u64,
    /// What its file is called.
    name: String,
}

impl ChartSource {
    /// Of a file; nothing for the built-in scenario, and `-` for standard input.
    pub fn of(scenario: Option<&Path>) -> ChartSource {
        let named = |name: &str| ChartSource {
            hash: fnv1a(name.as_bytes()),
            name: name.to_owned(),
        };
        match scenario {
            None => named("the built-in scenario"),
            Some(file) if file == Path::new("-") => named("standard input"),
            Some(file) => {
                let whole = fs::canonicalize(file).unwrap_or_else(|_| file.to_owned());
                let name = file.file_name().unwrap_or_default().to_string_lossy();
                ChartSource {
                    hash: fnv1a(whole.to_string_lossy().as_bytes()),
                    name: printable_name(&name).replace(['\n', '\r'], " "),
                }
            }
        }
    }

    /// The one that a list names.
    fn read(folder: &Path) -> Option<ChartSource> {
        let text = text_of(folder)?;
        let line = text.lines().find_map(|line| line.strip_prefix(OF))?;
        let (hash, name) = line.split_once(' ')?;
        Some(ChartSource {
            hash: u64::from_str_radix(hash, 16).ok()?,
            name: name.to_owned(),
        })
    }
}

/// Has charts of a scenario written to a folder, and says of which other one there were charts in their place.
///
/// # Errors
/// Those of what writes the charts, and of writing the list.
pub fn signed<T>(
    folder: &Path,
    source: &ChartSource,
    write: impl FnOnce() -> io::Result<T>,
) -> io::Result<(T, Option<String>)> {
    let before = ChartSource::read(folder);
    let written = write()?;
    let list = text_of(folder).unwrap_or_default();
    let list = list.strip_prefix(HEAD).unwrap_or(&list);
    let ChartSource { hash, name } = source;
    let text = format!("{HEAD}{OF}{hash:016x} {name}\n{list}");
    write_in_folder(folder, LIST, text.as_bytes())?;
    let other = before.filter(|before| before.hash != source.hash);
    Ok((written, other.map(|other| other.name)))
}

/// A list is never longer than so many bytes: hundreds of candidates have a few charts each.
const LONGEST_LIST: u64 = 4 << 20;

/// What is known of a file's contents: enough to see that somebody has changed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint {
    bytes: u64,
    hash: ContentHash,
}

/// Lists of earlier versions have the hash of all bytes in turn, in which each waits for the one before: that took as long
/// as a twentieth of drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ContentHash {
    InTurn(u64),
    InLanes(u64),
}

/// What a hash in lanes begins with in a list.
const IN_LANES: &str = "x8:";

impl ContentHash {
    fn read(word: &str) -> Option<ContentHash> {
        let hash = |digits: &str| u64::from_str_radix(digits, 16).ok();
        match word.strip_prefix(IN_LANES) {
            Some(digits) => hash(digits).map(ContentHash::InLanes),
            None => hash(word).map(ContentHash::InTurn),
        }
    }

    fn is_of(self, contents: &[u8]) -> bool {
        match self {
            ContentHash::InTurn(hash) => hash == fnv1a(contents),
            ContentHash::InLanes(hash) => hash == fnv1a_in_lanes(contents),
        }
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ContentHash::InTurn(hash) => write!(formatter, "{hash:016x}"),
            ContentHash::InLanes(hash) => write!(formatter, "{IN_LANES}{hash:016x}"),
        }
    }
}

impl Fingerprint {
    pub fn of(contents: &[u8]) -> Fingerprint {
        Fingerprint {
            bytes: contents.len() as u64,
            hash: ContentHash::InLanes(fnv1a_in_lanes(contents)),
        }
    }
}

/// The 64-bit FNV-1a hash of Fowler, Noll and Vo: nobody gains anything by forging it.
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(OFFSET_BASIS, after)
}

const OFFSET_BASIS: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0100_0000_01b3;

/// The hash with one byte more.
fn after(hash: u64, byte: &u8) -> u64 {
    (hash ^ u64::from(*byte)).wrapping_mul(PRIME)
}

/// The same hash of the hashes of every eighth byte, from the first one, from the second one and so on: a processor
/// takes eight at once that do not wait for each other.
fn fnv1a_in_lanes(bytes: &[u8]) -> u64 {
    let mut lanes = [OFFSET_BASIS; 8];
    let (eights, rest) = bytes.as_chunks::<8>();
    for eight in eights {
        for (lane, byte) in lanes.iter_mut().zip(eight) {
            *lane = after(*lane, byte);
        }
    }
    for (lane, byte) in lanes.iter_mut().zip(rest) {
        *lane = after(*lane, byte);
    }
    let lanes = lanes.iter().flat_map(|lane| lane.to_le_bytes());
    lanes.fold(OFFSET_BASIS, |hash, byte| after(hash, &byte))
}

/// Files of a folder, by their names.
pub type Written = BTreeMap<String, Fingerprint>;

/// Whether a list may speak of a file of this name: a name such as charts have, and no way out of the folder.
pub fn is_chart(name: &str) -> bool {
    let endings = [".svg", ".png", ".json"].into_iter();
    let stem = endings
        .filter_map(|ending| name.strip_suffix(ending))
        .next();
    stem.is_some_and(|stem| {
        let letter = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
        !stem.is_empty() && stem.bytes().all(letter)
    })
}

/// The list of a folder; empty if there is none or it cannot be read, since then nothing is known to be ours.
pub fn read(folder: &Path) -> Written {
    let text = text_of(folder).unwrap_or_default();
    let line = |line: &str| {
        let mut words = line.split(' ');
        let hash = ContentHash::read(words.next()?)?;
        let bytes = words.next()?.parse().ok()?;
        let name = words.next().filter(|name| is_chart(name))?;
        let ends = words.next().is_none();
        ends.then(|| (name.to_owned(), Fingerprint { bytes, hash }))
    };
    text.lines().filter_map(line).collect()
}

fn text_of(folder: &Path) -> Option<String> {
    let file = folder.join(LIST);
    let is_file = fs::symlink_metadata(&file).is_ok_and(|list| list.is_file());
    let opened = is_file.then(|| File::open(&file).ok()).flatten()?;
    let mut text = String::new();
    let read = opened.take(LONGEST_LIST).read_to_string(&mut text);
    read.is_ok().then_some(text)
}

/// Writes the list of a folder.
pub fn write(folder: &Path, written: &Written) -> io::Result<()> {
    let mut text = HEAD.to_owned();
    for (name, Fingerprint { bytes, hash }) in written {
        text.push_str(&format!("{hash} {bytes} {name}\n"));
    }
    write_in_folder(folder, LIST, text.as_bytes())
}

/// Removes the files that an earlier list names and a new one does not, if they are still what was written: no file
/// that somebody has changed, protected or put in their place. Returns how many that were.
pub fn remove_others(folder: &Path, before: &Written, now: &Written) -> io::Result<usize> {
    let mut removed = 0;
    for (name, fingerprint) in before {
        let file = folder.join(name);
        if !now.contains_key(name) && is_untouched(&file, *fingerprint) {
            fs::remove_file(&file)?;
            removed += 1;
        }
    }
    Ok(removed)
}

fn is_untouched(file: &Path, fingerprint: Fingerprint) -> bool {
    let is_protected = |there: fs::Metadata| there.permissions().readonly();
    !fs::symlink_metadata(file).is_ok_and(is_protected) && is_as_written(file, fingerprint)
}

/// Whether a file has the contents of which this is the fingerprint.
pub fn is_as_written(file: &Path, fingerprint: Fingerprint) -> bool {
    let is_same_size = fs::symlink_metadata(file)
        .is_ok_and(|there| there.is_file() && there.len() == fingerprint.bytes);
    is_same_size && fs::read(file).is_ok_and(|contents| fingerprint.hash.is_of(&contents))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From the tables of test vectors that the authors of the hash published (FNV-1a, 64 bits).
    #[test]
    fn the_hash_is_that_of_its_authors() {
        assert_eq!(fnv1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn the_hash_in_lanes_is_that_of_every_eighth_byte() {
        let bytes: Vec<u8> = (0..75).map(|byte: u8| byte.wrapping_mul(37)).collect();
        let every_eighth = |from: usize| -> Vec<u8> {
            let lane = bytes.iter().skip(from).step_by(8);
            lane.copied().collect()
        };
        let lanes: Vec<u8> = (0..8)
            .flat_map(|from| fnv1a(&every_eighth(from)).to_le_bytes())
            .collect();
        assert_eq!(fnv1a_in_lanes(&bytes), fnv1a(&lanes));
    }

    #[test]
    fn a_list_of_either_hash_tells_what_has_changed() {
        for written in [
            "af63dc4c8601ec8c".to_owned(),
            Fingerprint::of(b"a").hash.to_string(),
        ] {
            let hash = ContentHash::read(&written).expect("a hash");
            assert_eq!(hash.to_string(), written);
            assert!(hash.is_of(b"a") && !hash.is_of(b"b"), "{written}");
        }
    }

    #[test]
    fn names_that_lead_elsewhere_are_no_charts() {
        for name in [
            "walking.svg",
            "plan-2.png",
            "string-as-it-grew.svg",
            "legs.json",
        ] {
            assert!(is_chart(name), "{name}");
        }
        let others = [
            "../walking.svg",
            "a/b.svg",
            "/etc/a.png",
            "..svg",
            ".svg",
            "a.b.svg",
            "C:a.svg",
            "a\\b.svg",
            "notes.txt",
            "WALKING.svg",
            "",
        ];
        for name in others {
            assert!(!is_chart(name), "{name}");
        }
    }
}
