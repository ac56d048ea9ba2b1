//! Every key of a scenario, mapping by mapping: reading, messages and the schema loop over these tables.

use super::kinds;
use super::quantity::Dimension;
use crate::floor::{LIMITS, LimitUnit};
use crate::shop::{CHOICES, CURES, QUEUE_RULES, SWITCHES, WEEKDAYS};

/// A key of a mapping.
#[derive(Debug, Clone, Copy)]
pub struct KeyDefinition {
    pub name: &'static str,
    pub shape: ValueShape,
    pub meaning: &'static str,
}

/// The keys of one kind of mapping.
#[derive(Debug)]
pub struct Keys {
    /// What the mapping is, with its article.
    pub of: &'static str,
    pub groups: &'static [&'static [KeyDefinition]],
    pub required: &'static [&'static str],
}

impl Keys {
    pub fn iter(&self) -> impl Iterator<Item = &'static KeyDefinition> + Clone + use<> {
        self.groups.iter().flat_map(|group| group.iter())
    }

    /// Those of which something comes: what messages and the schema offer.
    pub fn offered(&self) -> impl Iterator<Item = &'static KeyDefinition> + Clone + use<> {
        let comes_of =
            |key: &&KeyDefinition| !matches!(key.shape, ValueShape::NotYet | ValueShape::Unused(_));
        self.iter().filter(comes_of)
    }

    pub fn find(&self, name: &str) -> Option<&'static KeyDefinition> {
        self.iter().find(|key| key.name == name)
    }
}

