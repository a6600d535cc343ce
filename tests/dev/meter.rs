//! How well faults are told by readings: every single fault of lines of 3 to 8 units.

use coldcheck::meter::fault::Kind;
use coldcheck_tests::meter::links::{NothingFits, Tally, try_all};

/// How often each fault is tried, each time with other parts and errors.
const TIMES: u64 = 20;

pub(crate) fn print(times: Option<&str>) -> Result<(), String> {
    let times = match times {
        None => TIMES,
        Some(text) => text.parse().map_err(|_| format!("how many times: {text}"))?,
    };
    let mut all = Tally::default();
    println!("units  distinguishable  first      not  named");
    for units in 3..=8 {
        let mut own = Tally::default();
        try_all(units, times, 1, |outcome| {
            own.add(&outcome);
            all.add(&outcome);
        });
        line(&units.to_string(), &own);
    }
    line("all", &all);
    confusion(&all);
    Ok(())
}

fn line(name: &str, tally: &Tally) {
    println!(
        "{name:<5} {:>16} {:>5.1} % {:>8} {:>5.1} %",
        tally.distinguishable.0,
        100.0 * tally.share_first(),
        tally.others.0,
        100.0 * tally.share_named()
    );
}

fn word(kind: Option<Kind>) -> &'static str {
    kind.map_or("as-declared", Kind::word)
}

/// Rows: what is true. Columns: what came first.
fn confusion(tally: &Tally) {
    let kinds = || std::iter::once(None).chain(Kind::ALL.into_iter().map(Some));
    let firsts: Vec<_> = kinds().map(Ok).chain([Err(NothingFits)]).collect();
    let seen = |first: &Result<Option<Kind>, NothingFits>| {
        tally.confusion.keys().any(|(_, own)| own == first)
    };
    let firsts: Vec<_> = firsts.into_iter().filter(seen).collect();
    println!("\nrows: the true state; columns: what came first, by number");
    for (number, first) in (1..).zip(&firsts) {
        println!("{number:>3}  {}", first.map_or("nothing", word));
    }
    print!("{:<20}", "");
    for number in 1..=firsts.len() {
        print!("{number:>6}");
    }
    println!();
    for truth in kinds() {
        let counts: Vec<u64> = firsts
            .iter()
            .map(|first| tally.confusion.get(&(truth, *first)).copied().unwrap_or(0))
            .collect();
        if counts.iter().any(|count| *count > 0) {
            print!("{:<20}", word(truth));
            for count in &counts {
                print!("{count:>6}");
            }
            println!();
        }
    }
}
