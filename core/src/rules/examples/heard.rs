//! A line of three with what a gateway hears of it, and the edits that break what is heard.

/// Pieces of an example, each with what stands in its place.
type Edits = &'static [(&'static str, &'static str)];

macro_rules! canopen_log {
    () => {
        "\
(0.010000) can0 701#00
(0.020000) can0 702#00
(0.030000) can0 703#00
(0.100000) can0 701#05
(0.200000) can0 702#05
(0.300000) can0 703#05
(1.100000) can0 701#05
(1.200000) can0 702#05
(1.300000) can0 703#05
(2.100000) can0 701#05
(2.200000) can0 702#05
(2.300000) can0 703#05
(3.100000) can0 701#05
(3.200000) can0 702#05
(3.300000) can0 703#05
(4.100000) can0 701#05
(4.200000) can0 702#05
(4.300000) can0 703#05
(4.510000) can0 581#43181004E9030000
(4.520000) can0 582#43181004EA030000
(4.530000) can0 583#43181004EB030000
(4.610000) can0 581#430A1000322E3134
(4.620000) can0 582#430A1000322E3134
(4.630000) can0 583#430A1000322E3134
(4.700000) can0 20000200#0000000000000000
(5.100000) can0 701#05
(5.200000) can0 702#05
(5.300000) can0 703#05
(6.100000) can0 701#05
(6.200000) can0 702#05
(6.300000) can0 703#05
(7.100000) can0 701#05
(7.200000) can0 702#05
(7.300000) can0 703#05
(8.100000) can0 701#05
(8.200000) can0 702#05
(8.300000) can0 703#05
(9.100000) can0 701#05
(9.200000) can0 702#05
(9.300000) can0 703#05
"
    };
}

macro_rules! mapped_log {
    () => {
        "\
(0.100000) can0 301#0103020E
(0.200000) can0 302#0203020E
(0.300000) can0 303#0203020E
(1.100000) can0 301#0103020E
(1.200000) can0 302#0203020E
(1.300000) can0 303#0203020E
(2.100000) can0 301#0103020E
(2.200000) can0 302#0203020E
(2.300000) can0 303#0203020E
(3.100000) can0 301#0103020E
(3.200000) can0 302#0203020E
(3.300000) can0 303#0203020E
(4.100000) can0 301#0103020E
(4.200000) can0 302#0203020E
(4.300000) can0 303#0203020E
(5.100000) can0 301#0103020E
(5.200000) can0 302#0203020E
(5.300000) can0 303#0203020E
(6.100000) can0 301#0103020E
(6.200000) can0 302#0203020E
(6.300000) can0 303#0203020E
(7.100000) can0 301#0103020E
(7.200000) can0 302#0203020E
(7.300000) can0 303#0203020E
(8.100000) can0 301#0103020E
(8.200000) can0 302#0203020E
(8.300000) can0 303#0203020E
(9.100000) can0 301#0103020E
(9.200000) can0 302#0203020E
(9.300000) can0 303#0203020E
"
    };
}

macro_rules! cables {
    () => {
        r#"cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#
    };
}

/// The line, and what is heard in CANopen while nothing is wrong: boot-ups, heartbeats, serial
/// numbers, firmware, and a controller that counts no error.
pub(crate) const HEARD: &str = concat!(
    r#"== example.toml
site = "Example line that is heard"
scope = "communication"
dialect = "canopen"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "on", serial = "1001", firmware = "2.14" },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", serial = "1002", firmware = "2.14" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "on", serial = "1003", firmware = "2.14" },
]
"#,
    cables!(),
    "== heard.log\n",
    canopen_log!(),
);

/// The line where units tell role, unit count and firmware in the frames of a profile.
pub(crate) const HEARD_MAP: &str = concat!(
    r#"== example.toml
site = "Example line that is heard by a frame map"
profile = "two-port-line"
scope = "communication"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "on", firmware = "2.14" },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", firmware = "2.14" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "on", firmware = "2.14" },
]
"#,
    cables!(),
    "== heard.log\n",
    mapped_log!(),
);

/// Nothing at all is heard.
pub(crate) const NOTHING: Edits = &[(canopen_log!(), "")];

