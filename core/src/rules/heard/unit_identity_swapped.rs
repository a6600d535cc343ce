//! A unit's serial number answers under the address that was declared for it.
use crate::plan::UnitRecord;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-identity-swapped",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[
        Datum::Address,
        Datum::Serial,
        Datum::HeardSerial,
    ]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Serial,
    text: Text {
        title: "Another unit answers than the list says",
        says: "Serial number {value} answers for {places}; the list has {wanted} there",
        why: "Names and addresses of units are exchanged: what is set or switched off under one name \
              acts on the other unit, and a person may work on a unit that is still on.",
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
            let declared = unit.declares(Datum::Serial).then(|| unit.serial.get());
            let is_number = |serial: &u32| *serial < UnitRecord::FIRST_OTHER_SERIAL;
            let wanted = declared.filter(is_number).map(Quantity::Serial);
            (speaker.serial().map(Quantity::Serial), wanted)
        },
        sink,
    );
}
