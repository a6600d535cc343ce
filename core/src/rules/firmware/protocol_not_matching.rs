//! The battery speaks the protocol that its unit is set to.
use crate::plan::{PackRecord, UnitRecord, YesNo};
use crate::rule::prelude::*;
use crate::sets::PackSet;

pub(crate) const RULE: Rule = Rule {
    slug: "protocol-not-matching",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Protocol, Datum::PackProtocol]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Protocol,
    text: Text {
        title: "Unit and battery are set to different protocols",
        says: "{places} speaks another battery protocol than {related}",
        why: "The cable is right and the unit still reports that there is no battery.",
        act: "Choose the protocol that the battery speaks, on both sides.",
        prove: "On the running group the values of the battery agree on both sides.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""U1 battery protocol" = "frame set 2""#,
                r#""U1 battery protocol" = "frame set 3""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let leading = |pack: &PackRecord| pack.lead() == Some(YesNo::Yes);
    let speaking = || links.plan.packs().filter(|(_, pack)| pack.protocol.get() != 0);
    let lead = speaking().find(|(_, pack)| leading(pack)).or_else(|| speaking().next());
    let Some((lead, record)) = lead else { return };
    let spoken = record.protocol.get();
    let differs: fn(&UnitRecord, u32) -> bool =
        |unit, spoken| unit.declares(Datum::Protocol) && u32::from(unit.protocol.get()) != spoken;
    // Where no battery link is listed, any unit may be the one that listens.
    let asked = if links.battery_units.is_empty() { links.units } else { links.battery_units };
    let units = links.units_where(differs, spoken.into()).and(asked);
    let mut packs = PackSet::EMPTY;
    for (id, _) in speaking().filter(|(_, pack)| pack.protocol.get() != spoken) {
        packs.insert(id);
    }
    if !units.is_empty() || !packs.is_empty() {
        sink.add().at_units(units).at_packs(packs).near(Place::Pack(lead));
    }
}
