//! Right sites that the rules' examples break by an edit each.

/// Three units in an open line, everything declared, nothing wrong.
pub(crate) const LINE: &str = r#"site = "Example line"
"neutral-earth bond" = "main board (fixed)"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;

/// Four units in an open line, so that a middle cable has units on both sides.
pub(crate) const LONG_LINE: &str = r#"site = "Example long line"
"neutral-earth bond" = "main board (fixed)"
"max link total" = "30 m"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 4, terminator = "on", bank = "A", "ac out" = "straight" },
  { name = "U2", role = "follower", address = 2, count = 4, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U3", role = "follower", address = 3, count = 4, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U4", role = "follower", address = 4, count = 4, terminator = "on", bank = "A", "ac out" = "straight" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m" },
  { label = "C3", from = "U3 A", to = "U4 B", length = "2 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;

/// Three units in a ring, where the site demands one.
pub(crate) const RING: &str = r#"site = "Example ring"
"neutral-earth bond" = "main board (fixed)"
"link shape" = "ring"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m" },
  { label = "C3", from = "U3 A", to = "U1 B", length = "5 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;
