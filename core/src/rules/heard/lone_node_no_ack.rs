//! A sender on the link needs one other node that confirms its frames.
use crate::heard::Controller;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "lone-node-no-ack",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::ControllerState]),
    after: &[],
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Nobody confirms the gateway's frames",
        says: "The gateway is alone on the pair: nobody confirms what it sends, and nothing is heard",
        why: "One node by itself repeats its first frame without end, since no other node confirms \
              it. Either no unit is powered, or the gateway's cable does not reach the link.",
        act: "With the power off, look where the gateway's plug sits and whether it latched; then \
              look whether any unit has its supply.",
        prove: "With one unit running and the gateway joined to it, the repeats stop and that unit is \
                heard. With the power off, the pair reads about 60 ohm at the gateway's plug, as at \
                the units.",
        source: "CAN FD specification 1.0 (2012), start-up of a lone node; the same in CAN 2.0",
        spoils: "the gateway is alone on the pair",
        example: Example { site: examples::HEARD, edits: examples::NOBODY_CONFIRMS, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let unanswered = |controller: &Controller| controller.is_unanswered();
    if compared.heard.frames() == 0 && compared.heard.controller_state().is_some_and(unanswered) {
        sink.add();
    }
}
