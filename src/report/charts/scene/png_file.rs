//! The pixels of a picture as a PNG file.
//!
//! Each row is told as what differs from the one above (PNG, third edition, 9: filters), and most of a chart is as above:
//! that is found out with one look, and nothing else is done with it.

use std::io;

use fdeflate::Compressor;
use png::{BitDepth, ColorType, Encoder, chunk};
use tiny_skia::Pixmap;

/// Bytes of a pixel as it is drawn, and as it is written: nothing is transparent, since the ground is white.
const DRAWN: usize = 4;
const WRITTEN: usize = 3;
/// Pixels that are looked at together.
const AT_ONCE: usize = 4;

/// The byte before a row that says how it is filtered.
const UP: u8 = 2;
const PAETH: u8 = 4;

/// The picture in red, green and blue, 8 bits each.
///
/// # Errors
/// If the picture is empty.
pub fn encode(pixmap: &Pixmap) -> io::Result<Vec<u8>> {
    let rows = compressed(pixmap)?;
    let mut file = Vec::with_capacity(rows.len() + 64);
    let mut encoder = Encoder::new(&mut file, pixmap.width(), pixmap.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_chunk(chunk::IDAT, &rows)?;
    writer.finish()?;
    Ok(file)
}

fn compressed(pixmap: &Pixmap) -> io::Result<Vec<u8>> {
    let width = pixmap.width() as usize;
    let line = width * DRAWN;
    let mut compressor = Compressor::new(Vec::with_capacity(pixmap.data().len() / 16))?;
    // Before the first row there is nothing, which no row is like: all are opaque.
    let above = vec![0; line];
    let mut above = &above[..];
    let (unchanged, mut filtered) = (vec![0; width * WRITTEN], vec![0; width * WRITTEN]);
    for row in pixmap.data().chunks_exact(line) {
        // Of a row that is like the one above both filters leave nothing. For the others one filter takes a third of the
        // time of choosing one for each, and files are as large.
        let (filter, row_filtered) = match row == above {
            true => (UP, &unchanged),
            false => {
                filter_row(row, above, &mut filtered);
                (PAETH, &filtered)
            }
        };
        compressor.write_data(&[filter])?;
        compressor.write_data(row_filtered)?;
        above = row;
    }
    compressor.finish()
}

/// What the Paeth filter leaves of a row.
///
/// Nothing is left of a pixel that is like the one above, if the one before it is like the one above that.
fn filter_row(row: &[u8], above: &[u8], filtered: &mut [u8]) {
    let (chunks, rest) = row.as_chunks::<{ AT_ONCE * DRAWN }>();
    let (chunks_above, rest_above) = above.as_chunks::<{ AT_ONCE * DRAWN }>();
    let (written, rest_written) = filtered.as_chunks_mut::<{ AT_ONCE * WRITTEN }>();
    // The last pixel of those before; before the first one there is nothing.
    let (mut before, mut before_above) = ([0; DRAWN], [0; DRAWN]);
    for ((written, now), above) in written.iter_mut().zip(chunks).zip(chunks_above) {
        *written = match now == above && before == before_above {
            true => [0; AT_ONCE * WRITTEN],
            false => {
                let left = moved_on(&before, now);
                let left_above = moved_on(&before_above, above);
                without_opacity(&residues(now, &left, above, &left_above))
            }
        };
        before = last_pixel(now);
        before_above = last_pixel(above);
    }
    let rest = rest.as_chunks::<DRAWN>().0.iter();
    let rest_above = rest_above.as_chunks::<DRAWN>().0;
    let rest_written = rest_written.as_chunks_mut::<WRITTEN>().0;
    for ((written, now), above) in rest_written.iter_mut().zip(rest).zip(rest_above) {
        let [red, green, blue, _] = residues(now, &before, above, &before_above);
        *written = [red, green, blue];
        (before, before_above) = (*now, *above);
    }
}

/// The pixels one farther left: the last one of those before comes first.
fn moved_on(before: &[u8; DRAWN], now: &[u8; AT_ONCE * DRAWN]) -> [u8; AT_ONCE * DRAWN] {
    let mut left = [0; AT_ONCE * DRAWN];
    left[..DRAWN].copy_from_slice(before);
    left[DRAWN..].copy_from_slice(&now[..(AT_ONCE - 1) * DRAWN]);
    left
}

fn last_pixel(pixels: &[u8; AT_ONCE * DRAWN]) -> [u8; DRAWN] {
    let [.., red, green, blue, opacity] = *pixels;
    [red, green, blue, opacity]
}

/// By how much each byte differs from what the filter foretells of it.
#[inline]
fn residues<const N: usize>(
    now: &[u8; N],
    left: &[u8; N],
    above: &[u8; N],
    left_above: &[u8; N],
) -> [u8; N] {
    let mut residues = [0; N];
    for at in 0..N {
        let foretold = paeth(left[at], above[at], left_above[at]);
        residues[at] = now[at].wrapping_sub(foretold);
    }
    residues
}

/// Of the three neighbours the one nearest to left + above - left above; of equal ones the first as they stand here.
#[inline]
fn paeth(left: u8, above: u8, left_above: u8) -> u8 {
    let from_left = above.abs_diff(left_above);
    let from_above = left.abs_diff(left_above);
    // The sum of both differences, which have different signs, or else more than either: then it is not the least.
    let from_left_above = match (left < left_above) == (left_above < above) {
        true => from_left.abs_diff(from_above),
        false => u8::MAX,
    };
    let least = from_left.min(from_above).min(from_left_above);
    if from_left == least {
        left
    } else if from_above == least {
        above
    } else {
        left_above
    }
}

/// Red, green and blue of some pixels.
fn without_opacity(pixels: &[u8; AT_ONCE * DRAWN]) -> [u8; AT_ONCE * WRITTEN] {
    // In three words, which takes half as long as byte by byte.
    let pixel = |at: usize| {
        let [red, green, blue, opacity] = [0, 1, 2, 3].map(|byte| pixels[DRAWN * at + byte]);
        u32::from_le_bytes([red, green, blue, opacity])
    };
    let [one, two, three, four] = [0, 1, 2, 3].map(pixel);
    let packed = [
        one & 0x00ff_ffff | two << 24,
        two >> 8 & 0x0000_ffff | three << 16,
        three >> 16 & 0x0000_00ff | four << 8,
    ];
    let mut written = [0; AT_ONCE * WRITTEN];
    for (written, packed) in written.as_chunks_mut::<4>().0.iter_mut().zip(packed) {
        *written = packed.to_le_bytes();
    }
    written
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    /// The predictor as the standard words it (PNG, third edition, 9.4).
    fn predicted(left: u8, above: u8, left_above: u8) -> u8 {
        let [a, b, c] = [left, above, left_above].map(i32::from);
        let p = a + b - c;
        let [pa, pb, pc] = [a, b, c].map(|neighbour| (p - neighbour).abs());
        if pa <= pb && pa <= pc {
            left
        } else if pb <= pc {
            above
        } else {
            left_above
        }
    }

    #[test]
    fn the_predictor_is_that_of_the_standard() {
        // From none to all, both included, with every order of the three and every tie.
        let all = (0..=u8::MAX).step_by(5);
        for left in all.clone() {
            for above in all.clone() {
                for left_above in all.clone() {
                    let neighbours = (left, above, left_above);
                    let ours = paeth(left, above, left_above);
                    assert_eq!(ours, predicted(left, above, left_above), "{neighbours:?}");
                }
            }
        }
    }

    /// Pictures of all widths whose rows are alike in parts, read back.
    #[test]
    fn what_is_written_is_read() {
        for width in 1..=21 {
            let height = 30;
            let mut pixmap = Pixmap::new(width, height).expect("a few pixels");
            let mut drawn = 1_u32;
            for (at, byte) in pixmap.data_mut().iter_mut().enumerate() {
                drawn = drawn.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let row = at / (4 * width as usize);
                *byte = match (at % 4, row % 3) {
                    (3, _) => u8::MAX,
                    // Alike from row to row, but for single pixels.
                    (part, 0) if drawn >> 29 > 0 => 40 * part as u8,
                    (_, 1) => 7 * (at / 32 % 5) as u8,
                    _ => (drawn >> 24) as u8,
                };
            }
            let file = encode(&pixmap).expect("a picture");
            let mut reader = png::Decoder::new(Cursor::new(file))
                .read_info()
                .expect("a picture");
            let mut read = vec![0; reader.output_buffer_size().expect("a few bytes")];
            reader.next_frame(&mut read).expect("a picture");
            let drawn = pixmap.data().chunks_exact(4).flat_map(|pixel| &pixel[..3]);
            assert!(read.iter().eq(drawn), "{width} pixels wide");
        }
    }
}
