//! The order in which things are drawn: units along the link, everything else behind the unit that
//! it hangs on.

use crate::declared::{Declared, End, Subject};
use crate::engine::Site;
use crate::field::Field;
use coldcheck_core::plan::{CableKind, Role};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What a box stands for, by position among what was declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Node {
    /// A unit.
    Unit(usize),
    /// Another device.
    Device(usize),
    /// A pack.
    Pack(usize),
    /// A sensor.
    Sensor(usize),
    /// Ends of a cable that are at nothing, or nobody knows where.
    Loose(usize),
}

/// What a cable's end is at.
pub(super) fn node(cable: usize, end: End) -> Node {
    match end {
        End::Unit(unit, _) => Node::Unit(unit),
        End::Pack(pack) => Node::Pack(pack),
        End::Sensor(sensor) => Node::Sensor(sensor),
        End::Device(device) => Node::Device(device),
        End::Open | End::Unknown => Node::Loose(cable),
    }
}

/// Whether a cable is a plug in a socket: its other end is no place.
pub(super) fn is_plug(declared: &Declared, cable: usize) -> bool {
    let cable = &declared.cables[cable];
    cable.kind == Some(CableKind::Terminator)
        && cable.ends.iter().any(|end| !matches!(end, End::Open | End::Unknown))
        && cable.ends.iter().any(|end| matches!(end, End::Open | End::Unknown))
}

/// All boxes in their order, each with whether it is a point of the link: a column may begin there.
pub(super) fn order(site: &Site) -> Vec<(Node, bool)> {
    Order::of(site).all()
}

struct Order<'s> {
    site: &'s Site,
    /// Cables that join two boxes, in the order of the plan.
    joins: Vec<(Node, Node, bool)>,
    rank: BTreeMap<Node, usize>,
    placed: BTreeSet<Node>,
    out: Vec<(Node, bool)>,
}

impl<'s> Order<'s> {
    fn of(site: &'s Site) -> Self {
        let (declared, map) = (&site.declared, &site.assembled.map);
        let mut joins = Vec::new();
        let mut nodes: Vec<Node> = map.units.iter().map(|unit| Node::Unit(*unit)).collect();
        nodes.extend(map.devices.iter().map(|device| Node::Device(*device)));
        nodes.extend(map.packs.iter().map(|pack| Node::Pack(*pack)));
        nodes.extend(map.sensors.iter().map(|sensor| Node::Sensor(*sensor)));
        for cable in map.cables.iter().copied().filter(|cable| !is_plug(declared, *cable)) {
            let [a, b] = declared.cables[cable].ends.map(|end| node(cable, end));
            let is_link = declared.cables[cable].kind == Some(CableKind::Link);
            joins.push((a, b, is_link));
            nodes.extend([a, b].into_iter().filter(|one| matches!(one, Node::Loose(_))));
        }
        let rank = nodes.iter().enumerate().rev().map(|(rank, node)| (*node, rank)).collect();
        Self { site, joins, rank, placed: BTreeSet::new(), out: Vec::new() }
    }

    fn all(mut self) -> Vec<(Node, bool)> {
        for start in self.starts() {
            self.walk(start);
        }
        // What hangs on nothing: packs behind the packs, and so on.
        let mut left: Vec<Node> = self.rank.keys().copied().collect();
        left.retain(|node| !self.placed.contains(node));
        left.sort_by_key(|node| self.rank[node]);
        for node in left {
            if self.placed.insert(node) {
                let at = match node {
                    Node::Pack(_) => {
                        self.out.iter().rposition(|(one, _)| matches!(one, Node::Pack(_)))
                    }
                    Node::Sensor(_) => {
                        self.out.iter().rposition(|(one, _)| matches!(one, Node::Sensor(_)))
                    }
                    Node::Unit(_) | Node::Device(_) | Node::Loose(_) => None,
                };
                let at = at.map_or(self.out.len(), |at| at + 1);
                self.out.insert(at, (node, false));
            }
        }
        self.out
    }

