//! How long a cable is.

use crate::declared::photograph::Reread;
use crate::declared::readings::Reading;
use crate::declared::{At, Declared, Subject};
use crate::source::{Origin, SheetId};
use crate::statement::CableRow;
use crate::value::{length, unit_system};
use coldcheck_core::rules::RuleId;
use coldcheck_core::units::Millimetres;
use std::collections::{BTreeMap, BTreeSet};

impl Declared {
    /// The length that a row gives, and where it is written if it cannot be used.
    pub(super) fn length_of(
        &mut self,
        position: usize,
        row: &CableRow,
    ) -> (Vec<(Millimetres, Vec<Origin>)>, Vec<Origin>) {
        let Some(cell) = row.length.as_ref().filter(|cell| !cell.is_empty()) else {
            return (Vec::new(), Vec::new());
        };
        if matches!(cell.text.as_str(), "-" | "?" | "–" | "—") {
            return (Vec::new(), Vec::new());
        }
        let unit = row.length_unit.as_deref();
        if let Some(length) = length(&cell.text, unit) {
            return (vec![(length, vec![cell.origin])], Vec::new());
        }
        let read = |text: &str| length(text, unit);
        match self.photographed_number(Subject::Cable(position), cell, read) {
            Reread::One(length) => return (vec![(length, vec![cell.origin])], Vec::new()),
            Reread::Several => return (Vec::new(), vec![cell.origin]),
            Reread::NoNumber => {}
        }
        // A number without a unit: said of all lengths of the sheet together.
        if length(&cell.text, Some("m")).is_none() {
            self.ask(
                cell.origin,
                format!("\u{201c}{}\u{201d} is no length that can be read", cell.text),
                "write it with its unit, such as 1.5 m, 80 cm or 6 ft, or leave it empty",
            );
            return (Vec::new(), vec![cell.origin]);
        }
        let reading = Reading::new(RuleId::LengthUnitUnclear, vec![cell.origin]);
        let known = self.readings.iter_mut().find(|other| {
            let sheet = other.origins.first().map(|origin| origin.sheet);
            other.rule == RuleId::LengthUnitUnclear && sheet == Some(cell.origin.sheet)
        });
        match known {
            Some(known) => {
                known.at.push(At::Subject(Subject::Cable(position)));
                known.origins.push(cell.origin);
            }
            None => self.readings.push(reading.at_cable(position)),
        }
        (Vec::new(), vec![cell.origin])
    }
}

/// Sheets whose heading gives one system of units and where most people who wrote a unit of their
/// own wrote one of the other system: a bare number between them could be either.
pub(super) fn mixed_up(rows: &[CableRow]) -> BTreeSet<SheetId> {
    let mut counts: BTreeMap<SheetId, [usize; 3]> = BTreeMap::new();
    for row in rows {
        let (Some(whole), Some(cell)) = (&row.row, &row.length) else { continue };
        let Some(heading) = row.length_unit.as_deref().and_then(unit_system) else {
            continue;
        };
        let [bare, same, other] = counts.entry(whole.origin.sheet).or_default();
        let unit =
            cell.text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
        match unit_system(unit) {
            Some(system) if system == heading => *same += 1,
            Some(_) => *other += 1,
            None if unit.is_empty() && !cell.is_empty() => *bare += 1,
            None => {}
        }
    }
    counts
        .into_iter()
        .filter(|(_, [bare, same, other])| *same == 0 && *other >= 2 && *other > *bare)
        .map(|(sheet, _)| sheet)
        .collect()
}
