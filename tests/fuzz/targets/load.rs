//! Any bytes are a scenario or are refused with a place and a reason: never a panic, never a long wait.
//! Layouts that load to be checked are checked.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shopstride::floor::check::check;
use shopstride::report::check::told;
use shopstride::scenario;

fuzz_target!(|text: &[u8]| {
    match scenario::load("fuzzed.yaml", text) {
        Ok(loaded) => assert!(!loaded.study.candidates.is_empty()),
        Err(problems) => assert!(problems.render(false).contains("error")),
    }
    let Ok(loaded) = scenario::load_to_check("fuzzed.yaml", text) else {
        return;
    };
    for candidate in loaded.study.candidates.iter().take(3) {
        if let Some(plan) = &candidate.plan {
            let findings = check(&candidate.shop, plan, &[], &candidate.limits);
            for finding in told(&candidate.shop, plan.room.as_ref(), &findings) {
                assert!(finding.figures.iter().all(|(_, figure)| figure.is_finite()));
            }
        }
    }
});
