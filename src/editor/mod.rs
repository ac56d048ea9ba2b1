//! A scenario whose stations are moved about in a browser: what a page may ask, what it is answered, what is saved, and
//! the server on this machine that nobody but that page may talk to.
//!
//! Whatever is moved is put into the text of the scenario, which is loaded, checked and played as any file is, so that
//! a page shows what every other command would say of the same layout.

mod ask;
mod desk;
mod file;
mod guard;
mod history;
mod judged;
mod proposal;
mod saving;
mod server;
mod session;

pub use ask::Ask;
pub use desk::{Desk, Question};
pub use file::EditedFile;
pub use guard::{AskedFor, Guard, Refused};
pub use proposal::{PlaceSearch, Proposal};
pub use server::{READ_WITHIN, Served, serve};
pub use session::EditSession;
