//! The link as a circuit sees it: points with what hangs on them, and cables between them.

use coldcheck_core::bus::{TERMINATOR, far_pin};
use coldcheck_core::links::Links;
use coldcheck_core::ohms::AllFitted;
use coldcheck_core::place::CableId;
use coldcheck_core::plan::{CableRecord, PinPair, Plan};
use coldcheck_core::sets::NodeId;
use coldcheck_core::units::Ohms;

/// How sure it is that a terminator loads the pair with the power off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fitted {
    /// It is declared to be on.
    On,
    /// The unit switches it; what it does without power is not known.
    Automatic,
    /// No sheet says anything about it.
    Unknown,
}

/// A terminator that is there, or may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Termination {
    /// Its value in ohms.
    pub ohms: f64,
    /// Whether it is on.
    pub fitted: Fitted,
}

/// A unit or another device on the link.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Which.
    pub node: NodeId,
    /// Its terminators.
    pub terminators: Vec<Termination>,
    /// Whether it loads the pair by itself: all but what only joins cables.
    pub is_load: bool,
}

/// One of the two wires of the pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wire {
    /// CAN-H, or A.
    High,
    /// CAN-L, or B.
    Low,
}

/// A link cable with both ends at points.
#[derive(Clone, Debug, PartialEq)]
pub struct Lead {
    /// Which.
    pub id: CableId,
    /// Positions of its points.
    pub ends: [usize; 2],
    /// Its length in metres, if it is stated.
    pub metres: Option<f64>,
    /// On which wire of the far end the wire H, then the wire L comes out, if on any.
    pub lands: [Option<Wire>; 2],
}

/// Two resistors that hold the idle pair apart: one from each wire to a supply rail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bias {
    /// The point that they are at.
    pub point: usize,
    /// Each of them, in ohms.
    pub ohms: f64,
}

/// The link.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Topology {
    /// Points, in the order of the line if there is one; else units, then devices.
    pub points: Vec<Point>,
    /// Cables.
    pub cables: Vec<Lead>,
    /// What a terminator has where nobody states it, in ohms.
    pub nominal: f64,
    /// Resistors to the rails.
    pub bias: Vec<Bias>,
    /// Link cables of which an end is not known; they are left out.
    pub left_out: Vec<CableId>,
}

impl Topology {
    /// The link that a plan declares.
    pub fn of(plan: &Plan<'_>) -> Self {
        let links = Links::build(plan);
        let all = AllFitted::of(&links);
        let mut nodes: Vec<NodeId> = links.units.iter().map(NodeId::of_unit).collect();
        nodes.extend(plan.devices().map(|(id, _)| NodeId::of_device(id)));
        let mut cables = Vec::new();
        let mut left_out = Vec::new();
        for id in links.link_cables {
            let Some(record) = plan.cable(id) else { continue };
            match record.nodes() {
                Some((a, b)) if a != b => cables.push((id, record, [a, b])),
                Some(_) => {}
                None => left_out.push(id),
            }
        }
        // A device that no link cable meets is no part of the link.
        nodes.retain(|node| {
            node.unit().is_some() || cables.iter().any(|(_, _, ends)| ends.contains(node))
        });
        let ends: Vec<[NodeId; 2]> = cables.iter().map(|(_, _, ends)| *ends).collect();
        let order = along_the_line(&nodes, &ends);
        let position = |node: NodeId| order.iter().position(|own| *own == node).unwrap_or(0);
        Self {
            points: order.iter().map(|node| point(&links, &all, *node)).collect(),
            cables: cables
                .into_iter()
                .map(|(id, record, [a, b])| Lead {
                    id,
                    ends: [position(a), position(b)],
                    metres: record.length().map(|length| f64::from(length.0) / 1000.0),
                    lands: lands(plan, record),
                })
                .collect(),
            nominal: f64::from(plan.demands.terminator_ohms().unwrap_or(TERMINATOR).0.max(1)),
            bias: Vec::new(),
            left_out,
        }
    }

    /// The position of a point.
    pub fn position(&self, node: NodeId) -> Option<usize> {
        self.points.iter().position(|point| point.node == node)
    }

    /// The position of a cable.
    pub fn cable(&self, id: CableId) -> Option<usize> {
        self.cables.iter().position(|cable| cable.id == id)
    }

