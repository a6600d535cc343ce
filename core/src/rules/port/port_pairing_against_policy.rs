//! Link sockets meet as the profile or the site demands.
use super::{LINK_ENDS, note_unknown_ends};
use crate::place::PortId;
use crate::plan::Pairing;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "port-pairing-against-policy",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Pairing]).whole(&[Datum::CableList]).doubted_by(&[
        RuleId::LinkInServicePort,
        RuleId::LinkStar,
        RuleId::NetworkGearInLink,
        RuleId::LinkSelfLoop,
        RuleId::LinkDoubledPair,
    ]),
    after: &[RuleId::PortListedTwice],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "A link cable joins sockets that must not meet",
        says: "Link cable {places} is not plugged as demanded ({wanted})",
        why: "Where the two sockets differ inside, a cable in the wrong one may work, or not, or \
             only until a unit is switched off. Where both are joined through, it makes no \
             difference, and the site may say so: sockets = either.",
        act: "Move one end of the cable to the other link socket, as the profile or the site \
             demands.",
        prove: "By eye, power off: every link cable is plugged as demanded.",
        source: "demand of the profile or the site; guides contradict each other; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"from = "U1 A", to = "U2 B""#, r#"from = "U1 B", to = "U2 B""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(pairing) = links.plan.demands.pairing() else { return };
    if pairing == Pairing::Either {
        return;
    }
    let wrong = |one: PortId, two: PortId| match pairing {
        Pairing::Either => false,
        Pairing::Across => one == two,
        Pairing::Alike => one != two,
    };
    let (mut against, mut unknown) = (CableSet::EMPTY, CableSet::EMPTY);
    // A cable in a socket that is not made for the link, or with both ends at one unit, is another
    // rule's matter.
    for id in links.link_cables.without(links.misplaced).without(links.self_loops) {
        let Some([first, second]) = links.plan.cable(id).map(|cable| &cable.ends) else { continue };
        if first.unit().is_none() || second.unit().is_none() {
            continue;
        }
        match (first.port(), second.port()) {
            (Some(one), Some(two)) if wrong(one, two) => against.insert(id),
            (Some(_), Some(_)) => {}
            (None, _) | (_, None) => unknown.insert(id),
        }
    }
    if !against.is_empty() {
        sink.add().at_cables(against).wanted(Quantity::Pairing(pairing));
    }
    sink.gap_cables(Datum::Socket, unknown);
    note_unknown_ends(links, sink, LINK_ENDS);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Demand, Pairing};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, cable};

    const RULE: RuleId = RuleId::PortPairingAgainstPolicy;

    fn line(pairing: Pairing) -> Trial {
        Trial::line(3).demand(Demand::Pairing, pairing.code().into())
    }

    #[test]
    fn each_demand_has_its_own_wrong_cables() {
        assert_eq!(line(Pairing::Across).check().outcome(RULE), Outcome::Met);
        assert_eq!(line(Pairing::Alike).check().places(RULE), [[cable(0), cable(1)]]);
        let like = line(Pairing::Across).move_end(1, 0, at(1, B)).move_end(0, 1, at(1, A));
        assert_eq!(like.check().places(RULE), [[cable(0), cable(1)]]);
    }

    #[test]
    fn where_either_will_do_nothing_is_wrong() {
        assert_eq!(line(Pairing::Either).check().outcome(RULE), Outcome::Met);
    }
}
