//! Robust tabu search (Taillard 1991): in every iteration the best exchange that is not forbidden is made, better or
//! worse, and for a while that is drawn anew each time no station returns to where it stood.

use rand::RngExt;

use super::exact::Exact;
use super::exchange::Exchanges;
use super::padded::Padded;
use crate::random::Stream;

/// For how many iterations a station may not return, as shares of the number of stations.
const FORBIDDEN: (f64, f64) = (0.9, 1.1);

/// So many iterations are made between two looks at whether to go on.
const UNASKED: u64 = 64;

/// The best assignment of so many iterations from one on, with its cost; nothing if somebody does not go on waiting.
pub(super) fn improved<T: Exact>(
    padded: &Padded<T>,
    start: Vec<usize>,
    iterations: u64,
    stream: &mut Stream,
    keep_on: &(dyn Fn() -> bool + Sync),
) -> Option<(T, Vec<usize>)> {
    let mut exchanges = Exchanges::of(padded, start);
    let mut forbidden = Forbidden::none(padded.size);
    let mut best = (exchanges.cost(), exchanges.places().to_vec());
    let many = padded.size as f64;
    let shortest = (FORBIDDEN.0 * many).floor() as u64;
    let longest = (FORBIDDEN.1 * many).ceil() as u64;
    for now in 1..=iterations {
        if now % UNASKED == 0 && !keep_on() {
            return None;
        }
        let Some((one, other)) = chosen(padded.stations, &exchanges, &forbidden, now, best.0)
        else {
            continue;
        };
        for station in [one, other] {
            let until = now + stream.random_range(shortest..=longest);
            forbidden.forbid(station, exchanges.places()[station], until);
        }
        exchanges.exchange(one, other);
        if exchanges.cost() < best.0 {
            best = (exchanges.cost(), exchanges.places().to_vec());
        }
    }
    Some((best.0, padded.settled(best.1)))
}

/// Until which iteration stations may not return to places.
struct Forbidden {
    size: usize,
    until: Vec<u64>,
}

impl Forbidden {
    fn none(size: usize) -> Forbidden {
        Forbidden {
            size,
            until: vec![0; size * size],
        }
    }

    fn forbid(&mut self, station: usize, place: usize, until: u64) {
        self.until[station * self.size + place] = until;
    }

    /// Whether both stations would return to where they may not.
    fn forbids(&self, places: &[usize], (one, other): (usize, usize), now: u64) -> bool {
        let until = |station: usize, at: usize| self.until[station * self.size + places[at]];
        until(one, other) >= now && until(other, one) >= now
    }
}

/// The exchange that adds least, of those that are not forbidden or lead to less than ever.
fn chosen<T: Exact>(
    stations: usize,
    exchanges: &Exchanges<'_, T>,
    forbidden: &Forbidden,
    now: u64,
    best: T,
) -> Option<(usize, usize)> {
    let mut chosen = None;
    let mut least = T::MOST;
    for one in 0..stations {
        // Most rows hold nothing that could be chosen.
        if exchanges.least_by(one) >= least {
            continue;
        }
        for (other, &added) in (one + 1..).zip(exchanges.added_by(one)) {
            if added < least
                && (exchanges.cost() + added < best
                    || !forbidden.forbids(exchanges.places(), (one, other), now))
            {
                least = added;
                chosen = Some((one, other));
            }
        }
    }
    chosen
}
