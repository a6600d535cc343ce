//! Dates: of each sheet, and of the last change of the plant.

use super::Declared;
use super::readings::Reading;
use crate::source::{Cell, Origin};
use coldcheck_core::rules::RuleId;

/// Words for the day on which a sheet was written.
const SHEET_DATE: &[&str] = &["sheet date", "date of sheet", "list date", "date of list"];
/// Words for the day of the last change.
const LAST_CHANGE: &[&str] = &["last change", "date of last change", "last changed"];

/// A day: year, month, day.
type Day = (u16, u8, u8);

/// The dates that the sheets give. Each sheet has its own, so that two are no disagreement.
#[derive(Clone, Debug, Default)]
pub(super) struct Dates {
    sheets: Vec<(Day, Origin)>,
    changes: Vec<(Day, Origin)>,
}

/// A day as ISO 8601 writes it: `2026-03-01`.
fn day(text: &str) -> Option<Day> {
    let mut parts = text.trim().split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    let digits = |part: &str, count: usize| {
        part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    if parts.next().is_some() || !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
        return None;
    }
    let (year, month, day) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    ((1..=12).contains(&month) && (1..=31).contains(&day)).then_some((year, month, day))
}

fn text((year, month, day): Day) -> String {
    format!("{year:04}-{month:02}-{day:02}")
}

impl Declared {
    /// Takes a date, if the key is one of a date.
    pub(super) fn date(&mut self, key: &crate::fold::Folded, cell: &Cell) -> bool {
        let is = |words: &[&str]| words.iter().any(|word| key.is(word));
        let (of_sheet, of_change) = (is(SHEET_DATE), is(LAST_CHANGE));
        if !of_sheet && !of_change {
            return false;
        }
        match day(&cell.text) {
            Some(day) if of_sheet => self.dates.sheets.push((day, cell.origin)),
            Some(day) => self.dates.changes.push((day, cell.origin)),
            None => self.ask(
                cell.origin,
                format!("which day is \u{201c}{}\u{201d}?", cell.text),
                "write it as year, month and day: 2026-03-01",
            ),
        }
        true
    }

    /// Whether a sheet is older than the last change. An older sheet knows older changes only, so
    /// that the latest of all sheets counts.
    pub(super) fn compare_dates(&mut self) {
        let rule = RuleId::SheetNotAfterLastChange;
        let Some((change, at)) = self.dates.changes.iter().max().copied() else {
            self.unread(rule, "no sheet says when the plant was last changed");
            return;
        };
        if self.dates.sheets.is_empty() {
            self.unread(rule, "no sheet says of which day it is");
        }
        for (sheet, origin) in self.dates.sheets.clone() {
            if sheet < change {
                let reading = Reading::new(rule, vec![origin, at]).value(text(sheet));
                self.found(reading.wanted(Some(text(change))));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_dates_that_mean_one_day_everywhere_are_read() {
        assert_eq!(day("2026-03-01"), Some((2026, 3, 1)));
        for wrong in ["1.3.2026", "03/01/2026", "2026-13-01", "2026-3-1", "26-03-01", "2026-03"] {
            assert_eq!(day(wrong), None, "{wrong}");
        }
        assert!(day("2026-02-28") < day("2026-03-01"));
    }
}
