//! The commands and their options.

use std::path::PathBuf;

use clap::{Arg, Args, CommandFactory, Parser, Subcommand, ValueHint};

pub use super::chart_options::ChartOptions;
use super::class_options::ClassOptions;
use super::edit_options::EditOptions;
use super::improve_options::ImproveOptions;
use super::lesson_options::LessonOptions;
use super::option_values::{doubted_share, from_1_to};
use super::playing_options::PlayingOptions;
use super::sheet_options::SheetOptions;
use super::size_options::SizeOptions;
use crate::experiment::Indifference;
use crate::report::wrap;

/// Simulates the projects of a small woodworking shop in each floor layout you consider, and says which one takes less
/// walking and what holds the work up.
#[derive(Debug, Parser)]
#[command(name = "shopstride", version, max_term_width = 100)]
pub struct Arguments {
    /// Without one, what to try first is said.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Commands by what one wants.
const GROUPS: &[(&str, &[&str])] = &[
    (
        "Describe a shop",
        &["new", "kinds", "explain", "times", "schema"],
    ),
    ("Judge its layouts", &["compare", "check"]),
    ("Improve it", &["bottleneck", "improve", "edit"]),
    ("Look closer", &["run", "page"]),
    ("Carry it out", &["size", "sheet"]),
    ("Teach it", &["lesson", "class"]),
    ("More", &["completions", "help"]),
];

/// The command line, with the commands in groups.
pub fn command_line() -> clap::Command {
    let mut command = Arguments::command();
    // The command that prints help is made along with everything that can be asked for.
    command.build();
    let mut groups = String::new();
    for (group, names) in GROUPS {
        groups.push_str(&format!("{group}:\n"));
        for name in *names {
            let about = (command.find_subcommand(name))
                .and_then(clap::Command::get_about)
                .map_or_else(String::new, ToString::to_string);
            for line in wrap(
                &about,
                LONGEST_HELP,
                &format!("  {name:<13}"),
                &" ".repeat(15),
            ) {
                groups.push_str(&line);
                groups.push('\n');
            }
        }
        groups.push('\n');
    }
    Arguments::command().help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{groups}Options:\n{{options}}"
    ))
}

/// Columns of the list of commands.
const LONGEST_HELP: usize = 80;

/// What is said where no command is given.
pub const FIRST_STEPS: &str = "\
shopstride plays the projects you build through each floor layout you consider,
before you move a machine: is it worth it, does it fit, what is in the way?

  shopstride compare              try it: two layouts of a garage, built in
  shopstride new my-shop.yaml     a commented file of your own to start from
  shopstride check my-shop.yaml   whether all in it fits; then compare it

All commands: shopstride --help
";

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Which layout walks less, by how much, and is that sure? Simulates all layouts and draws charts.
    Compare(CompareOptions),
    /// One layout in depth: stations, people, projects and trips.
    Run(RunOptions),
    /// Does it fit? Overlaps, standing room, room for boards to pass, aisles, doors and what has to come through them.
    Check(CheckOptions),
    /// What holds the work up, and what would help most? Relieves one thing at a time and simulates again.
    Bottleneck(BottleneckOptions),
    /// Where could the stations stand, so that people walk less and every rule is kept? Few moves first, each with its place.
    Improve(ImproveOptions),
    /// Stations dragged about in a browser on this machine, with what comes of it at once; saved into the scenario.
    Edit(EditOptions),
    /// Every part's route with the expected time of each operation, before anything is simulated.
    Times(TimesOptions),
    /// Writes a scenario of your own shop to start from, with everything placed; never over an existing file.
    New(NewOptions),
    /// What machines and furniture of a kind are usually like: sizes, times, dust, noise, with where it comes from.
    Kinds(KindsOptions),
    /// What feeds a new shop: how many lamps, which circuits, how large a heater, how wide a duct.
    Size(SizeOptions),
    /// One page for a browser: the answer, a run replayed on two plans, what does not fit, and all charts.
    Page(PageOptions),
    /// A page to print: how to tape a layout on the floor, every corner by its distances from two walls.
    Sheet(SheetOptions),
    /// Three lessons to print, with an answer key: walking and flow, bottleneck and queues, redesign and defend.
    Lesson(LessonOptions),
    /// The layouts of a class on one page, from a folder with a file for each pupil: ranked, with ties, and what to mend.
    Class(ClassOptions),
    /// What a key of a scenario means, how it is written, and where its default comes from.
    Explain(ExplainOptions),
    /// Prints a JSON Schema of the scenario file, for editors.
    Schema,
    /// Prints completions for a shell.
    Completions {
        /// The shell to print them for.
        shell: clap_complete::Shell,
    },
}

/// The scenario, and how it is simulated.
#[derive(Debug, Args)]
pub struct PlayOptions {
    /// The scenario file; - reads standard input; without one, the built-in garage shop.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    #[command(flatten)]
    pub how: PlayingOptions,
}