/// Nobody confirms what the gateway sends.
pub(crate) const NOBODY_CONFIRMS: Edits =
    &[(canopen_log!(), "(0.100000) can0 20000020#0000000000000000\n")];

/// The third unit says nothing.
pub(crate) const WITHOUT_THIRD: Edits = &[
    ("(0.030000) can0 703#00\n", ""),
    ("(0.300000) can0 703#05\n", ""),
    ("(1.300000) can0 703#05\n", ""),
    ("(2.300000) can0 703#05\n", ""),
    ("(3.300000) can0 703#05\n", ""),
    ("(4.300000) can0 703#05\n", ""),
    ("(4.530000) can0 583#43181004EB030000\n", ""),
    ("(4.630000) can0 583#430A1000322E3134\n", ""),
    ("(5.300000) can0 703#05\n", ""),
    ("(6.300000) can0 703#05\n", ""),
    ("(7.300000) can0 703#05\n", ""),
    ("(8.300000) can0 703#05\n", ""),
    ("(9.300000) can0 703#05\n", ""),
];

/// The third unit answers to 9.
pub(crate) const THIRD_AT_NINE: Edits = &[
    ("(0.030000) can0 703#00\n", "(0.030000) can0 709#00\n"),
    ("(0.300000) can0 703#05\n", "(0.300000) can0 709#05\n"),
    ("(1.300000) can0 703#05\n", "(1.300000) can0 709#05\n"),
    ("(2.300000) can0 703#05\n", "(2.300000) can0 709#05\n"),
    ("(3.300000) can0 703#05\n", "(3.300000) can0 709#05\n"),
    ("(4.300000) can0 703#05\n", "(4.300000) can0 709#05\n"),
    ("(4.530000) can0 583#43181004EB030000\n", "(4.530000) can0 589#43181004EB030000\n"),
    ("(4.630000) can0 583#430A1000322E3134\n", "(4.630000) can0 589#430A1000322E3134\n"),
    ("(5.300000) can0 703#05\n", "(5.300000) can0 709#05\n"),
    ("(6.300000) can0 703#05\n", "(6.300000) can0 709#05\n"),
    ("(7.300000) can0 703#05\n", "(7.300000) can0 709#05\n"),
    ("(8.300000) can0 703#05\n", "(8.300000) can0 709#05\n"),
    ("(9.300000) can0 703#05\n", "(9.300000) can0 709#05\n"),
];

/// Another serial number answers for the second unit, too.
pub(crate) const SECOND_SERIAL: Edits = &[(
    "(4.520000) can0 582#43181004EA030000\n",
    "(4.520000) can0 582#43181004EA030000\n(4.525000) can0 582#43181004F1030000\n",
)];

/// Somebody answers to 4.
pub(crate) const FOURTH: Edits =
    &[("(9.300000) can0 703#05\n", "(9.300000) can0 703#05\n(9.400000) can0 704#05\n")];

/// The third unit falls silent.
pub(crate) const THIRD_STOPS: Edits = &[
    ("(6.300000) can0 703#05\n", ""),
    ("(7.300000) can0 703#05\n", ""),
    ("(8.300000) can0 703#05\n", ""),
    ("(9.300000) can0 703#05\n", ""),
];

/// Another unit answers for the second.
pub(crate) const OTHER_SERIAL: Edits =
    &[("(4.520000) can0 582#43181004EA030000\n", "(4.520000) can0 582#43181004F4030000\n")];

/// The third unit says firmware 2.13.
pub(crate) const OLD_FIRMWARE: Edits =
    &[("(4.630000) can0 583#430A1000322E3134\n", "(4.630000) can0 583#430A1000322E3133\n")];

/// The second unit says at last that it leads.
pub(crate) const SECOND_LEADS: Edits =
    &[("(9.200000) can0 302#0203020E\n", "(9.200000) can0 302#0103020E\n")];

/// The first unit says at last that it follows.
pub(crate) const NOBODY_LEADS: Edits =
    &[("(9.100000) can0 301#0103020E\n", "(9.100000) can0 301#0203020E\n")];

/// The third unit says at last that there are two.
pub(crate) const COUNTS_TWO: Edits =
    &[("(9.300000) can0 303#0203020E\n", "(9.300000) can0 303#0202020E\n")];
