//! What a plan image still tells of what was declared: the names. Where they were read is gone.

use super::cables::Cable;
use super::ends::End;
use super::names::Thing;
use super::{Declared, Subject, Topic};
use crate::field::Field;
use crate::fold::Folded;
use crate::image::Names;
use crate::source::{Origin, SheetId};
use crate::value::Value;
use coldcheck_core::plan::{DeviceKind, Plan};

impl Declared {
    /// Things with the names of an image, in the order of its plan. A thing without a name is
    /// called by its kind and its place.
    pub(crate) fn of_image(plan: &Plan<'_>, names: &Names) -> Self {
        let name = |names: &[String], index: usize, word: &str| match names.get(index) {
            Some(name) if !name.is_empty() => name.clone(),
            Some(_) | None => format!("{word} {}", index + 1),
        };
        let things = |count: usize, names: &[String], word: &str| -> Vec<Thing> {
            (0..count).map(|index| Thing::of_image(&name(names, index, word))).collect()
        };
        let mut declared = Self {
            units: things(plan.units.len(), &names.units, "unit"),
            packs: things(plan.packs.len(), &names.packs, "pack"),
            sensors: things(plan.sensors.len(), &names.sensors, "sensor")
                .into_iter()
                .zip(plan.sensors)
                .map(|(thing, record)| (thing, record.leg()))
                .collect(),
            devices: things(plan.devices.len(), &names.devices, "device")
                .into_iter()
                .zip(plan.devices)
                .map(|(thing, record)| (thing, record.kind().unwrap_or(DeviceKind::Other)))
                .collect(),
            cables: (0..plan.cables.len())
                .map(|index| Cable::of_image(name(&names.cables, index, "cable")))
                .collect(),
            ..Self::default()
        };
        if !names.site.is_empty() {
            let topic = (Subject::Group, Topic::Field(Field::Site));
            let fact = super::Fact { value: Value::Text(names.site.clone()), origins: Vec::new() };
            declared.facts.insert(topic, vec![fact]);
        }
        declared
    }
}

impl Thing {
    fn of_image(name: &str) -> Self {
        let nowhere = Origin { sheet: SheetId(usize::MAX), start: 0, end: 0 };
        let mut thing = Self::new(name, Folded::of(name), nowhere);
        thing.origins.clear();
        thing
    }
}

impl Cable {
    fn of_image(label: String) -> Self {
        Self {
            key: Folded::of(&label),
            label,
            kind: None,
            ends: [End::Unknown; 2],
            end_origins: [Vec::new(), Vec::new()],
            lengths: Vec::new(),
            origins: Vec::new(),
            label_origins: Vec::new(),
            notes: Vec::new(),
            contradictions: Vec::new(),
            listed: Vec::new(),
            length_in_doubt: Vec::new(),
        }
    }
}
