//! The sensor test for people.

use super::{Ink, Style, Text};
use crate::sensors::{Answer, Channel, Import, Silence, candidate, verdict};
use crate::words::{CAUTIONS, NEVER_OPEN};

/// What is left of every channel, and what to read next.
pub fn text(channels: &[Channel], answer: &Answer, import: Option<Import>, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    let open = |left: &[crate::sensors::Left]| import.is_none() && left.len() > 1;
    let (word, ink) = if answer.is_sure(channels) && !answer.has_fault(channels) {
        ("READS RIGHT:", Ink::Calm)
    } else if answer.has_fault(channels) {
        ("NOT RIGHT:", Ink::Alarm)
    } else {
        ("OPEN:", Ink::Attention)
    };
    let head = out.bold(word, ink);
    let says = match word {
        "READS RIGHT:" => "every channel has its own leg, direction and ratio under these loads",
        "NOT RIGHT:" => "a channel does not show what it should",
        _ => "more than one way to sit shows this",
    };
    out.wrapped(&format!("{head} "), says);
    for (at, (channel, left)) in channels.iter().zip(&answer.left).enumerate() {
        out.item(&verdict(channel, left, answer.silent[at]));
        if left.len() > 1 || answer.silent[at] == Silence::Perhaps {
            for one in left {
                out.wrapped("      or: ", &candidate(channel, one, open(left)));
            }
        }
    }
    for (test, channel) in &answer.too_small {
        let rating = channels[*channel].rating.unwrap_or(0.0);
        out.item(&format!(
            "load {} is below 5 % of the {rating} A that {} is rated for: it says little",
            test + 1,
            channels[*channel].name
        ));
    }
    if let Some(next) = &answer.next {
        let head = out.bold("Next:", Ink::Attention);
        out.wrapped(&format!("{head} "), &next.says());
    }
    out.blank();
    out.wrapped("", NEVER_OPEN);
    out.wrapped("", CAUTIONS);
    out.out
}
