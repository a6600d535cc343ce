//! Address switches give the address that is declared.
use crate::rule::prelude::*;
use crate::switches::{self, Reading};

pub(crate) const RULE: Rule = Rule {
    slug: "switch-knocked",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING
        .some(&[Datum::Switches, Datum::Address])
        .doubted_by(&[RuleId::AddressMissing]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Switches,
    text: Text {
        title: "Address switches give another address than is declared",
        says: "The switches of {places} give {value} where {wanted} is declared",
        why: "A switch may have been bumped while somebody worked on the unit. It then has another \
             address than everybody believes.",
        act: "Look at the switches, set them by the table of the unit, and correct the sheet that \
             is wrong.",
        prove: "Read the address back on the unit after a restart.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 switches" = "1100""#, r#""U3 switches" = "1101""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    switches::report(links, sink, Reading::is_knocked);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Outcome;
    use crate::plan::UnitRecord;
    use crate::trial::{Trial, unit};

    fn with_switches(record: &mut UnitRecord, address: u16) {
        record.declared = (record.declared.get() | 1 << Datum::Switches.bit()).into();
        (record.switches, record.switch_count) = (address.into(), 4);
    }

    #[test]
    fn switches_of_a_unit_without_an_address_wait_for_one_and_others_do_not() {
        let trial = Trial::line(3)
            .unit(0, |record| with_switches(record, 1))
            .unit(1, |record| with_switches(record, 9))
            .unit(2, |record| with_switches(record, 7));
        assert_eq!(trial.check().places(RuleId::SwitchKnocked), [[unit(1)], [unit(2)]]);
        let unset = trial.unit(1, |record| record.address_base = UnitRecord::NO_ADDRESS);
        assert_eq!(unset.check().places(RuleId::SwitchKnocked), [[unit(2)]]);
        let alone = unset.unit(2, |record| with_switches(record, 3));
        let waits = Outcome::Blocked(RuleId::AddressMissing);
        assert_eq!(alone.check().outcome(RuleId::SwitchKnocked), waits);
    }
}
