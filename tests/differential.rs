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

/// Link cables between random points: units, and splitters, which are points of the line too.
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

fn graph(cables: &[CableRecord], units: usize, devices: usize) -> Graph {
    let mut graph = Graph::new_undirected();
    let points: Vec<NodeIndex> = (0..units + devices).map(|_| graph.add_node(())).collect();
    for (index, cable) in cables.iter().enumerate() {
        let point = |end: &EndRecord| {
            points[usize::from(end.index) + if end.unit().is_some() { 0 } else { units }]
        };
        let (a, b) = (point(&cable.ends[0]), point(&cable.ends[1]));
        if a != b {
            graph.add_edge(a, b, index);
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
        let (units, devices) = (2 + dice.roll(9), dice.roll(3));
        let count = dice.roll(units + devices + 4);
        let cables = cables(&mut dice, units, devices, count);
        let (demands, group) = (DemandRecord::default(), GroupRecord::default());
        let splitter =
            DeviceRecord { kind: DeviceKind::Splitter.code(), ..DeviceRecord::default() };
        let plan = Plan {
            units: &vec![UnitRecord::default(); units],
            cables: &cables,
            devices: &vec![splitter; devices],
            ..Plan::empty(&demands, &group)
        };
        let links = Links::build(&plan);
        let graph = graph(&cables, units, devices);

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