/// What is written besides the answer.
#[derive(Debug, Args)]
pub struct OutputOptions {
    /// Writes every figure as JSON; - writes it to standard output instead of the answer.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub json: Option<PathBuf>,
    /// Writes tables as CSV files to this folder.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct CompareOptions {
    #[command(flatten)]
    pub played: PlayOptions,
    /// The layout that all others are compared with; default: the first of the file.
    #[arg(long, value_name = "NAME")]
    pub base: Option<String>,
    /// Compares again with every time you gave off by up to so much, such as 20%: is the best one still the best?
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, value_parser = doubted_share)]
    pub doubt: Option<f64>,
    /// Says how often the best stays the best when everything may stand up to so far beside its place, such as "3 cm".
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = crate::scenario::doubted_length)]
    pub doubt_places: Option<f64>,
    /// Picks the best, each layout simulated only as often as it takes: the least walking for a length such as "20 m",
    /// the shortest lead time for a time such as "5 min"; a smaller difference than that does not matter to you.
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true, value_parser = crate::scenario::indifference)]
    pub select: Option<Indifference>,
    #[command(flatten)]
    pub written: OutputOptions,
    /// Folder for the charts, as SVG and PNG unless --chart-format says otherwise.
    #[arg(long, value_name = "DIR", default_value = "shopstride-charts", value_hint = ValueHint::DirPath)]
    pub charts: PathBuf,
    /// Says everything with all digits, intervals and statistics.
    #[arg(long)]
    pub details: bool,
    /// Compares again whenever the scenario is saved; ctrl-C ends it.
    #[arg(long, requires = "scenario")]
    pub watch: bool,
    #[command(flatten)]
    pub drawn: ChartOptions,
}

#[derive(Debug, Args)]
#[command(mut_args(chart_options_require_charts))]
pub struct RunOptions {
    #[command(flatten)]
    pub played: PlayOptions,
    /// The layout to simulate, or one of the candidates; default: the first of the file.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    #[command(flatten)]
    pub written: OutputOptions,
    /// Says everything with all digits, intervals and statistics.
    #[arg(long)]
    pub details: bool,
    /// Draws charts to this folder, as SVG and PNG unless --chart-format says otherwise.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub charts: Option<PathBuf>,
    #[command(flatten)]
    pub drawn: ChartOptions,
    /// Writes every phase of one run as JSON lines; - writes to standard output instead of the answer.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub trace: Option<PathBuf>,
    /// Says every decision of one run in words: who takes what when, since when it was ready, and what others wait for.
    #[arg(long, conflicts_with = "details")]
    pub explain: bool,
    /// Which run --trace writes, --explain tells and the timeline shows; by default 1, the first.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1_000_000>)]
    pub replication: Option<u32>,
}

#[derive(Debug, Args)]
#[command(mut_args(chart_options_require_charts))]
pub struct BottleneckOptions {
    #[command(flatten)]
    pub played: PlayOptions,
    /// The layout to simulate, or one of the candidates; default: the first of the file.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// Writes every figure as JSON; - writes it to standard output instead of the answer.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub json: Option<PathBuf>,
    /// Says everything with all digits, intervals and statistics.
    #[arg(long)]
    pub details: bool,
    /// Draws charts to this folder, as SVG and PNG unless --chart-format says otherwise.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub charts: Option<PathBuf>,
    #[command(flatten)]
    pub drawn: ChartOptions,
}

#[derive(Debug, Args)]
pub struct TimesOptions {
    /// The scenario file; - reads standard input; without one, the built-in garage shop.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    /// The layout whose distances count; default: the first of the file.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// No notes: only the times.
    #[arg(long, short)]
    pub quiet: bool,
}

#[derive(Debug, Args)]
#[command(mut_args(chart_options_require_charts))]
pub struct CheckOptions {
    /// The scenario file; - reads standard input; without one, the built-in garage shop.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    /// The layout to check; default: all of them.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// Says each finding with all its figures, and where its rule comes from.
    #[arg(long)]
    pub details: bool,
    /// Says the notes too, such as how much room there is where it is enough.
    #[arg(long)]
    pub notes: bool,
    /// Checks again whenever the scenario is saved; ctrl-C ends it.
    #[arg(long, requires = "scenario")]
    pub watch: bool,
    /// Looks for the ways of all pieces through the room, not the largest alone, and for those of machines.
    #[arg(long)]
    pub ways: bool,
    /// Writes every finding as JSON; - writes it to standard output instead of the text.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub json: Option<PathBuf>,
    /// Draws the plan of each layout to this folder, legal or not, as SVG and PNG unless --chart-format says otherwise.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub charts: Option<PathBuf>,
    #[command(flatten)]
    pub drawn: ChartOptions,
    /// No notes: only the findings.
    #[arg(long, short)]
    pub quiet: bool,
}

