//! What changed, for people.

use super::{Ink, Style, Text};
use crate::changed::{Again, Changed};
use crate::diagnosis::Diagnosis;
use crate::phrase::counted;
use crate::words::CAUTIONS;

/// What differs, what is found, and what must be tested again.
pub fn text(new: &Diagnosis, changed: &Changed, read: [&[String]; 2], style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    let count = new.dangers().count();
    if count > 0 {
        let head = out.bold("STOP:", Ink::Alarm);
        let says: Vec<&str> = new.dangers().map(|danger| danger.says.as_str()).collect();
        let text = format!("the new sheets hold {}. {}", counted(count, "danger"), says.join("; "));
        out.wrapped(&format!("{head} "), &text);
    }
    for (state, files) in ["Old", "New"].into_iter().zip(read) {
        if files.len() > 1 && !style.quiet {
            out.wrapped("", &format!("{state}: {}", files.join(", ")));
        }
    }
    let ink = if changed.changes.is_empty() { Ink::Calm } else { Ink::Attention };
    let head = out.bold("CHANGED:", ink);
    if changed.changes.is_empty() {
        out.wrapped(&format!("{head} "), "nothing that is wired or set differs");
        return out.out;
    }
    let steps: usize = changed.again.iter().map(|again| again.steps.len()).sum();
    let says = format!(
        "{}; {} of the power-up to take again",
        counted(changed.changes.len(), "difference"),
        counted(steps, "step")
    );
    out.wrapped(&format!("{head} "), &says);
    for change in &changed.changes {
        out.item(&change.says());
    }
    out.list("Found now, and not before", changed.found.iter().cloned());
    out.list("Found before, and no longer", changed.gone.iter().cloned());
    if !changed.again.is_empty() {
        out.heading("Test again, in this order (`coldcheck powerup` has how, and the limits)");
        for again in &changed.again {
            out.wrapped("  [ ] ", &format!("{}: {}", again.title, steps_of(again)));
            if !again.because.is_empty() && !style.quiet {
                out.wrapped("      because: ", &because(&again.because));
            }
        }
    }
    // What is to be done goes before what the program looked at.
    if !style.quiet && !changed.touched.is_empty() {
        let rules: Vec<&str> = changed.touched.iter().map(|rule| rule.rule().slug).collect();
        let look = if rules.len() == 1 { "looks" } else { "look" };
        out.heading(&format!("{} {look} at what changed", counted(rules.len(), "rule")));
        out.wrapped("  ", &rules.join(", "));
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

/// The steps, all of a kind by the kind alone.
fn steps_of(again: &Again) -> String {
    match again.steps.as_slice() {
        [one] => one.clone(),
        several if again.is_all => format!("all {} ({}-...)", several.len(), again.kind),
        several => several.join(", "),
    }
}

/// The reasons, not more than a person reads.
fn because(reasons: &[String]) -> String {
    const MOST: usize = 3;
    let shown = reasons.iter().take(MOST).cloned().collect::<Vec<_>>().join("; ");
    if reasons.len() > MOST {
        format!("{shown}; and {}", counted(reasons.len() - MOST, "other"))
    } else {
        shown
    }
}
