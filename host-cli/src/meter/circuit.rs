//! From the link, its values and its faults to a net of resistors, each conductor by itself.

use super::fault::{Cut, Fault};
use super::network::{Factored, Network};
use super::topology::{Fitted, Topology, Wire};
use super::values::{Short, Values};

/// A cable that is out at one end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pulled {
    /// The cable's position.
    pub cable: usize,
    /// The position of the point that it was pulled at.
    pub at: usize,
}

/// Where the leads of the meter are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Where {
    /// In a socket of a point, by position.
    Point(usize),
    /// In the loose plug.
    Plug,
}

/// Between which two wires the meter is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Between {
    /// The two wires of the pair.
    Pair,
    /// This wire and the common.
    Common(Wire),
}

/// A net with the places where a meter can be held to it.
#[derive(Clone, Debug)]
pub struct Circuit {
    network: Network,
    factored: Factored,
    /// High, low and, where it matters, common of every point.
    points: Vec<Wires>,
    plug: Option<Wires>,
}

#[derive(Clone, Copy, Debug)]
struct Wires {
    high: usize,
    low: usize,
    common: Option<usize>,
}

impl Wires {
    fn of(network: &mut Network, with_common: bool) -> Self {
        let (high, low) = (network.node(), network.node());
        Self { high, low, common: with_common.then(|| network.node()) }
    }

    const fn get(self, wire: Wire) -> usize {
        match wire {
            Wire::High => self.high,
            Wire::Low => self.low,
        }
    }
}

impl Circuit {
    /// Builds the net.
    pub fn of(
        topology: &Topology,
        values: &Values,
        faults: &[Fault],
        pulled: Option<Pulled>,
    ) -> Self {
        let mut network = Network::default();
        let with_common = faults.iter().any(|fault| matches!(fault, Fault::Grounded { .. }));
        let points: Vec<Wires> =
            topology.points.iter().map(|_| Wires::of(&mut network, with_common)).collect();
        let plug = pulled.map(|_| Wires::of(&mut network, with_common));
        let mut circuit = Self { network, factored: Factored::default(), points, plug };
        circuit.hang(topology, values, faults);
        for (position, cable) in topology.cables.iter().enumerate() {
            let mut ends = cable.ends.map(|end| circuit.points[end]);
            if let (Some(pulled), Some(plug)) = (pulled, plug)
                && pulled.cable == position
            {
                // Where both ends are at one point, the first is the one that is out.
                let out = usize::from(cable.ends[0] != pulled.at);
                ends[out] = plug;
            }
            let on = on_cable(position, faults, values, pulled);
            circuit.lay((cable.metres, cable.lands), values, ends, &on);
        }
        for fault in faults {
            if let Fault::Ring { a, b } = fault {
                let ends = [circuit.points[*a], circuit.points[*b]];
                circuit.lay((None, STRAIGHT), values, ends, &OnCable::default());
            }
        }
        circuit.factored = circuit.network.factored();
        circuit
    }

    /// What hangs on each point: terminators, the unit itself, bias, and faults there.
    fn hang(&mut self, topology: &Topology, values: &Values, faults: &[Fault]) {
        for (position, point) in topology.points.iter().enumerate() {
            let wires = self.points[position];
            let mut on: Vec<f64> = point
                .terminators
                .iter()
                .filter(|one| one.fitted == Fitted::On || values.doubtful_on[position])
                .map(|one| one.ohms * values.terminators[position])
                .collect();
            for fault in faults {
                match *fault {
                    Fault::Missing { point } | Fault::Moved { from: point, .. }
                        if point == position =>
                    {
                        on.pop();
                    }
                    Fault::Extra { point } if point == position => on.push(values.extra),
                    Fault::Moved { from, to } if to == position => {
                        let stated = topology.points[from].terminators.last();
                        let ohms = stated.map_or(topology.nominal, |one| one.ohms);
                        on.push(ohms * values.terminators[from]);
                    }
                    Fault::Grounded { point, wire, milliohms } if point == position => {
                        if let Some(common) = wires.common {
                            let ohms = f64::from(milliohms) / 1000.0;
                            self.network.resistor(wires.get(wire), common, ohms);
                        }
                    }
                    Fault::Missing { .. }
                    | Fault::Extra { .. }
                    | Fault::Moved { .. }
                    | Fault::Grounded { .. }
                    | Fault::Open { .. }
                    | Fault::Loose { .. }
                    | Fault::Swapped { .. }
                    | Fault::Shorted { .. }
                    | Fault::Ring { .. } => {}
                }
            }
            for ohms in on {
                self.network.resistor(wires.high, wires.low, ohms);
            }
            if point.is_load && values.node > 0.0 {
                self.network.resistor(wires.high, wires.low, values.node.recip());
            }
        }
        for bias in &topology.bias {
            if values.rails > 0.0 {
                let wires = self.points[bias.point];
                self.network.resistor(wires.high, wires.low, 2.0 * bias.ohms / values.rails);
            }
        }
    }

