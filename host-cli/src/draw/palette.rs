//! The colours of the drawing: calm, light, told apart with every kind of colour vision, and never
//! the only sign of anything. `tests/palette.rs` measures them.

/// Behind everything.
pub const PAPER: &str = "#ffffff";
/// Text and frames.
pub const INK: &str = "#22303c";
/// Less important text.
pub const FAINT: &str = "#4d5b68";
/// Thin lines between parts.
pub const RULE: &str = "#8494a3";
/// Inside of units.
pub const UNIT: &str = "#eef3f8";
/// Inside of everything else that is fitted.
pub const OTHER: &str = "#f6f4ee";

/// The link.
pub const LINK: &str = "#0b4a9c";
/// To the battery.
pub const BATTERY: &str = "#2f8a52";
/// Leads of sensors.
pub const SENSOR: &str = "#6e3b00";
/// To a meter.
pub const METER: &str = "#b565b8";
/// For service.
pub const SERVICE: &str = "#828a92";
/// Of a kind that nobody knows.
pub const UNKNOWN: &str = "#101418";

/// A danger.
pub const DANGER: &str = "#a01030";
/// What keeps the group from starting.
pub const NO_START: &str = "#7a3d00";
/// What makes it work badly.
pub const DEGRADED: &str = "#1d4f73";

/// Every colour of a cable, with its name.
pub const CABLES: &[(&str, &str)] = &[
    ("link", LINK),
    ("battery", BATTERY),
    ("sensor", SENSOR),
    ("meter", METER),
    ("service", SERVICE),
    ("unknown", UNKNOWN),
];
/// Every colour that text is written in, and what lies behind it.
pub const TEXTS: &[(&str, &str)] = &[
    (INK, PAPER),
    (INK, UNIT),
    (INK, OTHER),
    (FAINT, PAPER),
    (FAINT, UNIT),
    (FAINT, OTHER),
    (PAPER, DANGER),
    (PAPER, NO_START),
    (PAPER, DEGRADED),
    (PAPER, INK),
];
