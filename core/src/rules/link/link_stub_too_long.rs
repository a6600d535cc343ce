//! Side branches off the line are short.
use super::{measure, stub_limits};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-stub-too-long",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::any(&[Demand::MaxStub, Demand::MaxStubTotal, Demand::BitRate])
        .whole(&[Datum::CableList, Datum::CableEnds])
        .also_demands(&[Demand::Medium]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Length,
    text: Text {
        title: "A side branch of the link is too long",
        says: "Side branch {places} measures {value} where {wanted} is the limit",
        why: "The signal runs into the branch and comes back late. Any two devices talk; all \
             together fail after some time.",
        act: "Move what hangs on the branch on to the line, or shorten the branch.",
        prove: "Measure the branch; it stays below the limit. On the running link the error counters \
               stay still over hours.",
        source: "limit of the profile or the site; limits by bit rate: CiA 303-1 (read second-hand); what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"kind = "link", length = "1 m""#, r#"kind = "link", length = "3 m""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let (single, together) = stub_limits(links.plan.demands);
    if single.is_none() && together.is_none() {
        sink.undemanded(Demand::MaxStub);
        return;
    }
    let (total, unmeasured) = measure(links, sink, links.stubs, single);
    if let Some(limit) = together.filter(|limit| total > *limit) {
        sink.add()
            .at_cables(links.stubs.without(unmeasured))
            .value(Quantity::Length(total))
            .wanted(Quantity::Length(limit));
    }
    sink.open_cables(Datum::Length, unmeasured);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{CableKind, Datum, Demand, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device, cable};

    const RULE: RuleId = RuleId::LinkStubTooLong;

    fn branched() -> Trial {
        Trial::line(2)
            .device(DeviceKind::Gateway, None)
            .device(DeviceKind::Gateway, None)
            .cable(CableKind::Link, [at(0, B), at_device(0)])
            .cable(CableKind::Link, [at(1, A), at_device(1)])
    }

    #[test]
    fn branches_count_one_by_one_and_together() {
        let site = branched().length(4, 1500).length(5, 1000);
        let answer = site.clone().demand(Demand::MaxStub, 1200).check();
        assert_eq!(answer.places(RULE), [[cable(4)]]);
        let answer = site.clone().demand(Demand::MaxStubTotal, 2400).check();
        assert_eq!(answer.places(RULE), [[cable(4), cable(5)]]);
        let answer = site.demand(Demand::MaxStubTotal, 2500).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn a_branch_without_a_length_is_open() {
        let answer = branched().length(4, 500).demand(Demand::MaxStub, 1200).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Length));
        assert_eq!(answer.lacking(RULE, Datum::Length), [cable(5)]);
    }

    #[test]
    fn branches_of_just_the_length_allowed_are_let_pass() {
        let site = branched().demand(Demand::MaxStubTotal, 4000).demand(Demand::MaxStub, 2000);
        let lengths = |one, two| site.clone().length(4, one).length(5, two).check().outcome(RULE);
        assert_eq!(lengths(2000, 2000), Outcome::Met);
        assert_eq!(lengths(2000, 2001), Outcome::Broken);
    }
}