    /// Neighbours along the link, by rank, each once.
    fn neighbours(&self, node: Node) -> Vec<Node> {
        let of_link = |one: Node| matches!(one, Node::Unit(_) | Node::Device(_));
        let mut found: Vec<Node> = self
            .joins
            .iter()
            .filter(|(a, b, is_link)| *is_link && a != b && of_link(*a) && of_link(*b))
            .filter_map(|(a, b, _)| match node {
                one if one == *a => Some(*b),
                one if one == *b => Some(*a),
                _ => None,
            })
            .collect();
        found.sort_by_key(|node| self.rank[node]);
        found.dedup();
        found
    }

    /// What can be reached along the link without passing what was passed.
    fn reach(&self, from: Node, passed: &BTreeSet<Node>) -> BTreeSet<Node> {
        let mut seen = BTreeSet::from([from]);
        let mut queue = VecDeque::from([from]);
        while let Some(node) = queue.pop_front() {
            for next in self.neighbours(node) {
                if !passed.contains(&next) && seen.insert(next) {
                    queue.push_back(next);
                }
            }
        }
        seen
    }

    /// Where each piece of the link begins: at an end, the coordinator's before others; in a ring
    /// at the coordinator. Single units stand behind the pieces.
    fn starts(&self) -> Vec<Node> {
        let mut starts = Vec::new();
        let mut seen = BTreeSet::new();
        let mut nodes: Vec<Node> = self.rank.keys().copied().collect();
        nodes.sort_by_key(|node| self.rank[node]);
        for node in nodes {
            let is_point = matches!(node, Node::Unit(_))
                || matches!(node, Node::Device(_)) && !self.neighbours(node).is_empty();
            if !is_point || seen.contains(&node) {
                continue;
            }
            let piece = self.reach(node, &BTreeSet::new());
            seen.extend(piece.iter().copied());
            let key = |one: &Node| {
                let is_end = self.neighbours(*one).len() <= 1;
                let is_unit = matches!(one, Node::Unit(_));
                (!is_end, !is_unit, !self.leads(*one), self.rank[one])
            };
            let start = piece.iter().min_by_key(|one| key(one)).copied().unwrap_or(node);
            starts.push((piece.len() == 1, self.rank[&node], start));
        }
        starts.sort();
        starts.into_iter().map(|(_, _, start)| start).collect()
    }

    fn leads(&self, node: Node) -> bool {
        let Node::Unit(unit) = node else { return false };
        let role = self.site.declared.number(Subject::Unit(unit), Field::Role);
        role == Some(Role::Coordinator.code().into())
    }

    /// Goes along the link: short branches first, then on.
    fn walk(&mut self, start: Node) {
        let mut stack = vec![start];
        while let Some(node) = stack.pop() {
            if !self.placed.insert(node) {
                continue;
            }
            self.out.push((node, true));
            self.hang(node);
            let mut next = self.neighbours(node);
            next.retain(|one| !self.placed.contains(one));
            next.sort_by_key(|one| (self.reach(*one, &self.placed).len(), self.rank[one]));
            // The last one put down is taken up first.
            stack.extend(next.into_iter().rev());
        }
    }

    /// What hangs on a point of the link, and what hangs on that.
    fn hang(&mut self, node: Node) {
        let mut queue = VecDeque::from([node]);
        while let Some(at) = queue.pop_front() {
            let mut hanging: Vec<Node> = self
                .joins
                .iter()
                .filter_map(|(a, b, _)| match at {
                    one if one == *a => Some(*b),
                    one if one == *b => Some(*a),
                    _ => None,
                })
                .filter(|other| !self.placed.contains(other) && !self.is_point(*other))
                .collect();
            hanging.sort_by_key(|other| self.rank[other]);
            hanging.dedup();
            for other in hanging {
                self.placed.insert(other);
                self.out.push((other, false));
                queue.push_back(other);
            }
        }
    }

    /// Whether it is a point of the link by itself.
    fn is_point(&self, node: Node) -> bool {
        match node {
            Node::Unit(_) => true,
            Node::Device(_) => !self.neighbours(node).is_empty(),
            Node::Pack(_) | Node::Sensor(_) | Node::Loose(_) => false,
        }
    }
}
