//! `cargo dev graphs`: every graph of two to four units, judged by core and oracle.

use coldcheck_tests::graphs;
use std::io::{IsTerminal, Write};
use std::time::Instant;

/// Of the sets of cables with a socket taken twice, a run without `--all` takes one in so many.
const ONE_IN: usize = 100;

/// Prints counts and differences; fails if there are any.
pub(crate) fn print(all: bool) -> Result<(), String> {
    let start = Instant::now();
    let is_terminal = std::io::stderr().is_terminal();
    let progress = |graphs: u64| {
        if is_terminal {
            let _ = write!(std::io::stderr(), "\r{graphs} graphs");
        }
    };
    let choice = graphs::Choice { one_in: if all { 1 } else { ONE_IN }, seed: 1 };
    let outcome = graphs::judge_all(choice, &progress);
    if is_terminal {
        eprintln!();
    }
    let tally = &outcome.tally;
    println!(
        "graphs of 2 to 4 units: {} sets of cables, {} of them with no socket taken twice",
        outcome.graphs, outcome.matchings
    );
    println!("sites, with every setting of terminators, as line and as ring: {}", tally.plans);
    println!(
        "rules: {} broken, {} met, {} undemanded, {} waiting for another",
        tally.broken, tally.met, tally.undemanded, tally.blocked
    );
    for ((rule, cause), count) in &tally.held_back {
        println!("  {rule} broken but waiting for {cause}: {count}");
    }
    println!("{:.1} s", start.elapsed().as_secs_f32());
    if outcome.differing == 0 {
        println!("core and oracle agree");
        return Ok(());
    }
    for (site, difference) in &outcome.differences {
        println!("{}\n  core:   {}", difference.rule, difference.core);
        println!("  oracle: {}\n  {site}", difference.oracle);
    }
    Err(format!("core and oracle differ {} times", outcome.differing))
}
