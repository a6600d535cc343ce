//! Printed forms filled at random, photographed and read: sure and wrong, asked about, time.

use coldcheck_tests::forms::judge::{Tally, one};

/// How many forms, if nobody says.
const FORMS: usize = 600;
/// At the most so many hundredths of the marks may be asked about.
const MOST_ASKED: f64 = 2.0;

pub(crate) fn run(what: &[&str]) -> Result<(), String> {
    let number = |text: &str| text.parse::<usize>().map_err(|_| format!("how many forms: {text}"));
    let (count, first) = match what {
        [] => (FORMS, 1),
        [count] => (number(count)?, 1),
        [count, first] => (number(count)?, number(first)?),
        _ => return Err("forms [N] [FIRST]".to_owned()),
    };
    let workers = std::thread::available_parallelism().map_or(1, |count| count.get()).min(2);
    let mut tally = Tally::default();
    std::thread::scope(|scope| {
        let part = |worker: usize| {
            move || {
                let mut own = Tally::default();
                for form in (first..first + count).skip(worker).step_by(workers) {
                    own.add(one(form));
                }
                own
            }
        };
        let running: Vec<_> = (0..workers).map(|worker| scope.spawn(part(worker))).collect();
        for worker in running {
            tally.add(worker.join().expect("a worker does not panic"));
        }
    });
    for line in tally.wrong.iter().chain(&tally.refused) {
        println!("{line}");
    }
    println!(
        "{} sheets, {} cells: {} sure and wrong, {:.2} % asked about; of {} spoiled {} asked about; \
         {} sheets refused; longest {:.2} s",
        tally.sheets,
        tally.cells,
        tally.wrong.len(),
        tally.share_asked(),
        tally.spoiled,
        tally.spoiled_asked,
        tally.refused.len(),
        tally.longest.as_secs_f64()
    );
    if tally.wrong.is_empty() && tally.share_asked() <= MOST_ASKED {
        Ok(())
    } else {
        Err(format!("nothing may be sure and wrong, and {MOST_ASKED} % asked about at the most"))
    }
}
