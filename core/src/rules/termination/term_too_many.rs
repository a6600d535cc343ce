//! A line carries two terminators, not more; a ring that wants none carries none.
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-too-many",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::TerminatorsAt]).some(&[Datum::Terminator]),
    after: &[RuleId::TermPlugWrongSocket],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "Too many terminators are on",
        says: "{value} on where {wanted} should be on the link: {places}",
        why: "Each terminator too many loads the pair further. Frames get lost at random, and some \
              units will not start at all.",
        act: "Leave one terminator on at each end of the line and switch off or unplug the \
              others; on a ring that wants none, all of them.",
        prove: "Power off and volts on the pair near zero, then ohms between the two wires of the \
                pair: about 60 on a line, in the kilohms where no terminator belongs. Three \
                terminators read about 40, four about 30.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand); readings computed",
        spoils: "there are more terminators than ends",
        example: Example {
            site: examples::LINE,
            edits: &[("terminator = \"off\"", "terminator = \"on\"")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    // Where the ends are known, those in between are too many, and those where two are on; else
    // any of them may be. Where none belongs, those that mind themselves are not to blame.
    let nowhere = links.plan.demands.terminators_at() == Some(TerminatorPlace::Nowhere);
    let (ends, wanted) =
        if nowhere { (NodeSet::EMPTY, 0) } else { (links.line_ends().unwrap_or_default(), 2) };
    // What switches itself on in a broken or branched line is no fault of its own.
    let on = links.terminated.or(links.automatic.and(ends)).len();
    let count = on.wrapping_add(links.terminated_twice.len());
    if count > wanted.into() {
        sink.add()
            .at_terminators(links.terminated.without(ends).or(links.terminated_twice))
            .value(Quantity::Terminators(u16::try_from(count).unwrap_or(u16::MAX)))
            .wanted(Quantity::Terminators(wanted));
    }
    // Helper boards often carry a terminator from new that nobody listed.
    let unlisted = links.hanging.without(links.terminator_known);
    sink.gap_nodes(Datum::Terminator, unlisted);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::place::{DeviceId, Place};
    use crate::plan::Terminator::{Automatic, BuiltIn, Off, On, Plug};
    use crate::plan::{CableKind, Datum, Demand, DeviceKind, Shape, TerminatorPlace};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device, terminator};

    const RULE: RuleId = RuleId::TermTooMany;

    #[test]
    fn two_at_one_end_are_two() {
        let answer = Trial::line(3).terminator(2, BuiltIn).plug(2, A).check();
        assert_eq!(answer.places(RULE), [[terminator(2)]]);
    }

    #[test]
    fn a_plug_in_the_settings_and_in_the_list_is_one() {
        let line = Trial::line(3).terminator(2, Plug).plug(2, A);
        assert_eq!(line.check().outcome(RULE), Outcome::Met);
        assert_eq!(line.plug(2, A).check().outcome(RULE), Outcome::Broken);
    }

    #[test]
    fn a_terminator_that_minds_itself_counts_only_at_an_end() {
        let line = Trial::line(4).terminator(1, Automatic).terminator(3, Automatic);
        assert_eq!(line.check().outcome(RULE), Outcome::Met);
        let answer = line.terminator(2, On).check();
        assert_eq!(answer.places(RULE), [[terminator(2)]]);
    }

    #[test]
    fn on_a_broken_line_any_of_them_may_be_the_one_too_many() {
        let answer = Trial::line(4).terminator(1, On).without_cables(|cable| cable == 1).check();
        assert_eq!(answer.places(RULE), [[terminator(0), terminator(1), terminator(3)]]);
    }

    #[test]
    fn where_none_belongs_one_is_too_many() {
        let nowhere = TerminatorPlace::Nowhere.code().into();
        let ring = Trial::line(3)
            .link((2, A), (0, B), 2000)
            .demand(Demand::LinkShape, Shape::Ring.code().into())
            .demand(Demand::TerminatorsAt, nowhere)
            .terminator(0, Off)
            .terminator(2, Automatic);
        assert_eq!(ring.check().outcome(RULE), Outcome::Met);
        let answer = ring.terminator(1, On).check();
        assert_eq!(answer.places(RULE), [[terminator(1)]]);
        assert_eq!(answer.broken(), [RULE]);
    }

    #[test]
    fn a_gateway_that_may_carry_one_is_said() {
        let answer = Trial::line(2)
            .device(DeviceKind::Gateway, None)
            .cable(CableKind::Link, [at(0, B), at_device(0)])
            .check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        assert_eq!(answer.lacking(RULE, Datum::Terminator), [Place::Device(DeviceId(0))]);
    }
}
