//! A unit tells the firmware that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "firmware-heard-differs",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address, Datum::Firmware, Datum::HeardFirmware])
        .doubted_by(&[RuleId::AddressHeardTwice]),
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

#[cfg(test)]
mod tests {
    use crate::finding::Quantity;
    use crate::plan::Datum;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::FirmwareHeardDiffers;

    #[test]
    fn the_unit_that_tells_another_version_is_named() {
        let line = (0..3).fold(Trial::line(3), |line, index| {
            line.unit(index, |unit| {
                unit.firmware = 0x020E_0000.into();
                unit.declared = (unit.declared.get() | 1 << Datum::Firmware.bit()).into();
            })
        });
        let answer = line.with_serials().hear(|air| {
            for address in 1..=3 {
                air.change(address, |said| said.firmware = Some([2, 14]));
            }
            air.change(2, |said| said.firmware = Some([2, 9]));
        });
        assert_eq!((answer.places(RULE), answer.broken()), (vec![vec![unit(1)]], vec![RULE]));
        let version = |number| Some(Quantity::Version(number));
        assert_eq!(answer.values(RULE), [(version(0x0209_0000), version(0x020E_0000))]);
    }
}
