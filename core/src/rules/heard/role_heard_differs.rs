//! A unit leads or follows as declared.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "role-heard-differs",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address, Datum::Role, Datum::HeardRole])
        .doubted_by(&[RuleId::AddressHeardTwice]),
    after: &[RuleId::LoneNodeNoAck, RuleId::NothingHeard, RuleId::TwoCoordinatorsHeard],
    check: Check::Heard(check),
    shows: Datum::Role,
    text: Text {
        title: "A unit says another role than declared",
        says: "{places} says {value}; declared is {wanted}",
        why: "The unit was set otherwise, or did not keep its setting. Without a coordinator the group \
              does not start; with two, the outputs can meet out of step.",
        act: "Keep the output breakers open, read the role on the unit itself and set it as declared, \
              or mend the list.",
        prove: "After a cold start the unit says the declared role, on its own display and on the link.",
        source: "common practice, no source",
        spoils: "a unit says another role",
        example: Example { site: examples::HEARD_MAP, edits: examples::NOBODY_LEADS, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_differences(
        compared,
        Datum::HeardRole,
        |speaker, unit| (speaker.role().map(Quantity::Role), unit.role().map(Quantity::Role)),
        sink,
    );
}

#[cfg(test)]
mod tests {
    use crate::finding::Quantity;
    use crate::plan::Role;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::RoleHeardDiffers;

    #[test]
    fn a_leader_that_says_it_follows_is_named() {
        let answer = Trial::line(3).hear(|air| air.change(1, |said| said.role = 2));
        assert_eq!((answer.places(RULE), answer.broken()), (vec![vec![unit(0)]], vec![RULE]));
        let role = |role| Some(Quantity::Role(role));
        assert_eq!(answer.values(RULE), [(role(Role::Follower), role(Role::Coordinator))]);
    }
}