    fn lay(
        &mut self,
        (metres, lands): (Option<f64>, [Option<Wire>; 2]),
        values: &Values,
        [near, far]: [Wires; 2],
        on: &OnCable,
    ) {
        let wire = values.wire(metres);
        if let (Some(near), Some(far)) = (near.common, far.common) {
            self.network.resistor(near, far, wire);
        }
        let mut middle = Vec::new();
        for (own, land) in [Wire::High, Wire::Low].into_iter().zip(lands) {
            let land = match (land, on.is_swapped) {
                (Some(Wire::High), true) => Some(Wire::Low),
                (Some(Wire::Low), true) => Some(Wire::High),
                (land, _) => land,
            };
            let is_cut = match on.cut {
                Some(Cut::Both) => true,
                Some(Cut::One) => own == Wire::High,
                None => false,
            };
            if is_cut {
                continue;
            }
            let from = near.get(own);
            match (on.short, land) {
                (None, None) => {}
                (None, Some(land)) => self.network.resistor(from, far.get(land), wire),
                (Some(short), land) => {
                    let node = self.network.node();
                    self.network.resistor(from, node, wire * short.at);
                    if let Some(land) = land {
                        self.network.resistor(node, far.get(land), wire * (1.0 - short.at));
                    }
                    middle.push(node);
                }
            }
        }
        if let ([one, two], Some(short)) = (middle.as_slice(), on.short) {
            self.network.resistor(*one, *two, short.ohms);
        }
    }

    /// What the meter shows; infinite for open.
    pub fn ohms(&self, place: Where, between: Between) -> f64 {
        let wires = match place {
            Where::Point(point) => self.points.get(point).copied(),
            Where::Plug => self.plug,
        };
        let Some(wires) = wires else { return f64::INFINITY };
        match between {
            Between::Pair => self.factored.ohms(wires.high, wires.low),
            Between::Common(wire) => match wires.common {
                Some(common) => self.factored.ohms(wires.get(wire), common),
                None => f64::INFINITY,
            },
        }
    }
}

const STRAIGHT: [Option<Wire>; 2] = [Some(Wire::High), Some(Wire::Low)];

/// What is wrong with one cable.
#[derive(Clone, Copy, Debug, Default)]
struct OnCable {
    cut: Option<Cut>,
    is_swapped: bool,
    short: Option<Short>,
}

fn on_cable(position: usize, faults: &[Fault], values: &Values, pulled: Option<Pulled>) -> OnCable {
    let mut on = OnCable::default();
    let mut shorts = values.shorts.iter();
    for fault in faults {
        match *fault {
            Fault::Open { cable, cut } if cable == position => {
                // Both wires open is the more of the two.
                on.cut = Some(if on.cut == Some(Cut::Both) { Cut::Both } else { cut });
            }
            // A plug that is out is found whole.
            Fault::Loose { cable, at }
                if cable == position && pulled != Some(Pulled { cable, at }) =>
            {
                on.cut = Some(Cut::Both);
            }
            Fault::Swapped { cable } if cable == position => on.is_swapped = !on.is_swapped,
            Fault::Shorted { cable } => {
                let short = shorts.next().copied();
                if cable == position {
                    on.short = short;
                }
            }
            Fault::Open { .. }
            | Fault::Loose { .. }
            | Fault::Swapped { .. }
            | Fault::Missing { .. }
            | Fault::Extra { .. }
            | Fault::Moved { .. }
            | Fault::Ring { .. }
            | Fault::Grounded { .. } => {}
        }
    }
    on
}
