//! Drills: every fault can be drilled, every answer is confirmed, and the ideal search finds it.

use coldcheck_tests::drill::follow;

/// Numbers in each run; `cargo dev drill` follows 1,000.
const NUMBERS: u64 = 20;

#[test]
fn a_drill_followed_by_the_ideal_search_ends_at_its_fault() {
    let tally = follow(0..NUMBERS, |number| eprintln!("{number} {:?}", std::time::Instant::now()));
    eprintln!("{tally:#?}");
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    assert!(tally.none.is_empty(), "no drill for {:?}", tally.none);
}
