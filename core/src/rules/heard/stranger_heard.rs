//! Nobody is heard whom nobody declares.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "stranger-heard",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address])
        .doubted_by(&[RuleId::UnitUnderOtherAddress]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Somebody is heard whom nobody declares",
        says: "Somebody answers whom nothing on the sheets has[: address {value}]",
        why: "It may be a unit that is on no list, one that is set to another address, or a device \
              that should not hang on this link. The count that the group is set to may be wrong.",
        act: "Find out what answers to this address, and enter it on the sheets or take it off the \
              link.",
        prove: "Power up the units one by one and listen which one brings this address.",
        source: "common practice, no source",
        spoils: "a stranger is heard",
        example: Example { site: examples::HEARD, edits: examples::FOURTH, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let others = compared.links.units.without(compared.addressed);
    let unaddressed = others.without(compared.shared);
    let mut tell = |address: Option<u16>| {
        // It may be a unit without an address, or one of those that share one.
        if !unaddressed.is_empty() {
            sink.open(Datum::Address).at_units(unaddressed);
        } else if !compared.shared.is_empty() {
            sink.blocked_by(RuleId::AddressDuplicate);
        } else {
            let finding = sink.add();
            if let Some(address) = address {
                finding.value(Quantity::Address(address));
            }
        }
    };
    for stranger in compared.strangers() {
        if compared.unit_of(stranger).is_none() {
            tell(stranger.address());
        }
    }
    // For these there was no room to keep their addresses apart.
    if compared.heard.unheeded() > 0 {
        tell(None);
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{Datum, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{Air, Trial, unit};

    const RULE: RuleId = RuleId::StrangerHeard;

    #[test]
    fn a_stranger_may_be_a_unit_without_address() {
        let line = Trial::line(3).undeclare(2, Datum::Address);
        let answer = line.hear(|air| air.copy(1, 5, |said| said.address = 9));
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Address));
        assert_eq!(answer.lacking(RULE, Datum::Address), [unit(2)]);
    }

    #[test]
    fn a_stranger_may_be_a_unit_that_shares_an_address_on_the_sheets() {
        let line = Trial::line(4).unit(3, |unit| unit.address = 3.into());
        let answer = line.hear(|air| air.copy(1, 5, |said| (said.address, said.role) = (4, 2)));
        assert_eq!(answer.outcome(RULE), Outcome::Blocked(RuleId::AddressDuplicate));
        assert_eq!(answer.broken(), [RuleId::AddressDuplicate]);
    }

    #[test]
    fn each_stranger_is_told_and_a_declared_device_is_none() {
        let answer = Trial::line(3).hear(|air| {
            air.copy(1, 5, |said| (said.address, said.role) = (9, 0));
            air.copy(2, 7, |said| (said.address, said.role) = (11, 0));
        });
        let address = |address| (Some(Quantity::Address(address)), None);
        assert_eq!(answer.values(RULE), [address(9), address(11)]);
        assert_eq!(answer.broken(), [RULE]);
        let device = Trial::line(3).device(DeviceKind::Monitor, None).device_address(0, 9);
        let answer = device.hear(|air| air.copy(1, 5, |said| (said.address, said.role) = (9, 0)));
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn one_for_whom_there_is_no_room_is_told_without_an_address() {
        let mut site = Trial::line(32);
        for (device, address) in (0..5).zip(101..) {
            site = site.device(DeviceKind::Monitor, None).device_address(device, address);
        }
        let devices = |air: &mut Air| {
            for address in 101..=105 {
                air.copy(2, 5, |said| (said.address, said.role) = (address, 0));
            }
        };
        assert_eq!(site.clone().hear(devices).outcome(RULE), Outcome::Met);
        let answer = site.hear(|air| {
            devices(air);
            air.copy(2, 7, |said| (said.address, said.role) = (110, 0));
        });
        assert_eq!(answer.values(RULE), [(None, None)]);
    }
}