/// What a value looks like.
#[derive(Debug, Clone, Copy)]
pub enum ValueShape {
    Text,
    Flag,
    /// A whole number from this one.
    Whole(u64),
    Number,
    Quantity(Dimension),
    /// Degrees Celsius or Fahrenheit.
    Temperature,
    /// A pressure that is lost at an airflow.
    RatedLoss,
    /// The gauge or the section of a wire.
    Wire,
    /// A time of day: hours and minutes.
    Clock,
    /// A day: year, month and day.
    Day,
    /// A duration that may vary.
    Varied,
    /// So many lengths; `true` where they may be negative.
    Lengths(usize),
    OneOf(&'static [&'static str]),
    Rule(fn() -> Vec<&'static str>),
    /// The number 0 alone.
    Zero,
    Mapping(&'static Keys),
    /// A mapping from names to this.
    Named(&'static ValueShape),
    List(&'static ValueShape),
    Either(&'static [ValueShape]),
    Anything,
    /// Part of the format, but not read yet.
    NotYet,
    /// Part of the format and read, but nothing comes of it yet.
    Unused(&'static ValueShape),
}

const fn key(name: &'static str, shape: ValueShape, meaning: &'static str) -> KeyDefinition {
    KeyDefinition {
        name,
        shape,
        meaning,
    }
}

/// Words that people write for a key of the same mapping.
pub const CALLED_OTHERWISE: &[(&str, &str)] = &[
    ("units", "show"),
    ("machines", "stations"),
    ("workers", "crew"),
    ("tools", "gear"),
    ("steps", "route"),
    ("quantity", "count"),
    ("angle", "turn"),
    ("rotation", "turn"),
];

use ValueShape::*;

pub static SCENARIO: Keys = Keys {
    of: "the scenario",
    groups: &[&[
        key("title", Text, "what this is, for people"),
        key("about", Text, "more about it, for people"),
        key(
            "show",
            OneOf(&["metric", "imperial"]),
            "units of the output",
        ),
        key(
            "room",
            Mapping(&ROOM),
            "outline, ceiling, doors, what is in the way",
        ),
        key(
            "stations",
            Named(&Mapping(&STATION)),
            "what stands in the shop and what it does",
        ),
        key(
            "gear",
            Named(&Mapping(&GEAR)),
            "counted things that an operation may need",
        ),
        key(
            "crew",
            Named(&Mapping(&PERSON)),
            "the people; one, called maker, by default",
        ),
        key("handling", Mapping(&HANDLING), "how things are moved"),
        key(
            "operations",
            Named(&Mapping(&OPERATION)),
            "defaults of an operation, which a station or a route step may override",
        ),
        key(
            "projects",
            Named(&Mapping(&PROJECT)),
            "parts, assemblies and their routes",
        ),
        key(
            "orders",
            List(&Mapping(&ORDER)),
            "what is asked for, and when",
        ),
        key(
            "projects a year",
            Number,
            "how many orders are built in a year, all lines together: `bottleneck` says what a `price` saves in that time",
        ),
        key("rules", Mapping(&RULES), "how stations and people choose"),
        key(
            "sessions",
            Either(&[List(&Mapping(&SESSION)), Mapping(&SESSIONS)]),
            "when the shop is open; always by default",
        ),
        key(
            "heat",
            Mapping(&HEAT),
            "how warm it is, which decides how fast what cures goes on; by default cures take the given times",
        ),
        key(
            "not together",
            List(&Mapping(&EXCLUSION)),
            "what does not go on at the same time",
        ),
        key(
            "layouts",
            Named(&Mapping(&LAYOUT)),
            "the candidates' distances or placements",
        ),
        key(
            "candidates",
            Named(&Mapping(&CANDIDATE)),
            "further candidates: a layout, and changes to anything else",
        ),
        key(
            "dust",
            Mapping(&DUST),
            "dust collectors, and what leads to them; a layout may have its own, which is laid over this",
        ),
        key(
            "power",
            Mapping(&POWER),
            "panel and circuits; a layout may have its own, which is laid over this",
        ),
        key(
            "light",
            Mapping(&LIGHT),
            "lamps, and how much light is wanted where; a layout may have its own, which is laid over this",
        ),
        key(
            "noise",
            Mapping(&NOISE),
            "where sound goes; a layout may have its own, which is laid over this",
        ),
        key(
            "places",
            Mapping(&PLACES),
            "what is kept at hand for bad moments, and what burns: `check --notes` says whether it is where it helps",
        ),
        key(
            "check",
            Mapping(&CHECK),
            "figures by which `shopstride check` judges",
        ),
        key(
            "run",
            Mapping(&RUN),
            "how often it is simulated, and until when",
        ),
    ]],
    required: &["title", "stations", "projects", "orders", "layouts"],
};

const WEAR_LIMIT: ValueShape = Either(&[
    Quantity(Dimension::Time),
    Quantity(Dimension::Length),
    Quantity(Dimension::Volume),
]);

pub static UPKEEP: Keys = Keys {
    of: "upkeep",
    groups: &[&[
        key(
            "every",
            WEAR_LIMIT,
            "after so much run time, so much length that was fed through, or such a loose volume of chips (`bulk`) it is seen to, between two pieces",
        ),
        key("time", Quantity(Dimension::Time), "what that takes"),
        key("fetch from", Text, "a station to walk to for it first"),
        key(
            "shared",
            Text,
            "the name of the one thing that several stations fill, as of a drum; each unit has its own by default",
        ),
        key(
            "price",
            Number,
            "what a spare, or what lasts twice as long, costs, in whatever money: `bottleneck` ranks what can be bought by what it brings for that",
        ),
    ]],
    required: &["every", "time"],
};

/// Instead of an operation: one that the kind of a station does, but not this one.
pub const NEVER: &str = "never";
/// Instead of a size: the smallest in which things of the kind come.
pub const SMALLEST: &str = "smallest";

pub static STATION: Keys = Keys {
    of: "a station",
    groups: &[&[
        key(
            "kind",
            Rule(|| kinds::kinds().map(|kind| kind.name).collect()),
            "what it is, from the table that `shopstride kinds` shows: all that the station does not say itself is taken from there",
        ),
        key(
            "size",
            Either(&[Lengths(2), OneOf(&[SMALLEST])]),
            "along x and along y, before turning, or `smallest`: as small as things of its kind come; nothing by default",
        ),
        key(
            "height",
            Quantity(Dimension::Length),
            "of all of it above the floor: work passes over what is lower than the table of a machine; as high as the room by default",
        ),
        key(
            "table",
            Quantity(Dimension::Length),
            "how high above the floor the work lies or passes through; if nobody says so, it passes over nothing",
        ),
        key(
            "widest",
            Quantity(Dimension::Length),
            "the widest piece that it takes: of a planer or a jointer its knives, of a miter saw its cut; if nobody says so, nothing is too wide",
        ),
        key(
            "bottom",
            Quantity(Dimension::Length),
            "of what hangs: how high above the floor it begins, so that something lower may stand below it; 0 by default",
        ),
        key(
            "stand",
            Either(&[Lengths(2), Named(&Lengths(2))]),
            "where one stands, from the centre, before turning, or where for each of some operations, as in {rip: [0, -80 cm], crosscut: [60 cm, -80 cm]}; 12 in off the middle of the -y edge by default, and before what is below something that hangs",
        ),
        key(
            "feed toward",
            OneOf(&["+x", "-x", "+y", "-y"]),
            "the way the work passes through",
        ),
        key(
            "kickback",
            Flag,
            "it can throw a piece back to where the work comes from, as a saw can",
        ),
        key(
            "loud",
            Flag,
            "it does not run in quiet time (`quiet` under `sessions`)",
        ),
        key(
            "blade",
            Flag,
            "nobody works at it when people are tired (`rested` under `sessions`)",
        ),
        key(
            "reach from",
            List(&OneOf(&["+x", "-x", "+y", "-y"])),
            "the sides from which people need to reach it, before turning",
        ),
        key(
            "count",
            Whole(1),
            "how many of it; each does one lot at a time",
        ),
        key(
            "price",
            Number,
            "what one more of it costs, in whatever money: `bottleneck` ranks what can be bought by what it brings for that",
        ),
        key("fixed", Flag, "`improve` may not move it"),
        key(
            "place",
            Mapping(&ASKED_PLACE),
            "what is asked of where it stands: `improve` proposes only places that are so",
        ),
        key(
            "motor",
            Mapping(&MOTOR),
            "what its motor draws while it is on; as usual for its kind by default",
        ),
        key(
            "load",
            Mapping(&LOAD),
            "what it draws that has no motor: a heater, a lamp, a glue pot",
        ),
        key(
            "circuit",
            Text,
            "the circuit that it is plugged into; without one it is in no account of current",
        ),
        key(
            "cord",
            Mapping(&CORD),
            "the cord between its outlet and the machine",
        ),
        key(
            "automatic",
            Flag,
            "it starts by itself: a motor at times that nobody knows, a `load` by a thermostat, which is taken to be on",
        ),
        key(
            "continuous",
            Flag,
            "it counts as on for hours, for which the code adds 25 %; by default what is on for 3 h without a break, and every heater",
        ),
        key("idle", NotYet, "what it draws while it idles"),
        key(
            "noise",
            Mapping(&MACHINE_NOISE),
            "how loud it is where one stands, 3 ft away; as usual for its kind by default, as soon as a file says anything of noise",
        ),
        key(
            "ports",
            List(&Mapping(&PORT)),
            "where its dust is drawn off: the collector is on with it",
        ),
        key(
            "upkeep",
            Named(&Mapping(&UPKEEP)),
            "what wears or fills up, by name: blades, belts, a drum of chips",
        ),
        key(
            "set down",
            Whole(0),
            "how many lots that were finished here may lie here until the last of each is picked up; where there is no room, a lot stays in its unit; any number by default",
        ),
        key(
            "roll out",
            Quantity(Dimension::Time),
            "what it takes to roll it from where it is `parked` to where it is used; whoever has brought what the work needs does it, before the setup",
        ),
        key(
            "roll in",
            Quantity(Dimension::Time),
            "what it takes to roll it back: whoever used it last does it first of all when they are needed elsewhere, or whoever needs its floor",
        ),
        key(
            "setup from",
            Named(&Named(&Varied)),
            "what it takes to set it up for what comes next, by what it was set to: names of settings, or of operations; the `setup` of the work for all others",
        ),
        key(
            "does",
            Named(&Either(&[Mapping(&OPERATION), OneOf(&[NEVER])])),
            "the operations that it does; `never`: not this one, which its kind does",
        ),
    ]],
    required: &[],
};

pub static ASKED_PLACE: Keys = Keys {
    of: "the place that is asked for",
    groups: &[&[
        key("fixed", Flag, "it stays where it is"),
        key(
            "turns",
            List(&Number),
            "the turns that it may have, counter-clockwise, in degrees; any by quarters of a circle by default",
        ),
        key(
            "at wall",
            Either(&[Flag, OneOf(&["north", "east", "south", "west"])]),
            "its back, opposite to where one stands, is at a wall, or at that one: north is the +y side of the plan; `false`: it need not stay at the wall at which it is",
        ),
        key("in corner", Flag, "walls are at two of its sides"),
        key(
            "within",
            List(&Lengths(2)),
            "two opposite corners of an area in which all of it stands",
        ),
        key(
            "near",
            Named(&Quantity(Dimension::Length)),
            "how far its middle is at most from the middle of a station or a door, or from the edge of a thing of the room",
        ),
        key(
            "away from",
            Named(&Quantity(Dimension::Length)),
            "how far it is at least, measured so",
        ),
        key(
            "together with",
            List(&Text),
            "stations that stand to it as they do now, wherever it goes",
        ),
        key(
            "keep",
            Text,
            "`unless it saves 20 m`: it stays where it is unless its move saves that much walking in a run",
        ),
    ]],
    required: &[],
};

pub const LIFT: [&str; 2] = ["together", "alone"];

const GEAR_TAKEN: ValueShape = Named(&Either(&[Whole(1), Mapping(&SPACED)]));

const WORK: &[KeyDefinition] = &[
    key(
        "setup",
        Varied,
        "due when this unit is set to something else: without `setting` at a step, when it last worked on another operation or part",
    ),
    key("teardown", Varied, "after every run"),
    key("per piece", Varied, "for each piece of the lot"),
    key("per lot", Varied, "for the lot"),
    key(
        "feed speed",
        Quantity(Dimension::Speed),
        "adds length times passes over feed speed for each piece",
    ),
    key(
        "along",
        OneOf(&["length", "width"]),
        "the size that is fed; length by default",
    ),
    key(
        "passes",
        Number,
        "how often each piece is fed; 1 by default",
    ),
    key(
        "depth per pass",
        Quantity(Dimension::Length),
        "passes from rough to finished thickness",
    ),
    key("faces", Whole(1), "2 doubles the passes"),
    key(
        "area rate",
        Quantity(Dimension::AreaRate),
        "adds finished surface over rate for each piece",
    ),
    key(
        "people",
        Whole(0),
        "how many it takes; 1 by default, 0: the station works alone",
    ),
    key(
        "lift",
        OneOf(&LIFT),
        "`together`: pieces that are heavier at this step than one person lifts (`one person lifts` under `check`) take a second person from the beginning to the end of it; `alone` by default",
    ),
    key(
        "cure",
        Mapping(&CURE),
        "after the run, when nobody is needed",
    ),
    key("dry", Mapping(&CURE), "the same as `cure`, of a finish"),
    key(
        "tacky",
        Quantity(Dimension::Time),
        "how long after the work nothing dusty is begun, anywhere in the shop",
    ),
    key(
        "dusty",
        Flag,
        "is not begun while anything is tacky or a finish is being applied that will be, nor such a finish beside it; false by default",
    ),
    key(
        "gear",
        GEAR_TAKEN,
        "what it takes of the gear: so many, or as many as its spacing asks for",
    ),
    key(
        "fetch from",
        Text,
        "a station to walk to for something first",
    ),
    key(
        "catches",
        Text,
        "the station at which what comes out is taken, such as one behind the saw: the second of the people stands there, and who works alone walks there after each pass and carries the piece back",
    ),
    key(
        "pausable",
        Flag,
        "may stop at the end of a session; true by default, but not for gluing and coats of a `kind`; otherwise it is begun only where it ends before",
    ),
    key(
        "after hours",
        Flag,
        "of work with `people: 0`: goes on while the shop is shut, once it is begun; false by default",
    ),
    key(
        "open time",
        Quantity(Dimension::Time),
        "within which all of the work should be done, as before glue sets: `shopstride check` says where it is expected to take longer, and in how many stages it would not",
    ),
    key(
        "on in",
        List(&OneOf(&ON_IN)),
        "in which parts of the work the machine is on, for current and dust; in its run by default",
    ),
    key(
        "cuts",
        Either(&[OneOf(CUTS), List(&OneOf(CUTS))]),
        "what it brings from the size of the stock to the rough size, or from the rough size to the finished one",
    ),
    key(
        "bulk",
        Number,
        "how many times the room of the wood its chips take, for `upkeep` by volume: what goes off the thickness, and of what is cut in length or width a saw's 1/8 in; by default 4 for the one and 2.5 for the other (shavings and sawdust)",
    ),
    key(
        "spoils",
        Quantity(Dimension::Share),
        "probability that a piece is spoiled",
    ),
];

/// The parts of the work in which a machine may be on.
pub const ON_IN: [&str; 3] = ["setup", "run", "teardown"];

/// The sizes of a piece that an operation can change.
pub const CUTS: &[&str] = &["length", "width", "thickness"];

pub static OPERATION: Keys = Keys {
    of: "an operation",
    groups: &[WORK],
    required: &[],
};

pub static STEP: Keys = Keys {
    of: "a route step",
    groups: &[
        &[
            key("op", Text, "the operation"),
            key(
                "on",
                Text,
                "the station, if only one of those that could is meant",
            ),
            key(
                "piece",
                Lengths(3),
                "length, width and thickness of what comes to this step, where they are not those of the part",
            ),
            key(
                "setting",
                Text,
                "what the station has to be set to: no setup is due where it is set to the same; by default to this operation and this part",
            ),
        ],
        WORK,
    ],
    required: &["op"],
};

pub static SPACED: Keys = Keys {
    of: "gear by its spacing",
    groups: &[&[
        key(
            "spacing",
            Quantity(Dimension::Length),
            "from one to the next: it takes as many as the rough length of a piece, or the finished one of an assembly, has such spaces, rounded up, and one more",
        ),
        key(
            "per",
            OneOf(&PER),
            "whether each piece of a lot takes so many, or the whole lot; each piece by default",
        ),
    ]],
    required: &["spacing"],
};

/// What gear is counted for.
pub const PER: [&str; 2] = ["piece", "lot"];

pub static CURE: Keys = Keys {
    of: "a cure",
    groups: &[&[
        key("time", Varied, "how long"),
        key(
            "ties up",
            List(&Text),
            "station and gear that are not free before; all by default",
        ),
        key(
            "least",
            Temperature,
            "below which it stands still; only with `heat`; by default it never does, and takes twice as long for every 10 C less",
        ),
        key(
            "take off",
            Varied,
            "what it takes somebody afterwards to take off the clamps: until then all that is tied up stays so; by default nothing has to be taken off",
        ),
    ]],
    required: &["time"],
};

pub static GEAR: Keys = Keys {
    of: "gear",
    groups: &[&[
        key("count", Whole(1), "how many there are"),
        key("stored at", Text, "the station from which it is fetched"),
        key(
            "price",
            Number,
            "what one more of it costs, in whatever money: `bottleneck` ranks what can be bought by what it brings for that",
        ),
    ]],
    required: &[],
};

pub static PERSON: Keys = Keys {
    of: "a person",
    groups: &[&[
        key(
            "can",
            List(&Text),
            "the operations that this person can do; all by default",
        ),
        key("walking speed", Quantity(Dimension::Speed), "empty-handed"),
        key("starts at", Text, "a station; the first by default"),
        key("count", Whole(1), "how many like this one"),
        key(
            "elbow",
            Quantity(Dimension::Length),
            "how high the elbow is above the floor, standing with shoes on; `check --notes` says which heights of benches suit it",
        ),
        key(
            "protection",
            Quantity(Dimension::SoundLevel),
            "what hearing protection takes off sound as it is worn; none by default",
        ),
        key(
            "hours",
            List(&Mapping(&PERSON_HOURS)),
            "when they are there, of the time in which the shop is open; always by default. What takes somebody with hours is only begun if it ends before they go",
        ),
    ]],
    required: &[],
};

pub static HANDLING: Keys = Keys {
    of: "handling",
    groups: &[&[
        key(
            "walking speed",
            Quantity(Dimension::Speed),
            "empty-handed; 1.25 m/s by default",
        ),
        key(
            "loaded speed",
            Quantity(Dimension::Speed),
            "carrying; 1.0 m/s by default",
        ),
        key(
            "pick up",
            Quantity(Dimension::Time),
            "per carry; 2 s by default",
        ),
        key(
            "put down",
            Quantity(Dimension::Time),
            "per carry; 2 s by default",
        ),
        key("carry", Mapping(&CARRY), "what one carry takes at most"),
        key(
            "density",
            Quantity(Dimension::Density),
            "of the wood; 650 kg/m3 by default",
        ),
        key(
            "body width",
            Quantity(Dimension::Length),
            "the circle that a walking person needs; 50 cm by default",
        ),
        key(
            "carts",
            Mapping(&CARTS),
            "carts for large lots; none by default",
        ),
    ]],
    required: &[],
};

pub static CARRY: Keys = Keys {
    of: "a carry",
    groups: &[&[
        key(
            "mass",
            Quantity(Dimension::Mass),
            "at most, except that one piece always goes; 15 kg by default",
        ),
        key("pieces", Whole(1), "at most; no limit by default"),
    ]],
    required: &[],
};

pub static CARTS: Keys = Keys {
    of: "carts",
    groups: &[&[
        key("count", Whole(1), "how many; 1 by default"),
        key(
            "price",
            Number,
            "what one more costs, in whatever money: `bottleneck` ranks what can be bought by what it brings for that",
        ),
        key(
            "stored at",
            Text,
            "the station where they stand at the start",
        ),
        key("pieces", Whole(1), "at most in one trip; 40 by default"),
        key(
            "speed",
            Quantity(Dimension::Speed),
            "pushing; 0.9 m/s by default",
        ),
        key(
            "width",
            Quantity(Dimension::Length),
            "the circle that a pushed cart needs; that of a person by default",
        ),
        key(
            "at least",
            Whole(1),
            "pieces of a lot that asks for a cart; 8 by default",
        ),
        key(
            "load",
            Quantity(Dimension::Time),
            "per trip; 2 s by default",
        ),
        key(
            "unload",
            Quantity(Dimension::Time),
            "per trip; 2 s by default",
        ),
    ]],
    required: &["stored at"],
};

const ROUTE_SHAPE: ValueShape = List(&Either(&[Text, Mapping(&STEP)]));

const LOT: &[KeyDefinition] = &[
    key("pieces", Whole(1), "how many pieces it is"),
    key(
        "stock",
        Lengths(3),
        "length, width and thickness of the board or sheet that it is cut from; the rough size by default",
    ),
    key(
        "rough",
        Lengths(3),
        "length, width and thickness before the work",
    ),
    key(
        "finished",
        Lengths(3),
        "length, width and thickness after the work",
    ),
    key(
        "material at",
        Text,
        "where it lies at first; the first station that does the first operation by default",
    ),
    key(
        "batch",
        Whole(1),
        "size of a transfer batch; all pieces move together by default",
    ),
    key("route", ROUTE_SHAPE, "the operations, in order"),
    key(
        "deliver to",
        Text,
        "the station to which the finished lot is carried",
    ),
];

pub static PROJECT: Keys = Keys {
    of: "a project",
    groups: &[
        LOT,
        &[
            key(
                "material",
                Named(&Mapping(&MATERIAL)),
                "boards and sheets that become parts, which say that they are cut from it",
            ),
            key("parts", Named(&Mapping(&PART)), "what it is made of"),
            key("assemblies", Named(&Mapping(&ASSEMBLY)), "what is joined"),
        ],
    ],
    required: &[],
};

pub static MATERIAL: Keys = Keys {
    of: "material",
    groups: &[&[
        key(
            "pieces",
            Whole(1),
            "how many boards or sheets it is; 1 by default",
        ),
        key(
            "stock",
            Either(&[Lengths(3), Text]),
            "length, width and thickness in which it comes, and stays until it is parts; or the name of stock of the room",
        ),
        key(
            "at",
            Text,
            "where it lies at first; the first station that does the first operation by default",
        ),
        key(
            "route",
            ROUTE_SHAPE,
            "the operations that make parts of it, in order: all that are cut from it are ready where the last of it is, when that is done and has cured",
        ),
    ]],
    required: &[],
};

pub static PART: Keys = Keys {
    of: "a part",
    groups: &[
        LOT,
        &[key(
            "cut from",
            Text,
            "material of this project: the part is ready where and when that has gone through its route, in its rough size or, if it says so, in that of its own `stock`; spoiled pieces begin again there, without new material",
        )],
    ],
    required: &[],
};

pub static ASSEMBLY: Keys = Keys {
    of: "an assembly",
    groups: &[&[
        key(
            "made of",
            List(&Text),
            "the parts and assemblies that are joined",
        ),
        key("pieces", Whole(1), "how many pieces it is; 1 by default"),
        key("finished", Lengths(3), "length, width and thickness"),
        key("route", ROUTE_SHAPE, "the operations, in order"),
        key(
            "deliver to",
            Text,
            "the station to which the finished lot is carried",
        ),
    ]],
    required: &["made of"],
};

pub static ORDER: Keys = Keys {
    of: "an order",
    groups: &[&[
        key("project", Text, "what is built"),
        key("count", Whole(1), "how many; 1 by default without `every`"),
        key("every", Varied, "time from one to the next"),
        key(
            "first",
            Quantity(Dimension::Time),
            "the first comes after this; 0 by default",
        ),
        key("until", Quantity(Dimension::Time), "none comes later"),
        key(
            "in progress",
            Whole(1),
            "so many at any time: the next is released when one is done",
        ),
        key(
            "due",
            Quantity(Dimension::Time),
            "after release, for the rules that look at due dates",
        ),
        key(
            "by",
            Either(&[Day, Quantity(Dimension::Time)]),
            "by the end of which day all of it is wanted, or within what time from the start: answers say in how many runs it is done by then, and nothing else depends on it; a date needs `starts` under `run`",
        ),
        key("together", Whole(1), "so many are built as one order"),
    ]],
    required: &["project"],
};

pub static RULES: Keys = Keys {
    of: "the rules",
    groups: &[&[
        key(
            "queue",
            Rule(|| QUEUE_RULES.iter().map(|row| row.name).collect()),
            "which lot a station takes",
        ),
        key(
            "switch station",
            Rule(|| SWITCHES.iter().map(|row| row.name).collect()),
            "when people go to another station",
        ),
        key(
            "choose next",
            Rule(|| CHOICES.iter().map(|row| row.name).collect()),
            "what people do next",
        ),
        key(
            "cures",
            Rule(|| CURES.iter().map(|row| row.name).collect()),
            "when people do work that is followed by a cure",
        ),
    ]],
    required: &[],
};

/// What a machine draws.
pub static MOTOR: Keys = Keys {
    of: "a motor",
    groups: &[&[
        key(
            "power",
            Quantity(Dimension::Power),
            "at its shaft, as its nameplate has it; as usual for its kind by default",
        ),
        key("volts", Quantity(Dimension::Voltage), VOLTS),
        key(
            "amps",
            Quantity(Dimension::Current),
            "at full load, from its nameplate; by default from its power, and without that the upper end of its kind",
        ),
    ]],
    required: &[],
};

const VOLTS: &str = "120 V or 240 V; those of its circuit by default";

pub static LOAD: Keys = Keys {
    of: "a load",
    groups: &[&[
        key("power", Quantity(Dimension::Power), "what it takes"),
        key("volts", Quantity(Dimension::Voltage), VOLTS),
    ]],
    required: &["power"],
};

pub static CORD: Keys = Keys {
    of: "a cord",
    groups: &[&[
        key(
            "length",
            Quantity(Dimension::Length),
            "from plug to machine",
        ),
        key("wire", Wire, "of copper, by its gauge or its section"),
    ]],
    required: &["length", "wire"],
};

pub static POWER: Keys = Keys {
    of: "the power",
    groups: &[&[
        key("panel", Mapping(&SUPPLY), "from which all circuits come"),
        key("circuits", Named(&Mapping(&CIRCUIT)), "by name"),
    ]],
    required: &[],
};

pub static SUPPLY: Keys = Keys {
    of: "the panel",
    groups: &[&[
        key("at", Text, "the electrical panel of the room that it is"),
        key(
            "rating",
            Quantity(Dimension::Current),
            "of each leg; what runs together is held against it",
        ),
        key(
            "volts",
            List(&Quantity(Dimension::Voltage)),
            "those that it gives; 120 V and 240 V by default",
        ),
        key(
            "feeder",
            Mapping(&FEEDER),
            "the wires that lead to it, in which voltage drops as well",
        ),
    ]],
    required: &[],
};

pub static FEEDER: Keys = Keys {
    of: "a feeder",
    groups: &[&[
        key("wire", Wire, "of copper, by its gauge or its section"),
        key("length", Quantity(Dimension::Length), "one way"),
    ]],
    required: &["wire", "length"],
};

/// Instead of a rating: one that an electrician has to say.
pub const ASK: &str = "ask";

pub static CIRCUIT: Keys = Keys {
    of: "a circuit",
    groups: &[&[
        key(
            "breaker",
            Either(&[Quantity(Dimension::Current), OneOf(&[ASK])]),
            "its rating; `ask`: that is for an electrician to say",
        ),
        key(
            "volts",
            Quantity(Dimension::Voltage),
            "120 V on one leg, or 240 V on both; 120 V by default",
        ),
        key(
            "leg",
            OneOf(&LEGS),
            "the leg of the panel that it loads, of 120 V; in turn by default",
        ),
        key("wire", Wire, "of copper, by its gauge or its section"),
        key(
            "length",
            Quantity(Dimension::Length),
            "from the panel to where it is used, one way: with the wire it gives the voltage drop",
        ),
        key(
            "outlets",
            List(&Mapping(&OUTLET)),
            "where something can be plugged in: cords are held against the way to the nearest one",
        ),
    ]],
    required: &[],
};

pub const LEGS: [&str; 2] = ["a", "b"];

pub static OUTLET: Keys = Keys {
    of: "an outlet",
    groups: &[&[
        key("at", Lengths(2), "on the floor plan"),
        key("overhead", Unused(&Flag), "it hangs from the ceiling"),
    ]],
    required: &["at"],
};

pub static DUST: Keys = Keys {
    of: "the dust collection",
    groups: &[&[
        key(
            "collectors",
            Named(&Mapping(&COLLECTOR)),
            "the stations that draw dust off",
        ),
        key(
            "mains",
            Named(&Mapping(&MAIN)),
            "pipes with branches to machines, by name",
        ),
        key(
            "branch",
            Mapping(&BRANCH),
            "how the branches from mains to ports are made",
        ),
        key(
            "hoses",
            Named(&Mapping(&HOSE)),
            "hoses that are moved from machine to machine, by name",
        ),
    ]],
    required: &[],
};

pub static COLLECTOR: Keys = Keys {
    of: "a dust collector",
    groups: &[&[
        key(
            "run on",
            Quantity(Dimension::Time),
            "how long it is on after the last of its machines; 0 by default",
        ),
        key(
            "curve",
            List(&List(&Either(&[
                Quantity(Dimension::Airflow),
                Quantity(Dimension::Pressure),
            ]))),
            "points of the maker's curve: airflow and suction in the inlet pipe, without filter and separator; two at least",
        ),
        key(
            "filter",
            RatedLoss,
            "what its clean filter takes of the suction, in proportion to airflow",
        ),
        key(
            "separator",
            RatedLoss,
            "what a separator before it takes, by the square of airflow",
        ),
        key(
            "dirty",
            Number,
            "how many times more a dirty filter takes: then all is told for both",
        ),
        key("drum", NotYet, "what its drum holds"),
        key(
            "vents",
            OneOf(&VENTS),
            "whether it throws its air out, which then has to be heated again; indoors by default",
        ),
    ]],
    required: &[],
};

/// Where a collector's air goes.
pub const VENTS: [&str; 2] = ["indoors", "outdoors"];

pub static MAIN: Keys = Keys {
    of: "a main",
    groups: &[&[
        key("from", Text, "the collector that it leads to"),
        key(
            "points",
            List(&Lengths(2)),
            "where it runs on the floor plan, from the collector on; each branch joins it where it is nearest to the port",
        ),
        key("along", NotYet, "the wall along which it runs"),
        key(
            "height",
            Quantity(Dimension::Length),
            "of its axis above the floor: half of the pipe is above it",
        ),
        key("pipe", Quantity(Dimension::Length), "its diameter"),
        key(
            "wye",
            Number,
            "the angle at which branches join, in degrees; 45 by default",
        ),
    ]],
    required: &["from"],
};

pub static BRANCH: Keys = Keys {
    of: "a branch",
    groups: &[&[
        key(
            "pipe",
            Quantity(Dimension::Length),
            "its diameter; 4 in by default",
        ),
        key(
            "flexible",
            Quantity(Dimension::Length),
            "of hose at each port; 5 ft by default",
        ),
        key(
            "flex factor",
            Number,
            "how many times more that loses than straight smooth hose, 2 to 3 if it is ribbed and slack; 1.5 by default",
        ),
        key(
            "port height",
            Quantity(Dimension::Length),
            "of ports above the floor; 2 ft by default",
        ),
        key(
            "gate",
            OneOf(&GATES),
            "opened by whoever works there, from before the setup to after the tear-down, or by itself while the machine is on; by hand by default",
        ),
        key(
            "leak",
            Quantity(Dimension::Area),
            "what a shut gate leaves open; 0 by default",
        ),
    ]],
    required: &[],
};

/// How gates are opened.
pub const GATES: [&str; 2] = ["by hand", "by itself"];

pub static HOSE: Keys = Keys {
    of: "a hose",
    groups: &[&[
        key("from", Text, "the collector that it leads to"),
        key("size", Quantity(Dimension::Length), "its diameter"),
        key("length", Quantity(Dimension::Length), "how long it is"),
        key("moved", NotYet, "what it takes to move it"),
    ]],
    required: &["from"],
};

pub static PORT: Keys = Keys {
    of: "a port",
    groups: &[&[
        key(
            "duct",
            Text,
            "the main on which its branch is; further ports without one hang on the branch of the first",
        ),
        key(
            "hose",
            Text,
            "the hose that is moved to it, in place of a duct",
        ),
        key(
            "size",
            Quantity(Dimension::Length),
            "its diameter; as usual for the kind of machine by default",
        ),
        key(
            "wants",
            Either(&[
                Quantity(Dimension::Airflow),
                List(&Quantity(Dimension::Airflow)),
            ]),
            "the airflow that it needs, or the least that will do and a good one; as usual for the kind by default",
        ),
    ]],
    required: &[],
};

pub static LIGHT: Keys = Keys {
    of: "the light",
    groups: &[&[
        key(
            "circuit",
            Text,
            "the circuit of the lamps, by its name; what each takes is their `power`",
        ),
        key(
            "lamps",
            List(&Mapping(&LAMP)),
            "the lamps, those of one kind together",
        ),
        key(
            "surfaces",
            Mapping(&SURFACES),
            "what they send back of the light; 60 % of it reaches the height of benches by default",
        ),
        key(
            "wanted",
            Named(&Quantity(Dimension::Illuminance)),
            "how much light, by station; 500 lx wherever somebody works by default",
        ),
    ]],
    required: &[],
};

pub static LAMP: Keys = Keys {
    of: "a lamp",
    groups: &[&[
        key(
            "lumens",
            Quantity(Dimension::LightOutput),
            "of each, as its package has it",
        ),
        key("count", Whole(1), "how many; one at each place by default"),
        key("power", Quantity(Dimension::Power), "what each takes"),
        key(
            "at",
            List(&Lengths(2)),
            "where each is; without it nobody knows what single stations get",
        ),
        key(
            "height",
            Quantity(Dimension::Length),
            "above the floor; that of the ceiling by default",
        ),
        key(
            "length",
            Quantity(Dimension::Length),
            "of a tube; a point by default",
        ),
        key(
            "turn",
            Number,
            "of the tube from the x axis, counter-clockwise, in degrees",
        ),
    ]],
    required: &["lumens"],
};

pub static SURFACES: Keys = Keys {
    of: "the surfaces",
    groups: &[&[
        key(
            "ceiling",
            Quantity(Dimension::Share),
            "white paint about 80 %",
        ),
        key("walls", Quantity(Dimension::Share), "light ones about 50 %"),
        key("floor", Quantity(Dimension::Share), "concrete about 20 %"),
    ]],
    required: &["ceiling", "walls", "floor"],
};

/// How loud a machine is.
pub static MACHINE_NOISE: Keys = Keys {
    of: "the noise of a machine",
    groups: &[&[
        key(
            "idle",
            Quantity(Dimension::SoundLevel),
            "in dB(A) while it is on and cuts nothing; as usual for its kind, or as while it cuts, by default",
        ),
        key(
            "cutting",
            Quantity(Dimension::SoundLevel),
            "in dB(A) while it cuts: for as long as `feed speed` or `area rate` says, or else all of the run; as usual for its kind, or as while it idles, by default",
        ),
    ]],
    required: &[],
};

pub static NOISE: Keys = Keys {
    of: "the noise",
    groups: &[&[key(
        "house wall",
        Mapping(&HOUSE_WALL),
        "what stands between the shop and the rooms of a house: what is heard there, at most and in quiet time",
    )]],
    required: &[],
};

pub static HOUSE_WALL: Keys = Keys {
    of: "the wall to the house",
    groups: &[&[
        key(
            "area",
            Quantity(Dimension::Area),
            "of the wall, without its door",
        ),
        key(
            "reduction",
            Quantity(Dimension::SoundLevel),
            "by how much it reduces sound",
        ),
        key(
            "door",
            Mapping(&SOUND_DOOR),
            "a door in it, mostly its weakest part",
        ),
        key(
            "absorbs",
            Quantity(Dimension::Area),
            "what absorbs sound in the room behind it, as so much open window: about as much as a furnished room has floor",
        ),
    ]],
    required: &["area", "reduction", "absorbs"],
};

pub static SOUND_DOOR: Keys = Keys {
    of: "a door that sound goes through",
    groups: &[&[
        key("area", Quantity(Dimension::Area), "of the door"),
        key(
            "reduction",
            Quantity(Dimension::SoundLevel),
            "by how much it reduces sound, with its gaps",
        ),
    ]],
    required: &["area", "reduction"],
};

pub static LAYOUT: Keys = Keys {
    of: "a layout",
    groups: &[&[
        key(
            "like",
            Text,
            "another layout, from which this one takes all that it does not say itself",
        ),
        key(
            "distances",
            Either(&[Zero, Named(&Named(&Quantity(Dimension::Length)))]),
            "measured from station to station; 0: everything stands together",
        ),
        key("walk", OneOf(&WALKS), "how people walk between places"),
        key(
            "at",
            Named(&Either(&[Lengths(2), Mapping(&PLACE), OneOf(&[NOWHERE])])),
            "where the stations stand; `nowhere`: not in this layout",
        ),
        key(
            "dust",
            Mapping(&DUST),
            "laid over the `dust` of the file, key by key",
        ),
        key(
            "power",
            Mapping(&POWER),
            "laid over the `power` of the file, key by key",
        ),
        key(
            "light",
            Mapping(&LIGHT),
            "laid over the `light` of the file, key by key",
        ),
        key(
            "noise",
            Mapping(&NOISE),
            "laid over the `noise` of the file, key by key",
        ),
    ]],
    required: &[],
};

/// Instead of a place: a station that does not stand in a layout.
pub const NOWHERE: &str = "nowhere";

pub const WALKS: [&str; 3] = ["around", "straight", "rectilinear"];

pub static PLACE: Keys = Keys {
    of: "a place",
    groups: &[&[
        key("at", Lengths(2), "the footprint's centre"),
        key("turn", Number, "counter-clockwise, in degrees"),
        key(
            "stand",
            Either(&[Lengths(2), Named(&Lengths(2))]),
            "where one stands in this layout, from the centre, before turning, or where for each of some operations; as the station has it by default",
        ),
        key(
            "parked",
            Mapping(&PARKED),
            "where it stands while it is not used; then `at` is where it is rolled out to",
        ),
    ]],
    required: &["at"],
};

pub static PARKED: Keys = Keys {
    of: "where something is parked",
    groups: &[&[
        key("at", Lengths(2), "the footprint's centre"),
        key("turn", Number, "counter-clockwise, in degrees"),
    ]],
    required: &["at"],
};

pub static CANDIDATE: Keys = Keys {
    of: "a candidate",
    groups: &[&[
        key("layout", Text, "the layout that it stands on"),
        key(
            "change",
            Anything,
            "a merge patch on the whole scenario: mappings are merged, lists replaced, null removes",
        ),
    ]],
    required: &["layout"],
};

pub static SESSION: Keys = Keys {
    of: "a session",
    groups: &[&[
        key(
            "days",
            List(&OneOf(&WEEKDAYS)),
            "the days of the week on which the shop is open at these times",
        ),
        key("open", Clock, "when it is opened"),
        key("close", Clock, "when it is closed, up to 24:00"),
        key(
            "set up",
            Quantity(Dimension::Time),
            "what passes before work begins; 0 by default",
        ),
        key(
            "tidy up",
            Quantity(Dimension::Time),
            "what passes after work has ended; 0 by default",
        ),
    ]],
    required: &["days", "open", "close"],
};

pub static PERSON_HOURS: Keys = Keys {
    of: "a person's hours",
    groups: &[&[
        key(
            "days",
            List(&OneOf(&WEEKDAYS)),
            "the days of the week on which they are there at these times",
        ),
        key("open", Clock, "when they come"),
        key("close", Clock, "when they go, up to 24:00"),
    ]],
    required: &["days", "open", "close"],
};

pub static QUIET: Keys = Keys {
    of: "the quiet time",
    groups: &[&[
        key("from", Clock, "when it begins, every day"),
        key(
            "to",
            Clock,
            "when it ends, on the next day if that is no later than `from`",
        ),
    ]],
    required: &["from", "to"],
};

pub static RESTED: Keys = Keys {
    of: "rested work",
    groups: &[&[key(
        "no blades after",
        Clock,
        "from then until midnight nobody works at stations with `blade: true`",
    )]],
    required: &["no blades after"],
};

pub static HEAT: Keys = Keys {
    of: "the heat",
    groups: &[&[
        key("open", Temperature, "while work can be done"),
        key("shut", Temperature, "at all other times"),
        key(
            "outside",
            Mapping(&OUTSIDE),
            "how cold it is outdoors, by month: what heating takes, and how cold it gets overnight; months left out are not heated",
        ),
        key(
            "walls",
            Mapping(&HEAT_PART),
            "walls to outdoors, without doors",
        ),
        key("ceiling", Mapping(&HEAT_PART), "the ceiling below a roof"),
        key(
            "doors",
            Named(&Mapping(&HEAT_DOOR)),
            "doors of the room to outdoors, by name, as large as they are there",
        ),
        key(
            "slab edge",
            Quantity(Dimension::Length),
            "of a slab on the ground, as long as it lies along outdoors; none by default",
        ),
        key(
            "air changes",
            Text,
            "how often an hour the air is replaced by itself, such as `0.7 per h`: an old garage door 1 to 2, a sealed one 0.3 to 0.7, a basement 0.2 to 0.5",
        ),
    ]],
    required: &["open", "shut"],
};

const OUTDOORS: &str = "outdoors, in the mean of the month";

pub static OUTSIDE: Keys = Keys {
    of: "the months",
    groups: &[&[
        key("jan", Temperature, OUTDOORS),
        key("feb", Temperature, OUTDOORS),
        key("mar", Temperature, OUTDOORS),
        key("apr", Temperature, OUTDOORS),
        key("may", Temperature, OUTDOORS),
        key("jun", Temperature, OUTDOORS),
        key("jul", Temperature, OUTDOORS),
        key("aug", Temperature, OUTDOORS),
        key("sep", Temperature, OUTDOORS),
        key("oct", Temperature, OUTDOORS),
        key("nov", Temperature, OUTDOORS),
        key("dec", Temperature, OUTDOORS),
    ]],
    required: &[],
};

const KEEPS_IN: [KeyDefinition; 2] = [
    key(
        "r",
        Number,
        "by how much it keeps heat in, in h ft2 F/Btu: a wall of 2x4 with wool 12, without 4.6",
    ),
    key("u", Number, "the same in W/(m2 K): 5.68 over R"),
];

pub static HEAT_PART: Keys = Keys {
    of: "a part that loses heat",
    groups: &[
        &[key("area", Quantity(Dimension::Area), "how large it is")],
        &KEEPS_IN,
    ],
    required: &["area"],
};

pub static HEAT_DOOR: Keys = Keys {
    of: "a door that loses heat",
    groups: &[&KEEPS_IN],
    required: &[],
};

pub static EXCLUSION: Keys = Keys {
    of: "what does not go together",
    groups: &[&[
        key(
            "of",
            List(&Text),
            "stations, operations, and `cure of` operations: these count until what they leave has cured",
        ),
        key(
            "at most",
            Whole(1),
            "how many tasks of these go on at once; 1 by default",
        ),
    ]],
    required: &["of"],
};

pub static SESSIONS: Keys = Keys {
    of: "the sessions",
    groups: &[&[
        key(
            "when",
            List(&Mapping(&SESSION)),
            "the times at which the shop is open",
        ),
        key(
            "quiet",
            Mapping(&QUIET),
            "when stations with `loud: true` do not run; work there is only begun if that does not interrupt it",
        ),
        key(
            "rested",
            Mapping(&RESTED),
            "when stations with `blade: true` do not run, since people are tired; likewise",
        ),
        key(
            "parks",
            List(&Text),
            "things of the room (`blocked`) that stand there only while the shop is shut, such as a car; `check` says what is in their place then",
        ),
    ]],
    required: &["when"],
};

pub static RUN: Keys = Keys {
    of: "run",
    groups: &[&[
        key(
            "replications",
            Whole(1),
            "how often each candidate is simulated; by default 2000 times, or up to 10 000 where seldom runs weigh much",
        ),
        key(
            "precision",
            Quantity(Dimension::Share),
            "instead of replications: simulates until every half-width is at most this share of its mean",
        ),
        key("seed", Whole(0), "of the random numbers; 1 by default"),
        key(
            "until",
            Either(&[OneOf(&["done"]), Quantity(Dimension::Time)]),
            "`done`, or the horizon",
        ),
        key(
            "warm up",
            Quantity(Dimension::Time),
            "what comes before is not measured; 0 by default",
        ),
        key(
            "confidence",
            Quantity(Dimension::Share),
            "level of the intervals; 95 % by default",
        ),
        key(
            "starts",
            Day,
            "the day at 0:00 of which a run begins; any Monday by default",
        ),
    ]],
    required: &[],
};

pub static ROOM: Keys = Keys {
    of: "the room",
    groups: &[&[
        key(
            "size",
            Lengths(2),
            "along x and along y, with a corner at [0, 0]",
        ),
        key(
            "outline",
            List(&Lengths(2)),
            "instead of a size: the corners, along the walls",
        ),
        key(
            "ceiling",
            Quantity(Dimension::Length),
            "height of the ceiling",
        ),
        key(
            "doors",
            List(&Mapping(&DOOR)),
            "openings in the walls; each is a place, too",
        ),
        key(
            "blocked",
            List(&Mapping(&BLOCKED)),
            "what stands in the way: posts, a furnace, a stair",
        ),
        key(
            "panels",
            List(&Mapping(&PANEL)),
            "electrical panels, which need free floor in front",
        ),
        key(
            "ways in",
            List(&Mapping(&WAY)),
            "how things come in and go out; each door by default",
        ),
        key(
            "stock",
            Named(&Mapping(&STOCK)),
            "boards and sheets as they are bought, which must come in",
        ),
    ]],
    required: &[],
};

pub static DOOR: Keys = Keys {
    of: "a door",
    groups: &[&[
        key(
            "name",
            Text,
            "what it is called; routes may name it as a place",
        ),
        key(
            "between",
            List(&Lengths(2)),
            "both ends of the clear opening, on one wall of the room",
        ),
        key(
            "height",
            Quantity(Dimension::Length),
            "clear height; any by default",
        ),
        key(
            "wall",
            Quantity(Dimension::Length),
            "thickness of the wall; 0 by default",
        ),
        key(
            "corridor",
            Quantity(Dimension::Length),
            "width of a corridor along the wall outside; open ground by default",
        ),
        key(
            "swings",
            OneOf(&SWINGS),
            "where the leaf needs room: `up` for one that lies below the ceiling while it is open; nowhere by default",
        ),
        key(
            "hinge",
            OneOf(&HINGES),
            "at which end the leaf hangs, for somebody in the room who faces the door; at either by default",
        ),
    ]],
    required: &["name", "between"],
};

pub const SWINGS: [&str; 3] = ["in", "out", "up"];
pub const HINGES: [&str; 2] = ["left", "right"];

pub static BLOCKED: Keys = Keys {
    of: "a thing in the way",
    groups: &[&[
        key("name", Text, "what it is called"),
        key("at", Lengths(2), "its centre"),
        key("size", Lengths(2), "along x and along y, before turning"),
        key("turn", Number, "counter-clockwise, in degrees"),
        key(
            "outline",
            List(&Lengths(2)),
            "instead of centre and size: its corners",
        ),
        key(
            "height",
            Quantity(Dimension::Length),
            "of all of it above the floor; as high as the room by default",
        ),
        key(
            "bottom",
            Quantity(Dimension::Length),
            "of what hangs, such as a duct: how high above the floor it begins; 0 by default",
        ),
    ]],
    required: &["name"],
};

pub static PANEL: Keys = Keys {
    of: "an electrical panel",
    groups: &[&[
        key("name", Text, "what it is called"),
        key("at", Lengths(2), "the middle of its front, on a wall"),
        key("width", Quantity(Dimension::Length), "of the panel itself"),
    ]],
    required: &["name", "at"],
};

pub static WAY: Keys = Keys {
    of: "a way in",
    groups: &[&[
        key("name", Text, "what it is called"),
        key("door", Text, "the door of the room that it goes through"),
        key(
            "corners",
            List(&Lengths(2)),
            "for each corner of a corridor, the widths before and after it",
        ),
        key("stair", Mapping(&STAIR), "a straight flight on the way"),
    ]],
    required: &["name", "door"],
};

pub static STAIR: Keys = Keys {
    of: "a stair",
    groups: &[&[
        key("width", Quantity(Dimension::Length), "clear width"),
        key(
            "headroom",
            Quantity(Dimension::Length),
            "measured plumb over the edge of a step",
        ),
        key(
            "riser",
            Quantity(Dimension::Length),
            "height of a step; 7-3/4 in by default",
        ),
        key(
            "tread",
            Quantity(Dimension::Length),
            "depth of a step; 10 in by default",
        ),
    ]],
    required: &["width", "headroom"],
};

pub static STOCK: Keys = Keys {
    of: "a board or sheet",
    groups: &[&[
        key("size", Lengths(3), "length, width and thickness"),
        key("mass", Quantity(Dimension::Mass), "what one weighs"),
    ]],
    required: &["size"],
};

pub static PLACES: Keys = Keys {
    of: "the places",
    groups: &[&[
        key(
            "extinguisher",
            Lengths(2),
            "where it hangs, on the floor plan",
        ),
        key("first aid", Lengths(2), "where the box hangs"),
        key(
            "finish cabinet",
            Lengths(2),
            "where finish and solvent are kept",
        ),
        key(
            "rag can",
            Lengths(2),
            "where oily rags go, in a closed metal can",
        ),
    ]],
    required: &[],
};

pub static CHECK: Keys = Keys {
    of: "check",
    groups: &[&CHECK_KEYS],
    required: &[],
};

/// A key for every limit.
const CHECK_KEYS: [KeyDefinition; LIMITS.len()] = {
    let mut keys = [key("", Anything, ""); LIMITS.len()];
    let mut row = 0;
    while row < LIMITS.len() {
        let dimension = match LIMITS[row].unit {
            LimitUnit::Length => Dimension::Length,
            LimitUnit::Mass => Dimension::Mass,
        };
        keys[row] = key(LIMITS[row].key, Quantity(dimension), LIMITS[row].about);
        row += 1;
    }
    keys
};
