//! Stations moved about in a browser: what is written into the file.

mod splices;
