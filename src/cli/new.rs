//! `shopstride new`: a scenario to start from.

use std::io::ErrorKind;
use std::path::Path;

use super::arguments::NewOptions;
use super::{Refusal, output, questions, wish};
use crate::report::{counted, wrap, write_new};
use crate::scenario::STARTER;
use crate::scenario::new_shop::{NewShop, lay_out};

/// More than so many take some seconds to place.
const MANY_STATIONS: usize = 20;

pub fn new(options: &NewOptions) -> Result<(), Refusal> {
    let file = &options.file;
    if file == Path::new("-") {
        return Err(Refusal::because("name a file to write, such as shop.yaml"));
    }
    // Nobody answers questions and waits to hear that nothing comes of it.
    if file.symlink_metadata().is_ok() {
        return Err(cannot_write(file, &ErrorKind::AlreadyExists.into()));
    }
    let asked = match options.says_nothing() && questions::is_asked() {
        true => Some(questions::ask(
            file,
            &mut std::io::stdin().lock(),
            &mut anstream::stdout().lock(),
        )?),
        false => None,
    };
    let Some(wish) = wish::of(asked.as_ref().unwrap_or(options))? else {
        write(file, STARTER)?;
        return output::print(&format!(
            "Wrote {0}. Look at it, change it, then: shopstride compare {0}\n",
            file.display()
        ));
    };
    let stations = wish.stations.len();
    let bar = output::waiting(
        &format!("placing {stations} stations"),
        stations > MANY_STATIONS,
    );
    let shop = lay_out(&wish);
    bar.finish_and_clear();
    let shop = shop.map_err(wish::refused)?;
    write(file, &shop.text)?;
    output::print(&told(file, &shop))
}

fn write(file: &Path, text: &str) -> Result<(), Refusal> {
    write_new(file, text.as_bytes()).map_err(|error| cannot_write(file, &error))
}

fn cannot_write(file: &Path, error: &std::io::Error) -> Refusal {
    match error.kind() {
        ErrorKind::AlreadyExists if !file.exists() => Refusal::with_hint(
            format!(
                "{} is a link that leads nowhere, and nothing was written",
                file.display()
            ),
            "name a file that does not exist yet",
        ),
        ErrorKind::AlreadyExists => Refusal::with_hint(
            format!(
                "{} is there already, and nothing was written",
                file.display()
            ),
            "name a file that does not exist yet",
        ),
        _ => output::cannot_write(file, error),
    }
}

/// What was written, what found no place, and what to do next.
fn told(file: &Path, shop: &NewShop) -> String {
    let layouts = match shop.layouts {
        1 => "one layout".to_owned(),
        2 => "two layouts".to_owned(),
        many => format!("{many} layouts"),
    };
    let mut lines = vec![format!(
        "Wrote {}: {} in {layouts}. Sizes and times are typical ones; each guess says so.",
        file.display(),
        counted(shop.stations, "station")
    )];
    lines.extend(shop.said.iter().map(|said| capital(said)));
    let columns = output::reading_width();
    let mut text = String::new();
    for line in lines {
        text.push_str(&wrap(&line, columns, "", "").join("\n"));
        text.push('\n');
    }
    let name = file.display();
    text.push_str(&format!(
        "Next: shopstride check --charts pictures {name}\n      shopstride compare {name}\n"
    ));
    text
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}
