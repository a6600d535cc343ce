//! The cheapest acts for people.

use super::{Ink, Style, Text};
use crate::engine::Site;
use crate::mend::Told;
use crate::render::mend::{COSTS, why, words};
use crate::words::CAUTIONS;

/// The acts; with the proof if it is asked for.
pub fn text(site: &Site, told: &Told, explain: bool, style: Style) -> String {
    let words = words(told);
    let mut out = Text { out: String::new(), style };
    out.subject(site);
    out.left_out(site);
    out.blank();
    let ink = if told.answers.is_empty() { Ink::Attention } else { Ink::Alarm };
    let (word, says) = &words.head;
    let word = out.bold(&format!("{word}:"), ink);
    out.wrapped(&format!("{word} "), says);
    for says in &words.remarks {
        out.item(says);
    }
    if !told.waived.is_empty() {
        out.item("--also-waived mends what is waived too");
    }
    for answer in &words.answers {
        out.heading(answer.heading);
        for (position, (says, cautions)) in answer.acts.iter().enumerate() {
            out.wrapped(&format!("  {}. ", position + 1), says);
            for says in cautions {
                out.wrapped("     with it: ", says);
            }
        }
        out.wrapped("  then: ", &answer.then);
    }
    for (heading, items) in &words.lists {
        out.heading(heading);
        for says in items {
            out.item(says);
        }
    }
    if explain {
        out.heading("Why no set is cheaper");
        for says in why(told) {
            out.item(&says);
        }
        out.wrapped("  ", COSTS);
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}
