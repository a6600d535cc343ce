//! The whole proof, of which the tests try a sample: every right group, every single fault at
//! every place, every pair of faults.

use coldcheck_tests::heard_proof::{self, DIALECTS};
use coldcheck_tests::proof::{self, Count, Share, Through};
use std::io::IsTerminal;
use std::ops::RangeInclusive;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

/// Most units of a group; and of one in which pairs of faults are tried.
const MOST_UNITS: usize = 16;
const MOST_UNITS_IN_PAIRS: usize = 6;
/// Most units of a group of which all is read from sheets.
const MOST_UNITS_IN_SHEETS: usize = 3;
/// Orders that are drawn for each place of the coordinator in groups of which not every order is
/// tried.
const DRAWN: usize = 1;

/// What to try: `singles`, `pairs`, `heard`, or all of it; groups of how many units, such as `6` or `6-8`; and
/// which share of the faults, such as `1/50`.
pub(crate) fn run(what: &[&str]) -> Result<(), String> {
    let (parts, further): (Vec<&str>, Vec<&str>) =
        what.iter().partition(|word| ["singles", "pairs", "heard"].contains(word));
    let (shares, sizes): (Vec<&str>, Vec<&str>) =
        further.iter().partition(|word| word.starts_with("1/"));
    let share = match shares.as_slice() {
        [] => Share::ALL,
        [share] => one_in(share).ok_or_else(|| format!("{share} is no share"))?,
        [_, other, ..] => return Err(format!("{other} is one share too many")),
    };
    let sizes = match sizes.as_slice() {
        [] => 2..=MOST_UNITS,
        [size] => range(size).ok_or_else(|| format!("{size} is no part of the proof"))?,
        [_, other, ..] => return Err(format!("{other} is one number of units too many")),
    };
    if cfg!(debug_assertions) {
        println!(
            "this takes hours unless it is built with: cargo run --release -p coldcheck-tests --bin dev -- full"
        );
    }
    let all = parts.is_empty();
    let mut wrong = 0;
    if all || parts.contains(&"singles") {
        for units in sizes.clone() {
            wrong += part(&format!("{units} units, single faults"), || {
                let layouts = proof::layouts(units, DRAWN);
                let each = |layout: &_, salt| proof::singles(layout, share, salt, through(units));
                proof::spread(&layouts, each, progress(layouts.len()))
            });
        }
    }
    if all || parts.contains(&"pairs") {
        for units in sizes.clone().filter(|units| *units <= MOST_UNITS_IN_PAIRS) {
            wrong += part(&format!("{units} units, pairs of faults"), || {
                let layouts = proof::of_each_kind(units);
                let each = |layout: &_, salt| proof::pairs(layout, share, salt, through(units));
                proof::spread(&layouts, each, progress(layouts.len()))
            });
        }
    }
    if all || parts.contains(&"heard") {
        for units in sizes {
            for dialect in DIALECTS {
                wrong += part(&format!("{units} units, faults heard in {dialect:?}"), || {
                    let layouts = proof::of_each_kind(units);
                    let each = |layout: &_, salt| heard_proof::heard(layout, dialect, share, salt);
                    proof::spread(&layouts, each, progress(layouts.len()))
                });
            }
        }
    }
    if wrong == 0 { Ok(()) } else { Err(format!("{wrong} checks were wrong")) }
}

/// Larger groups are put to the program as lines, which is what makes so many possible.
fn through(units: usize) -> Through {
    if units <= MOST_UNITS_IN_SHEETS { Through::Sheets } else { Through::Lines }
}

/// One in so many: `1/50`.
fn one_in(text: &str) -> Option<Share> {
    let one_in = text.strip_prefix("1/")?.parse().ok().filter(|one_in| *one_in > 0)?;
    Some(Share { one_in, seed: 1 })
}

/// `6` or `6-8`, within what the proof is about.
fn range(text: &str) -> Option<RangeInclusive<usize>> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let (first, last) = (first.parse().ok()?, last.parse().ok()?);
    (2 <= first && first <= last && last <= MOST_UNITS).then_some(first..=last)
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
        count.wrong(),
        start.elapsed().as_secs_f32()
    );
    if !count.wrong.is_empty() {
        println!("{}", count.mistakes());
    }
    count.wrong()
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
