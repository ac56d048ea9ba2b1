//! Stations moved about in a browser: what is written into the file, what is answered, and who is answered at all.

mod attacks;
mod beginning;
mod building;
mod command;
mod desk;
mod following;
mod sessions;
mod splices;
mod text_changes;
