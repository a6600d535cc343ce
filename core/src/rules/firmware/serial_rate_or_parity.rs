//! All units speak with the same speed, parity and stop bits on a serial pair.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "serial-rate-or-parity",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::LineFormat]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::LineFormat,
    text: Text {
        title: "Speed or parity of a serial pair differs",
        says: "Speed or parity of {places} is not that of the others",
        why: "A unit that speaks with another speed or parity gives no reply, or rubbish. The \
             setting may go back after a power cut.",
        act: "Set the same speed, parity and stop bits on all units.",
        prove: "Read the setting back after a restart; the unit answers after a cold start.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""U1 frequency""#,
                "\"U1 serial format\" = \"19200 8N1\"\n\"U2 serial format\" = \"19200 8N1\"\n\"U3 serial format\" = \"9600 8N1\"\n\"U1 frequency\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let odd = links.odd_units(Datum::LineFormat, |unit| {
        unit.declares(Datum::LineFormat).then(|| u32::from(unit.line_format))
    });
    sink.add_units(odd.unwrap_or_default());
}
