//! What somebody stumbles over who uses the program for the first time: praise for what is not shown, refusals that do not
//! say what would be right, and findings that ask for what nobody needs. What is expected is reckoned by hand.

use crate::first_minute::{line, said};
use crate::support::command::shopstride;

/// One saw, and a rack so many metres from it in each of two layouts; work takes 127 minutes, always.
fn two_racks(base: &str, other: &str) -> String {
    format!(
        "title: Two racks\ncrew: {{me: {{}}}}\nstations: {{rack: {{}}, saw: {{does: {{rip: {{per piece: 127 min}}}}}}}}\n\
         projects: {{box: {{pieces: 1, material at: rack, route: [rip]}}}}\norders: [{{project: box}}]\n\
         layouts:\n  one: {{distances: {{rack: {{saw: {base}}}}}}}\n  two: {{distances: {{rack: {{saw: {other}}}}}}}\n"
    )
}

const COMPARE: [&str; 3] = ["compare", "--no-charts", "--quiet"];

fn worth(scenario: &str) -> String {
    line(&said(&COMPARE, scenario), "Worth it?").expect("an answer")
}

#[test]
fn layouts_that_come_to_the_same_are_said_to() {
    let same = "No: \"one\" and \"two\" come to the same: they differ neither in walking nor from start to finish.";
    assert_eq!(worth(&two_racks("8 m", "8 m")), same);
    // Where nobody walks, too.
    assert_eq!(worth(&two_racks("0 m", "0 m")), same);
}

/// While glue cures for an hour somebody has time for any way: what walks less is done no sooner, and nothing says so.
#[test]
fn nothing_is_praised_that_is_not_shown() {
    let shop = |far: &str| {
        format!(
            "title: A cure and a way\ncrew: {{me: {{}}}}\n\
             stations:\n  rack: {{}}\n  press: {{does: {{glue: {{per piece: 1 min, cure: {{time: 60 min}}}}}}}}\n  \
             saw: {{does: {{rip: {{per piece: 1 min}}}}}}\n\
             projects:\n  box:\n    parts:\n      top: {{pieces: 1, material at: rack, route: [glue]}}\n      \
             leg: {{pieces: 1, material at: rack, route: [rip]}}\n\
             orders: [{{project: box}}]\n\
             layouts:\n  near: {{distances: {{rack: {{saw: 2 m, press: 2 m}}, saw: {{press: 50 m}}}}}}\n  \
             far: {{distances: {{rack: {{saw: {far}, press: 2 m}}, saw: {{press: 50 m}}}}}}\n"
        )
    };
    assert_eq!(
        worth(&shop("20 m")),
        "No: \"near\" walks least, and takes as long from start to finish."
    );
}

/// 127 min are not 2 h: of what takes two hours a quarter of one is much.
#[test]
fn times_of_a_few_hours_are_told_in_minutes() {
    let answer = said(&["run", "--quiet"], &two_racks("0 m", "0 m"));
    let takes = line(&answer, "Takes").expect("a line");
    assert!(takes.starts_with("127 min from start to finish"), "{takes}");
}

#[test]
fn one_order_in_one_run_has_no_mean_and_nobody_walks_no_way() {
    let answer = said(&["run", "--quiet", "--details"], &two_racks("0 m", "0 m"));
    let words: Vec<&str> = answer.split_whitespace().collect();
    let words = words.join(" ");
    assert!(
        words.contains(
            "In \"one\", nobody walks; 127 min is hands-on time; the lead time of a box is 127 min."
        ),
        "{answer}"
    );
    assert!(
        !words.contains("mean lead time") && !words.contains("crew walks 0 m"),
        "{answer}"
    );
    let heading = answer.lines().find(|line| line.starts_with(" orders"));
    assert_eq!(heading.map(str::trim), Some("orders"), "{answer}");
    let walked = said(&["run", "--quiet", "--details"], &two_racks("8 m", "8 m"));
    assert!(walked.contains("the crew walks 8.00 m"), "{walked}");
}

#[test]
fn all_that_draw_take_that_nothing_is_drawn() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("shop.yaml"), two_racks("8 m", "4 m")).expect("written");
    for command in ["run", "compare", "bottleneck"] {
        let output = shopstride(&[command, "--no-charts", "shop.yaml"], folder.path());
        assert_eq!(output.status.code(), Some(0), "{command}");
        let both = shopstride(
            &[command, "--no-charts", "--charts", "x", "shop.yaml"],
            folder.path(),
        );
        assert_eq!(both.status.code(), Some(2), "{command}");
    }
    let files = std::fs::read_dir(folder.path()).expect("a folder").count();
    assert_eq!(files, 1);
}

