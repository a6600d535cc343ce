//! What a person who does an act must keep in mind, beside what holds for all of them.

use super::act::Act;
use super::model::Model;
use crate::words::NEVER_OPEN;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{CableKind, EndRecord};
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RuleId;

/// Before a conductor, a battery lead or a lead of a sensor is moved.
pub(super) const POWER_OFF: &str = "Power off first: every source off and locked off, proven dead.";

/// The cautions of an act on the state that it is done in: what the rules that it mends say, where
/// they are dangers or want the power off, and what its own kind of act needs.
pub(super) fn cautions(act: Act, state: &Model, mends: &[RuleId]) -> Vec<&'static str> {
    let mut cautions: Vec<&str> = mends
        .iter()
        .map(|rule| rule.rule())
        .filter(|rule| rule.severity == Severity::Danger || wants_power_off(rule.text.act))
        .map(|rule| rule.text.act)
        .collect();
    let touches = touched(act, state);
    let moves_conductor = matches!(act, Act::Rejoin { .. } | Act::TurnSensor { .. });
    let leads = [CableKind::Battery, CableKind::Sensor];
    if moves_conductor || leads.iter().any(|kind| touches.contains(kind)) {
        cautions.insert(0, POWER_OFF);
    }
    if is_at_sensor(act) || touches.contains(&CableKind::Sensor) {
        cautions.insert(0, NEVER_OPEN);
    }
    cautions
}

fn wants_power_off(says: &str) -> bool {
    let says = says.to_lowercase();
    ["power off", "switch off", "switched off", "dead"].iter().any(|words| says.contains(words))
}

const fn is_at_sensor(act: Act) -> bool {
    matches!(act, Act::TurnSensor { .. } | Act::SetInput { .. })
}

/// The kinds of the cables whose plugs an act touches.
fn touched(act: Act, state: &Model) -> Vec<CableKind> {
    let cables: Vec<usize> = match act {
        Act::AddCable { kind, .. } => return CableKind::from_code(kind).into_iter().collect(),
        Act::MovePlug { cable, .. }
        | Act::TurnCable { cable }
        | Act::RemoveCable { cable }
        | Act::Unplug { cable }
        | Act::ReplaceCable { cable }
        | Act::ScreenOnce { cable } => vec![cable],
        Act::ExchangePlugs { unit, ports } => {
            let of = ports.iter().filter(|port| **port != EndRecord::NO_PORT);
            of.flat_map(|port| state.plugs_in(unit, PortId(*port)))
                .map(|(cable, _)| cable)
                .collect()
        }
        Act::SwitchTerminator { .. }
        | Act::MoveTerminator { .. }
        | Act::Rejoin { .. }
        | Act::Set { .. }
        | Act::SetPacks(_)
        | Act::SetCapacity(_)
        | Act::SetPackAddress { .. }
        | Act::TurnSensor { .. }
        | Act::SetRatio { .. }
        | Act::SetInput { .. } => Vec::new(),
    };
    cables.into_iter().filter_map(|cable| state.cables.get(cable)?.kind()).collect()
}
