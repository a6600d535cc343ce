//! The battery side: current at the lowest voltage, fuse, fault current, pre-charge.

use super::Formula;

/// Current of one unit out of the battery.
pub const CURRENT: Formula = Formula {
    id: "battery.current",
    text: "I = P / (lowest voltage * efficiency)",
    source: "energy balance",
    mark: "computed",
};
/// Conductor and fuse of a battery circuit.
pub const DESIGN: Formula = Formula {
    id: "battery.fuse",
    text: "fuse and conductor >= 1.25 * I",
    source: "NFPA 70 (NEC), 690.8 and 706.30; kept on the IEC side, where no clause is at hand",
    mark: "numbers of clauses from memory",
};
/// Current into a bolted fault.
pub const FAULT: Formula = Formula {
    id: "battery.fault",
    text: "I = open voltage / (battery resistance + path resistance)",
    source: "Ohm's law; interrupting rating: NFPA 70 (NEC), 110.9",
    mark: "computed; number of the clause from memory",
};
/// Energy in the capacitors of all units.
pub const PRECHARGE: Formula = Formula {
    id: "battery.precharge",
    text: "E = C * V^2 / 2 for the sum of all units of a bank; time to 95 % = 3 * R * C",
    source: "charging of a capacitor through a resistor",
    mark: "computed",
};

/// Modules in parallel.
pub const PARALLEL: Formula = Formula {
    id: "battery.parallel",
    text: "R = R of one module / modules in parallel",
    source: "Ohm's law",
    mark: "computed",
};
/// Units that give equal power behind unequal leads.
pub const EQUAL_POWER: Formula = Formula {
    id: "battery.equal-power",
    text: "I = (V - sqrt(V^2 - 4 * R * P)) / (2 * R) for each unit",
    source: "Kirchhoff's laws",
    mark: "computed",
};
/// What a battery may give.
pub const BANK: Formula = Formula {
    id: "battery.bank",
    text: "units * I <= packs * discharge limit of one, in each bank",
    source: "Kirchhoff's law",
    mark: "computed",
};

/// Current out of the battery for a power on the AC side, in amperes.
pub fn current(watts: f64, lowest_volts: f64, efficiency: f64) -> f64 {
    watts / (lowest_volts * efficiency)
}

/// Current into a bolted fault, in amperes.
pub fn fault_current(open_volts: f64, battery_ohms: f64, path_ohms: f64) -> f64 {
    open_volts / (battery_ohms + path_ohms)
}

/// Resistance of modules that are joined in parallel, in ohms.
pub fn in_parallel(module_ohms: f64, modules: u32) -> f64 {
    module_ohms / f64::from(modules.max(1))
}

/// Energy that rushes into the capacitors of so many units without pre-charge, in joules.
pub fn inrush_energy(farads: f64, units: u32, volts: f64) -> f64 {
    farads * f64::from(units) * volts * volts / 2.0
}

/// Time in which pre-charge through a resistor brings all units to 95 % of the battery's voltage,
/// in seconds.
pub fn precharge_time(ohms: f64, farads: f64, units: u32) -> f64 {
    3.0 * ohms * farads * f64::from(units)
}

/// Voltage at a unit that draws a power through a path, and its current: what units do that are
/// told to give equal power. `None` if the path cannot carry the power.
pub fn at_equal_power(volts: f64, path_ohms: f64, watts: f64) -> Option<(f64, f64)> {
    let root = volts * volts - 4.0 * path_ohms * watts;
    if root < 0.0 || path_ohms <= 0.0 {
        return (path_ohms == 0.0).then(|| (volts, watts / volts));
    }
    let amperes = (volts - root.sqrt()) / (2.0 * path_ohms);
    Some((volts - path_ohms * amperes, amperes))
}