/// Whoever has read the answer knows that it is whole, though the file beside it was not written.
#[cfg(target_os = "linux")]
#[test]
fn where_a_file_is_not_written_the_answer_above_is_whole() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("shop.yaml"), two_racks("8 m", "4 m")).expect("written");
    for command in ["run", "compare", "bottleneck"] {
        let arguments = [command, "--no-charts", "--json", "/dev/full", "shop.yaml"];
        let output = shopstride(&arguments, folder.path());
        let errors = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{command}");
        assert!(!output.stdout.is_empty(), "{command}");
        assert!(
            errors.contains("the answer above is whole; only this was not written"),
            "{command}: {errors}"
        );
    }
}

/// What is told of a new shop in which a top of 40 by 16 in is made of oak 3/4 in thick.
fn new_shop_with_a_top(stations: &str) -> String {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let list = "part,quantity,length,width,thickness,material\ntop,1,40,16,3/4,oak\n";
    std::fs::write(folder.path().join("parts.csv"), list).expect("written");
    let room = [
        "--room",
        "24 ft x 22 ft",
        "--door",
        "9 ft in the front wall",
    ];
    let what = ["--with", stations, "--cut-list", "parts.csv"];
    let arguments = [&["new", "mine.yaml"], &room[..], &what[..]].concat();
    let output = shopstride(&arguments, folder.path());
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{errors}");
    let answer = String::from_utf8_lossy(&output.stdout);
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// By hand: a top 16 in wide is cut 16-3/8 in wide, which no board is: two of 8-3/16 in and 3/8 in for their edges are
/// of 9 in. Where the shop glues up itself, it takes three of 5-3/8 in and 3/8 in, of 7 in, each 41-1/2 in long, and two
/// of these are cut from 8 ft.
#[test]
fn boards_wider_than_any_that_is_sold_are_glued_up() {
    let bought = new_shop_with_a_top("table saw, miter saw, lumber rack");
    let wide = "To buy for parts, by a plain packing and a guess: 2 boards of 8 ft × 9 in × 1 in for oak board, 2 at a \
                time glued up to a width of 16-3/8 in.";
    assert!(bought.contains(wide), "{bought}");
    let glued = new_shop_with_a_top("table saw, miter saw, lumber rack, assembly table");
    let narrow = "2 boards of 8 ft × 7 in × 1 in for oak board (at least 2 by area)";
    assert!(glued.contains(narrow), "{glued}");
}

#[test]
fn stations_joined_by_and_are_all_there_and_guesses_of_a_door_are_said() {
    let told =
        new_shop_with_a_top("table saw and miter saw & lumber rack; workbench and assembly table");
    assert!(told.contains("5 stations"), "{told}");
    let guesses = "Guessed of the door in the front wall: where it is in this wall; so wide a door goes up and lies under \
                   the ceiling; how high it is.";
    assert!(told.contains(guesses), "{told}");
}

/// A room of 20 by 10 ft with a door of 32 in, through which a board comes to the saw. All else is far apart.
fn through_a_door(more_stations: &str, more_places: &str) -> String {
    format!(
        "title: A small room\nshow: imperial\ncrew: {{me: {{}}}}\n\
         room: {{size: [20 ft, 10 ft], doors: [{{name: door, between: [[0, 4 ft], [0, {}]]}}]}}\n\
         stations:\n  saw: {{size: [2 ft, 2 ft], does: {{rip: {{per piece: 1 min}}}}}}\n{more_stations}\
         projects: {{box: {{pieces: 1, material at: door, route: [rip]}}}}\norders: [{{project: box}}]\n\
         layouts:\n  now: {{at: {{saw: [12 ft, 7 ft]{more_places}}}}}\n",
        "6 ft 8 in"
    )
}

fn checked(scenario: &str) -> String {
    let answer = said(&["check", "--quiet", "--notes"], scenario);
    let words: Vec<&str> = answer.split_whitespace().collect();
    words.join(" ")
}

/// 32 in are less than the 4 ft that are advised where pieces are carried, but a room has the door that it has.
#[test]
fn an_ordinary_door_is_a_note_and_no_narrow_way() {
    let ordinary = checked(&through_a_door("", ""));
    assert!(ordinary.contains("0 faults, 0 warnings"), "{ordinary}");
    assert!(ordinary.contains("note door is 32 in wide, as ordinary doors are; 4 ft is advised where pieces are carried"), "{ordinary}");
    // Narrower than 28 in it is no way out, and a gap in the room behind a door is as narrow as it ever was.
    let narrow = checked(&through_a_door("", "").replace("6 ft 8 in", "6 ft 3 in"));
    assert!(
        narrow.contains("27 in where 28 in is the least on a way out"),
        "{narrow}"
    );
    let posts = "  post: {size: [1 ft, 4 ft]}\n  pillar: {size: [1 ft, 3 ft]}\n";
    let gap = checked(&through_a_door(
        posts,
        ", post: [6 ft, 2 ft], pillar: [6 ft, 8.5 ft]",
    ));
    assert!(
        gap.contains("the way between pillar and post is narrow: 36 in where 4 ft is advised")
            || gap
                .contains("the way between post and pillar is narrow: 36 in where 4 ft is advised"),
        "{gap}"
    );
}

/// Somebody stands where a route leads and at whatever does something; nobody at a dust collector or a heap.
#[test]
fn what_no_route_uses_and_nobody_works_at_needs_no_place_to_stand() {
    let so = |what: &str| {
        let stations = format!("  extra: {what}\n");
        checked(&through_a_door(
            &stations,
            ", extra: {at: [18 ft 6 in, 1 ft 6 in]}",
        ))
    };
    for what in [
        "{size: [2 ft, 2 ft]}",
        "{kind: small dust collector, size: [2 ft, 2 ft]}",
    ] {
        let found = so(what);
        assert!(!found.contains("stand at extra"), "{what}: {found}");
    }
    let press = so("{kind: drill press, size: [2 ft, 2 ft]}");
    assert!(
        press.contains("stand at extra") || press.contains("stands at extra"),
        "{press}"
    );
}

/// The layout that is left out stands once in the answer, in few words, and `check` has the rest.
#[test]
fn a_layout_that_is_left_out_is_one_short_line() {
    let shop = "title: A corner\nroom: {size: [4 m, 4 m], doors: [{name: door, between: [[0.3 m, 0], [1.2 m, 0]]}]}\n\
        stations: {saw: {size: [1 m, 1 m], does: {rip: {per piece: 1 min}}}}\n\
        projects: {box: {pieces: 1, material at: door, route: [rip]}}\norders: [{project: box}]\n\
        layouts: {good: {at: {saw: [2 m, 2.5 m]}}, bad: {at: {saw: [3.5 m, 0.5 m]}}}\n";
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("shop.yaml"), shop).expect("written");
    for command in ["run", "bottleneck"] {
        let output = shopstride(&[command, "shop.yaml"], folder.path());
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{command}");
        let answer = String::from_utf8_lossy(&output.stdout);
        let left_out = line(&answer, "Left out").expect("a line");
        assert!(
            left_out.starts_with("\"bad\" (too little room to stand at saw"),
            "{left_out}"
        );
        assert!(
            left_out.ends_with(": see `shopstride check`."),
            "{left_out}"
        );
    }
}

