//! Generated sites with none to four faults of many kinds, for the judges that stand beside the
//! core. Which rules a fault breaks is not written here: that is what the judges are asked.

use crate::generate::Dice;
use crate::oracle::site::{
    Cable, Demands, End, Kind, Leaders, Pairing, Shape, Site, Socket, Terminator, Unit,
};

/// A site of two to nine units with none to four faults.
pub fn site(dice: &mut Dice) -> Site {
    let right = right_site(dice);
    with_faults(right, dice)
}

/// A site of so many units with none to four faults.
pub fn site_of(count: usize, dice: &mut Dice) -> Site {
    let right = right_site_of(count, dice);
    with_faults(right, dice)
}

fn with_faults(mut site: Site, dice: &mut Dice) -> Site {
    for _ in 0..dice.roll(5) {
        let fault = FAULTS[dice.roll(FAULTS.len())];
        fault(&mut site, dice);
    }
    site
}

/// A site without a fault: a line or a ring in any order, every demand that matters stated or
/// left out.
pub fn right_site(dice: &mut Dice) -> Site {
    let count = 2 + dice.roll(8);
    right_site_of(count, dice)
}

/// A site of so many units without a fault.
pub fn right_site_of(count: usize, dice: &mut Dice) -> Site {
    let demands = demands(dice, count);
    let mut units = units(dice, count, &demands);
    let mut order: Vec<usize> = (0..count).collect();
    dice.shuffle(&mut order);
    if let (true, Some(leader)) =
        (demands.coordinator_at_end, order.iter().position(|unit| units[*unit].leads))
    {
        order.swap(0, leader);
    }
    let mut cables = Vec::new();
    let (out, back) = match demands.pairing {
        Some(Pairing::Across | Pairing::Either) | None => ([Socket::A; 2], [Socket::B; 2]),
        // Like meets like: along the line the sockets take turns.
        Some(Pairing::Alike) => ([Socket::A, Socket::B], [Socket::A, Socket::B]),
    };
    for (hop, pair) in order.windows(2).enumerate() {
        cables.push(link((pair[0], out[hop % 2]), (pair[1], back[hop % 2])));
    }
    let (first, last) = (order[0], order[count - 1]);
    match demands.shape {
        Shape::Ring => {
            let hop = count - 1;
            let from = (last, out[hop % 2]);
            cables.push(link(from, (first, back[hop % 2])));
        }
        Shape::Line => {
            for end in [first, last] {
                units[end].terminator =
                    [Terminator::On, Terminator::BuiltIn, Terminator::Automatic][dice.roll(3)];
            }
        }
    }
    let mut site = Site { demands, units, cables };
    leads(&mut site);
    let mut cables = std::mem::take(&mut site.cables);
    dice.shuffle(&mut cables);
    site.cables = cables;
    site
}

/// Groups up to this size leave room for addresses and leads whatever is drawn.
const SMALL: usize = 9;

fn demands(dice: &mut Dice, count: usize) -> Demands {
    let ring = count > 2 && dice.roll(2) == 0;
    let by_phase = count > 2 && dice.roll(4) == 0;
    let pairing = match dice.roll(4) {
        0 => None,
        1 => Some(Pairing::Either),
        // In a ring where like meets like the sockets take turns, so their number is even.
        2 if !ring || count.is_multiple_of(2) => Some(Pairing::Alike),
        _ => Some(Pairing::Across),
    };
    Demands {
        shape: if ring { Shape::Ring } else { Shape::Line },
        terminated: !ring,
        pairing,
        address_range: (dice.roll(4) > 0).then_some((1, if count <= SMALL { 16 } else { 64 })),
        contiguous: dice.roll(2) == 0,
        coordinator_address: (!by_phase && dice.roll(3) == 0).then_some(1),
        coordinator_at_end: !ring && !by_phase && dice.roll(2) == 0,
        leaders: if by_phase { Leaders::OneEachPhase } else { Leaders::One },
        count_at_coordinator: dice.roll(4) == 0,
        max_units: (dice.roll(4) > 0).then_some(count + dice.roll(3)),
        // More leads than a large group has room for.
        battery_link_each: !by_phase && dice.roll(5) == 0 && count <= 2 * SMALL,
    }
}

