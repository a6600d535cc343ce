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
        says: "The gateway hears nothing at all, not even a damaged frame",
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
