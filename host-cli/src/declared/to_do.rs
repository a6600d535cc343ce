//! Acts that are to do: the sheet says how the plant is to be, and a person must say that it is.

use super::{Declared, Question};
use crate::read::ReadError;
use crate::readings::Moment;
use crate::source::{Cell, Origin};
use crate::statement::ToDoRow;

/// An act that is to do, or was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToDo {
    /// What is to do.
    pub act: String,
    /// The rules that it mends, in the words of the sheet.
    pub mends: String,
    /// What was seen afterwards, initials of who saw it, and when; empty until it is confirmed.
    pub seen: [String; 3],
    /// Whether a person confirmed it.
    pub confirmed: bool,
    /// Whether it is taken as done without that.
    pub assumed: bool,
    /// Where it is written.
    pub origin: Origin,
}

impl ToDo {
    /// Whether it waits for a person.
    pub const fn is_open(&self) -> bool {
        !self.confirmed && !self.assumed
    }
}

impl Declared {
    /// Understands the acts.
    pub(super) fn interpret_to_do(&mut self, rows: &[ToDoRow], errors: &mut Vec<ReadError>) {
        for row in rows {
            for key in &row.unknown {
                let says = format!("\u{201c}{}\u{201d} is nothing that an act has", key.text);
                let expected = "act, mends, seen, by or time";
                errors.push(ReadError::at(&self.sheets, key.origin, says, expected));
            }
            let filled = |cell: &Option<Cell>| cell.clone().filter(|cell| !cell.is_empty());
            let Some(act) = filled(&row.act) else {
                let expected = "act: what is to do at the plant";
                let says = "this entry names no act";
                errors.push(ReadError::at(&self.sheets, row.at, says, expected));
                continue;
            };
            let seen = [filled(&row.seen), filled(&row.by), filled(&row.time)];
            if let [_, _, Some(time)] = &seen
                && Moment::read(&time.text).is_none()
            {
                let says = format!("\u{201c}{}\u{201d} is no time", time.text);
                let expected = "time: day and clock, such as 2027-03-01 09:12";
                errors.push(ReadError::at(&self.sheets, time.origin, says, expected));
            }
            let text = |cell: &Option<Cell>| {
                cell.as_ref().map_or_else(String::new, |cell| cell.text.clone())
            };
            self.to_do.push(ToDo {
                mends: text(&filled(&row.mends)),
                confirmed: seen.iter().all(Option::is_some),
                assumed: false,
                seen: [text(&seen[0]), text(&seen[1]), text(&seen[2])],
                origin: act.origin,
                act: act.text,
            });
        }
    }

    /// A question for each act that nobody confirmed.
    pub fn unconfirmed(&self) -> Vec<Question> {
        let open = self.to_do.iter().filter(|one| one.is_open());
        open.map(|one| Question {
            says: format!("is this done at the plant: {}", one.act),
            answer: "once it was looked at, fill in `seen` (what was seen), `by` (initials) and \
                     `time` below it"
                .to_owned(),
            origins: vec![one.origin],
        })
        .collect()
    }
}
