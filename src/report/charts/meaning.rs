//! What colours and hatches mean, the same in all charts: one table.
//!
//! The colours are the palette of Okabe and Ito, "Color Universal Design" (2008), which people with any common kind of
//! colour blindness can tell apart, and greys. What is done is plain or has a hatch of its own, so that a print in
//! black and white still says which is which; what waits is grey or yellow. No two meanings have the same filling, and
//! the tests hold that those of one chart stay apart for dichromats.

use super::style::{
    BLUE, Colour, Fill, GREEN, Hatch, ORANGE, PURPLE, SKY, TEXT, VERMILLION, WHITE, YELLOW,
};

/// What a filling stands for, in the words of the legends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meaning {
    pub words: &'static str,
    pub fill: Fill,
}

const PALE: Colour = (240, 240, 240);
const GREY: Colour = (200, 200, 200);

const fn meaning(words: &'static str, colour: Colour, hatch: Hatch) -> Meaning {
    Meaning {
        words,
        fill: Fill { colour, hatch },
    }
}

impl Meaning {
    /// The same in a chart's own words.
    pub const fn called(self, words: &'static str) -> Meaning {
        Meaning { words, ..self }
    }
}

/// What people and stations do.
pub const WORKING: Meaning = meaning("running or working", SKY, Hatch::Plain);
pub const SETUP: Meaning = meaning("setup", PURPLE, Hatch::Upright);
pub const DRYING: Meaning = meaning("drying or setting", GREEN, Hatch::Level);
pub const TAKEN: Meaning = meaning("clamps or jigs in use", PURPLE, Hatch::Down);
pub const HANDLING: Meaning = meaning("handling", YELLOW, Hatch::Down);
pub const SERVICED: Meaning = meaning("serviced", VERMILLION, Hatch::Dots);
/// How people walk: empty-handed, unless a chart tells no manners apart.
pub const WALKING: Meaning = meaning("walking", BLUE, Hatch::Plain);
pub const EMPTY_HANDED: Meaning = WALKING.called("empty-handed");
pub const CARRYING: Meaning = meaning("carrying", VERMILLION, Hatch::Up);
pub const PUSHING: Meaning = meaning("pushing a cart", ORANGE, Hatch::Cross);
/// What keeps something from being done.
pub const IDLE: Meaning = meaning("idle or waiting", PALE, Hatch::Plain);
pub const RESERVED: Meaning = meaning(
    "waiting for a person, parts or gear on the way",
    GREY,
    Hatch::Dots,
);
pub const LEFT_STANDING: Meaning = meaning("left standing", BLUE, Hatch::Cross);
pub const AWAY: Meaning = meaning("away", WHITE, Hatch::Level);
pub const BLOCKED: Meaning = meaning("blocked", GREY, Hatch::Cross);
pub const FOR_STATION: Meaning = meaning("waiting for a station", ORANGE, Hatch::Down);
pub const WAITING_LOTS: Meaning = meaning("lots that wait", ORANGE, Hatch::Plain);
pub const KEPT_APART: Meaning = meaning("kept apart from other work", BLUE, Hatch::Down);
pub const FOR_GEAR: Meaning = meaning("waiting for clamps or jigs", PURPLE, Hatch::Dots);
pub const FOR_PERSON: Meaning = meaning("waiting for a person", YELLOW, Hatch::Up);
pub const FOR_PARTS: Meaning = meaning("waiting for other parts", GREY, Hatch::Level);
pub const SHUT: Meaning = meaning("shop shut", WHITE, Hatch::Upright);
/// What is built on a calendar, order by order; a chart says the names.
pub const BUILT: [Meaning; 5] = [
    meaning("first order", SKY, Hatch::Up),
    meaning("second order", YELLOW, Hatch::Plain),
    meaning("third order", PURPLE, Hatch::Cross),
    meaning("fourth order", BLUE, Hatch::Dots),
    meaning("fifth order", ORANGE, Hatch::Dots),
];
pub const OTHERS_BUILT: Meaning = meaning("later orders", (120, 120, 120), Hatch::Plain);
/// The momentary bottleneck.
pub const SOLE: Meaning = meaning("bottleneck alone", TEXT, Hatch::Plain);
pub const SHIFTING: Meaning = meaning("shared while it shifts", GREY, Hatch::Up);
/// The current of a circuit.
pub const CURRENT: Meaning = WORKING.called("current");
pub const OVER_RATING: Meaning = meaning("over the rating", VERMILLION, Hatch::Cross);
/// Differences from the base.
pub const LESS: Meaning = meaning("less", (0, 84, 130), Hatch::Plain);
pub const MORE: Meaning = meaning("more", ORANGE, Hatch::Up);
pub const UNSHOWN: Meaning = meaning("not shown to differ from zero", WHITE, Hatch::Plain);
/// On the floor.
pub const ROOM_TO_FEED: Meaning = meaning(
    "room to feed the longest piece",
    (162, 205, 229),
    Hatch::Plain,
);
pub const NO_ROOM_TO_FEED: Meaning =
    meaning("no room for the longest piece", (245, 217, 153), Hatch::Up);
