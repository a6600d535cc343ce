//! Inputs of units at which a line and a neutral may be exchanged.

use super::{Declared, Subject};
use crate::field::Field;
use crate::fold::Folded;
use crate::phrase::all_of;
use crate::value::{Pole, Value};
use std::collections::BTreeMap;

/// Units whose line, and units whose neutral, goes to a bar.
type Ends = (Vec<usize>, Vec<usize>);

impl Declared {
    /// A bar of the supply or of the generator that gets the line of one unit and the neutral of another.
    /// No rule looks at neutrals of inputs, and closed they are a short: so a person is asked.
    pub(super) fn ask_about_lines_at_neutrals(&mut self) {
        for (field, side) in [(Field::AcIn, "ac in"), (Field::GeneratorIn, "generator in")] {
            // Both bars of an exchange show it: one question is enough.
            let mixed = self
                .bars(field)
                .into_iter()
                .find(|(_, (lines, neutrals))| !lines.is_empty() && !neutrals.is_empty());
            let Some((bar, (lines, neutrals))) = mixed else { continue };
            let fewer = if lines.len() <= neutrals.len() { &lines } else { &neutrals };
            let origins = fewer.iter().flat_map(|unit| self.origins(Subject::Unit(*unit), field));
            let Some(origin) = origins.into_iter().next() else { continue };
            let named = |units: &[usize]| {
                all_of(&units.iter().map(|unit| self.units[*unit].name.clone()).collect::<Vec<_>>())
            };
            let says = format!(
                "{side}: are line and neutral exchanged? {} gets a line of {} and the neutral of {}",
                bar.spoken(),
                named(&lines),
                named(&neutrals)
            );
            self.ask(
                origin,
                says,
                "keep the power off, and follow both conductors dead: a line and a neutral that meet \
                 are a short. Exchange them at the unit where they are wrong, or correct the sheet",
            );
        }
    }

    fn bars(&self, field: Field) -> BTreeMap<Folded, Ends> {
        let mut bars: BTreeMap<Folded, Ends> = BTreeMap::new();
        for unit in 0..self.units.len() {
            let Some(Value::Conductors(list)) = self.agreed(Subject::Unit(unit), field) else {
                continue;
            };
            let is_line = |pole: Pole| matches!(pole, Pole::L1 | Pole::L2 | Pole::L3);
            let has_legs = list.iter().filter(|one| is_line(one.pole)).count() > 1;
            let neutral = list.iter().find(|one| one.pole == Pole::N).map(|one| &one.to);
            for one in list.iter().filter(|one| !one.to.is_empty()) {
                let (lines, neutrals) = bars.entry(one.to.clone()).or_default();
                match one.pole {
                    // A leg that joins its own neutral is one leg too few: a rule finds that.
                    _ if is_line(one.pole) && has_legs && neutral == Some(&one.to) => {}
                    Pole::L1 | Pole::L2 | Pole::L3 => lines.push(unit),
                    Pole::N => neutrals.push(unit),
                    Pole::Earth => {}
                }
            }
        }
        bars
    }
}
