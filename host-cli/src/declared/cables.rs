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
use coldcheck_core::plan::{CableKind, PortClass};
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
    /// Remarks about it, which no rule reads.
    pub notes: Vec<String>,
    /// What a second sheet says otherwise, in words.
    pub contradictions: Vec<String>,
}

impl Cable {
    /// The length that all sheets agree on.
    pub fn length(&self) -> Option<Millimetres> {
        match self.lengths.as_slice() {
            [(length, _)] => Some(*length),
            _ => None,
        }
    }

    /// The ends of two rows for one cable, where they do not contradict each other: a socket that
    /// only one of them names is no contradiction.
    fn common_ends(&self, other: &Self) -> Option<[End; 2]> {
        let [a, b] = self.ends;
        let [c, d] = other.ends;
        both(a, c).zip(both(b, d)).or_else(|| both(a, d).zip(both(b, c))).map(|(a, b)| [a, b])
    }

    /// Takes over what a second sheet says about the same cable. Where the two contradict each
    /// other, it is not known where the cable goes, so that no rule builds on it.
    fn merge(&mut self, other: Self) {
        if let Some(ends) = self.common_ends(&other) {
            self.ends = ends;
        } else {
            self.contradictions.push("where it goes".to_owned());
        }
        if let (Some(one), Some(two)) = (self.kind, other.kind)
            && one != two
        {
            let (first, second) = (one.min(two), one.max(two));
            self.contradictions.push(format!("kind {} and {}", first.word(), second.word()));
            self.kind = Some(first);
        }
        self.kind = self.kind.or(other.kind);
        if !self.contradictions.is_empty() {
            self.ends = [End::Unknown; 2];
        }
        self.origins.extend(other.origins);
        for note in other.notes {
            if !self.notes.contains(&note) {
                self.notes.push(note);
            }
        }
        self.label_origins.extend(other.label_origins);
        for (mine, theirs) in self.end_origins.iter_mut().zip(other.end_origins) {
            mine.extend(theirs);
        }
        for (length, origins) in other.lengths {
            match self.lengths.iter_mut().find(|(known, _)| *known == length) {
                Some((_, places)) => places.extend(origins),
                None => self.lengths.push((length, origins)),
            }
        }
    }
}

