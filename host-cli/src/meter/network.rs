//! A net of resistors, solved by node-voltage equations.

use nalgebra::{Cholesky, DMatrix, DVector};

/// Points that resistors join.
#[derive(Clone, Debug, Default)]
pub struct Network {
    nodes: usize,
    resistors: Vec<(usize, usize, f64)>,
}

/// Less than this is taken as this, so that no conductance is without bounds.
const LEAST_OHMS: f64 = 1e-6;

impl Network {
    /// A new node.
    pub fn node(&mut self) -> usize {
        self.nodes += 1;
        self.nodes - 1
    }

    /// Joins two nodes. A resistance that is open, or no number, joins nothing.
    pub fn resistor(&mut self, one: usize, two: usize, ohms: f64) {
        if ohms.is_finite() && one != two && one < self.nodes && two < self.nodes {
            self.resistors.push((one, two, ohms.max(LEAST_OHMS)));
        }
    }

    /// The resistance between two nodes; infinite where nothing joins them.
    pub fn ohms(&self, one: usize, two: usize) -> f64 {
        if one == two {
            return 0.0;
        }
        self.volts(one, two).map_or(f64::INFINITY, |volts| volts.get(one).copied().unwrap_or(0.0))
    }

    /// The volts at every node against the second, if one ampere is pushed in at the first and
    /// drawn at the second; nodes that nothing joins to the second are at zero. `None` if the two
    /// are not joined.
    pub fn volts(&self, from: usize, to: usize) -> Option<Vec<f64>> {
        let rows = self.rows_joined_to(to);
        let source = (*rows.get(from)?)?;
        let count = rows.iter().flatten().count();
        // One node is at zero, so that the matrix is positive definite.
        let mut conductances = DMatrix::<f64>::zeros(count, count);
        for (one, two, ohms) in &self.resistors {
            let siemens = ohms.recip();
            let (one, two) = (rows[*one], rows[*two]);
            for row in [one, two].into_iter().flatten() {
                conductances[(row, row)] += siemens;
            }
            if let (Some(one), Some(two)) = (one, two) {
                conductances[(one, two)] -= siemens;
                conductances[(two, one)] -= siemens;
            }
        }
        let mut current = DVector::<f64>::zeros(count);
        current[source] = 1.0;
        let volts = Cholesky::new(conductances)?.solve(&current);
        Some(rows.iter().map(|row| row.map_or(0.0, |row| volts[row])).collect())
    }

    /// A row of the equations for every node that hangs together with this one, which has none.
    fn rows_joined_to(&self, zero: usize) -> Vec<Option<usize>> {
        let mut joined = vec![false; self.nodes];
        if let Some(zero) = joined.get_mut(zero) {
            *zero = true;
        }
        let mut grows = true;
        while grows {
            grows = false;
            for (one, two, _) in &self.resistors {
                if joined[*one] != joined[*two] {
                    (joined[*one], joined[*two]) = (true, true);
                    grows = true;
                }
            }
        }
        let mut next = 0;
        let row = |(node, joined): (usize, &bool)| {
            (*joined && node != zero).then(|| {
                next += 1;
                next - 1
            })
        };
        joined.iter().enumerate().map(row).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn network(resistors: &[(usize, usize, f64)]) -> Network {
        let mut network = Network::default();
        for _ in 0..5 {
            network.node();
        }
        for (one, two, ohms) in resistors {
            network.resistor(*one, *two, *ohms);
        }
        network
    }

    #[test]
    fn a_bridge_that_no_series_and_parallel_can_take_apart_is_solved() {
        // Balanced: nothing flows in the bridge, whatever it has.
        let bridge =
            network(&[(0, 1, 10.0), (0, 2, 20.0), (1, 3, 30.0), (2, 3, 60.0), (1, 2, 5.0)]);
        assert!((bridge.ohms(0, 3) - 40.0 * 80.0 / 120.0).abs() < 1e-9);
        // A cube's edge of a tetrahedron of equal resistors is half of one.
        let all: Vec<_> = (0..4).flat_map(|a| (a + 1..4).map(move |b| (a, b, 2.0))).collect();
        assert!((network(&all).ohms(1, 2) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn what_nothing_joins_is_open_and_a_node_to_itself_is_nothing() {
        let apart = network(&[(0, 1, 10.0), (2, 3, 10.0), (1, 2, f64::INFINITY)]);
        assert!(apart.ohms(0, 3).is_infinite() && apart.ohms(0, 4).is_infinite());
        assert!(apart.ohms(0, 0).abs() < 1e-12);
        assert!((apart.ohms(2, 3) - 10.0).abs() < 1e-9);
    }
}
