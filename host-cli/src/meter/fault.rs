//! What can be wrong with a link that a meter might show, one place at a time.

use super::topology::{Fitted, Topology, Wire};

/// How much of a cable is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cut {
    /// Both wires: a plug is out, or the cable is cut.
    Both,
    /// One wire.
    One,
}

/// A fault. Cables and points are positions in the [`Topology`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A cable does not carry the pair.
    Open {
        /// The cable.
        cable: usize,
        /// How much of it.
        cut: Cut,
    },
    /// A plug of a cable is in its socket and makes no contact, or hangs beside it; whoever holds a
    /// meter to that plug finds the cable whole.
    Loose {
        /// The cable.
        cable: usize,
        /// The point.
        at: usize,
    },
    /// The two wires of a cable are exchanged.
    Swapped {
        /// The cable.
        cable: usize,
    },
    /// The two wires of a cable touch.
    Shorted {
        /// The cable.
        cable: usize,
    },
    /// A terminator that is declared is not there, or off.
    Missing {
        /// Where it should be.
        point: usize,
    },
    /// A terminator is on that nobody declared.
    Extra {
        /// Where.
        point: usize,
    },
    /// A terminator is at another point than declared.
    Moved {
        /// Where it should be.
        from: usize,
        /// Where it is.
        to: usize,
    },
    /// A cable that nobody listed joins two points.
    Ring {
        /// One.
        a: usize,
        /// The other.
        b: usize,
    },
    /// A wire touches the common.
    Grounded {
        /// Where.
        point: usize,
        /// Which wire.
        wire: Wire,
        /// How well, in thousandths of an ohm.
        milliohms: u32,
    },
}

/// A kind of fault, for counting and for programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// [`Fault::Open`], both wires.
    Open,
    /// [`Fault::Open`], one wire.
    OneWireOpen,
    /// [`Fault::Loose`].
    Loose,
    /// [`Fault::Swapped`].
    Swapped,
    /// [`Fault::Shorted`].
    Shorted,
    /// [`Fault::Missing`].
    Missing,
    /// [`Fault::Extra`].
    Extra,
    /// [`Fault::Moved`].
    Moved,
    /// [`Fault::Ring`].
    Ring,
    /// [`Fault::Grounded`].
    Grounded,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 10] = [
        Self::Open,
        Self::OneWireOpen,
        Self::Loose,
        Self::Swapped,
        Self::Shorted,
        Self::Missing,
        Self::Extra,
        Self::Moved,
        Self::Ring,
        Self::Grounded,
    ];

    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "cable-open",
            Self::OneWireOpen => "one-wire-open",
            Self::Loose => "plug-loose",
            Self::Swapped => "wires-swapped",
            Self::Shorted => "wires-touch",
            Self::Missing => "terminator-missing",
            Self::Extra => "terminator-extra",
            Self::Moved => "terminator-moved",
            Self::Ring => "ring-closed",
            Self::Grounded => "wire-to-common",
        }
    }
}

impl Fault {
    /// Its kind.
    pub const fn kind(self) -> Kind {
        match self {
            Self::Open { cut: Cut::Both, .. } => Kind::Open,
            Self::Open { cut: Cut::One, .. } => Kind::OneWireOpen,
            Self::Loose { .. } => Kind::Loose,
            Self::Swapped { .. } => Kind::Swapped,
            Self::Shorted { .. } => Kind::Shorted,
            Self::Missing { .. } => Kind::Missing,
            Self::Extra { .. } => Kind::Extra,
            Self::Moved { .. } => Kind::Moved,
            Self::Ring { .. } => Kind::Ring,
            Self::Grounded { .. } => Kind::Grounded,
        }
    }

    /// The cable or the point that it is at, for an order.
    pub const fn place(self) -> usize {
        match self {
            Self::Open { cable, .. }
            | Self::Loose { cable, .. }
            | Self::Swapped { cable }
            | Self::Shorted { cable } => cable,
            Self::Missing { point } | Self::Extra { point } | Self::Grounded { point, .. } => point,
            Self::Moved { to, .. } => to,
            Self::Ring { a, .. } => a,
        }
    }

    /// Whether two faults are about one thing, so that both together are no pair: two states of one
    /// cable, or one terminator gone twice.
    fn excludes(self, other: Self) -> bool {
        let cable = |fault: Self| match fault {
            Self::Open { cable, .. }
            | Self::Loose { cable, .. }
            | Self::Swapped { cable }
            | Self::Shorted { cable } => Some(cable),
            Self::Missing { .. }
            | Self::Extra { .. }
            | Self::Moved { .. }
            | Self::Ring { .. }
            | Self::Grounded { .. } => None,
        };
        let taken = |fault: Self| match fault {
            Self::Missing { point } | Self::Moved { from: point, .. } => Some(point),
            Self::Open { .. }
            | Self::Loose { .. }
            | Self::Swapped { .. }
            | Self::Shorted { .. }
            | Self::Extra { .. }
            | Self::Ring { .. }
            | Self::Grounded { .. } => None,
        };
        let same = |of: &dyn Fn(Self) -> Option<usize>| of(self).is_some() && of(self) == of(other);
        // A terminator missing here and one too many there is one that was moved.
        let is_a_move = matches!(
            (self, other),
            (Self::Missing { .. }, Self::Extra { .. }) | (Self::Extra { .. }, Self::Missing { .. })
        );
        same(&cable) || same(&taken) || is_a_move
    }
}

/// Every single fault that ohms between the two wires may show. What they can never show is not
/// here: a wire at the common, a split pair, a plug in another unit with all still joined.
pub fn singles(topology: &Topology) -> Vec<Fault> {
    let mut faults = Vec::new();
    for cable in 0..topology.cables.len() {
        let open = |cut| Fault::Open { cable, cut };
        faults.extend([open(Cut::Both), Fault::Shorted { cable }, Fault::Swapped { cable }]);
        faults.extend(topology.cables[cable].ends.map(|at| Fault::Loose { cable, at }));
        if !topology.is_tree() {
            // On a line and a tree it reads as a cable with both wires open.
            faults.push(open(Cut::One));
        }
    }
    let has_one = |point: &usize| {
        topology.points[*point].terminators.iter().any(|one| one.fitted == Fitted::On)
    };
    let all = 0..topology.points.len();
    let terminated: Vec<usize> = all.clone().filter(has_one).collect();
    for point in &terminated {
        faults.push(Fault::Missing { point: *point });
        let others = all.clone().filter(|to| !has_one(to));
        faults.extend(others.map(|to| Fault::Moved { from: *point, to }));
    }
    faults.extend(all.map(|point| Fault::Extra { point }));
    let is_line = topology.is_line() && topology.points.len() > 2;
    if let ([a, b], true) = (topology.ends().as_slice(), is_line) {
        faults.push(Fault::Ring { a: *a, b: *b });
    }
    faults
}

/// Every two of these faults that can be there at one time.
pub fn pairs(singles: &[Fault]) -> impl Iterator<Item = [Fault; 2]> + '_ {
    singles.iter().enumerate().flat_map(|(position, one)| {
        let others = singles[position + 1..].iter().filter(|two| !one.excludes(**two));
        others.map(|two| [*one, *two])
    })
}
