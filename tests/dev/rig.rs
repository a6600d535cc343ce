//! Every group with one fault, on the emulated gateway and on the laptop.

use coldcheck_tests::firmware::Board;
use coldcheck_tests::rig;
use std::io::IsTerminal;
use std::ops::RangeInclusive;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

/// What to try: groups of how many units, such as `6` or `6-8`, and which share of the faults, such
/// as `1/50`.
pub(crate) fn run(what: &[&str]) -> Result<(), String> {
    let (mut sizes, mut one_in) = (2..=8, 1);
    for word in what {
        if let Some(share) = word.strip_prefix("1/") {
            one_in = share.parse().ok().filter(|share| *share > 0).ok_or("no share")?;
        } else {
            sizes = range(word).ok_or_else(|| format!("{word} is no number of units"))?;
        }
    }
    let mut wrong = 0;
    for units in sizes {
        let start = Instant::now();
        let done = AtomicUsize::new(0);
        let tell = |count| {
            let done = done.fetch_add(count, Ordering::Relaxed) + count;
            if std::io::stderr().is_terminal() {
                eprint!("\r{done} ");
            }
        };
        let (count, differences) = rig::all_singles(Board::CortexM4, units, one_in, tell);
        println!(
            "{units} units: {count} sites with one fault, {} differences; {:.0} s",
            differences.len(),
            start.elapsed().as_secs_f32()
        );
        if let Some(first) = differences.first() {
            println!("{first}");
        }
        wrong += differences.len();
    }
    if wrong == 0 { Ok(()) } else { Err(format!("{wrong} differences")) }
}

fn range(text: &str) -> Option<RangeInclusive<usize>> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let (first, last): (usize, usize) = (first.parse().ok()?, last.parse().ok()?);
    (2 <= first && first <= last && last <= 16).then_some(first..=last)
}