pub const THROWN: Meaning = meaning("a piece may be thrown here", (240, 215, 229), Hatch::Cross);
pub const OBSTACLE: Meaning = meaning("fixed obstacle", GREY, Hatch::Down);
pub const KEPT_FREE: Meaning = meaning("to be kept free", WHITE, Hatch::Dots);
pub const STATION: Meaning = meaning("station", (244, 244, 240), Hatch::Plain);

/// All of them, each once.
#[cfg(test)]
pub const MEANINGS: [Meaning; 39] = [
    WORKING,
    SETUP,
    DRYING,
    TAKEN,
    HANDLING,
    SERVICED,
    WALKING,
    CARRYING,
    PUSHING,
    IDLE,
    RESERVED,
    BLOCKED,
    LEFT_STANDING,
    AWAY,
    FOR_STATION,
    WAITING_LOTS,
    KEPT_APART,
    FOR_GEAR,
    FOR_PERSON,
    FOR_PARTS,
    SHUT,
    BUILT[0],
    BUILT[1],
    BUILT[2],
    BUILT[3],
    BUILT[4],
    OTHERS_BUILT,
    SOLE,
    SHIFTING,
    OVER_RATING,
    LESS,
    MORE,
    UNSHOWN,
    ROOM_TO_FEED,
    NO_ROOM_TO_FEED,
    THROWN,
    OBSTACLE,
    KEPT_FREE,
    STATION,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// What a dichromat sees of a colour: the matrices of Machado, Oliveira and Fernandes, "A Physiologically-based Model
    /// for Simulation of Color Vision Deficiency" (2009), at severity 1, for linear RGB: protanopia, deuteranopia and
    /// tritanopia.
    const DICHROMATS: [[[f64; 3]; 3]; 3] = [
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ];

    fn linear((red, green, blue): Colour) -> [f64; 3] {
        [red, green, blue].map(|part| {
            let part = f64::from(part) / 255.0;
            match part <= 0.04045 {
                true => part / 12.92,
                false => libm::pow((part + 0.055) / 1.055, 2.4),
            }
        })
    }

    fn seen(matrix: &[[f64; 3]; 3], colour: [f64; 3]) -> [f64; 3] {
        let row = |row: &[f64; 3]| row.iter().zip(colour).map(|(a, b)| a * b).sum::<f64>();
        [0, 1, 2].map(|index| row(&matrix[index]).clamp(0.0, 1.0))
    }

    /// CIE L*a*b* of linear sRGB (IEC 61966-2-1), white point D65.
    fn lab([red, green, blue]: [f64; 3]) -> [f64; 3] {
        let x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505;
        let y = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
        let z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089;
        let root = |t: f64| match t > 216.0 / 24_389.0 {
            true => libm::cbrt(t),
            false => (24_389.0 / 27.0 * t + 16.0) / 116.0,
        };
        let (x, y, z) = (root(x), root(y), root(z));
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    fn distance(one: [f64; 3], other: [f64; 3]) -> f64 {
        let squares = one.iter().zip(other).map(|(a, b)| (a - b) * (a - b));
        squares.sum::<f64>().sqrt()
    }

    /// White stays white, red and green of one lightness run together, and L*a*b* of white is 100, 0, 0.
    #[test]
    fn the_simulation_does_what_it_should() {
        for matrix in &DICHROMATS {
            let white = seen(matrix, [1.0; 3]);
            assert!(
                white.iter().all(|part| (part - 1.0).abs() < 1e-4),
                "{white:?}"
            );
        }
        let white = lab([1.0; 3]);
        assert!(distance(white, [100.0, 0.0, 0.0]) < 0.1, "{white:?}");
        // An olive green and a brick red, far apart for most people and near each other for a deuteranope.
        let (red, green) = (linear((170, 80, 40)), linear((110, 115, 40)));
        let usual = distance(lab(red), lab(green));
        let simulated = distance(
            lab(seen(&DICHROMATS[1], red)),
            lab(seen(&DICHROMATS[1], green)),
        );
        assert!(
            usual > 40.0 && simulated < usual / 2.0,
            "{usual} {simulated}"
        );
    }

    #[test]
    fn no_two_meanings_look_alike() {
        for (index, one) in MEANINGS.iter().enumerate() {
            for other in &MEANINGS[..index] {
                assert_ne!(one.fill, other.fill, "{} and {}", one.words, other.words);
                assert_ne!(one.words, other.words);
            }
        }
    }

    /// What occurs in one chart differs in its hatch, or is told apart by everybody: a distance of 20 in L*a*b*, about
    /// ten times what is just noticed.
    #[test]
    fn meanings_of_a_chart_stay_apart_for_dichromats() {
        const APART: f64 = 20.0;
        let charts: [&[Meaning]; 9] = [
            &[CURRENT, OVER_RATING],
            &[EMPTY_HANDED, CARRYING, PUSHING],
            &[
                WORKING,
                SETUP,
                DRYING,
                RESERVED,
                BLOCKED,
                SERVICED,
                LEFT_STANDING,
                IDLE,
            ],
            &[WORKING, HANDLING, WALKING, IDLE],
            &[
                WORKING,
                CARRYING,
                DRYING,
                FOR_STATION,
                FOR_GEAR,
                FOR_PERSON,
                FOR_PARTS,
                SHUT,
            ],
            &[
                WORKING,
                SETUP,
                DRYING,
                TAKEN,
                RESERVED,
                WALKING,
                CARRYING,
                PUSHING,
                HANDLING,
                IDLE,
                AWAY,
                BLOCKED,
                SERVICED,
                LEFT_STANDING,
                SOLE,
                SHIFTING,
            ],
            &[
                BUILT[0],
                BUILT[1],
                BUILT[2],
                BUILT[3],
                BUILT[4],
                OTHERS_BUILT,
                DRYING,
                SHUT,
            ],
            &[LESS, MORE, UNSHOWN],
            &[
                ROOM_TO_FEED,
                NO_ROOM_TO_FEED,
                THROWN,
                OBSTACLE,
                KEPT_FREE,
                STATION,
            ],
        ];
        let usual = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let mut alike = Vec::new();
        for meanings in charts {
            for (index, one) in meanings.iter().enumerate() {
                for other in &meanings[..index] {
                    if one.fill.hatch != other.fill.hatch {
                        continue;
                    }
                    for matrix in DICHROMATS.iter().chain([&usual]) {
                        let of = |meaning: &Meaning| lab(seen(matrix, linear(meaning.fill.colour)));
                        let apart = distance(of(one), of(other));
                        if apart < APART {
                            alike.push(format!("{} and {}: {apart}", one.words, other.words));
                        }
                    }
                }
            }
        }
        assert_eq!(alike, [""; 0]);
    }

    /// Lines of loads and of empty walks are drawn in the colours alone, but one of them is dashed.
    #[test]
    fn lines_show_on_white() {
        for meaning in [EMPTY_HANDED, CARRYING] {
            let [lightness, ..] = lab(linear(meaning.fill.colour));
            assert!(lightness < 60.0, "{}: {lightness}", meaning.words);
        }
    }
}
