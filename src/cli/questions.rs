//! The five questions that `shopstride new` asks on a terminal.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::arguments::NewOptions;
use super::wish::{read_longest, read_project};
use super::{Refusal, scenario};
use crate::experiment::Units;
use crate::scenario::new_shop::{
    Complaint, ListUnits, SaidRoom, USUAL, invented_names, read_cut_list, read_door, read_room,
    read_stations,
};
use crate::scenario::printable;

/// Whether there is somebody who can answer.
pub fn is_asked() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}

/// Asks for the room, its doors, the machines, the longest stock and the project.
///
/// # Errors
/// That the answers end before all is known; nothing has been written then.
pub fn ask(
    file: &Path,
    answers: &mut impl BufRead,
    out: &mut impl Write,
) -> Result<NewOptions, Refusal> {
    writeln!(
        out,
        "Five questions; Enter takes what stands in brackets, ctrl-C writes nothing.\n"
    )?;
    let mut asking = Asking { answers, out };
    let room = asking.question(
        "How large is the room inside, along its front wall first?",
        "20 ft x 17 ft",
        |said| read_room(said).map(|room| (room, said.to_owned())),
    )?;
    let (room, size) = room;
    let door = asking.question(
        "Which doors? Such as: 9 ft x 7 ft overhead in the front wall; 3 ft in the left wall, 2 ft from the back\n\
         (8 ft or wider goes up and lies under the ceiling, unless you say `swings out`, `swings in` or `sliding`)",
        "3 ft in the front wall",
        |said| read_doors(said, &room),
    )?;
    let with = asking.question("Which machines and furniture?", USUAL, |said| {
        read_stations(said).map(|_| said.to_owned()).map_err(joined)
    })?;
    let (usual, unit) = match room.units {
        Units::Imperial => ("8 ft", "ft"),
        Units::Metric => ("2.4 m", "m"),
    };
    let longest = asking.question("How long are the boards you buy?", usual, |said| {
        read_longest(said, unit).map(|_| said.to_owned())
    })?;
    let names: Vec<&str> = invented_names().collect();
    let asked = format!(
        "What do you build? The name of a cut list (CSV), or an invented project: {}",
        names.join(", ")
    );
    let project = asking.question(&asked, names[0], |said| read_built(said, &room))?;
    Ok(NewOptions {
        file: file.to_owned(),
        room: Some(size),
        door,
        with: Some(with),
        longest: Some(longest),
        cut_list: project.as_ref().err().cloned().into_iter().collect(),
        project: project.ok().into_iter().collect(),
        ..NewOptions::default()
    })
}

/// Doors, with semicolons between them.
fn read_doors(said: &str, room: &SaidRoom) -> Result<Vec<String>, Complaint> {
    let mut doors = Vec::new();
    let each = said
        .split(';')
        .map(str::trim)
        .filter(|door| !door.is_empty());
    let each: Vec<String> = each.map(str::to_owned).collect();
    for door in &each {
        doors.push(read_door(door, room, &doors)?);
    }
    Ok(each)
}

/// The name of an invented project, or else a cut list that can be read.
fn read_built(said: &str, room: &SaidRoom) -> Result<Result<String, PathBuf>, Complaint> {
    let is_invented = read_project(Some(said), room.units);
    let Err(no_project) = is_invented else {
        return Ok(Ok(said.to_owned()));
    };
    let file = PathBuf::from(said);
    let wrong = |what: String| Complaint {
        what,
        hint: no_project.hint.clone(),
    };
    let opened = std::fs::File::open(&file)
        .map_err(|error| wrong(format!("{said} is no project, and no file: {error}")))?;
    let bytes =
        scenario::read(opened, said).map_err(|_| wrong(format!("{said} cannot be read")))?;
    match read_cut_list(said, &bytes, ListUnits::all(room.units)) {
        Ok(_) => Ok(Err(file)),
        Err(problems) => Err(Complaint {
            what: format!("the cut list has mistakes\n{}", problems.render(false)),
            hint: Some("mend it, then press Enter again with its name".to_owned()),
        }),
    }
}

fn joined(complaints: Vec<Complaint>) -> Complaint {
    let (what, hints): (Vec<String>, Vec<Option<String>>) = (complaints.into_iter())
        .map(|complaint| (complaint.what, complaint.hint))
        .unzip();
    let hints: Vec<String> = hints.into_iter().flatten().collect();
    Complaint {
        what: what.join("; "),
        hint: (!hints.is_empty()).then(|| hints.join("; ")),
    }
}

struct Asking<'a, A, O> {
    answers: &'a mut A,
    out: &'a mut O,
}

impl<A: BufRead, O: Write> Asking<'_, A, O> {
    /// Asks until the answer can be read; an empty one is what is usual.
    fn question<T>(
        &mut self,
        asked: &str,
        usual: &str,
        read: impl Fn(&str) -> Result<T, Complaint>,
    ) -> Result<T, Refusal> {
        writeln!(self.out, "{asked}")?;
        loop {
            write!(self.out, "  [{usual}] > ")?;
            self.out.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                writeln!(self.out)?;
                return Err(Refusal::because(
                    "the answers end here, and nothing was written",
                ));
            }
            let said = match line.trim() {
                "" => usual,
                said => said,
            };
            match read(said) {
                Ok(read) => return Ok(read),
                Err(Complaint { what, hint }) => {
                    let hint = hint.map_or(String::new(), |hint| format!("\n  = help: {hint}"));
                    writeln!(self.out, "  {}{}", printable(&what), printable(&hint))?;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(answers: &str) -> (Result<NewOptions, Refusal>, String) {
        let mut out = Vec::new();
        let options = ask(Path::new("mine.yaml"), &mut answers.as_bytes(), &mut out);
        (options, String::from_utf8(out).expect("text"))
    }

    #[test]
    fn enter_takes_what_stands_in_brackets() {
        let (options, out) = asked("\n\n\n\n\n");
        let options = options.expect("all answered");
        assert_eq!(options.room.as_deref(), Some("20 ft x 17 ft"));
        assert_eq!(options.door, ["3 ft in the front wall"]);
        assert_eq!(options.with.as_deref(), Some(USUAL));
        assert_eq!(options.longest.as_deref(), Some("8 ft"));
        assert_eq!(options.project, ["side table"]);
        assert_eq!(out.matches(" > ").count(), 5);
    }

    #[test]
    fn what_cannot_be_read_is_asked_again_with_what_would_be_right() {
        let answers = "20 by\n6 m x 5 m\n1 m in the cellar\n1 m in the left wall; 2 m front\nsaw table, workbnch\nworkbench\nlong\n3 m\nnone.csv\nbookcase\n";
        let (options, out) = asked(answers);
        let options = options.expect("all answered");
        assert_eq!(options.door, ["1 m in the left wall", "2 m front"]);
        assert_eq!(options.with.as_deref(), Some("workbench"));
        assert_eq!(options.project, ["bookcase"]);
        for said in [
            "along the front wall first",
            "front, back, left and right",
            "did you mean `workbench`?",
            "write for example `8 ft`",
            "there are side table, bookcase, tool chest",
        ] {
            assert!(out.contains(said), "{said} in {out}");
        }
        assert_eq!(out.matches(" > ").count(), 10);
    }

    #[test]
    fn answers_that_end_are_no_answers() {
        let (options, _) = asked("\n\n\n");
        let Err(Refusal::Because(what, _)) = options else {
            panic!("it is refused");
        };
        assert!(what.contains("nothing was written"));
    }
}
