//! One program for each target: the program's name says which.
#![no_main]

use coldcheck_tests::fuzz::target;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    (target(env!("CARGO_BIN_NAME")).body)(bytes);
});