fn units(dice: &mut Dice, count: usize, demands: &Demands) -> Vec<Unit> {
    let phases = if demands.leaders == Leaders::OneEachPhase { 3 } else { 1 };
    let leader = dice.roll(count);
    let first = if demands.coordinator_address.is_some() { 1 } else { 1 + dice.roll(3) };
    (0..count)
        .map(|unit| {
            // The leader has the lowest address.
            let position = (unit + count - leader) % count;
            Unit {
                leads: if phases == 1 { unit == leader } else { unit < phases },
                address: Some(number(first + position)),
                count: number(count),
                terminator: Terminator::Off,
                serial: Some(7001 + u32::from(number(unit))),
                phase: u8::try_from(unit % phases + 1).expect("three phases"),
            }
        })
        .collect()
}

fn number(number: usize) -> u16 {
    u16::try_from(number).expect("few units")
}

/// Battery link and sensors, each where it belongs.
fn leads(site: &mut Site) {
    let by_phase = site.demands.leaders == Leaders::OneEachPhase;
    let leading = |phase: u8| {
        let fits = |unit: &Unit| unit.leads && (!by_phase || unit.phase == phase);
        site.units.iter().position(fits).expect("a coordinator")
    };
    let mut leads = Vec::new();
    let mut run = |end: End, unit: usize, socket: Socket, kind: Kind| {
        leads.push(Cable { ends: [end, End::Unit(unit, Some(socket))], kind });
    };
    if site.demands.battery_link_each {
        for unit in 0..site.units.len() {
            run(End::Pack(unit), unit, Socket::Battery, Kind::Battery);
        }
    } else {
        run(End::Pack(0), leading(1), Socket::Battery, Kind::Battery);
    }
    for leg in if by_phase { 1..=3 } else { 1..=2 } {
        run(End::Sensor(leg), leading(leg), Socket::Sensor, Kind::Sensor);
    }
    site.cables.extend(leads);
}

fn link(from: (usize, Socket), to: (usize, Socket)) -> Cable {
    let end = |(unit, socket)| End::Unit(unit, Some(socket));
    Cable { ends: [end(from), end(to)], kind: Kind::Link }
}

/// A fault is a change of the site; some change nothing where they do not fit.
type Fault = fn(&mut Site, &mut Dice);

const FAULTS: &[Fault] = &[
    remove_cable,
    remove_cable,
    move_end,
    move_end,
    add_link,
    add_link,
    join_by_splitter,
    hang_gateway,
    loop_back,
    swap_sockets,
    forget_socket,
    change_terminator,
    change_terminator,
    change_address,
    change_address,
    change_role,
    change_role,
    change_count,
    change_all_counts,
    lower_limit,
    copy_serial,
    move_lead,
    move_lead,
    second_battery_lead,
];

fn remove_cable(site: &mut Site, dice: &mut Dice) {
    if !site.cables.is_empty() {
        site.cables.remove(dice.roll(site.cables.len()));
    }
}

const SOCKETS: [Socket; 6] =
    [Socket::A, Socket::B, Socket::Battery, Socket::Sensor, Socket::Meter, Socket::Service];

/// One end of a link cable, as unit and socket.
fn unit_end<'s>(site: &'s mut Site, kind: Kind, dice: &mut Dice) -> Option<&'s mut End> {
    let cables = site.cables.iter_mut().filter(|cable| cable.kind == kind);
    let ends = cables.flat_map(|cable| &mut cable.ends);
    let mut ends: Vec<_> = ends.filter(|end| matches!(end, End::Unit(..))).collect();
    if ends.is_empty() { None } else { Some(ends.swap_remove(dice.roll(ends.len()))) }
}

/// Moves an end of a link cable to any unit and any socket.
fn move_end(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    // Mostly a link socket.
    let socket = SOCKETS[if dice.roll(3) == 0 { dice.roll(6) } else { dice.roll(2) }];
    if let Some(end) = unit_end(site, Kind::Link, dice) {
        *end = End::Unit(unit, Some(socket));
    }
}

fn add_link(site: &mut Site, dice: &mut Dice) {
    let units = site.units.len();
    let mut end = || (dice.roll(units), SOCKETS[dice.roll(2)]);
    let (from, to) = (end(), end());
    // One socket cannot meet itself.
    if from != to {
        site.cables.push(link(from, to));
    }
}