/// By hand: 2 m by 50 cm by 10 cm of 700 kg/m³ weigh 70 kg, and planed to half of that thickness, 35 kg. `times` says both,
/// and `check` the heavier one, which has to be lifted onto the planer.
#[test]
fn a_piece_weighs_what_is_left_of_it_wherever_it_is_told_of() {
    let shop = "title: A slab\nhandling: {density: 700 kg/m3}\ncrew: {me: {}}\n\
        room: {size: [8 m, 6 m], doors: [{name: door, between: [[0, 1 m], [0, 2 m]]}]}\n\
        stations:\n  planer: {size: [1 m, 60 cm], does: {plane: {per piece: 5 min}}}\n  \
        bench: {size: [2 m, 80 cm], does: {sand: {per piece: 5 min}}}\n\
        projects: {top: {pieces: 1, material at: door, rough: [2 m, 50 cm, 100 mm], finished: [2 m, 50 cm, 50 mm], \
        route: [{op: plane, piece: [2 m, 50 cm, 100 mm]}, sand]}}\norders: [{project: top}]\n\
        layouts: {now: {at: {planer: [3 m, 3 m], bench: [6 m, 4 m]}}}\n";
    let times = said(&["times"], shop);
    assert!(
        times.contains("70.0 kg each before work and 35.0 kg after it"),
        "{times}"
    );
    let check = said(&["check", "--quiet", "--details"], shop);
    assert!(check.contains("top weighs 70.0 kg"), "{check}");
    // Bought as thin as it is finished, it weighs no more at any step.
    let thin = shop.replace("100 mm", "50 mm");
    let times = said(&["times"], &thin);
    assert!(times.contains("35.0 kg each, material"), "{times}");
    let check = said(&["check", "--quiet", "--details"], &thin);
    assert!(check.contains("top weighs 35.0 kg"), "{check}");
}
