//! What was declared, as words that read back to the same: for writing a site down again.

use super::names::{Meaning, device_key, has_common_word, pack_key, sensor, unit_key};
use super::{Declared, End, Fact, Subject, Topic};
use crate::field::Field;
use crate::fold::Folded;
use crate::source::Origin;
use crate::visible::acts;

impl Declared {
    /// The facts about a subject that all sheets agree on.
    pub fn facts_about(&self, subject: Subject) -> impl Iterator<Item = (Field, &Fact)> {
        self.facts.iter().filter_map(move |((about, topic), facts)| {
            match (topic, facts.as_slice()) {
                (Topic::Field(field), [fact]) if *about == subject => Some((*field, fact)),
                _ => None,
            }
        })
    }

    /// The fields that any sheet states of a subject, whether they agree or not.
    pub(crate) fn facts_stated(&self, subject: Subject) -> impl Iterator<Item = Field> {
        self.facts.keys().filter_map(move |(about, topic)| match topic {
            Topic::Field(field) if *about == subject => Some(*field),
            Topic::Field(_) | Topic::Demand(_) => None,
        })
    }

    /// Other words for units, as the person explained them: word, then what it means.
    pub fn explained_names(&self) -> &[(Folded, Folded)] {
        &self.names.explained
    }

    /// Other words for sockets, as the person explained them.
    pub fn explained_sockets(&self) -> &[(Folded, Folded)] {
        &self.names.sockets
    }

    /// The text of a sheet, if it can be quoted as it stands: on one line, without signs that a
    /// reader may have taken for escapes or that a site file escapes.
    pub fn quotable(&self, origin: Origin) -> Option<&str> {
        let text = self.sheets.get(origin.sheet)?.text.get(origin.range())?.trim();
        let odd = |c: char| acts(c) || matches!(c, '"' | '\\');
        (!text.is_empty() && !text.contains(odd)).then_some(text)
    }

    /// Words for an end that is neither a unit nor open: as the sheet has it, which may name a
    /// socket too; else the thing's name; else its key. The first that reads back to the same.
    pub fn words_for_end(&self, cable: usize, side: usize) -> Option<String> {
        let cable = &self.cables[cable];
        let end = cable.ends[side];
        let (name, key) = match end {
            End::Pack(pack) => (&self.packs[pack].name, &self.packs[pack].key),
            End::Sensor(sensor) => {
                let thing = &self.sensors[sensor].0;
                (&thing.name, &thing.key)
            }
            End::Device(device) => {
                let thing = &self.devices[device].0;
                (&thing.name, &thing.key)
            }
            End::Unit(..) | End::Open | End::Unknown => return None,
        };
        let written = (cable.origins.len() == 1).then(|| {
            let cells = cable.end_origins[side].iter().map(|origin| self.quotable(*origin));
            cells.collect::<Option<Vec<_>>>().map(|cells| cells.join(" "))
        });
        let candidates = [written.flatten(), Some(name.clone()), Some(key.to_string())];
        let mut candidates = candidates.into_iter().flatten();
        candidates.find(|words| self.end_meant_by(&Folded::of(words)) == Some(end))
    }

    /// Whether a common word for a unit stands before the number of one.
    fn shares_number(&self, name: &Folded) -> bool {
        has_common_word(&unit_key(name))
            && self.units.iter().any(|unit| unit.number.is_some() && unit.number == name.number())
    }

    /// The end that words mean, if it is neither a unit nor open; as the readers go about it.
    fn end_meant_by(&self, words: &Folded) -> Option<End> {
        let is_unit = |head: &Folded| self.find_unit(head).is_some() || self.shares_number(head);
        if words.cuts().any(|(head, _)| is_unit(&head)) {
            return None;
        }
        // The first beginning that is a name decides, even if nothing bears it: the readers would
        // make that thing.
        let named = words.cuts().find_map(|(head, _)| {
            if let Some(key) = pack_key(&head) {
                return Some(self.packs.iter().position(|thing| thing.key == key).map(End::Pack));
            }
            if let Some(Meaning::Sensor(leg)) = sensor(&head) {
                let position = self.sensors.iter().position(|(_, other)| *other == leg);
                return Some(position.map(End::Sensor));
            }
            let (_, key) = device_key(&head)?;
            let position = self.devices.iter().position(|(thing, _)| thing.key == key);
            Some(position.map(End::Device))
        });
        named.flatten()
    }
}
