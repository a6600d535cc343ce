//! Somebody leads.
use super::led_together;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "coordinator-none",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Coordinators]).some(&[Datum::Role]).also(&[Datum::Phase]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "No unit is set as coordinator",
        says: "Nobody leads: all of these are followers: {places}",
        why: "Every unit waits for a coordinator that is not there, so the group does not start.",
        act: "Set one of these units as coordinator: the one that the battery link and the sensors \
              go to.",
        prove: "Read the role back on each of these units: one says coordinator, all others \
                follower.",
        source: "common practice, no source",
        spoils: "no unit is set as coordinator",
        example: Example {
            site: examples::LINE,
            edits: &[("\"coordinator\"", "\"follower\"")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for units in &led_together(links, sink) {
        if units.is_empty() || !units.and(links.coordinators).is_empty() {
            continue;
        }
        let unknown = units.without(links.followers);
        if unknown.is_empty() {
            sink.add().at_units(*units);
        } else {
            sink.open(Datum::Role).at_units(unknown);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Datum, Role};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    #[test]
    fn a_unit_without_a_role_may_be_the_one() {
        let answer = Trial::line(3)
            .unit(0, |unit| unit.role = Role::Follower.code())
            .undeclare(2, Datum::Role)
            .check();
        let rule = RuleId::CoordinatorNone;
        assert_eq!(answer.outcome(rule), Outcome::Missing(Datum::Role));
        assert_eq!(answer.lacking(rule, Datum::Role), [unit(2)]);
    }
}
