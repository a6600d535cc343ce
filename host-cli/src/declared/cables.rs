//! Cables: rows with their ends understood, and the same cable on two sheets made one.

pub(super) mod kind;
mod lengths;

use super::ends::End;
use super::{Declared, Subject, Topic};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::Profile;
use crate::read::ReadError;
use crate::source::{Cell, Origin, SheetId};
use crate::statement::CableRow;
use crate::value::{Value, terminator};
use coldcheck_core::plan::{CableKind, Leg};
use coldcheck_core::rules::RuleId;
use coldcheck_core::units::Millimetres;

/// What two sheets can contradict each other about.
pub(super) const WHERE_IT_GOES: &str = "where it goes";

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
    /// Where each row that lists it says that its ends are, as far as the row was read.
    pub(super) listed: Vec<(SheetId, [End; 2])>,
    /// Where a length is written that could not be used.
    pub(super) length_in_doubt: Vec<Origin>,
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
        common(self.ends, other.ends)
    }

    /// Whether its row could not be cut into cells, so that nothing is known of it.
    fn is_unread(&self) -> bool {
        self.listed.is_empty()
    }

    /// Whether a length is written, understood or not.
    pub(crate) fn has_length(&self) -> bool {
        !self.lengths.is_empty() || !self.length_in_doubt.is_empty()
    }

    /// Takes over what a second sheet says about the same cable. Where the two contradict each
    /// other, it is not known where the cable goes, so that no rule builds on it.
    fn merge(&mut self, other: Self) {
        if let Some(ends) = self.common_ends(&other) {
            self.ends = ends;
        } else if self.is_unread() {
            (self.ends, self.kind) = (other.ends, other.kind);
        } else if !other.is_unread() {
            self.contradictions.push(WHERE_IT_GOES.to_owned());
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
        self.listed.extend(other.listed);
        self.length_in_doubt.extend(other.length_in_doubt);
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

/// The ends of two rows for one cable, in either direction, where they do not contradict each
/// other.
pub(super) fn common([a, b]: [End; 2], [c, d]: [End; 2]) -> Option<[End; 2]> {
    both(a, c).zip(both(b, d)).or_else(|| both(a, d).zip(both(b, c))).map(|(a, b)| [a, b])
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
        let mixed = lengths::mixed_up(&rows);
        for mut row in rows {
            let sheet = row.row.as_ref().map(|whole| whole.origin.sheet);
            if let Some(sheet) = sheet {
                *self.rows_read.entry(sheet.0).or_default() += 1;
                if mixed.contains(&sheet) {
                    // The heading's unit does not hold for everybody who wrote in this column.
                    row.length_unit = None;
                }
            }
            let position = self.cables.len();
            let Some(cable) = self.cable(position, &row, profile) else { continue };
            let is_plug = cable.kind == Some(CableKind::Terminator);
            let position = self.add_cable(cable);
            if is_plug {
                self.plug_ohms(position, &row);
            }
            self.second_service(position, &row);
            for (words, cell) in &row.facts {
                match Field::find(About::Cable, &Folded::of(&words.text)) {
                    Some(field) => self.state(Subject::Cable(position), field, cell, errors),
                    None => self.unknown_word(words, Field::of(About::Cable).map(Field::key)),
                }
            }
        }
    }

    fn cable(&mut self, position: usize, row: &CableRow, profile: &Profile) -> Option<Cable> {
        let whole = row.row.as_ref()?;
        if row.unread {
            return Some(self.unread_cable(whole, row));
        }
        let written = [
            self.end(position, row.from.as_ref(), row.from_port.as_ref(), profile),
            self.end(position, row.to.as_ref(), row.to_port.as_ref(), profile),
        ];
        self.sensor_input(row, &written);
        let kind = self.kind(row, &written, profile);
        let (name, label) = self.cable_name(whole, row);
        let ends = if kind == Some(CableKind::Terminator) {
            self.plug_ends(position, written)
        } else {
            self.cable_ends(whole, &name, written)
        };
        let (lengths, length_in_doubt) = self.length_of(position, row);
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
            listed: vec![(whole.origin.sheet, ends)],
            length_in_doubt,
        })
    }

    /// The value of a plug that its remark gives: `120 ohm plug`.
    fn plug_ohms(&mut self, position: usize, row: &CableRow) {
        let Some(whole) = &row.row else { return };
        if let Some((_, ohms)) = row.notes.iter().find_map(|note| terminator(note)) {
            let topic = Topic::Field(Field::PlugOhms);
            let value = Value::Number(ohms.0.into());
            self.say(Subject::Cable(position), topic, value, whole.origin);
        }
    }

    /// A sensor lead in a socket that bears a leg feeds the input of that leg: `unit 1 CT L2`.
    fn sensor_input(&mut self, row: &CableRow, ends: &[Option<End>; 2]) {
        let sides = [(&row.from, &row.from_port), (&row.to, &row.to_port)];
        let sensor = ends.iter().flatten().find_map(|end| match end {
            End::Sensor(sensor) => Some(*sensor),
            End::Unit(..) | End::Pack(_) | End::Device(_) | End::Open | End::Unknown => None,
        });
        let Some(sensor) = sensor else { return };
        for (end, (cell, port)) in ends.iter().zip(sides) {
            let port = port.as_ref().filter(|port| !port.is_empty());
            let (Some(End::Unit(_, Some(_))), Some(socket)) = (end, port.or(cell.as_ref())) else {
                continue;
            };
            let words = Folded::of(&socket.text);
            let leg = Leg::WORDS.iter().find(|(leg, _)| words.before(leg).is_some());
            if let Some((_, code)) = leg {
                let topic = Topic::Field(Field::SensorInput);
                let value = Value::Number((*code).into());
                self.say(Subject::Sensor(sensor), topic, value, socket.origin);
            }
        }
    }

    /// A cable's name: its label, what another sheet called it, or else the line it stands in.
    fn cable_name<'c>(&self, whole: &Cell, row: &'c CableRow) -> (String, Option<&'c Cell>) {
        let label = row.label.as_ref().filter(|label| !label.is_empty());
        let name = match (label, &row.called) {
            (Some(label), _) => label.text.clone(),
            (None, Some(called)) => called.text.clone(),
            (None, None) => format!("in line {}", self.sheets.position(whole.origin).line),
        };
        (name, label)
    }

    /// A row that could not be cut into cells: a cable that may be any.
    fn unread_cable(&self, whole: &Cell, row: &CableRow) -> Cable {
        let (name, label) = self.cable_name(whole, row);
        Cable {
            label: name,
            key: label.map(|label| Folded::of(&label.text)).unwrap_or_default(),
            kind: None,
            ends: [End::Unknown; 2],
            end_origins: [Vec::new(), Vec::new()],
            lengths: Vec::new(),
            origins: vec![whole.origin],
            label_origins: label.map(|label| label.origin).into_iter().collect(),
            notes: row.notes.clone(),
            contradictions: Vec::new(),
            listed: Vec::new(),
            length_in_doubt: Vec::new(),
        }
    }

    /// The empty side of a plug may be left out or called anything.
    fn plug_ends(&mut self, position: usize, written: [Option<End>; 2]) -> [End; 2] {
        let ends = written.map(|end| match end {
            Some(end @ (End::Unit(..) | End::Device(_))) => end,
            Some(End::Pack(_) | End::Sensor(_) | End::Open | End::Unknown) | None => End::Open,
        });
        if ends.iter().any(|end| *end != End::Open) {
            self.readings.retain(|reading| {
                reading.rule != RuleId::LabelUnknownUnit || !reading.is_about_cable(position)
            });
        }
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
        }
        written.map(|end| end.unwrap_or(End::Unknown))
    }

    /// Adds a cable. One that another sheet lists too, under the same label or without one
    /// between the same points, is the same cable.
    fn add_cable(&mut self, cable: Cable) -> usize {
        let sheet = cable.origins.first().map(|origin| origin.sheet);
        let elsewhere =
            |other: &Cable| other.origins.iter().all(|origin| Some(origin.sheet) != sheet);
        let same_way = |other: &Cable| {
            other.key == cable.key && other.common_ends(&cable).is_some() && elsewhere(other)
        };
        // Of two with one label, the one that goes the same way.
        let twin = self.cables.iter().position(same_way).or_else(|| {
            let labelled = |other: &Cable| other.key == cable.key && elsewhere(other);
            if cable.key.is_empty() { None } else { self.cables.iter().position(labelled) }
        });
        let Some(position) = twin else {
            self.cables.push(cable);
            return self.cables.len() - 1;
        };
        self.moved_cable(self.cables.len(), position);
        self.rows_again += 1;
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

/// Places that say where an end is: the unit's cell and the socket's.
fn end_origins(cell: Option<&Cell>, port: Option<&Cell>) -> Vec<Origin> {
    [cell, port]
        .into_iter()
        .flatten()
        .filter(|cell| !cell.is_empty())
        .map(|cell| cell.origin)
        .collect()
}
