//! Plans on a grid, as pictures: places as dots, or things that cover squares.

use minijinja::{Error, Value, context};

use super::templates::Templates;
use crate::lesson::{FromToCell, GridPoint, PieceSpot, RedesignExercise, SquareRoom};

/// Units of a picture in a square of the grid.
const SQUARE: f64 = 10.0;
const MARGIN: f64 = 4.0;
const BOX: &str = "#d9e6f2";
const NOTHING: &str = "#ffffff";
const KEPT_FREE: &str = "none";

/// What is drawn, in squares, with the y axis upward from the bottom of the picture.
#[derive(Default)]
struct GridPicture {
    size: (i64, i64),
    lines: Vec<Value>,
    boxes: Vec<Value>,
    dots: Vec<Value>,
    words: Vec<Value>,
}

impl GridPicture {
    fn of(size: (i64, i64)) -> GridPicture {
        GridPicture {
            size,
            ..GridPicture::default()
        }
    }

    fn across(&self, x: f64) -> f64 {
        SQUARE * x
    }

    fn down(&self, y: f64) -> f64 {
        SQUARE * (self.size.1 as f64 - y)
    }

    fn line(&mut self, from: GridPoint, to: GridPoint, width: f64) {
        let at = |(x, y): GridPoint| (self.across(x as f64), self.down(y as f64));
        let ((x1, y1), (x2, y2)) = (at(from), at(to));
        self.lines.push(context! { x1, y1, x2, y2, width });
    }

    /// A whole square, or several in a row.
    fn squares(&mut self, squares: &[GridPoint], fill: &str, dashed: bool) {
        let (first, last) = (squares[0], squares[squares.len() - 1]);
        let (left, right) = (first.0.min(last.0), first.0.max(last.0) + 1);
        let (bottom, top) = (first.1.min(last.1), first.1.max(last.1) + 1);
        self.boxes.push(context! {
            x => self.across(left as f64),
            y => self.down(top as f64),
            width => SQUARE * (right - left) as f64,
            height => SQUARE * (top - bottom) as f64,
            fill,
            dashed,
        });
    }

    fn dot(&mut self, x: f64, y: f64, r: f64, fill: &str) {
        self.dots
            .push(context! { x => self.across(x), y => self.down(y), r, fill });
    }

    fn word(&mut self, x: f64, y: f64, text: &str, small: bool) {
        self.words
            .push(context! { x => self.across(x), y => self.down(y), text, small });
    }

    fn drawn(self, templates: &Templates, millimetres: f64, about: &str) -> Result<Value, Error> {
        let (width, height) = (SQUARE * self.size.0 as f64, SQUARE * self.size.1 as f64);
        let up = (0..=self.size.0).map(|x| format!("M{} 0V{height}", SQUARE * x as f64));
        let across = (0..=self.size.1).map(|y| format!("M0 {}H{width}", SQUARE * y as f64));
        templates.picture(context! {
            grid => up.chain(across).collect::<String>(),
            left => -MARGIN,
            top => -MARGIN,
            width => width + 2.0 * MARGIN,
            height => height + 2.0 * MARGIN,
            millimetres,
            about,
            lines => self.lines,
            boxes => self.boxes,
            dots => self.dots,
            words => self.words,
        })
    }
}

/// What a place is called on plans.
pub fn letter(place: usize) -> String {
    char::from(b'A' + place as u8).to_string()
}

/// Places as dots where the lines of the grid cross, with a line for each pair between which something goes.
pub fn dots(
    templates: &Templates,
    grid: GridPoint,
    points: &[GridPoint],
    cells: &[FromToCell],
    millimetres: f64,
) -> Result<Value, Error> {
    let mut picture = GridPicture::of(grid);
    for cell in cells {
        picture.line(points[cell.from], points[cell.to], 0.6 * cell.trips.sqrt());
    }
    for (place, &(x, y)) in points.iter().enumerate() {
        picture.dot(x as f64, y as f64, 3.0, NOTHING);
        picture.word(x as f64, y as f64, &letter(place), false);
    }
    picture.drawn(templates, millimetres, "places on a grid")
}

