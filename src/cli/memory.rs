//! Whether the memory is enough, asked before anything is played: the system ends a program that takes too much of it,
//! and its answer with it.

use std::fs;
use std::path::Path;

use super::Refusal;
use crate::experiment::{Memory, Study};

/// What is taken to be free where the system does not say it: every machine of these years has more.
const UNSAID: u64 = 4 << 30;

/// With less than this the program does not start: measured with the built-in scenario on 2 and 4 threads, it ended in the
/// middle of an answer for want of memory below 110 MB, since each thread sets 64 MB of addresses aside.
const LEAST_LIMIT: u64 = 192 << 20;

/// Refuses to start where the shell leaves the program less memory than it needs whatever is asked of it.
pub fn check_limit() -> Result<(), Refusal> {
    match limit() {
        Some(limit) if limit < LEAST_LIMIT => Err(Refusal::with_hint(
            format!(
                "this program may take {} of memory, and needs {} to start",
                amount(limit),
                amount(LEAST_LIMIT)
            ),
            "`ulimit -v` says how many kB it may take, and raises that",
        )),
        _ => Ok(()),
    }
}

/// Refuses a study that takes more memory than is free, each candidate in so many variants at once.
pub fn check(study: &Study, variants: usize) -> Result<(), Refusal> {
    let threads = rayon::current_num_threads() as u64;
    let needed = Memory::of(study, variants as u64, threads);
    within(&needed, study, variants as u64, available())
}

fn within(needed: &Memory, study: &Study, variants: u64, free: u64) -> Result<(), Refusal> {
    if needed.total() <= free {
        return Ok(());
    }
    let of_lots = needed.lots > needed.total() / 2;
    let (reason, hint) = if of_lots {
        let reason = format!(
            "{} are for lots that are released at once",
            amount(needed.lots)
        );
        // Less of it is open at the same time on fewer threads.
        let on_one = Memory::of(study, variants, 1).total();
        let hint = match on_one <= free {
            true => format!("--threads 1 takes about {}", amount(on_one)),
            false => "lower `count`, or spread the orders with `every`".to_owned(),
        };
        (reason, hint)
    } else {
        let smaller = "ask it of a smaller shop: people and stations count most";
        let (bytes, of, hint) = match variants {
            _ if needed.records > needed.candidates => (
                needed.records,
                "runs that are played at the same time".to_owned(),
                smaller,
            ),
            1 => (
                needed.candidates,
                format!("{} layouts", study.candidates.len()),
                "play fewer layouts at a time, or fewer runs",
            ),
            _ => (
                needed.candidates,
                format!("{} changes", variants - 1),
                smaller,
            ),
        };
        let kept = amount(bytes);
        (
            format!("{kept} are for what is kept of {of}"),
            hint.to_owned(),
        )
    };
    Err(Refusal::with_hint(
        format!(
            "this would take about {} of memory, and {} are free: {reason}",
            amount(needed.total()),
            amount(free)
        ),
        hint,
    ))
}

/// Bytes as people say them.
fn amount(bytes: u64) -> String {
    let megabytes = bytes as f64 / 1e6;
    match megabytes {
        _ if megabytes < 1000.0 => format!("{megabytes:.0} MB"),
        _ if megabytes < 10_000.0 => format!("{:.1} GB", megabytes / 1e3),
        _ => format!("{:.0} GB", megabytes / 1e3),
    }
}

/// Bytes that are free: what the machine has left, what the group of programs may take, and what this one may.
fn available() -> u64 {
    let machine = read("/proc/meminfo").and_then(|text| of_machine(&text));
    let group = || {
        let number = |file: &str| read(file)?.trim().parse::<u64>().ok();
        let most = number("/sys/fs/cgroup/memory.max")?;
        Some(most.saturating_sub(number("/sys/fs/cgroup/memory.current")?))
    };
    let own = || {
        let most = limit()?;
        let taken = read("/proc/self/status").and_then(|text| kilobytes(&text, "VmSize:"));
        Some(most.saturating_sub(taken.unwrap_or(0)))
    };
    let said = [machine, group(), own()];
    said.into_iter().flatten().min().unwrap_or(UNSAID)
}

/// What the system lets this program take, if there is a limit.
fn limit() -> Option<u64> {
    read("/proc/self/limits").and_then(|text| of_program(&text))
}

fn read(file: &str) -> Option<String> {
    fs::read_to_string(Path::new(file)).ok()
}

/// From a line such as `MemAvailable:   23411584 kB`.
fn of_machine(text: &str) -> Option<u64> {
    kilobytes(text, "MemAvailable:")
}

/// Bytes behind a heading of a list in which they stand in kilobytes.
fn kilobytes(text: &str, heading: &str) -> Option<u64> {
    let rest = text.lines().find_map(|line| line.strip_prefix(heading))?;
    let kilobytes: u64 = rest.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kilobytes.saturating_mul(1024))
}

/// From a line such as `Max address space   2000000000   unlimited   bytes`; none without a limit.
fn of_program(text: &str) -> Option<u64> {
    let rest = text
        .lines()
        .find_map(|line| line.strip_prefix("Max address space"))?;
    rest.split_whitespace().next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_system_says_is_read() {
        let machine = "MemTotal:       24683520 kB\nMemFree:  1 kB\nMemAvailable:   23411584 kB\n";
        assert_eq!(of_machine(machine), Some(23_411_584 * 1024));
        assert_eq!(of_machine("MemTotal: 3 kB\n"), None);
        let limits = "Limit  Soft Limit  Hard Limit  Units\nMax address space         2000000000           unlimited            bytes\n";
        assert_eq!(of_program(limits), Some(2_000_000_000));
        assert_eq!(of_program(&limits.replace("2000000000", "unlimited")), None);
        assert!(available() > 0);
    }

    #[test]
    fn amounts_are_said_as_people_say_them() {
        assert_eq!(amount(700_000_000), "700 MB");
        assert_eq!(amount(1_400_000_000), "1.4 GB");
        assert_eq!(amount(24_600_000_000), "25 GB");
    }
}
