//! Two sources cannot feed one bar at the same time.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "no-interlock-backfeed",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::Changeover,
    text: Text {
        title: "Nothing keeps two sources from feeding one bar",
        says: "Nothing keeps two sources from feeding one bar",
        why: "The group or a generator feeds out to a line that others believe dead, and two \
              sources that are not in step are joined: people are killed, machines burn.",
        act: "Keep the power off. Have licensed people fit an interlock or a changeover with an \
              open middle position, as local code asks.",
        prove: "Dead: with one source switched in, the other cannot be switched in; by hand, \
                each way round. The utility's line stays open while the group feeds the loads.",
        source: "NFPA 70 (NEC) 2023, 702.5: transfer equipment shall keep sources apart (from \
                 memory)",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""interlock" = "yes""#, r#""interlock" = "no""#)],
            with: &[],
        },
    },
};
