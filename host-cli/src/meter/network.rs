//! A net of resistors, solved by node-voltage equations.
//!
//! Nodes are numbered along the line, so that each row of the equations reaches back a few places
//! only. The equations are factored once (Cholesky, each row from its first entry on), and then
//! answer for any two nodes: the work grows with the length of the line and not with its cube.

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

    /// The equations, ready to answer.
    pub fn factored(&self) -> Factored {
        let part = self.parts();
        let rows = Rows::of(self, &part).factored();
        Factored { part, rows }
    }

    /// The resistance between two nodes; infinite where nothing joins them.
    pub fn ohms(&self, one: usize, two: usize) -> f64 {
        self.factored().ohms(one, two)
    }

    /// The volts at every node against the second, if one ampere is pushed in at the first and
    /// drawn at the second; nodes that nothing joins to the second are at zero. `None` if the two
    /// are not joined.
    pub fn volts(&self, from: usize, to: usize) -> Option<Vec<f64>> {
        self.factored().volts(from, to)
    }

    /// The first node of the part that each node hangs together with.
    fn parts(&self) -> Vec<usize> {
        fn first(part: &mut [usize], mut node: usize) -> usize {
            while part[node] != node {
                part[node] = part[part[node]];
                node = part[node];
            }
            node
        }
        let mut part: Vec<usize> = (0..self.nodes).collect();
        for (one, two, _) in &self.resistors {
            let (one, two) = (first(&mut part, *one), first(&mut part, *two));
            part[one.max(two)] = one.min(two);
        }
        (0..self.nodes).map(|node| first(&mut part, node)).collect()
    }
}

/// A net whose equations are factored.
#[derive(Clone, Debug, Default)]
pub struct Factored {
    /// The first node of each node's part; it is at zero.
    part: Vec<usize>,
    rows: Rows,
}

impl Factored {
    /// The resistance between two nodes; infinite where nothing joins them.
    pub fn ohms(&self, one: usize, two: usize) -> f64 {
        if one == two {
            return 0.0;
        }
        match self.volts(one, two) {
            Some(volts) => volts.get(one).copied().unwrap_or(0.0),
            None => f64::INFINITY,
        }
    }

    /// As [`Network::volts`].
    pub fn volts(&self, from: usize, to: usize) -> Option<Vec<f64>> {
        let own = *self.part.get(to)?;
        if self.part.get(from) != Some(&own) {
            return None;
        }
        let mut volts = vec![0.0; self.part.len()];
        if from != to {
            volts[from] = 1.0;
            volts[to] = -1.0;
        }
        volts[own] = 0.0;
        self.rows.solve(&mut volts);
        let zero = volts[to];
        for (volts, part) in volts.iter_mut().zip(&self.part) {
            *volts = if *part == own { *volts - zero } else { 0.0 };
        }
        Some(volts)
    }
}

/// A symmetric matrix by its lower rows, each from its first entry to the diagonal; a node at zero
/// has a row of its own that says nothing.
#[derive(Clone, Debug, Default)]
struct Rows {
    /// The column of the first entry of each row.
    from: Vec<usize>,
    /// Where each row begins among the entries.
    start: Vec<usize>,
    entries: Vec<f64>,
}

impl Rows {
    fn of(network: &Network, part: &[usize]) -> Self {
        let mut from: Vec<usize> = (0..network.nodes).collect();
        for (one, two, _) in &network.resistors {
            let (low, high) = (*one.min(two), *one.max(two));
            if part[low] != low {
                from[high] = from[high].min(low);
            }
        }
        let mut start = Vec::with_capacity(from.len());
        let mut length = 0;
        for (row, first) in from.iter().enumerate() {
            start.push(length);
            length += row - first + 1;
        }
        let mut rows = Self { from, start, entries: vec![0.0; length] };
        for (node, part) in part.iter().enumerate() {
            if node == *part {
                rows.add(node, node, 1.0);
            }
        }
        // The node at zero has the lowest number of its part: it meets others as a column only.
        let is_zero = |node: usize| part[node] == node;
        for (one, two, ohms) in &network.resistors {
            let siemens = ohms.recip();
            for node in [*one, *two] {
                if !is_zero(node) {
                    rows.add(node, node, siemens);
                }
            }
            let (low, high) = (*one.min(two), *one.max(two));
            if !is_zero(low) {
                rows.add(high, low, -siemens);
            }
        }
        rows
    }

    fn add(&mut self, row: usize, column: usize, siemens: f64) {
        self.entries[self.start[row] + column - self.from[row]] += siemens;
    }

    /// A row from its first entry to its diagonal.
    fn row(&self, row: usize) -> &[f64] {
        let start = self.start[row];
        &self.entries[start..=start + row - self.from[row]]
    }

    /// The lower half L of the matrix as L times its transpose.
    fn factored(mut self) -> Self {
        for row in 0..self.from.len() {
            let (from, start) = (self.from[row], self.start[row]);
            for column in from..=row {
                let common = from.max(self.from[column]);
                let one = &self.row(row)[common - from..column - from];
                let two = &self.row(column)[common - self.from[column]..];
                let sum: f64 = one.iter().zip(two).map(|(one, two)| one * two).sum();
                let rest = self.entries[start + column - from] - sum;
                self.entries[start + column - from] = if column == row {
                    // Never zero but for what no number can hold: each part has a node at zero.
                    rest.max(f64::MIN_POSITIVE).sqrt()
                } else {
                    rest / self.diagonal(column)
                };
            }
        }
        self
    }

    fn diagonal(&self, row: usize) -> f64 {
        self.entries[self.start[row] + row - self.from[row]]
    }

    /// Solves for the currents that are given, in place.
    fn solve(&self, values: &mut [f64]) {
        let count = self.from.len();
        for row in 0..count {
            let own = self.row(row);
            let (before, diagonal) = own.split_at(own.len() - 1);
            let known = &values[self.from[row]..row];
            let sum: f64 = before.iter().zip(known).map(|(one, two)| one * two).sum();
            values[row] = (values[row] - sum) / diagonal[0];
        }
        for row in (0..count).rev() {
            values[row] /= self.diagonal(row);
            let own = values[row];
            let before = &self.row(row)[..row - self.from[row]];
            for (value, entry) in values[self.from[row]..row].iter_mut().zip(before) {
                *value -= own * entry;
            }
        }
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
