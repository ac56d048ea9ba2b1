//! What stands out on a terminal. Output that goes elsewhere has none of it, and the words say the same without.

use anstyle::{AnsiColor, Style};

/// The heading of a line or of a layout.
pub const HEADING: Style = Style::new().bold();

/// What does not fit, and errors.
pub const FAULT: Style = AnsiColor::Red.on_default().bold();
