//! `cargo dev oracles`: generated sites with faults, judged by core and by each other judge.

use coldcheck_tests::outside::{Judge, compare};

/// Sites of a run.
const SITES: u64 = 10_000;
/// Sites of one call of a judge.
const AT_ONCE: u64 = 500;

/// Prints counts, times and differences; fails if there are any.
pub(crate) fn print() -> Result<(), String> {
    println!("{SITES} generated sites with none to four faults");
    let mut differing = 0;
    for judge in Judge::ALL {
        let mut whole = compare(judge, 0..AT_ONCE);
        for start in (AT_ONCE..SITES).step_by(usize::try_from(AT_ONCE).expect("small")) {
            let part = compare(judge, start..start + AT_ONCE);
            whole.tally.add(&part.tally);
            whole.took += part.took;
            whole.differences.extend(part.differences);
        }
        let tally = &whole.tally;
        println!(
            "{:9} {:7.1} s; {} rules broken, {} met, {} undemanded, {} waiting for another; {} differ",
            judge.name(),
            whole.took.as_secs_f32(),
            tally.broken,
            tally.met,
            tally.undemanded,
            tally.blocked,
            whole.differences.len(),
        );
        for (site, difference) in whole.differences.iter().take(5) {
            println!("{}\n  core:   {}", difference.rule, difference.core);
            println!("  judge:  {}\n  {site}", difference.oracle);
        }
        differing += whole.differences.len();
    }
    if differing == 0 { Ok(()) } else { Err(format!("{differing} rules are judged otherwise")) }
}
