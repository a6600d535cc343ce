//! Cables: rows with their ends understood, and the same cable on two sheets made one.

use super::ends::End;
use super::{Declared, Subject};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::Profile;
use crate::read::ReadError;
use crate::source::{Cell, Origin};
use crate::statement::CableRow;
use crate::value::length;
use crate::vocabulary::CABLE_KIND;
use coldcheck_core::plan::CableKind;
use coldcheck_core::units::Millimetres;

/// A data cable or a terminator plug.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cable {
    /// Its label as written, or the line it stands in.
    pub label: String,
    /// Its label as it is compared; empty if it has none.
    pub key: Folded,
    /// What it is for.
    pub kind: Option<CableKind>,
    /// Where its ends are.
    pub ends: [End; 2],
    /// Where its ends are written.
    pub end_origins: [Vec<Origin>; 2],
    /// Its length, with every place that states it; two values are a disagreement.
    pub lengths: Vec<(Millimetres, Vec<Origin>)>,
    /// The rows that list it.
    pub origins: Vec<Origin>,
    /// Where its label is written, in each row that lists it.
    pub label_origins: Vec<Origin>,
    /// Where a second sheet puts its ends elsewhere.
    pub other_ends: Vec<Origin>,
}

impl Cable {
    /// The length that all sheets agree on.
    pub fn length(&self) -> Option<Millimetres> {
        match self.lengths.as_slice() {
            [(length, _)] => Some(*length),
            _ => None,
        }
    }

    fn same_ends(&self, other: &Self) -> bool {
        let [a, b] = other.ends;
        self.ends == [a, b] || self.ends == [b, a]
    }
}

impl Declared {
    pub(super) fn interpret_cables(
        &mut self,
        rows: Vec<CableRow>,
        profile: &Profile,
        errors: &mut Vec<ReadError>,
    ) {
        for row in rows {
            let position = self.cables.len();
            let Some(cable) = self.cable(position, &row, profile, errors) else { continue };
            let position = self.add_cable(cable);
            for (words, cell) in &row.facts {
                match Field::find(About::Cable, &Folded::of(&words.text)) {
                    Some(field) => self.state(Subject::Cable(position), field, cell, errors),
                    None => self.unknown_word(words, Field::of(About::Cable).map(Field::key)),
                }
            }
        }
    }

    fn cable(
        &mut self,
        position: usize,
        row: &CableRow,
        profile: &Profile,
        errors: &mut Vec<ReadError>,
    ) -> Option<Cable> {
        let whole = row.row.as_ref()?;
        let mut ends = [
            self.end(position, row.from.as_ref(), row.from_port.as_ref(), profile),
            self.end(position, row.to.as_ref(), row.to_port.as_ref(), profile),
        ];
        let kind = self.kind(row, &ends, errors);
        if kind == Some(CableKind::Terminator) {
            // The empty side of a plug may be left out or called anything.
            for end in &mut ends {
                if !matches!(end, End::Unit(..) | End::Device(_)) {
                    *end = End::Open;
                }
            }
            self.unknown_units.retain(|unknown| {
                unknown.cable != position || ends.iter().all(|end| *end == End::Open)
            });
        }
        let label = row.label.as_ref().filter(|label| !label.is_empty());
        let lengths = self.length_of(row, errors);
        Some(Cable {
            label: label.map_or_else(
                || format!("in line {}", self.sheets.position(whole.origin).line),
                |label| label.text.clone(),
            ),
            key: label.map(|label| Folded::of(&label.text)).unwrap_or_default(),
            kind,
            ends,
            end_origins: [
                end_origins(row.from.as_ref(), row.from_port.as_ref()),
                end_origins(row.to.as_ref(), row.to_port.as_ref()),
            ],
            lengths,
            origins: vec![whole.origin],
            label_origins: label.map(|label| label.origin).into_iter().collect(),
            other_ends: Vec::new(),
        })
    }

