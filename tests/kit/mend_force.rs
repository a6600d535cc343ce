//! The cheapest repair by brute force: every act at every place, whatever the findings say, tried in
//! order of cost until nothing is broken.

use coldcheck::mend::Model;
use coldcheck::mend::act::{Act, Dial, Seat, role_code};
use coldcheck::mend::judge::{Goal, Judge};
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{BatteryType, CableKind, EndKind, PortClass};
use coldcheck_core::rules::RuleId;
use std::collections::{BTreeMap, HashSet};

/// The least cost of any set of acts below a limit, found by going through the states of the site in
/// order of cost; `None` if there is none, or more states than there is room for.
pub fn cheapest(model: &Model, goal: &Goal, limit: u32, most: usize) -> Outcome {
    let mut judge = Judge::default();
    let mut waiting: BTreeMap<u32, Vec<Model>> = BTreeMap::from([(0, vec![model.clone()])]);
    let mut seen = HashSet::new();
    while let Some((cost, states)) = waiting.pop_first() {
        for state in states {
            if !seen.insert(state.key()) {
                continue;
            }
            if seen.len() > most {
                return Outcome::NoRoom;
            }
            let broken = judge.broken(&state);
            if goal.left(&broken).is_some_and(|left| left.is_empty()) {
                return Outcome::Cheapest(cost);
            }
            for act in every_act(&state).into_iter().filter(|act| is_looked_at(&state, goal, *act))
            {
                let after = cost + act.cost();
                if after < limit {
                    let done = act.done(&state);
                    if !seen.contains(&done.key()) {
                        waiting.entry(after).or_default().push(done);
                    }
                }
            }
        }
    }
    Outcome::None
}

/// Whether the check would see what an act breaks. Where one unit stands in the list twice, no rule
/// looks whether the link holds together, so a link cable that goes would be missed by nobody.
fn is_looked_at(model: &Model, goal: &Goal, act: Act) -> bool {
    let Act::RemoveCable { cable } = act else { return true };
    let is_link = model.cables.get(cable).is_some_and(|one| one.kind() == Some(CableKind::Link));
    !is_link || goal.beyond.iter().all(|(rule, _)| *rule != RuleId::UnitListedTwice)
}

/// What brute force found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The least cost.
    Cheapest(u32),
    /// No set costs less than the limit.
    None,
    /// There was no room for all states.
    NoRoom,
}

/// Every act in a state, one after the other: by what there is, not by what is wrong.
///
/// # Panics
/// Never: things are few.
pub fn every_act(model: &Model) -> Vec<Act> {
    let small = |count: usize| u8::try_from(count).expect("few");
    let units = 0..small(model.units.len());
    let mut acts = Vec::new();
    let seats_of = |class: PortClass| -> Vec<Seat> {
        match model.ports_of(class) {
            None => units.clone().map(|unit| Seat::at(EndKind::Unit, unit)).collect(),
            Some(ports) => units
                .clone()
                .flat_map(|unit| ports.iter().map(move |port| (unit, *port)))
                .filter(|(unit, port)| class == PortClass::Sensor || !model.is_used(*unit, *port))
                .map(|(unit, port)| Seat::unit(unit, port))
                .collect(),
        }
    };
    for (kind, class) in [
        (CableKind::Link, PortClass::Link),
        (CableKind::Battery, PortClass::Battery),
        (CableKind::Sensor, PortClass::Sensor),
        (CableKind::Terminator, PortClass::Link),
    ] {
        let seats = seats_of(class);
        for cable in model.cables_of(kind) {
            for end in 0..2 {
                let record = model.cables[cable].ends[end];
                if record.unit().is_some() || kind == CableKind::Link && model.is_gear(record) {
                    acts.extend(seats.iter().map(|to| Act::MovePlug { cable, end, to: *to }));
                }
                if model.cables[cable].ends[end].pack().is_some() {
                    let packs = 0..small(model.packs.len());
                    acts.extend(packs.map(|pack| Act::MovePlug {
                        cable,
                        end,
                        to: Seat::at(EndKind::Pack, pack),
                    }));
                }
            }
            if kind == CableKind::Terminator {
                acts.push(Act::Unplug { cable });
            } else if kind != CableKind::Link || model.may_go(cable) {
                acts.push(Act::RemoveCable { cable });
            }
            acts.extend([Act::ReplaceCable { cable }, Act::ScreenOnce { cable }]);
            if kind == CableKind::Link {
                acts.push(Act::TurnCable { cable });
            }
        }
        let at = |kind: EndKind, count: usize| -> Vec<Seat> {
            (0..small(count)).map(|index| Seat::at(kind, index)).collect()
        };
        let from = if kind == CableKind::Link {
            seats.clone()
        } else if kind == CableKind::Battery {
            at(EndKind::Pack, model.packs.len())
        } else if kind == CableKind::Sensor {
            at(EndKind::Sensor, model.sensors.len())
        } else {
            Vec::new()
        };
        for one in &from {
            for two in &seats {
                if (one.kind, one.index) < (two.kind, two.index) || one.kind > two.kind {
                    acts.push(Act::AddCable { ends: [*one, *two], kind: kind.code() });
                }
            }
        }
    }
    for unit in units.clone() {
        for one in 0..8 {
            for two in one + 1..8 {
                if model.is_used(unit, PortId(one)) && model.is_used(unit, PortId(two)) {
                    acts.push(Act::ExchangePlugs { unit, ports: [one, two] });
                }
            }
        }
        dials(model, unit, &mut acts);
    }
    rejoins(model, &mut acts);
    for sensor in 0..small(model.sensors.len()) {
        acts.extend([
            Act::TurnSensor { sensor },
            Act::SetRatio { sensor },
            Act::SetInput { sensor },
        ]);
    }
    for pack in 0..small(model.packs.len()) {
        acts.extend((1..4).map(|address| Act::SetPackAddress { pack, address }));
    }
    acts.extend((1..5).map(Act::SetPacks));
    acts.push(Act::SetCapacity(10_000));
    acts
}

