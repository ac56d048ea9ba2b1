//! What comes into the room and how much of it there is to lift.

use super::Scene;
use super::entry::called;
use crate::shop::{Item, ItemId, ItemKind, Project, Size};

/// A board, a sheet or a part as it comes in.
pub struct Brought {
    pub name: String,
    pub size: Size,
    /// In kilograms.
    pub mass: Option<f64>,
    pub source: Source,
}

/// Why something comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The room says so.
    Room,
    /// Parts are cut from it.
    CutUp,
    /// It is a part in its rough size.
    Part,
}

/// Everything that is brought in: what the room names, what the parts of ordered projects are cut from, and parts of
/// which nothing else is known in their rough sizes. What is cut from stock of one size comes in once.
pub fn brought(scene: &Scene<'_>) -> Vec<Brought> {
    let stock = scene.room().into_iter().flat_map(|room| &room.stock);
    let stock = stock.map(|stock| Brought {
        name: stock.name.clone(),
        size: stock.size,
        mass: stock.mass.map(|mass| mass.kilograms()),
        source: Source::Room,
    });
    let mut brought: Vec<Brought> = stock.collect();
    let density = density(scene);
    for project in scene.ordered() {
        let parts = project.items.iter();
        for item in parts.filter(|item| matches!(item.kind, ItemKind::Part { .. })) {
            let name = called(scene, project, item);
            let Some(size) = cut_from(item) else {
                brought.extend(item.rough.map(|size| Brought {
                    name,
                    size,
                    mass: item.mass.map(|mass| mass.kilograms()),
                    source: Source::Part,
                }));
                continue;
            };
            let same = |known: &&mut Brought| known.size == size && known.source != Source::Part;
            match brought.iter_mut().find(same) {
                Some(known) if known.source == Source::CutUp => {
                    known.name = format!("{}, {name}", known.name);
                }
                Some(_) => {}
                None => brought.push(Brought {
                    name: format!("the stock of {name}"),
                    size,
                    mass: density.map(|density| density * size.volume()),
                    source: Source::CutUp,
                }),
            }
        }
    }
    brought
}

/// The size of what a part is cut from: that in which it comes to its first step, where there is still more of it
/// than of the rough size, or than the finished one if there is no rough size.
fn cut_from(item: &Item) -> Option<Size> {
    let first = item.route.first()?.piece?;
    let part = item.rough.or(item.finished)?;
    (first.volume() > part.volume()).then_some(first)
}

/// Kilograms in a cubic metre, as the parts of this shop weigh by their rough sizes.
fn density(scene: &Scene<'_>) -> Option<f64> {
    let mut items = scene
        .shop
        .projects
        .iter()
        .flat_map(|project| &project.items);
    items.find_map(|item| {
        let volume = item.rough?.volume();
        let is_part = matches!(item.kind, ItemKind::Part { .. });
        (is_part && volume > 0.0).then_some(item.mass?.kilograms() / volume)
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
    let mass = item.mass?.kilograms();
    match &item.kind {
        ItemKind::Part { .. } => {
            let volumes = item.finished.zip(item.rough);
            let share = volumes.map(|(finished, rough)| finished.volume() / rough.volume());
            let share = share.filter(|share| share.is_finite());
            Some(Finished {
                mass: mass * share.unwrap_or(1.0),
                about: share.is_none(),
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
