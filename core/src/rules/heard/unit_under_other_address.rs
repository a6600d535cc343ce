//! A unit answers to the address that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-under-other-address",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "A unit answers to another address",
        says: "{places} should answer to {wanted}; it is silent there, and somebody answers to {value}",
        why: "The unit is most likely set to another address than the list says. The coordinator \
              counts it as missing, and the next unit that is set may get the same address.",
        act: "With the power off, read the address on the unit itself and set it as declared, or mend \
              the list.",
        prove: "Power up this unit alone and listen: it answers to the declared address, and nobody \
                to the other one.",
        source: "common practice, no source",
        spoils: "a unit answers to another address",
        example: Example { site: examples::HEARD, edits: examples::THIRD_AT_NINE, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    for stranger in compared.strangers() {
        let Some(unit) = compared.unit_of(stranger) else { continue };
        let declared = compared.links.plan.unit(unit).and_then(|unit| unit.address());
        if let (Some(heard), Some(declared)) = (stranger.address(), declared) {
            let entry = sink.add().at(Place::Unit(unit)).value(Quantity::Address(heard));
            entry.wanted(Quantity::Address(declared));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::UnitUnderOtherAddress;

    #[test]
    fn one_silent_unit_and_one_stranger_are_one_fault() {
        let answer = Trial::line(4).hear(|air| air.change(3, |said| said.address = 9));
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.places(RULE), [[unit(2)]]);
        let address = |address| Some(Quantity::Address(address));
        assert_eq!(answer.values(RULE), [(address(9), address(3))]);
        // It may be a silent unit and a stranger all the same.
        for other in [RuleId::UnitSilent, RuleId::StrangerHeard] {
            assert_eq!(answer.outcome(other), Outcome::Blocked(RULE));
        }
    }

    #[test]
    fn before_silence_is_known_only_a_serial_number_tells() {
        let short = |line: Trial| {
            line.hear(|air| {
                air.change(3, |said| said.address = 9);
                air.keep(|at, _| at < 1000);
                air.until = 1000;
            })
        };
        assert_eq!(short(Trial::line(4)).broken(), [RuleId::StrangerHeard]);
        assert_eq!(short(Trial::line(4).with_serials()).broken(), [RULE]);
    }

    #[test]
    fn serial_numbers_tell_several_apart() {
        let answer = Trial::line(4).with_serials().hear(|air| {
            air.change(3, |said| said.address = 9);
            air.change(2, |said| said.address = 8);
        });
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.places(RULE), [[unit(1)], [unit(2)]]);
    }

    #[test]
    fn another_serial_number_is_another_unit() {
        let answer = Trial::line(4).with_serials().hear(|air| {
            air.change(4, |said| (said.address, said.serial) = (9, 77));
        });
        assert_eq!(answer.broken(), [RuleId::UnitSilent, RuleId::StrangerHeard]);
    }

    #[test]
    fn a_serial_number_on_one_side_only_tells_nothing() {
        let told = Trial::line(4).hear(|air| {
            air.change(3, |said| (said.address, said.serial) = (9, 77));
        });
        assert_eq!(told.places(RULE), [[unit(2)]]);
        let declared = Trial::line(4).with_serials().hear(|air| {
            air.change(3, |said| (said.address, said.serial) = (9, 0));
        });
        assert_eq!(declared.places(RULE), [[unit(2)]]);
    }

    #[test]
    fn two_of_each_without_serial_numbers_stay_apart() {
        let answer = Trial::line(4).hear(|air| {
            air.change(3, |said| said.address = 9);
            air.change(4, |said| said.address = 8);
        });
        assert_eq!(answer.broken(), [RuleId::UnitSilent, RuleId::StrangerHeard]);
        assert_eq!(answer.places(RuleId::UnitSilent), [[unit(2), unit(3)]]);
    }
}
