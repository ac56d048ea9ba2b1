//! From SVG to PNG, with the embedded font and nothing of the system's.

use std::io;
use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb::Database};

use super::text::boxed;

static REGULAR: &[u8] = include_bytes!("font/Inter-Regular.ttf");
static BOLD: &[u8] = include_bytes!("font/Inter-Bold.ttf");

/// Pixels in a unit of the SVG's size.
const DENSITY: f32 = 1.5;

static FONTS: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut fonts = Database::new();
    fonts.load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(REGULAR)));
    fonts.load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(BOLD)));
    fonts.set_sans_serif_family("Inter");
    Arc::new(fonts)
});

/// The picture as a PNG file.
pub fn encode(svg: &str) -> io::Result<Vec<u8>> {
    let options = Options {
        fontdb: Arc::clone(&FONTS),
        ..Options::default()
    };
    // Outside of texts there is nothing but letters that the font has.
    let tree = Tree::from_str(&boxed(svg), &options).map_err(io::Error::other)?;
    let pixels = |length: f32| (length * DENSITY).round() as u32;
    let (width, height) = (pixels(tree.size().width()), pixels(tree.size().height()));
    let mut pixmap = Pixmap::new(width, height).ok_or_else(|| {
        io::Error::other(format!(
            "no memory for a picture of {width} by {height} pixels"
        ))
    })?;
    let transform = Transform::from_scale(DENSITY, DENSITY);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    pixmap.encode_png().map_err(io::Error::other)
}