    /// What a cable is for: as written, else as its ends tell.
    fn kind(
        &mut self,
        row: &CableRow,
        ends: &[End; 2],
        errors: &mut Vec<ReadError>,
    ) -> Option<CableKind> {
        if let Some(cell) = row.kind.as_ref().filter(|cell| !cell.is_empty()) {
            let kind = CABLE_KIND.code(&Folded::of(&cell.text)).and_then(CableKind::from_code);
            if kind.is_none() {
                errors.push(self.wrong_value(cell, &format!("kind: {}", CABLE_KIND.phrase())));
            }
            return kind;
        }
        let has = |wanted: fn(&End) -> bool| ends.iter().any(wanted);
        if has(|end| matches!(end, End::Sensor(_))) {
            Some(CableKind::Sensor)
        } else if ends.iter().all(|end| matches!(end, End::Pack(_))) {
            Some(CableKind::PackLink)
        } else if has(|end| matches!(end, End::Pack(_))) {
            Some(CableKind::Battery)
        } else if has(|end| matches!(end, End::Unit(..))) && !has(|end| *end == End::Open) {
            Some(CableKind::Link)
        } else {
            if let Some(cell) = &row.row {
                self.ask(cell.origin, "what is this cable for?", "fill in its kind");
            }
            None
        }
    }

    fn length_of(
        &mut self,
        row: &CableRow,
        errors: &mut Vec<ReadError>,
    ) -> Vec<(Millimetres, Vec<Origin>)> {
        let Some(cell) = row.length.as_ref().filter(|cell| !cell.is_empty()) else {
            return Vec::new();
        };
        if matches!(cell.text.as_str(), "-" | "?" | "–" | "—") {
            return Vec::new();
        }
        if let Some(length) = length(&cell.text, row.length_unit.as_deref()) {
            return vec![(length, vec![cell.origin])];
        }
        if length(&cell.text, Some("m")).is_some() {
            self.ask(
                cell.origin,
                format!("in which unit is the length \u{201c}{}\u{201d}?", cell.text),
                "write the unit behind the number, or in the heading: length (m)",
            );
        } else {
            errors.push(
                self.wrong_value(cell, "a length with its unit, such as 1.5 m, 80 cm or 6 ft"),
            );
        }
        Vec::new()
    }

    /// Adds a cable. One that another sheet lists too is the same cable.
    fn add_cable(&mut self, cable: Cable) -> usize {
        let sheet = |cable: &Cable| cable.origins.first().map(|origin| origin.sheet);
        let twin = self.cables.iter().position(|other| {
            !cable.key.is_empty()
                && other.key == cable.key
                && other.origins.iter().all(|origin| Some(origin.sheet) != sheet(&cable))
        });
        let Some(position) = twin else {
            self.cables.push(cable);
            return self.cables.len() - 1;
        };
        let here = self.cables.len();
        for unknown in &mut self.unknown_units {
            if unknown.cable == here {
                unknown.cable = position;
            }
        }
        let other = &mut self.cables[position];
        if !other.same_ends(&cable) {
            // It is not known where it goes, so no rule may build on it.
            other.other_ends.extend(&cable.origins);
            other.ends = [End::Unknown; 2];
        }
        other.origins.extend(cable.origins);
        other.label_origins.extend(cable.label_origins);
        for (length, origins) in cable.lengths {
            match other.lengths.iter_mut().find(|(known, _)| *known == length) {
                Some((_, places)) => places.extend(origins),
                None => other.lengths.push((length, origins)),
            }
        }
        position
    }

    /// Facts about cables that two sheets state differently: length and ends, as readable words.
    pub fn cable_disagreements(&self) -> Vec<(usize, String, Vec<Origin>)> {
        let mut found = Vec::new();
        for (position, cable) in self.cables.iter().enumerate() {
            if cable.lengths.len() > 1 {
                let values: Vec<_> =
                    cable.lengths.iter().map(|(length, _)| crate::words::length(*length)).collect();
                let origins =
                    cable.lengths.iter().flat_map(|(_, origins)| origins.iter().copied()).collect();
                let says = format!("length {}", crate::phrase::all_of(&values));
                found.push((position, says, origins));
            }
            if !cable.other_ends.is_empty() {
                found.push((position, "where it goes".to_owned(), cable.origins.clone()));
            }
        }
        found
    }
}

/// Places that say where an end is: the unit's cell and the socket's.
fn end_origins(cell: Option<&Cell>, port: Option<&Cell>) -> Vec<Origin> {
    [cell, port]
        .into_iter()
        .flatten()
        .filter(|cell| !cell.is_empty())
        .map(|cell| cell.origin)
        .collect()
}
