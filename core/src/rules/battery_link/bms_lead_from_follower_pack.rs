//! The battery link comes from the lead pack.
use crate::plan::YesNo;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-from-follower-pack",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]).doubted_by(&[RuleId::UnitNameUnclear]),
    after: &[RuleId::BmsLeadMissing],
    check: Check::Link(check),
    shows: Datum::LeadPack,
    text: Text {
        title: "The battery link comes from a pack that does not lead",
        says: "The battery link[ {related}] comes from {places}, which is not the lead pack",
        why: "The other packs report to the lead pack only. From another pack the unit sees one \
             pack, or none.",
        act: "Move the plug to the data socket of the lead pack.",
        prove: "By eye, cold: the cable comes from the lead pack. On the running group all packs are \
               seen.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"from = "pack 1 data""#, r#"from = "pack 2 data""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for id in links.battery_to_units {
        let Some(cable) = links.plan.cable(id) else { continue };
        let Some(pack) = cable.ends.iter().find_map(|end| end.pack()) else { continue };
        let lead = links.plan.packs.get(pack.index()).and_then(|pack| pack.lead());
        match lead {
            Some(YesNo::No) => {
                sink.add().at(Place::Pack(pack)).near(Place::Cable(id));
            }
            Some(YesNo::Yes) => {}
            // The only pack leads.
            None if links.plan.packs.len() < 2 => {}
            None => {
                sink.open(Datum::LeadPack).at(Place::Pack(pack));
            }
        }
    }
}
