//! Trips between stations and distances between places, as somebody has counted and taped them: two tables.

mod decimal;
mod square;

use super::problem::{Problem, Problems};
use crate::improve::assignment::{AssignmentProblem, SquareMatrix};
use decimal::Decimal;
use square::NamedSquare;

/// What two tables say.
#[derive(Debug, Clone)]
pub struct GivenTrips {
    pub stations: Vec<String>,
    pub places: Vec<String>,
    /// Trips and distances as whole numbers.
    pub problem: AssignmentProblem,
    /// Trips are the whole numbers divided by this power of ten, and distances by the other one.
    pub trip_decimals: u32,
    pub distance_decimals: u32,
    /// Whether digits were left out that make no difference to a number of sixteen digits.
    pub is_rounded: bool,
}

/// What a table is called, and what is in it.
pub type NamedBytes<'a> = (&'a str, &'a [u8]);

/// Reads trips from each station (row) to each other one (column), and distances from each place to each other one.
///
/// # Errors
/// All that is wrong in the two tables.
pub fn read_given_trips(
    trips: NamedBytes<'_>,
    distances: NamedBytes<'_>,
) -> Result<GivenTrips, Vec<Problems>> {
    let read_trips = NamedSquare::read(trips, "station", "trips");
    let read_distances = NamedSquare::read(distances, "place", "distance");
    match (read_trips, read_distances) {
        (Ok(stations), Ok(places)) => {
            together(stations, places).map_err(|problem| vec![of_table(distances, *problem)])
        }
        (trips, distances) => Err([trips.err(), distances.err()]
            .into_iter()
            .flatten()
            .collect()),
    }
}

fn of_table((name, bytes): NamedBytes<'_>, problem: Problem) -> Problems {
    Problems::new(name, &String::from_utf8_lossy(bytes), vec![problem])
}

/// The two tables as one problem, or what is wrong with the places.
fn together(stations: NamedSquare, places: NamedSquare) -> Result<GivenTrips, Box<Problem>> {
    let (needed, there) = (stations.names.len(), places.names.len());
    let wrong = |what: &str, hint: &str| Box::new(Problem::error(&places.heading, what).hint(hint));
    if there < needed {
        return Err(wrong(
            &format!("there are {needed} stations and only {there} places"),
            "each station needs a place of its own; places may be left over",
        ));
    }
    let (trips, trip_decimals, are_trips_rounded) = whole(&stations);
    let (distances, distance_decimals, are_distances_rounded) = whole(&places);
    let problem = SquareMatrix::new(needed, trips)
        .zip(SquareMatrix::new(there, distances))
        .and_then(|(trips, distances)| AssignmentProblem::new(trips, distances));
    let problem = problem.ok_or_else(|| {
        wrong(
            "trips and distances are so large that their sum has no room in 128 bits",
            "give distances in a larger unit",
        )
    })?;
    Ok(GivenTrips {
        stations: stations.names,
        places: places.names,
        problem,
        trip_decimals,
        distance_decimals,
        is_rounded: are_trips_rounded || are_distances_rounded,
    })
}

/// The numbers of a square as whole multiples of a power of ten.
fn whole(square: &NamedSquare) -> (Vec<i64>, u32, bool) {
    let (decimals, is_rounded) = decimal::common_decimals(&square.cells);
    let multiple = |cell: &Decimal| cell.multiple(decimals);
    (
        square.cells.iter().map(multiple).collect(),
        decimals,
        is_rounded,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(trips: &str, distances: &str) -> Result<GivenTrips, String> {
        let read = read_given_trips(
            ("trips.csv", trips.as_bytes()),
            ("sites.csv", distances.as_bytes()),
        );
        read.map_err(|problems| problems.iter().map(|all| all.render(false)).collect())
    }

    const TRIPS: &str = ",saw,bench\nsaw,0,5\nbench,3,0\n";
    const SITES: &str = ",a,b\na,0,2\nb,2,0\n";

    #[test]
    fn rows_may_stand_in_any_order_and_places_be_left_over() {
        let given = read(
            "from,saw,bench\nbench,3,0\nsaw,0,5\n",
            ";a;b;c\na;0;2,5;4\nb;2,5;0;1\nc;4;1;0\n",
        )
        .expect("it is sound");
        assert_eq!(given.stations, ["saw", "bench"]);
        assert_eq!(given.places, ["a", "b", "c"]);
        assert_eq!((given.trip_decimals, given.distance_decimals), (0, 1));
        // (5 + 3) x 2.5
        assert_eq!(given.problem.cost(&[0, 1]), 200);
        assert_eq!(given.problem.trips().at(0, 1), 5);
    }

    #[test]
    fn numbers_of_doubles_are_read_and_rounded_to_sixteen_digits() {
        let given = read(
            ",saw,bench\nsaw,0,0.1000000000000000055511151231257827\nbench,1e2,0\n",
            SITES,
        )
        .expect("it is sound");
        assert!(given.is_rounded);
        assert_eq!(given.trip_decimals, 13);
        assert_eq!(given.problem.trips().at(0, 1), 1_000_000_000_000);
        let exact = read(",saw,bench\nsaw,0,9007199254740993\nbench,0,0\n", SITES);
        let exact = exact.expect("it is sound");
        assert!(!exact.is_rounded);
        assert_eq!(exact.problem.cost(&[0, 1]), 2 * 9_007_199_254_740_993);
    }

    #[test]
    fn all_that_is_wrong_in_both_is_said() {
        let said = read(
            ",saw,bench,saw\nsaw,0,-5,1\nbench,x,0\nplane,1,1,1\n",
            ",a,b\na,0,\nc,2,\"1,5\"\n",
        )
        .expect_err("much is wrong");
        for says in [
            "trips.csv:1:12",
            "two columns are called `saw`",
            "trips.csv:2:7",
            "`-5` is below 0",
            "trips.csv:3:7",
            "`x` is not a number",
            "no column is called `plane`",
            "sites.csv:2:5",
            "the distance from `a` to `b` is missing",
            "no column is called `c`",
            "no row is called `b`",
        ] {
            assert!(said.contains(says), "{says}\n{said}");
        }
    }

    #[test]
    fn fewer_places_than_stations_are_refused() {
        let said = read(",s,t,u\ns,0,1,1\nt,1,0,1\nu,1,1,0\n", SITES).expect_err("too few");
        assert!(
            said.contains("there are 3 stations and only 2 places"),
            "{said}"
        );
        assert!(said.contains("sites.csv:1:1"), "{said}");
        let said = read("", TRIPS).expect_err("empty");
        assert!(said.contains("the table is empty"), "{said}");
        let said = read(TRIPS, ",a,b\na,0,2e30\nb,2,0\n").expect_err("too large");
        assert!(said.contains("`2e30` is too large"), "{said}");
        let said = read(
            ",saw,bench\nsaw,0,1e18\nbench,0,0\n",
            ",a,b\na,0,1e18\nb,2,0\n",
        )
        .map(|given| given.problem.cost(&[0, 1]));
        assert_eq!(said, Ok(10_i128.pow(36)));
    }
}
