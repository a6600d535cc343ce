//! A gateway that counts many errors only listens on sufferance.
use crate::heard::BusState;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "gateway-passive",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::ControllerState]),
    after: &[RuleId::LoneNodeNoAck, RuleId::GatewayOffTheBus],
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "The gateway's controller counts too many errors",
        says: "The gateway's controller counts so many errors that it has become passive[: {value}]",
        why: "Frames are destroyed again and again. A missing or a third terminator, a line too long \
              for its bit rate, noise, two units with one address or another bit rate at one node do \
              that; under load it gets worse.",
        act: "Switch everything off, wait until the pair has no voltage, and measure across it at the \
              first and at the last unit; then pull one unit after the other.",
        prove: "Power off, across the pair: about 60 ohm at both ends. Power on again: the count of \
                errors stays where it is for ten minutes, with all units running.",
        source: "CAN FD specification 1.0 (2012), chapter 7: passive from 128 on",
        spoils: "the gateway is passive",
        example: Example {
            site: examples::HEARD,
            edits: &[("can0 20000200#0000000000000000", "can0 20000004#0020000000000000")],
            with: &[],
        },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_state(compared, BusState::Passive, sink);
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::heard::{BusError, BusState, BusTrouble, Controller};
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::GatewayPassive;

    #[test]
    fn the_kinds_of_errors_and_what_is_heard_tell_the_likely_cause() {
        for (heard, errors, trouble) in [
            (true, &[BusError::Frame][..], BusTrouble::SomeAreLost),
            (false, &[BusError::Frame], BusTrouble::NothingFits),
            (false, &[BusError::Bit], BusTrouble::NothingPasses),
        ] {
            let mut controller = Controller::default();
            controller.state(BusState::Passive);
            for error in errors {
                controller.error(*error);
            }
            let answer = Trial::line(3).hear(|air| {
                air.keep(|_, _| heard);
                air.controller = Some(controller);
            });
            assert_eq!(answer.values(RULE), [(Some(Quantity::Trouble(trouble)), None)]);
        }
    }

    #[test]
    fn a_warning_is_not_yet_a_fault() {
        let mut controller = Controller::default();
        controller.state(BusState::Warning);
        let answer = Trial::line(3).hear(|air| air.controller = Some(controller));
        assert_eq!((answer.outcome(RULE), answer.broken()), (Outcome::Met, vec![]));
    }
}
