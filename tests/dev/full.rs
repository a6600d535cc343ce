//! The whole proof, of which the tests try a sample: every right group, every single fault at
//! every place, every pair of faults.

use coldcheck_tests::proof::{self, Count, Share};
use std::io::IsTerminal;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

/// Most units of a group; and of one in which pairs of faults are tried.
const MOST_UNITS: usize = 16;
const MOST_UNITS_IN_PAIRS: usize = 6;
/// Orders that are drawn for each number of units above those of which every order is tried.
const DRAWN: usize = 2;

/// What to try: `singles`, `pairs`, or both.
pub(crate) fn run(what: &[&str]) -> Result<(), String> {
    if let Some(other) = what.iter().find(|word| !["singles", "pairs"].contains(word)) {
        return Err(format!("{other} is no part of the proof: singles or pairs"));
    }
    if cfg!(debug_assertions) {
        println!(
            "this takes hours unless it is built with: cargo run --release -p coldcheck-tests --bin dev -- full"
        );
    }
    let both = what.is_empty();
    let mut wrong = 0;
    if both || what.contains(&"singles") {
        for units in 2..=MOST_UNITS {
            wrong += part(&format!("{units} units, single faults"), || {
                let layouts = proof::layouts(units, DRAWN);
                let each = |layout: &_, salt| proof::singles(layout, Share::ALL, salt);
                proof::spread(&layouts, each, progress(layouts.len()))
            });
        }
    }
    if both || what.contains(&"pairs") {
        for units in 2..=MOST_UNITS_IN_PAIRS {
            wrong += part(&format!("{units} units, pairs of faults"), || {
                let layouts = proof::of_each_kind(units);
                let each = |layout: &_, salt| proof::pairs(layout, Share::ALL, salt);
                proof::spread(&layouts, each, progress(layouts.len()))
            });
        }
    }
    if wrong == 0 { Ok(()) } else { Err(format!("{wrong} checks were wrong")) }
}

fn part(name: &str, run: impl FnOnce() -> Count) -> usize {
    let start = Instant::now();
    let count = run();
    println!(
        "{name}: {} groups, {} faults, {} pairs and {} that exclude each other, {} wrong; {:.0} s",
        count.groups,
        count.faults,
        count.pairs,
        count.not_both,
        count.wrong.len(),
        start.elapsed().as_secs_f32()
    );
    for why in &count.wrong {
        println!("  {why}");
    }
    count.wrong.len()
}

/// A line that says how far the work is, on a terminal.
fn progress(all: usize) -> impl Fn(usize) + Sync {
    let shown = AtomicUsize::new(0);
    move |done| {
        let percent = done * 100 / all.max(1);
        if std::io::stderr().is_terminal() && shown.fetch_max(percent, Ordering::Relaxed) < percent
        {
            eprint!("\r{percent} % ");
        }
    }
}
