//! A gateway whose sending fails all the time leaves the bus.
use crate::heard::BusState;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "gateway-off-the-bus",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::ControllerState]),
    after: &[RuleId::LoneNodeNoAck],
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "The gateway's controller has left the bus",
        says: "The gateway's controller has left the bus after too many errors[: {value}]",
        why: "A controller leaves the bus when 32 frames in a row fail. A short between the two \
              wires, the wires swapped at one plug, another bit rate or missing terminators do that, \
              and the units suffer from the same.",
        act: "Switch everything off, wait until the pair has no voltage, and take the readings below \
              before anything is powered again.",
        prove: "Power off, across the pair: about 60 ohm; near 0 is a short, far above 120 are missing \
                terminators. Then each wire from plug to plug: H to H and L to L. Then compare the \
                bit rate of gateway and units.",
        source: "CAN FD specification 1.0 (2012), chapter 7: off the bus from 256 on",
        spoils: "the gateway has left the bus",
        example: Example {
            site: examples::HEARD,
            edits: &[("can0 20000200#0000000000000000", "can0 20000040#0000000000000000")],
            with: &[],
        },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_state(compared, BusState::Off, sink);
}
