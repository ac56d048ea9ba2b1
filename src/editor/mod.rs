//! A scenario whose stations are moved about in a browser: what a page may ask, what it is answered, what is saved, and
//! the server on this machine that nobody but that page may talk to.
//!
//! Whatever is moved is put into the text of the scenario, which is loaded, checked and played as any file is, so that
//! a page shows what every other command would say of the same layout.

mod ask;
mod begin_wish;
mod beginning;
mod beside;
mod build;
mod build_plan;
mod desk;
mod file;
mod guard;
mod history;
mod judged;
mod proposal;
mod room_changes;
mod saving;
mod server;
mod session;
mod session_file;
mod station_changes;
mod windows;

pub use ask::Ask;
pub use begin_wish::BeginWish;
pub use beginning::{BeginSearch, Beginning, Sitting};
pub use build::Build;
pub use desk::{Desk, Question};
pub use file::EditedFile;
pub use guard::{AskedFor, Guard, Refused};
pub use proposal::{Proposal, ProposalSearch};
pub use server::{READ_WITHIN, Served, serve};
pub use session::EditSession;
