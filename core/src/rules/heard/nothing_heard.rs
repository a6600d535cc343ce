//! A gateway on a running link hears something.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "nothing-heard",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING,
    after: &[RuleId::LoneNodeNoAck, RuleId::GatewayOffTheBus, RuleId::GatewayPassive],
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Nothing at all is heard",
        says: "Nothing at all is heard on the link",
        why: "Either no unit is powered, or the gateway does not hang on the link: its plug is out, \
              sits in another socket, or one wire of the pair is open. Nothing is known about any \
              unit.",
        act: "With the power off, look where the gateway's plug sits and whether it latched; then \
              look whether any unit has its supply.",
        prove: "With the power off, the pair reads about 60 ohm at the gateway's plug, as at the units. \
                With one unit running, its frames are heard.",
        source: "common practice, no source",
        spoils: "nothing at all is heard",
        example: Example { site: examples::HEARD, edits: examples::NOTHING, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let heard = compared.heard;
    let troubled = heard.controller_state().is_some_and(|controller| controller.is_troubled());
    if heard.frames() == 0 && !troubled {
        sink.add();
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::heard::{BusError, BusState, Controller};
    use crate::plan::Datum;
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::NothingHeard;

    #[test]
    fn everything_about_units_waits_for_it() {
        let answer = Trial::line(3).hear(|air| air.keep(|_, _| false));
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.outcome(RuleId::UnitSilent), Outcome::Blocked(RULE));
        assert_eq!(answer.outcome(RuleId::LoneNodeNoAck), Outcome::Missing(Datum::ControllerState));
    }

    #[test]
    fn a_troubled_controller_has_heard_something() {
        let of = |state, errors: &[BusError]| {
            let mut controller = Controller::default();
            controller.state(state);
            for error in errors {
                controller.error(*error);
            }
            let answer = Trial::line(3).hear(|air| {
                air.keep(|_, _| false);
                air.controller = Some(controller);
            });
            answer.broken()
        };
        assert_eq!(of(BusState::Active, &[]), [RULE]);
        assert_eq!(of(BusState::Passive, &[BusError::Acknowledge]), [RuleId::LoneNodeNoAck]);
        assert_eq!(of(BusState::Off, &[BusError::Bit]), [RuleId::GatewayOffTheBus]);
        assert_eq!(of(BusState::Passive, &[BusError::Frame]), [RuleId::GatewayPassive]);
    }
}
