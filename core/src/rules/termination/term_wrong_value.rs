//! Terminators have the demanded value.
use crate::plan::Plan;
use crate::rule::prelude::*;
use crate::sets::NodeId;
use crate::units::Ohms;

pub(crate) const RULE: Rule = Rule {
    slug: "term-wrong-value",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::TerminatorOhms]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::TerminatorOhms,
    text: Text {
        title: "A terminator has the wrong value",
        says: "The terminator at {places} has {value} where {wanted} is demanded",
        why: "A terminator that does not fit the cable throws part of the signal back, and the \
             others cannot make up for it. The margin is poor, and errors come after weeks.",
        act: "Fit a terminator of the demanded value.",
        prove: "Power off: ohms of the terminator by itself, unplugged or measured before it is \
               fitted: the demanded value within a tenth. Then across the pair: half of it.",
        source: "ISO 11898-2, 108 to 132 ohm around 120 (read second-hand), here within a tenth of \
                the demanded value; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""U3 terminator ohms" = "120 ohm""#,
                r#""U3 terminator ohms" = "240 ohm""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(wanted) = links.plan.demands.terminator_ohms() else { return };
    let mut known = NodeSet::EMPTY;
    let mut judge = |node: NodeId, ohms: Ohms| {
        known.insert(node);
        // Within a tenth, in whole ohms.
        let off = u32::from(ohms.0.abs_diff(wanted.0)).wrapping_mul(10);
        if off > u32::from(wanted.0) {
            sink.add()
                .at_terminators(NodeSet::only(node))
                .value(Quantity::Resistance(ohms))
                .wanted(Quantity::Resistance(wanted));
        }
    };
    // What switches itself on has a value before it does.
    let fitted = links.terminated.or(links.automatic);
    for node in fitted {
        if let Some(ohms) = ohms_at(links.plan, node) {
            judge(node, ohms);
        }
    }
    for id in links.plugs {
        let Some(plug) = links.plan.cable(id) else { continue };
        let node = plug.ends.iter().find_map(|end| end.node());
        if let (Some(node), Some(ohms)) = (node, plug.plug_ohms()) {
            judge(node, ohms);
        }
    }
    let unknown = links.terminated.without(known);
    if known.is_empty() {
        sink.open(Datum::TerminatorOhms).at_nodes(unknown);
    } else {
        sink.gap_nodes(Datum::TerminatorOhms, unknown);
    }
}

/// The value that a unit or device declares for its terminator.
fn ohms_at(plan: &Plan<'_>, node: NodeId) -> Option<Ohms> {
    let ohms = match node.unit() {
        Some(unit) => {
            let unit = plan.unit(unit).filter(|unit| unit.declares(Datum::TerminatorOhms))?;
            return Some(Ohms(unit.terminator_ohms.get()));
        }
        None => plan.devices.get(node.device()?.index())?.terminator_ohms.get(),
    };
    (ohms != 0).then_some(Ohms(ohms))
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::place::{DeviceId, Place};
    use crate::plan::{CableKind, Datum, Demand, DeviceKind, Terminator};
    use crate::rules::RuleId;
    use crate::trial::{A, Trial, at, at_device, terminator, unit};

    const RULE: RuleId = RuleId::TermWrongValue;

    fn line(ohms: u16) -> Trial {
        Trial::line(3).demand(Demand::TerminatorOhms, 120).unit(2, |unit| {
            unit.terminator_ohms = ohms.into();
            unit.declared = (unit.declared.get() | 1 << Datum::TerminatorOhms.bit()).into();
        })
    }

    #[test]
    fn a_tenth_is_let_pass_and_one_ohm_more_is_not() {
        // ISO 11898-2, 108 to 132 ohm (read second-hand).
        for (ohms, found) in [(107, true), (108, false), (132, false), (133, true)] {
            assert_eq!(line(ohms).check().outcome(RULE) == Outcome::Broken, found, "{ohms}");
        }
        assert_eq!(line(240).check().places(RULE), [[terminator(2)]]);
    }

    #[test]
    fn a_terminator_without_a_value_is_said() {
        assert_eq!(line(120).check().lacking(RULE, Datum::TerminatorOhms), [unit(0)]);
        let nothing = Trial::line(3).demand(Demand::TerminatorOhms, 120).check();
        assert_eq!(nothing.outcome(RULE), Outcome::Missing(Datum::TerminatorOhms));
    }

    #[test]
    fn a_device_has_a_value_of_its_own() {
        let device = line(120).device(DeviceKind::Gateway, Some(Terminator::On));
        let device = device.cable(CableKind::Link, [at(2, A), at_device(0)]);
        let wrong = device.clone().device_ohms(0, 60).check();
        assert_eq!(wrong.places(RULE), [[Place::Device(DeviceId(0))]]);
        let right = device.clone().device_ohms(0, 120).check();
        assert_eq!(right.outcome(RULE), Outcome::Met);
        let lacking = device.check().lacking(RULE, Datum::TerminatorOhms);
        assert_eq!(lacking, [unit(0), Place::Device(DeviceId(0))]);
    }

    #[test]
    fn a_plug_has_a_value_of_its_own() {
        let plugged = line(120).plug(1, A).plug_ohms(60);
        assert_eq!(plugged.check().places(RULE), [[terminator(1)]]);
    }
}
