//! Shape of the link, as a graph.

use super::site::{End, Kind, Shape, Site, Terminator};
use super::{Judged, Judgment, Places};
use petgraph::algo::{connected_components, has_path_connecting};
use petgraph::graph::{EdgeIndex, NodeIndex, UnGraph};

/// A point of the link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Point {
    Unit(usize),
    Splitter(usize),
    Gateway(usize),
}

impl Point {
    fn of(end: End) -> Option<Self> {
        match end {
            End::Unit(unit, _) => Some(Self::Unit(unit)),
            End::Splitter(number) => Some(Self::Splitter(number)),
            End::Gateway(number) => Some(Self::Gateway(number)),
            End::Pack(_) | End::Sensor(_) => None,
        }
    }

    pub(super) fn add_to(self, places: &mut Places) {
        match self {
            Self::Unit(unit) => places.add_unit(unit),
            Self::Splitter(number) => places.devices |= 1 << number,
            Self::Gateway(number) => places.devices |= 1 << (32 + number),
        }
    }
}

/// The link as a graph: points that hang together, one edge for each pair of neighbours. The
/// second cable of a doubled pair is a fault of its own, and so is a cable that goes back to where
/// it came from. A gateway with one cable hangs on the line and is no part of its shape.
pub(super) struct Line {
    graph: UnGraph<Point, usize>,
    /// Link cables with the two points that they join.
    cables: Vec<(usize, Point, Point)>,
}

impl Line {
    pub(super) fn of(site: &Site) -> Self {
        let link = site.single_cables().filter(|(_, cable)| cable.kind == Kind::Link);
        let joined: Vec<(usize, Point, Point)> = link
            .filter_map(|(index, cable)| {
                let [a, b] = cable.ends;
                Some((index, Point::of(a)?, Point::of(b)?))
            })
            .collect();
        let hangs = |point: Point| {
            let ends = joined.iter().flat_map(|(_, a, b)| [*a, *b]);
            matches!(point, Point::Gateway(_)) && ends.filter(|end| *end == point).count() == 1
        };
        let cables: Vec<_> =
            joined.iter().copied().filter(|(_, a, b)| !hangs(*a) && !hangs(*b)).collect();
        let mut graph = UnGraph::new_undirected();
        for unit in 0..site.units.len() {
            graph.add_node(Point::Unit(unit));
        }
        for (index, a, b) in &cables {
            let (from, to) = (node(&mut graph, *a), node(&mut graph, *b));
            if from != to && graph.find_edge(from, to).is_none() {
                graph.add_edge(from, to, *index);
            }
        }
        Self { graph, cables }
    }

    fn neighbours(&self, point: NodeIndex) -> usize {
        self.graph.neighbors(point).count()
    }

    fn points_with(&self, fits: impl Fn(usize) -> bool) -> impl Iterator<Item = Point> {
        let nodes = self.graph.node_indices();
        nodes.filter(move |node| fits(self.neighbours(*node))).map(|node| self.graph[node])
    }

    /// Points with one neighbour.
    pub(super) fn ends(&self) -> Vec<Point> {
        self.points_with(|neighbours| neighbours == 1).collect()
    }

    /// Whether it is one open line that every point is on.
    pub(super) fn is_whole(&self) -> bool {
        connected_components(&self.graph) == 1
            && self.ring().is_empty()
            && self.points_with(|neighbours| neighbours > 2).next().is_none()
    }

    /// Cables on a ring: without such a cable its two points still hang together.
    fn ring(&self) -> Vec<usize> {
        let parts = connected_components(&self.graph);
        if self.graph.edge_count() + parts == self.graph.node_count() {
            return Vec::new();
        }
        let on_ring = |edge: &EdgeIndex| {
            let (a, b) = self.graph.edge_endpoints(*edge).expect("an edge of the graph");
            let mut without = self.graph.clone();
            without.remove_edge(*edge);
            has_path_connecting(&without, a, b, None)
        };
        let edges: Vec<_> = self.graph.edge_indices().filter(on_ring).collect();
        edges.into_iter().map(|edge| self.graph[edge]).collect()
    }

