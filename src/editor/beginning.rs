//! A shop that does not exist yet: what is asked before there is anything to edit.

use serde_json::{Value, json};

use super::{Ask, BeginWish, EditSession, EditedFile};
use crate::report::editor::{EditorPage, editor_page};
use crate::scenario::kinds::kinds;
use crate::scenario::new_shop::{USUAL, invented_names};
use crate::scenario::printable_name;

/// Makes the text of a scenario and what is said of it.
pub type BeginSearch = Box<dyn Fn(&BeginWish) -> Result<(String, Vec<String>), String>>;

/// A file that is not there yet.
pub struct Beginning {
    pub file: EditedFile,
    pub search: BeginSearch,
}

/// What is served: questions, and then a session.
pub enum Sitting {
    Beginning(Beginning),
    Editing(Box<EditSession>),
}

impl Sitting {
    /// The page itself.
    ///
    /// # Errors
    /// If a layout cannot be drawn, or if the page that comes with the program is wrong.
    pub fn page(&self) -> Result<EditorPage, String> {
        match self {
            Sitting::Beginning(_) => {
                editor_page("A new shop", &[]).map_err(|error| error.to_string())
            }
            Sitting::Editing(session) => session.page(),
        }
    }

    /// Answers a question, as long as somebody waits for the answer; `with` makes a session whole that begins.
    pub fn answer(
        &mut self,
        ask: Ask,
        keep_on: &dyn Fn() -> bool,
        with: &dyn Fn(EditSession) -> EditSession,
    ) -> Value {
        let beginning = match self {
            Sitting::Editing(session) => return session.answer(ask, keep_on),
            Sitting::Beginning(beginning) => beginning,
        };
        let Ask::Begin { wish } = ask else {
            return beginning.asked(&ask);
        };
        match beginning.begun(&wish) {
            Err(why) => json!({"refused": why}),
            Ok((session, said)) => {
                let mut session = with(session);
                let mut answer = session.answer(Ask::State {}, keep_on);
                answer["saved"] = json!(said);
                *self = Sitting::Editing(Box::new(session));
                answer
            }
        }
    }
}

impl Beginning {
    /// What there is to be asked.
    fn asked(&self, ask: &Ask) -> Value {
        match ask {
            Ask::State {} => {
                let kinds: Vec<&str> = kinds().map(|kind| kind.name).collect();
                let projects: Vec<&str> = invented_names().collect();
                json!({"begin": {
                    "file": printable_name(&self.file.name),
                    "stations": USUAL,
                    "projects": projects,
                    "kinds": kinds,
                }})
            }
            Ask::Look { .. } => json!({"revision": 0, "is_new": false, "problems": null}),
            Ask::Here { .. } | Ask::Gone { .. } => json!({"others": 0}),
            _ => json!({"refused": "There is no shop yet: say first how large the room is."}),
        }
    }

    /// A session on the file, which is written now and not before.
    fn begun(&mut self, wish: &BeginWish) -> Result<(EditSession, String), String> {
        let (text, said) = (self.search)(wish)?;
        let mut file = self.file.clone();
        file.write_first(&text).map_err(|error| {
            format!("{} cannot be written: {error}", printable_name(&file.name))
        })?;
        let name = printable_name(&self.file.name).into_owned();
        let session = EditSession::new(file, text.as_bytes(), None)?;
        let mut all = vec![format!(
            "Written to {name}. Sizes and times are typical ones."
        )];
        all.extend(said);
        Ok((session, all.join("\n")))
    }
}
