//! Capacities in watt hours or in ampere hours: comparable only among their own kind, because the
//! volts that would make one of the other are not on the sheet.

use super::{Declared, Subject};
use crate::field::Field;
use crate::value::Value;
use crate::words::thousandths;

impl Declared {
    /// A capacity as a number, if it is given as the capacity that is set is.
    pub fn capacity(&self, subject: Subject, field: Field) -> Option<u32> {
        let value = self.agreed(subject, field)?;
        let number =
            if let Value::AmpereHours(number) = value { *number } else { value.number()? };
        (is_charge(value) == self.counts_ampere_hours()).then_some(number)
    }

    /// A capacity in words, in the unit that the sheets give.
    pub fn capacity_text(&self, number: u32) -> String {
        let unit = if self.counts_ampere_hours() { "Ah" } else { "kWh" };
        format!("{} {unit}", thousandths(number))
    }

    fn counts_ampere_hours(&self) -> bool {
        self.agreed(Subject::Group, Field::CapacitySet).is_some_and(is_charge)
    }

    /// The capacity of a pack in another unit than that of the bank cannot be compared with it.
    pub(super) fn compare_capacities(&mut self) {
        let Some(set) = self.agreed(Subject::Group, Field::CapacitySet) else { return };
        let by_charge = is_charge(set);
        let other = (0..self.packs.len()).map(Subject::Pack).find(|pack| {
            self.agreed(*pack, Field::PackCapacity).is_some_and(|own| is_charge(own) != by_charge)
        });
        let Some(pack) = other else { return };
        if let Some(origin) = self.origins(pack, Field::PackCapacity).first() {
            self.ask(
                *origin,
                "the capacity of this pack is given in another unit than the capacity that is \
                 set, and without the volts the two cannot be compared",
                "write both in kWh, or both in Ah",
            );
        }
    }
}

const fn is_charge(value: &Value) -> bool {
    matches!(value, Value::AmpereHours(_))
}