    /// The cable to take out of a ring: the one that joins two terminated units. Lengths are not
    /// part of the model, so otherwise all are named.
    fn cables_to_remove(&self, site: &Site) -> Places {
        let ring = self.ring();
        let is_on = |point: Point| match point {
            Point::Unit(unit) => {
                matches!(site.units[unit].terminator, Terminator::On | Terminator::BuiltIn)
            }
            Point::Splitter(_) | Point::Gateway(_) => false,
        };
        let joins_terminated = |index: &usize| {
            self.cables.iter().any(|(i, a, b)| i == index && is_on(*a) && is_on(*b))
        };
        // "The one": where several join terminated units, nothing tells which of them it is.
        match ring.iter().copied().filter(joins_terminated).collect::<Vec<_>>().as_slice() {
            [the_one] => Places::of_cables([*the_one]),
            _ => Places::of_cables(ring),
        }
    }

    /// Cables between two points that another one joins as well. A ring of two that the site
    /// demands is joined twice by the site's own rule.
    fn doubled(&self, site: &Site) -> Places {
        let mut places = Places::default();
        if site.demands.shape == Shape::Ring && self.graph.node_count() == 2 {
            return places;
        }
        for (first, a, b) in &self.cables {
            for (second, c, d) in &self.cables {
                if first < second && a != b && ((a, b) == (c, d) || (a, b) == (d, c)) {
                    places.add_cable(*first);
                    places.add_cable(*second);
                }
            }
        }
        places
    }

    /// Whether a point on the link has a single link cable.
    fn has_open_end(&self) -> bool {
        let joining = || self.cables.iter().filter(|(_, a, b)| a != b);
        let cables_at =
            |point: Point| joining().filter(|(_, a, b)| *a == point || *b == point).count();
        self.graph.node_weights().any(|point| cables_at(*point) == 1)
    }

    pub(super) fn judge(&self, site: &Site) -> Vec<Judged> {
        let loops = self.cables.iter().filter(|(_, a, b)| a == b).map(|(index, ..)| *index);
        let mut branching = Places::default();
        self.points_with(|neighbours| neighbours > 2).for_each(|p| p.add_to(&mut branching));
        let alone = self.points_with(|neighbours| neighbours == 0);
        let lone_units: Vec<_> = alone
            .filter_map(|point| match point {
                Point::Unit(unit) => Some(unit),
                Point::Splitter(_) | Point::Gateway(_) => None,
            })
            .collect();
        // A second name of a unit that is on the link is no unit that lacks a cable.
        let serial = |unit: usize| site.units[unit].serial;
        let is_second_name = |unit: &usize| {
            (0..site.units.len()).any(|other| {
                !lone_units.contains(&other)
                    && serial(other).is_some_and(|s| Some(s) == serial(*unit))
            })
        };
        let missing: Vec<_> =
            lone_units.iter().copied().filter(|unit| !is_second_name(unit)).collect();
        let lone_points = self.points_with(|neighbours| neighbours == 0).count();
        let pieces = connected_components(&self.graph) - lone_points;
        let ring = site.demands.shape == Shape::Ring;
        vec![
            ("link-self-loop", Judgment::at(Places::of_cables(loops))),
            ("link-star", Judgment::at(branching)),
            ("link-broken", Judgment::broken(pieces > 1)),
            ("unit-not-on-link", Judgment::at(Places::of_units(missing))),
            ("link-doubled-pair", Judgment::at(self.doubled(site))),
            ("link-ring-closed", Judgment::at(self.cables_to_remove(site)).demanded(!ring)),
            ("link-ring-open", Judgment::broken(self.has_open_end()).demanded(ring)),
        ]
    }
}

fn node(graph: &mut UnGraph<Point, usize>, point: Point) -> NodeIndex {
    let found = graph.node_indices().find(|index| graph[*index] == point);
    found.unwrap_or_else(|| graph.add_node(point))
}