/// What two rows say of one end, if they agree.
fn both(one: End, two: End) -> Option<End> {
    match (one, two) {
        (End::Unit(a, None), End::Unit(b, port)) | (End::Unit(b, port), End::Unit(a, None))
            if a == b =>
        {
            Some(End::Unit(a, port))
        }
        _ => (one == two).then_some(one),
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
        let written = [
            self.end(position, row.from.as_ref(), row.from_port.as_ref(), profile),
            self.end(position, row.to.as_ref(), row.to_port.as_ref(), profile),
        ];
        let kind = self.kind(row, &written, profile, errors);
        let label = row.label.as_ref().filter(|label| !label.is_empty());
        let name = label.map_or_else(
            || match &row.called {
                Some(called) => called.text.clone(),
                None => format!("in line {}", self.sheets.position(whole.origin).line),
            },
            |label| label.text.clone(),
        );
        let ends = if kind == Some(CableKind::Terminator) {
            self.plug_ends(position, written)
        } else {
            self.cable_ends(whole, &name, written)
        };
        let lengths = self.length_of(row, errors);
        Some(Cable {
            label: name,
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
            notes: row.notes.clone(),
            contradictions: Vec::new(),
        })
    }

    /// The empty side of a plug may be left out or called anything.
    fn plug_ends(&mut self, position: usize, written: [Option<End>; 2]) -> [End; 2] {
        let ends = written.map(|end| match end {
            Some(end @ (End::Unit(..) | End::Device(_))) => end,
            Some(End::Pack(_) | End::Sensor(_) | End::Open | End::Unknown) | None => End::Open,
        });
        self.unknown_units.retain(|unknown| {
            unknown.cable != position || ends.iter().all(|end| *end == End::Open)
        });
        ends
    }

    /// A cable has two ends; one that the sheet leaves out is asked about.
    fn cable_ends(&mut self, row: &Cell, name: &str, written: [Option<End>; 2]) -> [End; 2] {
        if written.contains(&None) {
            self.ask(
                row.origin,
                format!("where does the other end of cable {name} go?"),
                "fill in both ends, or write - for a plug that hangs free",
            );
        } else if written.contains(&Some(End::Open)) {
            self.ask(
                row.origin,
                format!("does cable {name} really end nowhere?"),
                "write where it goes, or take it out of the list if it is not fitted",
            );
        }
        written.map(|end| end.unwrap_or(End::Unknown))
    }

    /// What a cable is for: as written, else as its ends tell.
    fn kind(
        &mut self,
        row: &CableRow,
        ends: &[Option<End>; 2],
        profile: &Profile,
        errors: &mut Vec<ReadError>,
    ) -> Option<CableKind> {
        let by_ends = kind_by_ends(ends, profile);
        let Some(cell) = row.kind.as_ref().filter(|cell| !cell.is_empty()) else {
            if by_ends.is_none()
                && let Some(cell) = &row.row
            {
                self.ask(cell.origin, "what is this cable for?", "fill in its kind");
            }
            return by_ends;
        };
        let Some(kind) = CABLE_KIND.code(&Folded::of(&cell.text)).and_then(CableKind::from_code)
        else {
            errors.push(self.wrong_value(cell, &format!("kind: {}", CABLE_KIND.phrase())));
            return None;
        };
        // From pack to pack, and not to a unit.
        if kind == CableKind::Battery && by_ends == Some(CableKind::PackLink) {
            return by_ends;
        }
        let joins_two_units = ends.iter().all(|end| matches!(end, Some(End::Unit(..))));
        if joins_two_units && matches!(kind, CableKind::Battery | CableKind::Sensor) {
            self.ask(
                cell.origin,
                format!("a cable of kind {} joins two units; what is it for?", kind.word()),
                "correct its kind or its ends",
            );
        }
        Some(kind)
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

    /// Adds a cable. One that another sheet lists too, under the same label or without one
    /// between the same points, is the same cable.
    fn add_cable(&mut self, cable: Cable) -> usize {
        let sheet = cable.origins.first().map(|origin| origin.sheet);
        let is_twin = |other: &Cable| {
            let same = if cable.key.is_empty() {
                other.key.is_empty() && other.common_ends(&cable).is_some()
            } else {
                other.key == cable.key
            };
            same && other.origins.iter().all(|origin| Some(origin.sheet) != sheet)
        };
        let Some(position) = self.cables.iter().position(is_twin) else {
            self.cables.push(cable);
            return self.cables.len() - 1;
        };
        let here = self.cables.len();
        for unknown in &mut self.unknown_units {
            if unknown.cable == here {
                unknown.cable = position;
            }
        }
        self.cables[position].merge(cable);
        position
    }

    /// What two sheets say differently about one cable, as readable words.
    pub fn cable_disagreements(&self) -> Vec<(usize, String, Vec<Origin>)> {
        let mut found = Vec::new();
        for (position, cable) in self.cables.iter().enumerate() {
            if cable.lengths.len() > 1 {
                let values: Vec<_> =
                    cable.lengths.iter().map(|(length, _)| crate::words::length(*length)).collect();
                let origins =
                    cable.lengths.iter().flat_map(|(_, origins)| origins.iter().copied()).collect();
                found.push((
                    position,
                    format!("length {}", crate::phrase::all_of(&values)),
                    origins,
                ));
            }
            for contradiction in &cable.contradictions {
                found.push((position, contradiction.clone(), cable.origins.clone()));
            }
        }
        found
    }
}

/// What a cable is for, as far as its ends and sockets tell.
fn kind_by_ends(ends: &[Option<End>; 2], profile: &Profile) -> Option<CableKind> {
    let has = |wanted: fn(&End) -> bool| ends.iter().flatten().any(wanted);
    if has(|end| matches!(end, End::Sensor(_))) {
        return Some(CableKind::Sensor);
    }
    if ends.iter().all(|end| matches!(end, Some(End::Pack(_)))) {
        return Some(CableKind::PackLink);
    }
    if has(|end| matches!(end, End::Pack(_))) {
        return Some(CableKind::Battery);
    }
    if !has(|end| matches!(end, End::Unit(..) | End::Device(_))) || has(|end| *end == End::Open) {
        return None;
    }
    let class = ends.iter().flatten().find_map(|end| match end {
        End::Unit(_, Some(port)) => profile.ports.get(port.index()).map(|port| port.class),
        End::Unit(_, None)
        | End::Pack(_)
        | End::Sensor(_)
        | End::Device(_)
        | End::Open
        | End::Unknown => None,
    });
    match class {
        Some(PortClass::Link) | None => Some(CableKind::Link),
        Some(PortClass::Battery) => Some(CableKind::Battery),
        Some(PortClass::Sensor) => Some(CableKind::Sensor),
        Some(PortClass::Meter) => Some(CableKind::Meter),
        Some(PortClass::Service) => Some(CableKind::Service),
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
