//! How a current divides over unequal leads: a network of resistances, solved node by node.

use super::Formula;
use nalgebra::{DMatrix, DVector};

/// Division over paths from one bar to another.
pub const PATHS: Formula = Formula {
    id: "sharing.paths",
    text: "I of a path = I * (1 / R of it) / sum of (1 / R)",
    source: "Kirchhoff's laws",
    mark: "computed",
};
/// Division in a network.
pub const NETWORK: Formula = Formula {
    id: "sharing.network",
    text: "G * V = I at every node",
    source: "Kirchhoff's laws, node voltages",
    mark: "computed",
};
/// From how uneven a division on the tool warns.
pub const UNEVEN: Formula = Formula {
    id: "sharing.uneven",
    text: "largest current / mean > 1.10",
    source: "ours, no standard",
    mark: "common practice, no source",
};

/// Currents of paths that join the same two bars, in amperes.
pub fn over_paths(total: f64, path_ohms: &[f64]) -> Vec<f64> {
    let sum: f64 = path_ohms.iter().map(|ohms| 1.0 / ohms).sum();
    path_ohms.iter().map(|ohms| total / ohms / sum).collect()
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
