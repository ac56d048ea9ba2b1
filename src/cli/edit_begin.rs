//! A first shop for the page of `shopstride edit`: what `new` would write.

use super::arguments::NewOptions;
use super::edit_search::in_words;
use super::wish;
use crate::editor::{BeginSearch, BeginWish};
use crate::scenario::new_shop::{
    CutProject, ListUnits, Wish, complaints_in_words, lay_out, read_cut_list,
};

/// What makes a scenario of what is said on the page.
pub fn begin() -> BeginSearch {
    Box::new(|said| {
        let wish = wished(said)?;
        let shop = lay_out(&wish).map_err(|wrong| complaints_in_words(&[wrong]))?;
        Ok((shop.text, shop.said))
    })
}

fn wished(said: &BeginWish) -> Result<Wish, String> {
    let given = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let doors = said.doors.split(';').filter_map(given);
    let has_list = given(&said.table).is_some();
    let options = NewOptions {
        room: given(&said.room),
        door: doors.collect(),
        with: given(&said.stations),
        longest: given(&said.longest),
        project: given(&said.project)
            .filter(|_| !has_list)
            .into_iter()
            .collect(),
        ..NewOptions::default()
    };
    let read = wish::read(&options).map_err(in_words)?;
    let wish = read.map_err(|wrong| complaints_in_words(&wrong))?;
    let mut wish = wish.ok_or("Say how large the room is inside, such as 20 ft x 17 ft.")?;
    if has_list {
        let name = given(&said.project).unwrap_or("project".to_owned());
        let units = ListUnits::all(wish.room.units);
        let list = read_cut_list(&name, said.table.as_bytes(), units);
        let list = list.map_err(|wrong| wrong.render(false))?;
        wish.projects = vec![CutProject { name, ..list }];
        wish.is_project_guessed = false;
    }
    Ok(wish)
}
