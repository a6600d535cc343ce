//! Every unit of the settings is reached by the link.
use crate::alike::Groups;
use crate::rule::prelude::*;
use crate::rules::identity::serial_number;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-not-on-link",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING
        .whole(&[Datum::CableList, Datum::CableEnds])
        .doubted_by(&[RuleId::UnitListedTwice]),
    after: &[RuleId::LinkBroken],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "A unit is not on the link",
        says: "No link cable reaches {places}",
        why: "A unit that is not on the link never answers at any address. The others wait for it, \
              or start without it, and it may run on its own beside them.",
        act: "Run a link cable from the open end of the line to a link socket of this unit.",
        prove: "By eye, power off: a link cable is in the unit. Volts on the pair near zero, then \
                ohms between its two wires at this unit: the same reading as at the others.",
        source: "common practice, no source",
        spoils: "a unit is not on the link yet, so the ends of the line are unknown",
        example: Example {
            site: examples::LINE,
            edits: &[(
                "  { label = \"C2\", from = \"U2 A\", to = \"U3 B\", length = \"2 m\" },\n",
                "",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let alone = links.units.without(links.on_link.units());
    // A single unit has nobody to talk to.
    if links.units.is_plural() && !alone.is_empty() {
        sink.add_units(alone.without(under_another_name(links, alone)));
    }
}

/// Those of the units that are on the link under another name: the serial number tells.
#[inline(never)]
fn under_another_name(links: &Links<'_>, alone: UnitSet) -> UnitSet {
    let serials = links.values(serial_number);
    let mut same = UnitSet::EMPTY;
    for (_, units) in Groups::of(&serials).iter() {
        if !units.without(alone).is_empty() {
            same = same.or(units.and(alone));
        }
    }
    same
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Datum;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::UnitNotOnLink;

    #[test]
    fn a_single_unit_has_nobody_to_be_joined_to() {
        assert_eq!(Trial::line(1).check().outcome(RULE), Outcome::Met);
        let apart = Trial::line(2).without_cables(|index| index == 0).check();
        assert_eq!(apart.places(RULE), [[unit(0), unit(1)]]);
    }

    #[test]
    fn a_unit_that_is_on_the_link_under_another_name_is_no_second_one() {
        let numbered = |serials: [u32; 3]| {
            let line = Trial::line(3).without_cables(|index| index == 1);
            serials.into_iter().enumerate().fold(line, |trial, (index, serial)| {
                trial.unit(index, |unit| {
                    unit.serial = serial.into();
                    unit.declared = (unit.declared.get() | 1 << Datum::Serial.bit()).into();
                })
            })
        };
        assert_eq!(numbered([7, 8, 9]).check().places(RULE), [[unit(2)]]);
        let waits = Outcome::Blocked(RuleId::UnitListedTwice);
        assert_eq!(numbered([7, 8, 8]).check().outcome(RULE), waits);
    }
}
