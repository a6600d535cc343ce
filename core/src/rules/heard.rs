//! What a gateway hears, beside what was declared.

pub(super) mod address_heard_twice;
pub(super) mod count_heard_differs;
pub(super) mod firmware_heard_differs;
pub(super) mod gateway_off_the_bus;
pub(super) mod gateway_passive;
pub(super) mod lone_node_no_ack;
pub(super) mod nothing_heard;
pub(super) mod role_heard_differs;
pub(super) mod stranger_heard;
pub(super) mod two_coordinators_heard;
pub(super) mod unit_comes_and_goes;
pub(super) mod unit_identity_swapped;
pub(super) mod unit_silent;
pub(super) mod unit_under_other_address;

use crate::compared::Compared;
use crate::finding::Quantity;
use crate::heard::{BusState, Speaker};
use crate::place::{Place, UnitId};
use crate::plan::{Datum, UnitRecord};
use crate::report::Sink;
use crate::rules::RuleId;

/// Rules without whose silence nothing can be said about single units.
const BUS_WORKS: &[RuleId] = &[RuleId::LoneNodeNoAck, RuleId::NothingHeard];

/// What a unit told, and what was declared for it.
type Values = fn(&Speaker, &UnitRecord) -> (Option<Quantity>, Option<Quantity>);

/// One finding for each unit that tells another value than the one that is declared. Units that
/// were heard and did not tell it are noted as not checked.
#[inline(never)]
fn tell_differences(
    compared: &Compared<'_>,
    heard: Datum,
    values: Values,
    sink: &mut Sink<'_, '_>,
) {
    let tell = |id: UnitId, sink: &mut Sink<'_, '_>| {
        let speaker = compared.heard.unit(id)?;
        let (value, wanted) = values(speaker, compared.links.plan.unit(id)?);
        let wanted = wanted?;
        match value {
            None => {
                sink.gap(heard).at(Place::Unit(id));
            }
            Some(value) if value != wanted => {
                sink.add().at(Place::Unit(id)).value(value).wanted(wanted);
            }
            Some(_) => {}
        }
        Some(())
    };
    for unit in compared.addressed.without(compared.silent).without(compared.doubled) {
        tell(unit, sink);
    }
}

/// One finding if this is the worst state that the gateway's controller was in.
fn tell_state(compared: &Compared<'_>, state: BusState, sink: &mut Sink<'_, '_>) {
    if let Some(controller) = compared.heard.controller_state()
        && controller.worst() == state
    {
        sink.add().value(Quantity::Trouble(controller.trouble(compared.heard.frames())));
    }
}
