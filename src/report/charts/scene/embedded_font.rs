//! The letters of a scene as a small font inside of its SVG.
//!
//! `subsetter` keeps the glyphs that are needed, but makes fonts for PDF, which names glyphs by their number. A web
//! font also has to say which letter is which glyph (`cmap`) and how it is laid out (`OS/2`); both are added here, as
//! OpenType 1.9 describes them in "Font file", "cmap" and "OS/2".

use std::collections::BTreeSet;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use skrifa::GlyphId;
use subsetter::GlyphRemapper;

use super::font::Face;
use super::{ChartScene, SceneItem};

/// The rules that load the letters which these scenes use; empty if there are none.
pub fn font_faces<'a>(scenes: impl Iterator<Item = &'a ChartScene> + Clone) -> String {
    font_faces_with(scenes, "")
}

/// The letters of a scene in one weight.
fn letters_of<'a>(scenes: impl Iterator<Item = &'a ChartScene>, bold: bool) -> BTreeSet<char> {
    let mut letters = BTreeSet::new();
    for scene in scenes {
        scene.visit(&mut |item| {
            if let SceneItem::Text(text) = item
                && text.bold == bold
            {
                letters.extend(text.text.chars());
            }
        });
    }
    letters
}

/// The rules that load these letters beside those which the scenes use, for scenes that are not drawn yet.
pub fn font_faces_with<'a>(
    scenes: impl Iterator<Item = &'a ChartScene> + Clone,
    further: &str,
) -> String {
    [false, true]
        .map(|bold| {
            let mut letters = letters_of(scenes.clone(), bold);
            letters.extend(further.chars());
            font_face(&letters, bold)
        })
        .concat()
}

/// The rule for letters in one weight.
fn font_face(letters: &BTreeSet<char>, bold: bool) -> String {
    let weight = if bold { "bold" } else { "normal" };
    match subset(Face::weight(bold), letters) {
        Some(font) => format!(
            "@font-face{{font-family:Inter;font-weight:{weight};src:url(data:font/ttf;base64,{}) format(\"truetype\")}}",
            STANDARD.encode(font)
        ),
        None => String::new(),
    }
}

/// A font of these letters alone, as far as the face has them.
fn subset(face: &Face, letters: &BTreeSet<char>) -> Option<Vec<u8>> {
    let mut remapper = GlyphRemapper::new();
    // In the order of the letters, so that neighbours stay neighbours.
    let glyphs: Vec<(u16, u16)> = (letters.iter())
        .filter_map(|letter| {
            let code = u16::try_from(*letter as u32).ok()?;
            let glyph: GlyphId = face.glyph(*letter)?;
            Some((code, remapper.remap(u16::try_from(glyph.to_u32()).ok()?)))
        })
        .collect();
    if glyphs.is_empty() {
        return None;
    }
    let cut = subsetter::subset(face.bytes, 0, &remapper).ok()?;
    let mut tables = tables(&cut);
    let layout = (self::tables(face.bytes).into_iter()).find(|(tag, _)| tag == b"OS/2")?;
    tables.retain(|(tag, _)| tag != b"OS/2" && tag != b"cmap");
    tables.push(layout);
    tables.push((*b"cmap", character_map(&glyphs)));
    tables.sort_by_key(|(tag, _)| *tag);
    Some(font_file(&tables))
}

type FontTable = ([u8; 4], Vec<u8>);

/// The tables of a font file, of which nothing but the directory is read.
fn tables(font: &[u8]) -> Vec<FontTable> {
    let number = |at: usize| -> Option<usize> {
        let bytes = font.get(at..at + 4)?;
        Some(u32::from_be_bytes(bytes.try_into().ok()?) as usize)
    };
    let count = font
        .get(4..6)
        .map_or(0, |bytes| u16::from_be_bytes([bytes[0], bytes[1]]));
    let records = (0..usize::from(count)).map(|index| 12 + 16 * index);
    let table = |record: usize| {
        let tag: [u8; 4] = font.get(record..record + 4)?.try_into().ok()?;
        let (offset, length) = (number(record + 8)?, number(record + 12)?);
        Some((tag, font.get(offset..offset + length)?.to_vec()))
    };
    records.filter_map(table).collect()
}

/// The table `cmap` with one subtable for Unicode's basic plane (format 4): segments of letters whose glyphs follow
/// each other as they do.
fn character_map(glyphs: &[(u16, u16)]) -> Vec<u8> {
    // First and last letter, and what added to a letter makes its glyph.
    let mut segments: Vec<(u16, u16, u16)> = Vec::new();
    for &(letter, glyph) in glyphs {
        let delta = glyph.wrapping_sub(letter);
        match segments.last_mut() {
            Some((_, last, by)) if *by == delta && last.checked_add(1) == Some(letter) => {
                *last = letter
            }
            _ => segments.push((letter, letter, delta)),
        }
    }
    // The table ends with a segment for the last code, which is no letter.
    segments.push((0xFFFF, 0xFFFF, 1));
    let count = segments.len() as u16;
    let power = 1 << count.ilog2();
    let length = 16 + 8 * count;
    let head = [
        // Version, one subtable for platform 3, encoding 1, beginning at byte 12.
        0,
        1,
        3,
        1,
        0,
        12,
        // Format, length, language.
        4,
        length,
        0,
        2 * count,
        2 * power,
        count.ilog2() as u16,
        2 * (count - power),
    ];
    let ends = segments.iter().map(|segment| segment.1);
    let starts = segments.iter().map(|segment| segment.0);
    let deltas = segments.iter().map(|segment| segment.2);
    let offsets = segments.iter().map(|_| 0);
    let numbers = (head.into_iter())
        .chain(ends)
        .chain([0])
        .chain(starts)
        .chain(deltas)
        .chain(offsets);
    numbers.flat_map(u16::to_be_bytes).collect()
}

/// A font file of tables, which are in the order of their tags.
fn font_file(tables: &[FontTable]) -> Vec<u8> {
    let count = tables.len() as u16;
    let power = 1 << count.ilog2();
    let head = [
        count,
        16 * power,
        count.ilog2() as u16,
        16 * (count - power),
    ];
    let mut file = vec![0, 1, 0, 0];
    file.extend(head.into_iter().flat_map(u16::to_be_bytes));
    let mut offset = 12 + 16 * tables.len();
    for (tag, table) in tables {
        file.extend(tag);
        for number in [checksum(table), offset as u32, table.len() as u32] {
            file.extend(number.to_be_bytes());
        }
        offset += table.len().next_multiple_of(4);
    }
    let mut adjusted = None;
    for (tag, table) in tables {
        if tag == b"head" {
            adjusted = Some(file.len() + 8);
        }
        file.extend(table);
        file.resize(file.len().next_multiple_of(4), 0);
    }
    // The whole file adds up to a number that is laid down, by a correction in `head`.
    if let Some(at) = adjusted {
        file[at..at + 4].fill(0);
        let correction = 0xB1B0_AFBA_u32.wrapping_sub(checksum(&file));
        file[at..at + 4].copy_from_slice(&correction.to_be_bytes());
    }
    file
}

/// The sum of the numbers of four bytes, the last of which is filled up with zeros.
fn checksum(bytes: &[u8]) -> u32 {
    let words = bytes.chunks(4).map(|chunk| {
        let mut word = [0; 4];
        word[..chunk.len()].copy_from_slice(chunk);
        u32::from_be_bytes(word)
    });
    words.fold(0, u32::wrapping_add)
}
