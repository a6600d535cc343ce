//! How a current divides over unequal leads: a network of resistances, solved node by node.

use super::Formula;
use nalgebra::{DMatrix, DVector};

/// Division over paths from one bar to another.
pub const PATHS: Formula = Formula {
    id: "sharing.paths",
    text: "currents divide as 1 / resistance",
    source: "Kirchhoff's laws, solved as node voltages (G * V = I)",
    mark: "computed",
};
/// From how uneven a division on the tool warns.
pub const UNEVEN: Formula = Formula {
    id: "sharing.uneven",
    text: "largest share \u{f7} average share; pointed out above 1.10",
    source: "ours, no standard",
    mark: "common practice, no source",
};

/// The largest share by the average one from which on a division is pointed out.
pub const MOST_UNEVEN: f64 = 1.1;

/// Currents of paths that join the same two bars, in amperes: every path has a source of 1 V at its
/// far end, and the whole current is taken from the bar. `None` if a path has no resistance.
pub fn over_paths(total: f64, path_ohms: &[f64]) -> Option<Vec<f64>> {
    if path_ohms.iter().any(|ohms| *ohms <= 0.0) {
        return None;
    }
    let mut network = Network::new(2);
    for ohms in path_ohms {
        network.source(1, 1.0, *ohms);
    }
    network.current(1, -total);
    let bar = *network.solve()?.get(1)?;
    Some(path_ohms.iter().map(|ohms| (1.0 - bar) / ohms).collect())
}

/// Largest current by the mean.
pub fn unevenness(amperes: &[f64]) -> f64 {
    let count = amperes.len().max(1);
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    let mean = amperes.iter().sum::<f64>() / count as f64;
    amperes.iter().fold(0.0, |most: f64, one| most.max(*one)) / mean
}

/// A network of resistances between numbered nodes; node 0 is the one that voltages count from.
#[derive(Clone, Debug, Default)]
pub struct Network {
    conductances: Vec<Vec<f64>>,
    injected: Vec<f64>,
}

impl Network {
    /// So many nodes, nothing between them.
    pub fn new(nodes: usize) -> Self {
        Self { conductances: vec![vec![0.0; nodes]; nodes], injected: vec![0.0; nodes] }
    }

    /// Joins two nodes.
    pub fn resistance(&mut self, one: usize, other: usize, ohms: f64) {
        let siemens = 1.0 / ohms;
        self.conductances[one][one] += siemens;
        self.conductances[other][other] += siemens;
        self.conductances[one][other] -= siemens;
        self.conductances[other][one] -= siemens;
    }

    /// Feeds a current into a node; what flows out is negative.
    pub fn current(&mut self, node: usize, amperes: f64) {
        self.injected[node] += amperes;
    }

    /// A source with a resistance inside, from node 0 to this one.
    pub fn source(&mut self, node: usize, volts: f64, ohms: f64) {
        self.resistance(0, node, ohms);
        self.current(node, volts / ohms);
    }

    /// The voltage of every node; `None` if a part of the network hangs on nothing.
    pub fn solve(&self) -> Option<Vec<f64>> {
        let size = self.injected.len().checked_sub(1)?;
        let conductances =
            DMatrix::from_fn(size, size, |row, column| self.conductances[row + 1][column + 1]);
        let injected = DVector::from_column_slice(self.injected.get(1..)?);
        let volts = conductances.lu().solve(&injected)?;
        let mut all = vec![0.0];
        all.extend(volts.iter());
        all.iter().all(|volts| volts.is_finite()).then_some(all)
    }
}