/// Puts a splitter in place of a cable, with a branch to another unit.
fn join_by_splitter(site: &mut Site, dice: &mut Dice) {
    let is_splitter = |cable: &Cable| matches!(cable.ends[1], End::Splitter(_));
    if site.cables.iter().any(is_splitter) {
        return;
    }
    let at = site.cables.iter().position(|cable| {
        cable.kind == Kind::Link && cable.unit_ends().count() == 2 && cable.ends[0] != cable.ends[1]
    });
    let Some(at) = at else { return };
    let [one, other] = site.cables[at].ends;
    site.cables[at].ends = [one, End::Splitter(0)];
    site.cables.push(Cable { ends: [other, End::Splitter(0)], kind: Kind::Link });
    let joined =
        |unit: usize| [one, other].iter().any(|end| matches!(end, End::Unit(u, _) if *u == unit));
    let branch = dice.roll(site.units.len());
    if !joined(branch) {
        let end = End::Unit(branch, Some(SOCKETS[dice.roll(2)]));
        site.cables.push(Cable { ends: [end, End::Splitter(0)], kind: Kind::Link });
    }
}

fn hang_gateway(site: &mut Site, dice: &mut Dice) {
    let gateways = site.cables.iter().filter(|c| matches!(c.ends[1], End::Gateway(_))).count();
    let end = End::Unit(dice.roll(site.units.len()), Some(SOCKETS[dice.roll(2)]));
    site.cables.push(Cable { ends: [end, End::Gateway(gateways)], kind: Kind::Link });
}

fn loop_back(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    site.cables.push(link((unit, Socket::A), (unit, Socket::B)));
}

fn swap_sockets(site: &mut Site, dice: &mut Dice) {
    if let Some(End::Unit(_, Some(socket))) = unit_end(site, Kind::Link, dice) {
        *socket = if *socket == Socket::A { Socket::B } else { Socket::A };
    }
}

fn forget_socket(site: &mut Site, dice: &mut Dice) {
    if let Some(End::Unit(_, socket)) = unit_end(site, Kind::Link, dice) {
        *socket = None;
    }
}

fn change_terminator(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    let all = [Terminator::Off, Terminator::On, Terminator::BuiltIn, Terminator::Automatic];
    site.units[unit].terminator = all[dice.roll(4)];
}

fn change_address(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    site.units[unit].address = match dice.roll(5) {
        0 => None,
        1 => Some(number(17 + dice.roll(4))),
        2 => Some(0),
        _ => Some(number(1 + dice.roll(12))),
    };
}

fn change_role(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    site.units[unit].leads ^= true;
}

fn change_count(site: &mut Site, dice: &mut Dice) {
    let unit = dice.roll(site.units.len());
    site.units[unit].count = number(1 + dice.roll(9));
}

fn change_all_counts(site: &mut Site, dice: &mut Dice) {
    let count = number(1 + dice.roll(9));
    site.units.iter_mut().for_each(|unit| unit.count = count);
}

fn lower_limit(site: &mut Site, dice: &mut Dice) {
    if let Some(most) = &mut site.demands.max_units {
        *most = most.saturating_sub(1 + dice.roll(3)).max(2);
    }
}

fn copy_serial(site: &mut Site, dice: &mut Dice) {
    let (from, to) = (dice.roll(site.units.len()), dice.roll(site.units.len()));
    site.units[to].serial = site.units[from].serial;
}

/// Moves a battery or sensor lead to any unit, or a battery lead to any socket.
fn move_lead(site: &mut Site, dice: &mut Dice) {
    let kind = if dice.roll(2) == 0 { Kind::Battery } else { Kind::Sensor };
    let (unit, other) = (dice.roll(site.units.len()), SOCKETS[dice.roll(6)]);
    let to_socket = kind == Kind::Battery && dice.roll(2) == 0;
    if let Some(End::Unit(at, socket)) = unit_end(site, kind, dice) {
        if to_socket {
            *socket = Some(other);
        } else {
            *at = unit;
        }
    }
}

fn second_battery_lead(site: &mut Site, dice: &mut Dice) {
    let packs = site.cables.iter().filter(|cable| cable.kind == Kind::Battery).count();
    let end = End::Unit(dice.roll(site.units.len()), Some(Socket::Battery));
    site.cables.push(Cable { ends: [End::Pack(packs), end], kind: Kind::Battery });
}
