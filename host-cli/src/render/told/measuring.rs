//! What is said around the meter plan, the same in terminal, report and page.

use crate::diagnosis::Diagnosis;
use crate::meter::taken::MOST_VOLTS;
use crate::meter::told::Sheet;
use crate::phrase::{all_of, counted};
use coldcheck_core::finding::Verdict;

/// The last act, when all readings are taken.
pub const PLUG_IN_AGAIN: &str = "Plug every cable in again and turn its lock.";
/// Above what each fault would show.
pub const WOULD_SHOW: &str = "What they would show";
/// Above the ports.
pub const PORTS: &str = "Every port with all plugged in (least to most, usual)";
/// Above what cannot be seen.
pub const BLIND: &str = "What ohms between the two wires cannot see";

/// What stands behind `STOP:` if the sheets hold a danger: nobody measures before it is mended.
pub fn stop(diagnosis: &Diagnosis) -> Option<String> {
    let says: Vec<&str> = diagnosis.dangers().map(|one| one.says.as_str()).collect();
    let count = counted(says.len(), "danger");
    let says = says.join("; ");
    (!says.is_empty())
        .then(|| format!("the sheets hold {count}. {says}. Mend that before you measure."))
}

/// That the plan is one of sheets in which something is wrong.
pub fn doubt(diagnosis: &Diagnosis) -> Option<String> {
    let verdict = diagnosis.verdict;
    matches!(verdict, Verdict::Ask | Verdict::FixFirst).then(|| {
        format!(
            "the verdict on these sheets is {}: what follows is of the site as they have it",
            verdict.word()
        )
    })
}

/// What is done before the first ohms are read.
pub fn before_ohms(sheet: &Sheet) -> [String; 3] {
    let pins = sheet.pins.map_or_else(
        || "the two wires of the pair".to_owned(),
        |(one, two)| format!("pins {one} and {two}"),
    );
    [
        "Every source off and locked off; capacitors waited for. A battery can feed a plug with \
         every switch off."
            .to_owned(),
        format!(
            "Plug a breakout lead in; no probes in sockets. VOLTS FIRST, here and at every new \
             place: between {pins}, and from each to the common. More than {MOST_VOLTS} V: no \
             ohms; find what feeds it."
        ),
        "Leads together: what is shown (0.1 to 0.5 ohm) is taken off every reading.".to_owned(),
    ]
}

/// The steps that tell most, for who is short of time.
pub fn fastest(sheet: &Sheet) -> Option<String> {
    let steps = |numbers: &[usize]| {
        let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        numbers.join("+")
    };
    let told: Vec<String> = sheet
        .fastest
        .iter()
        .map(|(numbers, share)| format!("{} ({:.0} %)", steps(numbers), share * 100.0))
        .collect();
    (!told.is_empty())
        .then(|| format!("{} of all pairs of states told apart", told.join(", then ")))
}

/// Points that read alike in a few words: the first to the last, where there are many.
pub fn points(names: &[String]) -> String {
    match names {
        [first, _, .., last] => format!("{first} to {last}"),
        names => all_of(names),
    }
}
