//! How many threads a command has, for whatever it does: playing, checking, drawing.

use std::num::NonZeroUsize;

use super::Refusal;

/// More threads than this are of no use to anybody, and each of them takes memory.
pub const MOST_THREADS: usize = 1024;

/// Where the number is set for all programs that use the same library for threads.
const VARIABLE: &str = "RAYON_NUM_THREADS";

/// Does something on as many threads as asked for; without that on as many as the environment says, and otherwise one
/// for each core.
pub fn on_as_many<R: Send>(
    asked: Option<u32>,
    something: impl FnOnce() -> R + Send,
) -> Result<R, Refusal> {
    let threads = match asked {
        Some(threads) => threads as usize,
        None => unasked(std::env::var(VARIABLE).ok().as_deref()),
    };
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|error| {
            Refusal::with_hint(
                format!("{threads} threads cannot be started: {error}"),
                "ask for fewer, such as --threads 2",
            )
        })?;
    Ok(pool.install(something))
}

/// What the variable says, within bounds; one thread for each core if it says nothing that makes sense.
fn unasked(variable: Option<&str>) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let said = variable.and_then(|said| said.trim().parse::<u128>().ok());
    let wanted = match said {
        None | Some(0) => cores(),
        Some(threads) => usize::try_from(threads).unwrap_or(MOST_THREADS),
    };
    wanted.min(MOST_THREADS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_is_done_has_as_many_as_asked_for() {
        for threads in [1, 3] {
            let seen = on_as_many(Some(threads), rayon::current_num_threads);
            assert_eq!(seen.ok(), Some(threads as usize));
        }
    }

    #[test]
    fn the_environment_is_heard_within_bounds() {
        let cores = unasked(None);
        assert!((1..=MOST_THREADS).contains(&cores));
        for (said, threads) in [
            ("1", 1),
            ("7", 7),
            ("1024", 1024),
            ("100000", MOST_THREADS),
            ("99999999999999999999999", MOST_THREADS),
            ("0", cores),
            ("-3", cores),
            ("many", cores),
            ("", cores),
        ] {
            assert_eq!(unasked(Some(said)), threads, "{said}");
        }
    }
}
