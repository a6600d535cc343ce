//! A unit's serial number answers under the address that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-identity-swapped",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address, Datum::Serial, Datum::HeardSerial])
        .doubted_by(&[RuleId::AddressHeardTwice]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Serial,
    text: Text {
        title: "Another unit answers than the list says",
        says: "Serial number {value} answers for {places}; the list has {wanted} there",
        why: "Two units are exchanged, or one stands there that the list does not know: what is set or \
              switched off under one name acts on another unit, and a person may work on a unit that \
              is still on.",
        act: "Read serial number and address on each of these units and mend the list, or set the \
              addresses as the list has them.",
        prove: "Let each unit show itself, by its lamp or by switching it off alone: the one that \
                answers is the one that the list names.",
        source: "common practice, no source",
        spoils: "units are exchanged",
        example: Example { site: examples::HEARD, edits: examples::OTHER_SERIAL, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_differences(
        compared,
        Datum::HeardSerial,
        |speaker, unit| {
            let wanted = unit.plain_serial().map(Quantity::Serial);
            (speaker.serial().map(Quantity::Serial), wanted)
        },
        sink,
    );
}

#[cfg(test)]
mod tests {
    use crate::finding::Quantity;
    use crate::plan::UnitRecord;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::UnitIdentitySwapped;

    #[test]
    fn each_unit_that_another_answers_for_is_named() {
        let answer = Trial::line(4).with_serials().hear(|air| {
            air.change(2, |said| said.serial = 1003);
            air.change(3, |said| said.serial = 1002);
        });
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.places(RULE), [[unit(1)], [unit(2)]]);
        let serial = |serial| Some(Quantity::Serial(serial));
        assert_eq!(answer.values(RULE)[0], (serial(1003), serial(1002)));
    }

    #[test]
    fn a_serial_that_is_no_number_is_not_compared() {
        let line = Trial::line(3)
            .with_serials()
            .unit(1, |unit| unit.serial = (UnitRecord::FIRST_OTHER_SERIAL | 1).into());
        let answer = line.hear(|air| air.change(2, |said| said.serial = 7));
        assert_eq!(answer.broken(), []);
    }
}
