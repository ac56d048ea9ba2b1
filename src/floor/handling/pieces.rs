//! What comes into the room and how much of it there is to lift.

use crate::floor::Premises;
use crate::floor::finding::Cargo;
use crate::shop::{Item, ItemId, ItemKind, Project, Size};

/// A board, a sheet or a part as it comes in.
pub struct Brought {
    pub cargo: Cargo,
    pub size: Size,
    /// In kilograms.
    pub mass: Option<f64>,
    pub why: Why,
}

/// Why something comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The room says so.
    Named,
    /// Parts are cut from it, or it is material.
    CutUp,
    /// It is a part in its rough size.
    Part,
}

/// Everything that is brought in: what the room names, material, what the other parts of ordered projects are cut from,
/// and parts of which nothing else is known in their rough sizes. Stock of one size comes in once.
pub fn brought(premises: Premises<'_>) -> Vec<Brought> {
    let stock = premises.room.into_iter().flat_map(|room| &room.stock);
    let stock = stock.enumerate().map(|(index, stock)| Brought {
        cargo: Cargo::Stock(index),
        size: stock.size,
        mass: stock.mass.map(|mass| mass.kilograms()),
        why: Why::Named,
    });
    let mut brought: Vec<Brought> = stock.collect();
    let density = density(premises);
    for (project_id, project) in premises.ordered() {
        for (id, item) in items(project) {
            if item.lies_at().is_none() {
                continue;
            }
            let Some(size) = stock_of(item) else {
                brought.extend(item.rough.map(|size| Brought {
                    cargo: Cargo::Item(project_id, id),
                    size,
                    mass: item.mass.map(|mass| mass.kilograms()),
                    why: Why::Part,
                }));
                continue;
            };
            let same = |known: &&mut Brought| known.size == size && known.why != Why::Part;
            match brought.iter_mut().find(same).map(|known| &mut known.cargo) {
                Some(Cargo::CutInto(parts)) => parts.push((project_id, id)),
                Some(_) => {}
                None => {
                    let is_material = matches!(item.kind, ItemKind::Material { .. });
                    let (cargo, mass) = match is_material {
                        true => (Cargo::Item(project_id, id), item.mass),
                        false => (Cargo::CutInto(vec![(project_id, id)]), None),
                    };
                    brought.push(Brought {
                        cargo,
                        size,
                        mass: (mass.map(|mass| mass.kilograms()))
                            .or_else(|| Some(density? * size.volume())),
                        why: Why::CutUp,
                    });
                }
            }
        }
    }
    brought
}

/// The items of a project with their ids.
pub fn items(project: &Project) -> impl Iterator<Item = (ItemId, &Item)> {
    let items = project.items.iter().enumerate();
    items.map(|(index, item)| (ItemId(index as u32), item))
}

/// The size in which something comes to its first step: that of its stock, or else its rough one.
pub fn comes_as(item: &Item) -> Option<Size> {
    stock_of(item).or(item.rough)
}

/// The size of the stock that material is, or that a part is cut from.
fn stock_of(item: &Item) -> Option<Size> {
    match item.kind {
        ItemKind::Material { .. } => item.rough,
        _ => cut_from(item),
    }
}

/// The size of what a part is cut from: that in which it comes to its first step, where there is still more of it
/// than of the rough size, or than the finished one if there is no rough size.
fn cut_from(item: &Item) -> Option<Size> {
    let first = item.route.first()?.piece?;
    let part = item.rough.or(item.finished)?;
    (first.volume() > part.volume()).then_some(first)
}

/// Kilograms in a cubic metre, as the parts of this shop weigh by their rough sizes.
fn density(premises: Premises<'_>) -> Option<f64> {
    let mut items = premises
        .shop
        .projects
        .iter()
        .flat_map(|project| &project.items);
    items.find_map(|item| {
        let volume = item.rough?.volume();
        let is_assembly = matches!(item.kind, ItemKind::Assembly { .. });
        (!is_assembly && volume > 0.0).then_some(item.mass?.kilograms() / volume)
    })
}

/// What something weighs that is finished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finished {
    /// In kilograms, of one piece.
    pub mass: f64,
    /// Whether some of it is known only by its size before planing.
    pub about: bool,
}

/// The mass of a piece in its finished size, of an assembly as the sum of what it is made of.
pub fn finished(project: &Project, item: &Item) -> Option<Finished> {
    match &item.kind {
        ItemKind::Material { .. } | ItemKind::Part { .. } => {
            let planed = item.finished.zip(item.rough);
            Some(Finished {
                mass: item.finished_mass()?.kilograms(),
                about: planed.is_none_or(|(_, rough)| rough.volume() == 0.0),
            })
        }
        ItemKind::Assembly { made_of } => {
            let mut sum = Finished {
                mass: 0.0,
                about: false,
            };
            for &ItemId(input) in made_of {
                let input = project.items.get(input as usize)?;
                let one = finished(project, input)?;
                sum.mass += one.mass * f64::from(input.pieces) / f64::from(item.pieces.max(1));
                sum.about |= one.about;
            }
            Some(sum)
        }
    }
}