#[derive(Debug, Args, Default)]
pub struct NewOptions {
    /// The file to write.
    #[arg(value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
    /// The room inside, along its front wall first, such as "20 ft x 17 ft" or "6 m x 5 m"; a third length is the height
    /// of the ceiling. Without it a terminal asks for all of this; otherwise a commented example is written.
    #[arg(long, value_name = "SIZE")]
    pub room: Option<String>,
    /// A door, such as "3 ft in the left wall, 2 ft from the front"; may be given again. Walls are front, back, left and
    /// right as plans are drawn. Default: one in the front wall.
    #[arg(long, value_name = "DOOR", requires = "room")]
    pub door: Vec<String>,
    /// What stands in the way, such as "post: 6 in x 6 in, 8 ft from the left, 10 ft from the back" or, for the corner that
    /// an L-shaped room lacks, "stairs: 3 ft x 10 ft in the back right corner"; may be given again.
    #[arg(long, value_name = "THING", requires = "room")]
    pub blocked: Vec<String>,
    /// What stands in it, such as "table saw, 2 workbenches, big saw: cabinet saw"; `shopstride kinds` lists the kinds.
    /// Default: what building with boards takes.
    #[arg(long, value_name = "LIST", requires = "room")]
    pub with: Option<String>,
    /// How long the boards are that you buy. Default: 8 ft or 2.4 m.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub longest: Option<String>,
    /// What is built: a table with a heading and a line for each part (part, quantity, length, width, thickness,
    /// material), as a spreadsheet writes it. May be given again: each is a project, called as its file is.
    #[arg(long, value_name = "FILE", requires = "room", value_hint = ValueHint::FilePath)]
    pub cut_list: Vec<PathBuf>,
    /// What the project of a cut list is called, in the order of the lists; without a cut list one of some invented
    /// projects: side table, bookcase or tool chest.
    #[arg(long, value_name = "NAME", requires = "room")]
    pub project: Vec<String>,
    /// Times that you have taken with a watch: a table with a heading and a line for each (operation, station, seconds).
    #[arg(long, value_name = "FILE", requires = "room", value_hint = ValueHint::FilePath)]
    pub times: Option<PathBuf>,
    /// How many layouts are written, 1 to 3, as far as they are found.
    #[arg(long, value_name = "N", requires = "room", allow_negative_numbers = true, value_parser = from_1_to::<3>)]
    pub layouts: Option<u32>,
    /// Metric units in the file, whatever those of the room.
    #[arg(long, requires = "room")]
    pub metric: bool,
}

#[derive(Debug, Args)]
pub struct PageOptions {
    #[command(flatten)]
    pub played: PlayOptions,
    /// The layout that all others are compared with, shown on the left; default: the first of the file.
    #[arg(long, value_name = "NAME")]
    pub base: Option<String>,
    /// The layout to show beside it; default: the one that the answer speaks of.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// Which run is replayed; the first is 1.
    #[arg(long, value_name = "N", default_value = "1", allow_negative_numbers = true, value_parser = from_1_to::<1_000_000>)]
    pub replication: u32,
    /// Where to write the page; - writes it to standard output.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
}

#[derive(Debug, Args)]
pub struct ExplainOptions {
    /// A key such as feed toward, or a word such as fifo; default: all of them by name.
    pub key: Vec<String>,
}

#[derive(Debug, Args)]
pub struct KindsOptions {
    /// The kind to show with all its figures, such as cabinet saw; default: all of them in a table.
    pub name: Vec<String>,
    /// Metric units instead of inches and pounds.
    #[arg(long)]
    pub metric: bool,
    /// Writes every figure as JSON; - writes it to standard output instead of the text.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub json: Option<PathBuf>,
    /// No notes: only the figures.
    #[arg(long, short)]
    pub quiet: bool,
}

impl NewOptions {
    /// Whether nothing but the file is named.
    pub fn says_nothing(&self) -> bool {
        // All other options are asked for along with the room.
        self.room.is_none()
    }
}

impl Command {
    /// The threads that are asked for, if any are.
    pub fn threads(&self) -> Option<u32> {
        match self {
            Command::Compare(options) => options.played.how.threads,
            Command::Run(options) => options.played.how.threads,
            Command::Page(options) => options.played.how.threads,
            Command::Bottleneck(options) => options.played.how.threads,
            Command::Improve(options) => options.threads,
            Command::Edit(options) => options.threads,
            Command::Class(options) => options.how.threads,
            _ => None,
        }
    }
}

/// Where charts are drawn only if there is a folder for them, how they are drawn is asked for along with it.
fn chart_options_require_charts(option: Arg) -> Arg {
    if ["chart_scale", "chart_size", "chart_format"].contains(&option.get_id().as_str()) {
        option.requires("charts")
    } else {
        option
    }
}