/// Any conductor of a unit to any bar but one: no leg to the bar of the neutrals, and no neutral to
/// that of a leg.
fn rejoins(model: &Model, acts: &mut Vec<Act>) {
    for unit in 0..u8::try_from(model.power.len()).expect("few") {
        let nets = model.power[usize::from(unit)].nets;
        for terminal in 2..17_u8 {
            let side = usize::from(terminal - 2) / 5 * 5 + 2;
            let is_earth = usize::from(terminal) == side + 4;
            let is_listed = nets[side..side + 5].iter().any(|net| *net != 0);
            if nets[usize::from(terminal)] != 0 || is_earth && is_listed {
                let bars = model.bars.joinable(terminal);
                acts.extend(bars.into_iter().map(|net| Act::Rejoin { unit, terminal, net }));
            }
        }
    }
}

fn dials(model: &Model, unit: u8, acts: &mut Vec<Act>) {
    use coldcheck_core::plan::Terminator;
    let state = |unit: u8| model.units[usize::from(unit)].terminator();
    let has_plug = |unit: u8| {
        let mut plugs = model.cables_of(CableKind::Terminator);
        plugs.any(|cable| {
            model.cables[cable].ends.iter().any(|end| end.unit().is_some_and(|own| own.0 == unit))
        })
    };
    let units = 0..u8::try_from(model.units.len()).expect("few");
    let is_off = |unit: u8| state(unit) == Some(Terminator::Off);
    match state(unit) {
        Some(Terminator::Off) => acts.push(Act::SwitchTerminator { unit, on: true }),
        Some(Terminator::On | Terminator::Plug) if !has_plug(unit) => {
            acts.push(Act::SwitchTerminator { unit, on: false });
            let to = units.clone().filter(|to| is_off(*to));
            acts.extend(to.map(|to| Act::MoveTerminator { from: unit, to }));
        }
        _ => {}
    }
    let count = u16::try_from(model.units.len()).expect("few");
    let mut all = vec![Dial::Role(role_code(true)), Dial::Role(role_code(false)), Dial::Parallel];
    all.extend((1..=count + 2).map(Dial::Address));
    all.extend((1..=count + 1).map(Dial::Count));
    all.push(Dial::BatteryType(BatteryType::DataLink.code()));
    all.extend(model.demands().bit_rate().map(|rate| Dial::BitRate(rate.0)));
    for other in units.filter(|other| *other != unit) {
        all.extend((0..7).map(|setting| Dial::AsUnit(setting, other)));
        all.extend([Dial::BitRateAs(other), Dial::LineFormatAs(other)]);
    }
    let packs = 0..u8::try_from(model.packs.len()).expect("few");
    all.extend(packs.map(Dial::ProtocolAs));
    acts.extend(all.into_iter().map(|what| Act::Set { unit, what }));
}