/// The room alone, or with what stands in it.
pub fn room(
    templates: &Templates,
    exercise: &RedesignExercise,
    spots: &[PieceSpot],
    millimetres: f64,
) -> Result<Value, Error> {
    let SquareRoom {
        width,
        depth,
        panel,
        ..
    } = exercise.room;
    let mut picture = GridPicture::of((width, depth));
    picture.squares(&[(0, 0), (width - 1, depth - 1)], KEPT_FREE, false);
    let free = [
        (exercise.room.before_door(), "door"),
        (exercise.room.before_panel(), "panel"),
    ];
    let placed = spots.iter().zip(&exercise.widths);
    let covered: Vec<GridPoint> = placed
        .flat_map(|(spot, &wide)| spot.squares(wide))
        .collect();
    for (square, what) in free {
        picture.squares(&[square], KEPT_FREE, true);
        if !covered.contains(&square) {
            let (x, y) = square;
            picture.word(x as f64 + 0.5, y as f64 + 0.5, what, true);
        }
    }
    let door = exercise.room.door as f64;
    picture.word(door + 0.5, -0.22, "▲", true);
    picture.word(width as f64 + 0.22, panel as f64 + 0.5, "◄", true);
    for (place, (spot, &wide)) in spots.iter().zip(&exercise.widths).enumerate() {
        put(&mut picture, place, spot, wide);
    }
    picture.drawn(
        templates,
        millimetres,
        "a room on a grid of squares a metre wide",
    )
}

/// A thing with where one stands at it.
fn put(picture: &mut GridPicture, place: usize, spot: &PieceSpot, wide: i64) {
    let squares: Vec<GridPoint> = spot.squares(wide).collect();
    picture.squares(&squares, BOX, false);
    let (x, y) = spot.middle(wide);
    picture.word(x, y, &letter(place), false);
    let ((x, y), first) = (spot.stand(), spot.first);
    // Beside the edge of the thing, so that those of two that share a square stay apart.
    let toward = |one: i64, other: i64| one as f64 + 0.5 + 0.3 * (other - one) as f64;
    picture.dot(toward(x, first.0), toward(y, first.1), 1.2, "#1e1e1e");
}

/// What is to be cut out, in rows as wide as the room, in the same scale.
pub fn pieces(
    templates: &Templates,
    exercise: &RedesignExercise,
    millimetres: f64,
) -> Result<Value, Error> {
    let rows = piece_rows(exercise);
    let mut picture = GridPicture::of((exercise.room.width, 2 * rows.len() as i64));
    for (row, places) in rows.iter().rev().enumerate() {
        let mut x = 0;
        for &place in places {
            let wide = exercise.widths[place];
            let first = (x, 2 * row as i64 + 1);
            let spot = PieceSpot {
                first,
                quarter_turns: 0,
            };
            picture.squares(&[spot.stand()], NOTHING, true);
            put(&mut picture, place, &spot, wide);
            x += wide;
        }
    }
    picture.drawn(templates, millimetres, "pieces to cut out")
}

fn piece_rows(exercise: &RedesignExercise) -> Vec<Vec<usize>> {
    let mut rows: Vec<Vec<usize>> = vec![Vec::new()];
    let mut taken = 0;
    for (place, wide) in exercise.widths.iter().enumerate() {
        if taken + wide > exercise.room.width {
            rows.push(Vec::new());
            taken = 0;
        }
        taken += wide;
        if let Some(row) = rows.last_mut() {
            row.push(place);
        }
    }
    rows
}

/// How wide a picture of the room is so that a square has so many millimetres.
pub fn in_scale(room: SquareRoom, square_mm: f64) -> f64 {
    square_mm * (room.width as f64 + 2.0 * MARGIN / SQUARE)
}

/// Empty squares for bars: so many wide, and as high as two ways and what comes after them.
pub fn bars(templates: &Templates, squares: i64, millimetres: f64) -> Result<Value, Error> {
    GridPicture::of((squares, 3)).drawn(templates, millimetres, "squares to draw bars in")
}
