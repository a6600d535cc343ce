//! Units with two opposed legs stand on a supply with two opposed legs.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "supply-not-split-phase",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "Units for two opposed legs are on another kind of supply",
        says: "{places} have two legs, and the supply is {value}; {wanted} is what they are made \
               for",
        why: "Two legs of three phases are 120 degrees apart, not 180: 208 V stand where 240 V \
              belong, and a unit that joins pushes against the others. One line to neutral has \
              no second leg at all.",
        act: "Keep the power off. Have the utility or licensed people provide a supply with two \
              opposed legs, or use units that are made for this one.",
        prove: "By licensed people only, at the open isolator of the supply: each leg to neutral \
                and leg to leg; 120, 120 and 240 V.",
        source: "volts between two legs: 2 * V * sin(angle / 2), computed; field reports",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(
                r#""supply system" = "split-phase 120/240 V""#,
                r#""supply system" = "three-phase 120/208 V""#,
            )],
            with: &[],
        },
    },
};