    /// Cables with an end at a point.
    pub fn cables_at(&self, point: usize) -> impl Iterator<Item = usize> + '_ {
        let here = move |(_, cable): &(usize, &Lead)| cable.ends.contains(&point);
        self.cables.iter().enumerate().filter(here).map(|(position, _)| position)
    }

    /// Points with one cable, in order.
    pub fn ends(&self) -> Vec<usize> {
        (0..self.points.len()).filter(|point| self.cables_at(*point).count() == 1).collect()
    }

    /// Whether it is one open line through all points.
    pub fn is_line(&self) -> bool {
        let count = self.points.len();
        let in_row = |cable: &Lead| cable.ends[0].abs_diff(cable.ends[1]) == 1;
        self.cables.len() + 1 == count
            && self.cables.iter().all(in_row)
            && (0..count)
                .all(|point| (1..=2).contains(&self.cables_at(point).count()) || count == 1)
    }

    /// Whether no cable closes a ring.
    pub fn is_tree(&self) -> bool {
        let mut piece: Vec<usize> = (0..self.points.len()).collect();
        self.cables.iter().all(|cable| {
            let [a, b] = cable.ends.map(|end| piece[end]);
            for own in &mut piece {
                if *own == b {
                    *own = a;
                }
            }
            a != b
        })
    }
}

/// Points in the order in which one walks along the cables, from the end with the lowest number;
/// pieces that hang apart follow.
fn along_the_line(nodes: &[NodeId], cables: &[[NodeId; 2]]) -> Vec<NodeId> {
    let count_at = |node: NodeId| cables.iter().filter(|ends| ends.contains(&node)).count();
    let mut order: Vec<NodeId> = Vec::new();
    let mut starts: Vec<NodeId> = nodes.to_vec();
    starts.sort_by_key(|node| (count_at(*node) > 1, *node));
    for start in starts {
        let mut waiting = vec![start];
        while let Some(node) = waiting.pop() {
            if order.contains(&node) {
                continue;
            }
            order.push(node);
            let mut next: Vec<NodeId> = cables
                .iter()
                .filter_map(|[a, b]| match (*a == node, *b == node) {
                    (true, _) => Some(*b),
                    (_, true) => Some(*a),
                    _ => None,
                })
                .filter(|other| !order.contains(other))
                .collect();
            // The last one in is walked to first: the lowest, and side branches before the way on.
            next.sort_by_key(|node| (count_at(*node) == 1, std::cmp::Reverse(*node)));
            waiting.extend(next);
        }
    }
    order
}

fn point(links: &Links<'_>, all: &AllFitted, node: NodeId) -> Point {
    let is_load = !links.joints.contains(node);
    let demanded = links.plan.demands.terminator_ohms().unwrap_or(TERMINATOR);
    let one = |value: Option<Ohms>, fitted| Termination {
        ohms: f64::from(value.unwrap_or(demanded).0.max(1)),
        fitted,
    };
    let stated = all.at(node);
    let mut terminators: Vec<Termination> =
        stated.on().map(|value| one(value, Fitted::On)).collect();
    if terminators.is_empty() && links.automatic.contains(node) {
        terminators.push(one(stated.own, Fitted::Automatic));
    } else if terminators.is_empty() && is_load && !links.terminator_known.contains(node) {
        terminators.push(one(stated.own, Fitted::Unknown));
    }
    Point { node, terminators, is_load }
}

/// Where the two wires of the pair come out at the other end. As a lead must be wired, they come
/// out right by the profile's word; so they do in one of which nothing is known. One that is wired
/// otherwise, nobody knows how, is taken to carry neither.
fn lands(plan: &Plan<'_>, cable: &CableRecord) -> [Option<Wire>; 2] {
    let straight = [Some(Wire::High), Some(Wire::Low)];
    let Some(PinPair(high, low)) = plan.demands.pair_pins() else { return straight };
    let has_wire = |pin: u8| cable.pins().is_none_or(|pins| pins.contains(pin));
    let wiring = cable.wiring().filter(|wiring| plan.demands.lead_wiring() != Some(*wiring));
    let land = |pin: u8, own: Wire| {
        if !has_wire(pin) {
            return None;
        }
        let Some(wiring) = wiring else { return Some(own) };
        let far = far_pin(wiring, pin)?;
        [(high, Wire::High), (low, Wire::Low)]
            .into_iter()
            .find_map(|(pin, wire)| (pin == far).then_some(wire))
    };
    [land(high, Wire::High), land(low, Wire::Low)]
}
