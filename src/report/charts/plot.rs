//! Plotters' chart contexts over our backend, with the coordinates of `axes.rs` and the elements of `elements.rs`.

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::{Ranged, ValueFormatter};
use plotters::element::{Drawable, PathElement, PointCollection};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, IntoFont, RGBColor, ShapeStyle, TRANSPARENT, TextStyle};

use super::axes::{ColumnAxis, FigureAxis, RowAxis};
use super::backend::{self, Board, INFALLIBLE, STEPS, steps};
use super::canvas::{Area, Canvas};
use super::elements::Place;
use super::scene::paint::Colour;
use super::style::{EDGE, FAINT, GRID, SMALL};

/// A chart over two axes.
pub type Plot<'a, X, Y> = ChartContext<'a, Board<'a>, Cartesian2d<X, Y>>;

/// What is written at the axes.
#[derive(Debug, Clone, Copy, Default)]
pub struct AxisMarks<'a> {
    /// What the figures are, below them; nothing is written without it, and no mesh drawn if that is not asked for.
    pub figures: &'a str,
    /// Whether the figures have a mesh although they are written below another chart.
    pub mesh: bool,
    /// Whether lines part the rows.
    pub rows: bool,
    /// Room at the left for the figures of the other axis.
    pub left: f64,
}

/// How much room the marks and the name of the figures take below a chart.
pub const BELOW: f64 = 36.0;
/// Room between an axis and its name.
const TICK: f64 = 3.0;

/// Draws a chart into an area with its marks around it: the mesh, what `series` draws, and where the figures are 0.
pub fn plot<Y>(
    canvas: &mut Canvas,
    area: Area,
    (figures, other): (FigureAxis, Y),
    around: AxisMarks,
    series: impl FnOnce(&mut Plot<FigureAxis, Y>),
) where
    Y: Ranged<ValueType = f64> + ValueFormatter<f64>,
{
    let is_marked = !around.figures.is_empty();
    let has_mesh = is_marked || around.mesh;
    let below = if is_marked { BELOW } else { 0.0 };
    let whole = Area {
        x: area.x - around.left,
        width: area.width + around.left,
        height: area.height + below,
        ..area
    };
    let board = backend::area(canvas, whole);
    let ends = other.range();
    let zero = (!figures.is_cut()).then_some([(0.0, ends.start), (0.0, ends.end)]);
    // About a hundred units apart, or nearer where that would be hardly any.
    let marked = |wanted: usize| figures.key_points(wanted).len();
    let [few, more] = [100.0, 75.0].map(|apart| (area.width / apart) as usize);
    let wanted = if marked(few) < 3 { more } else { few };
    let mut chart = ChartBuilder::on(&board)
        .x_label_area_size(steps(below))
        .y_label_area_size(steps(around.left))
        .build_cartesian_2d(figures, other)
        .expect(INFALLIBLE);
    let small = mark_style();
    let mut mesh = chart.configure_mesh();
    // The axes' lines do not show, but without them there would be no marks.
    mesh.axis_style(TRANSPARENT)
        .light_line_style(TRANSPARENT)
        .bold_line_style(line(GRID, 0.75))
        .x_labels(wanted)
        .label_style(small.clone())
        .axis_desc_style(small)
        .set_all_tick_mark_size(steps(TICK))
        .x_desc(around.figures);
    if !has_mesh {
        mesh.disable_x_mesh();
    }
    if !around.rows && around.left == 0.0 {
        mesh.disable_y_mesh();
    }
    mesh.draw().expect(INFALLIBLE);
    series(&mut chart);
    if let Some(ends) = zero.filter(|_| has_mesh) {
        let zero = PathElement::new(ends, line(EDGE, 1.0));
        chart.plotting_area().draw(&zero).expect(INFALLIBLE);
    }
}

/// Draws a table of cells into an area, `series` first and the lines between the cells over it. Cell (0, 0) is the
/// upper left one.
pub fn matrix(
    canvas: &mut Canvas,
    area: Area,
    (columns, rows): (usize, usize),
    series: impl FnOnce(&mut Plot<ColumnAxis, RowAxis>),
) {
    let board = backend::area(canvas, area);
    let mut chart = ChartBuilder::on(&board)
        .build_cartesian_2d(ColumnAxis(columns), RowAxis(rows))
        .expect(INFALLIBLE);
    chart
        .configure_mesh()
        .axis_style(TRANSPARENT)
        .light_line_style(TRANSPARENT)
        .bold_line_style(line(GRID, 0.75))
        .draw()
        .expect(INFALLIBLE);
    series(&mut chart);
}

/// Draws the grid of a floor into an area, with marks to the left of it and below it and with a name for each side.
pub fn floor_grid(
    canvas: &mut Canvas,
    area: Area,
    (across, up): (FigureAxis, FigureAxis),
    (left, below): (f64, f64),
    (wide, high): (&str, &str),
) {
    /// Marks are so far apart at least.
    const APART: f64 = 60.0;
    let whole = Area {
        x: area.x - left,
        width: area.width + left,
        height: area.height + below,
        ..area
    };
    let board = backend::area(canvas, whole);
    // Both axes have lines as far apart, so that the cells are squares.
    let step = across.step_for((area.width / APART) as usize);
    // Very long marks leave no room for a name beside them.
    let mark = super::canvas::Font::BODY
        .size(SMALL)
        .width(&up.longest_mark(step));
    let high = if mark + 2.0 * SMALL <= left { high } else { "" };
    let mut chart = ChartBuilder::on(&board)
        .x_label_area_size(steps(below))
        .y_label_area_size(steps(left))
        .build_cartesian_2d(across.every(step), up.every(step))
        .expect(INFALLIBLE);
    let small = mark_style();
    chart
        .configure_mesh()
        .axis_style(TRANSPARENT)
        .light_line_style(TRANSPARENT)
        .bold_line_style(line(GRID, 0.75))
        .label_style(small.clone())
        .axis_desc_style(small)
        .set_all_tick_mark_size(steps(TICK))
        .x_desc(wide)
        .y_desc(high)
        .draw()
        .expect(INFALLIBLE);
}

/// A line of plotters.
pub fn line((red, green, blue): Colour, width: f64) -> ShapeStyle {
    RGBColor(red, green, blue).stroke_width(steps(width).max(1) as u32)
}

/// How marks are written.
fn mark_style() -> TextStyle<'static> {
    const INK: RGBColor = RGBColor(FAINT.0, FAINT.1, FAINT.2);
    let family = ("Inter", SMALL * STEPS).into_font();
    TextStyle::from(family)
        .color(&INK)
        .pos(Pos::new(HPos::Center, VPos::Top))
}

/// Draws elements of a series.
pub fn draw<'a, E, X, Y>(plot: &mut Plot<'a, X, Y>, elements: impl IntoIterator<Item = E>)
where
    X: Ranged<ValueType = f64>,
    Y: Ranged<ValueType = f64>,
    for<'p> &'p E: PointCollection<'p, Place>,
    E: Drawable<Board<'a>>,
{
    plot.draw_series(elements).expect(INFALLIBLE);
}
