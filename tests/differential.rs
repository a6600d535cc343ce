//! The core's tables against an independent implementation: petgraph.

use coldcheck_core::links::Links;
use coldcheck_core::place::CableId;
use coldcheck_core::plan::{
    CableKind, CableRecord, Datum, DemandRecord, DeviceKind, DeviceRecord, EndKind, EndRecord,
    GroupRecord, Plan, UnitRecord,
};
use coldcheck_core::sets::CableSet;
use coldcheck_tests::generate::Dice;
use petgraph::algo::{connected_components, has_path_connecting};
use petgraph::graph::{EdgeIndex, NodeIndex, UnGraph};
use std::collections::BTreeSet;

/// Link cables between random points: units, splitters and gateways.
fn cables(dice: &mut Dice, units: usize, devices: usize, count: usize) -> Vec<CableRecord> {
    let mut end = || {
        let point = dice.roll(units + devices);
        let (kind, index) =
            if point < units { (EndKind::Unit, point) } else { (EndKind::Device, point - units) };
        EndRecord {
            kind: kind.code(),
            index: u8::try_from(index).expect("few points"),
            port: EndRecord::NO_PORT,
        }
    };
    (0..count)
        .map(|_| CableRecord {
            ends: [end(), end()],
            kind: CableKind::Link.code(),
            declared: 1u16.wrapping_shl(Datum::CableEnds.bit() - Datum::FIRST_OF_CABLES).into(),
            ..CableRecord::default()
        })
        .collect()
}

type Graph = UnGraph<(), usize>;

/// The points of a cable: units first, then devices.
fn points(cable: &CableRecord, units: usize) -> [usize; 2] {
    cable.ends.map(|end| usize::from(end.index) + if end.unit().is_some() { 0 } else { units })
}

/// The line as a graph. A gateway with one cable end hangs on it and is left out, and so is the
/// second cable between two points.
fn graph(cables: &[CableRecord], units: usize, gateways: &[bool]) -> Graph {
    let mut graph = Graph::new_undirected();
    let nodes: Vec<NodeIndex> = (0..units + gateways.len()).map(|_| graph.add_node(())).collect();
    let cable_ends = |point: usize| {
        cables.iter().flat_map(|cable| points(cable, units)).filter(|at| *at == point).count()
    };
    let hangs = |point: usize| point >= units && gateways[point - units] && cable_ends(point) == 1;
    for (index, cable) in cables.iter().enumerate() {
        let [a, b] = points(cable, units);
        let doubled = graph.find_edge(nodes[a], nodes[b]).is_some();
        if a != b && !doubled && !hangs(a) && !hangs(b) {
            graph.add_edge(nodes[a], nodes[b], index);
        }
    }
    graph
}

/// Cables on a ring: without such a cable its two points still hang together.
fn ring_cables(graph: &Graph) -> BTreeSet<usize> {
    let on_ring = |edge: &EdgeIndex| {
        let (a, b) = graph.edge_endpoints(*edge).expect("an edge of the graph");
        let mut without = graph.clone();
        without.remove_edge(*edge);
        has_path_connecting(&without, a, b, None)
    };
    graph.edge_indices().filter(on_ring).map(|edge| graph[edge]).collect()
}

#[test]
fn pieces_ends_and_rings_are_those_of_a_graph_library() {
    let mut rings = 0;
    for seed in 0..3000 {
        let mut dice = Dice::new(seed);
        let (units, devices) = (2 + dice.roll(9), dice.roll(4));
        let gateways: Vec<bool> = (0..devices).map(|_| dice.roll(2) == 0).collect();
        let count = dice.roll(units + devices + 4);
        let cables = cables(&mut dice, units, devices, count);
        let (demands, group) = (DemandRecord::default(), GroupRecord::default());
        let records: Vec<_> = gateways
            .iter()
            .map(|gateway| if *gateway { DeviceKind::Gateway } else { DeviceKind::Splitter })
            .map(|kind| DeviceRecord { kind: kind.code(), ..DeviceRecord::default() })
            .collect();
        let plan = Plan {
            units: &vec![UnitRecord::default(); units],
            cables: &cables,
            devices: &records,
            ..Plan::empty(&demands, &group)
        };
        let links = Links::build(&plan);
        let graph = graph(&cables, units, &gateways);

        let alone = graph.node_indices().filter(|point| graph.edges(*point).count() == 0).count();
        let pieces = connected_components(&graph) - alone;
        assert_eq!(usize::try_from(links.pieces.of(links.on_link).len()), Ok(pieces), "{seed}");

        let ends = graph.node_indices().filter(|point| graph.edges(*point).count() == 1).count();
        assert_eq!(usize::try_from(links.ends().len()), Ok(ends), "{seed}");

        let branched = graph.node_indices().any(|point| graph.edges(point).count() > 2);
        assert_eq!(!links.branched.is_empty(), branched, "{seed}");

        // A forest has as many edges as points less pieces; every further edge closes a ring.
        let closing = graph.edge_count() + connected_components(&graph) - graph.node_count();
        assert_eq!(usize::try_from(links.pieces.closing().len()), Ok(closing), "{seed}");

        let ring = links.ring_cables();
        let expected: CableSet = ring_cables(&graph)
            .into_iter()
            .map(|index| CableId(u8::try_from(index).expect("few cables")))
            .collect();
        assert_eq!(ring, expected, "{seed}");
        rings += usize::from(!ring.is_empty());
    }
    assert!(rings > 500, "the sample holds too few rings: {rings}");
}
