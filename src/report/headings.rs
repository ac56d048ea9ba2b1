//! What the headings of answers mean.

/// Each heading of an answer with what stands beside it.
pub const HEADINGS: &[(&str, &str)] = &[
    (
        "Worth it?",
        "what the layout that the answer is about saves compared with the base: faults, walking, hands-on time and time from start to finish, and another layout with which one is done sooner, if there is one",
    ),
    (
        "Left out",
        "layouts that were not simulated, since nobody can stand or walk in them as they are drawn",
    ),
    (
        "Overload",
        "orders come faster than they are built, so that their number and lead time grow for as long as the run goes on",
    ),
    (
        "At capacity",
        "orders come about as fast as they can be built, so that lead times depend on how long the run is",
    ),
    (
        "Does it fit?",
        "how many faults and warnings `shopstride check` finds in the layouts that the answer is about",
    ),
    (
        "In the way",
        "the faults and warnings that matter most, the worst first",
    ),
    (
        "Room to feed",
        "the longest board, and at saws the largest sheet, that passes machines where they stand, where that is less than is usual",
    ),
    (
        "By a hair",
        "gaps that a person just gets through or just does not, and what hangs on that: to be measured again",
    ),
    (
        "In time",
        "in how many runs that which somebody wants by some day is done by then",
    ),
    (
        "Busiest",
        "the station, the people or the gear that is in use for the largest share of the time; it need not be what holds the work up",
    ),
    (
        "Would help",
        "changes that bring most by a quick look, each tried alone in one layout: first what can be bought, built or added, then quicker work; `shopstride bottleneck` tries all of them",
    ),
    (
        "First move",
        "the station that is best moved first, if one goes from the base to the other layout step by step",
    ),
    (
        "Unexpected",
        "a change that does harm against expectation, and the first task that differs",
    ),
    (
        "Typical",
        "sizes and times that are not yours, but those usual for a kind of station",
    ),
    (
        "Takes",
        "with one layout: how long an order takes from start to finish",
    ),
    (
        "Walking",
        "how far people walk, and what share of the hands-on time that is; in `bottleneck`, what shorter ways could bring at most",
    ),
    (
        "Flow",
        "how many orders are in the shop on average, how often one is done and how long each stays",
    ),
    (
        "Power",
        "whether the circuits carry what runs at the same time; a planning figure for a licensed electrician to check",
    ),
    (
        "Dust",
        "whether the collector draws enough air from each machine as its ducts run",
    ),
    ("Light", "where there is less light than the work wants"),
    ("Heat", "whether the heating keeps the shop warm"),
    ("Noise", "how loud it is where people are, and for how long"),
    (
        "Tried in",
        "the layout in which `bottleneck` has tried its changes, where there are several",
    ),
    (
        "Helps most",
        "the change that brings most of all that `bottleneck` has tried, and how sure that is",
    ),
    (
        "At hand",
        "the best change that can be bought, built or added, where quicker work at some station would bring more",
    ),
    (
        "Matters",
        "the station whose times matter most, where something that can be bought, built or added brings most",
    ),
    (
        "For money",
        "the change that brings most for its price, where the file gives prices",
    ),
    (
        "Small step",
        "the smallest change that still brings a good part of what the best one does",
    ),
    (
        "For free",
        "the best change of rules, which costs nothing but a habit",
    ),
    (
        "Finished",
        "that no order is finished in the measured time, so that a longer run has to tell",
    ),
    (
        "More time",
        "what another session or a longer one would bring, in a shop that keeps hours",
    ),
    (
        "Quiet time",
        "what it costs that loud work has to wait at some hours",
    ),
    (
        "Kept apart",
        "what it costs that some work must not go on beside other work",
    ),
    (
        "Taking off",
        "what it costs that somebody has to be there to take off what a cure has tied up",
    ),
    (
        "Saves",
        "in `improve`: how much less is walked in the best layout that was found",
    ),
    (
        "At most",
        "in `improve`: more than this no layout could save by any order of its stations",
    ),
    (
        "Search",
        "in `improve`: how long was searched and how much was tried",
    ),
    (
        "Certain?",
        "in `improve`: how sure the saving is, and whether layouts are as good as each other",
    ),
    (
        "Kept",
        "in `improve`: which stations were not moved, and what else was left as it is",
    ),
];

/// Whether somebody means this heading: in capitals or not, with its question mark or without.
pub fn is_heading(heading: &str, asked: &str) -> bool {
    let plain = |words: &str| words.trim_end_matches('?').to_lowercase();
    plain(heading) == plain(asked)
}
