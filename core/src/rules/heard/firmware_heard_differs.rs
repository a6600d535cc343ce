//! A unit tells the firmware that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "firmware-heard-differs",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[
        Datum::Address,
        Datum::Firmware,
        Datum::HeardFirmware,
    ]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Firmware,
    text: Text {
        title: "A unit says another firmware than declared",
        says: "{places} says firmware {value}; declared is {wanted}",
        why: "The list is older than the last update, or the update did not take. Units with unlike \
              firmware may share the load badly or refuse to start as one group.",
        act: "Read the firmware on the unit itself; update it as its maker says, or mend the list.",
        prove: "After a cold start all units say the declared firmware.",
        source: "common practice, no source",
        spoils: "a unit says another firmware",
        example: Example { site: examples::HEARD, edits: examples::OLD_FIRMWARE, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_differences(
        compared,
        Datum::HeardFirmware,
        |speaker, unit| {
            let wanted = unit.plain_firmware().map(Quantity::Version);
            (speaker.firmware().map(Quantity::Version), wanted)
        },
        sink,
    );
}
