//! Any bytes are a scenario or are refused with a place and a reason: never a panic, never a long wait.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shopstride::scenario;

fuzz_target!(|text: &[u8]| {
    match scenario::load("fuzzed.yaml", text) {
        Ok(loaded) => assert!(!loaded.study.candidates.is_empty()),
        Err(problems) => assert!(problems.render(false).contains("error")),
    }
});
