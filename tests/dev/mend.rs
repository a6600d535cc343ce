//! The cheapest acts for groups of 2 to 4 units with one fault and with two, against brute force.

use coldcheck_tests::mend::{Tally, try_groups};

/// States that brute force may go through for one site.
const MOST: usize = 20_000;

/// One in so many of the pairs of faults; all single ones.
pub(crate) fn print(one_in: Option<&str>) -> Result<(), String> {
    let one_in = match one_in {
        None => 1,
        Some(text) => text.parse().map_err(|_| format!("one in how many: {text}"))?,
    };
    let mut all = Tally::default();
    for units in 2..=4 {
        let mut told = std::time::Instant::now();
        let mut shown = all.wrong.len();
        try_groups(units, (1 + one_in / 100, one_in), MOST, &mut all, |tally| {
            for wrong in tally.wrong.iter().skip(shown) {
                println!("WRONG {wrong}\n");
            }
            shown = tally.wrong.len();
            if told.elapsed().as_secs() >= 10 {
                told = std::time::Instant::now();
                eprintln!("{units} units: {} sites, {} wrong", tally.sites, tally.wrong.len());
            }
        });
    }
    println!(
        "{} sites: {} mended, {} of them with every cheaper set tried; {} with nothing that acts \
         mend, {} ask first, {} given up",
        all.sites,
        all.answered,
        all.proven,
        all.beyond,
        all.asks,
        all.given_up.len()
    );
    for name in &all.given_up {
        println!("given up: {name}");
    }
    if all.wrong.is_empty() { Ok(()) } else { Err(format!("{} are wrong", all.wrong.len())) }
}
