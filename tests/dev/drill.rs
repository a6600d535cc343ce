//! The whole proof of drills: the ideal search followed for a thousand numbers.

use coldcheck_tests::drill::follow;
use std::time::Instant;

/// Numbers that are followed.
const NUMBERS: u64 = 1000;
/// Drills after which it is said how far it is.
const STEP: u64 = 50;

pub(crate) fn print(numbers: Option<&str>) -> Result<(), String> {
    let numbers = match numbers {
        None => NUMBERS,
        Some(text) => text.parse().map_err(|_| format!("how many drills: {text}"))?,
    };
    let began = Instant::now();
    let tally = follow(0..numbers, |number| {
        if number % STEP == 0 {
            println!("{number} of {numbers}, {} s", began.elapsed().as_secs());
        }
    });
    println!("\nreadings  faults");
    for (readings, faults) in &tally.readings {
        println!("{readings:>8} {faults:>7}");
    }
    println!(
        "{} drills with {} faults of {} kinds; at most {} rivals; {} numbers without a drill; {} wrong",
        tally.drills,
        tally.faults,
        tally.kinds.len(),
        tally.most_rivals,
        tally.none.len(),
        tally.wrong.len()
    );
    if tally.wrong.is_empty() && tally.none.is_empty() {
        return Ok(());
    }
    Err(format!("none: {:?}\n{}", tally.none, tally.wrong.join("\n")))
}
