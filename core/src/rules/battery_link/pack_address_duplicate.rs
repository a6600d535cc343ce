//! No two packs share an address.
use crate::place::PackId;
use crate::rule::prelude::*;
use crate::sets::PackSet;

pub(crate) const RULE: Rule = Rule {
    slug: "pack-address-duplicate",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::PackAddress]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::PackAddress,
    text: Text {
        title: "Packs share one address",
        says: "Address {value} is used by more than one pack: {places}",
        why: "Both packs answer at once, so one of them is not seen and its limits are not \
             counted.",
        act: "Give each pack an address of its own.",
        prove: "Read the switches of every pack: no two alike. On the running group all packs are \
               seen.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"name = "pack 2", address = 2"#, r#"name = "pack 2", address = 1"#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let mut told = PackSet::EMPTY;
    let mut seen = PackSet::EMPTY;
    for (id, pack) in links.plan.packs() {
        let Some(address) = pack.address() else { continue };
        // Most packs are told apart by six bits of their address; only the others are compared.
        let place = PackId(u8::try_from(address & 63).unwrap_or(0));
        let perhaps = seen.contains(place);
        seen.insert(place);
        if !perhaps || told.contains(id) {
            continue;
        }
        let mut same = PackSet::EMPTY;
        for (other, pack) in links.plan.packs() {
            if pack.address() == Some(address) {
                same.insert(other);
            }
        }
        if same.is_plural() {
            told = told.or(same);
            sink.add().at_packs(same).value(Quantity::Address(address));
        }
    }
}
