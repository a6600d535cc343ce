//! The right site that rules about the equipment of the power side break.

/// Three split-phase units on a supply, with a generator and a changeover, nothing wrong.
pub(crate) const EQUIPMENT: &str = r#"site = "Example equipment"
"neutral-earth bond" = "unit 1 relay (closed on island, open on supply, open on generator); main board (fixed, before the changeover); generator frame (fixed)"
"changeover switches the neutral" = "yes"
"changeover gap" = "500 ms"
"min changeover gap" = "300 ms"
"interlock" = "yes"
"pre-charge" = "yes"
"supply system" = "split-phase 120/240 V"
"supply frequency" = "60 Hz"
"generator rating" = "12 kVA"
"U1 ac in" = "L1->supply L1; L2->supply L2; N->supply N"
"U2 ac in" = "L1->supply L1; L2->supply L2; N->supply N"
"U3 ac in" = "L1->supply L1; L2->supply L2; N->supply N"
"U1 generator in" = "L1->generator L1; L2->generator L2; N->generator N"
"U2 generator in" = "L1->generator L1; L2->generator L2; N->generator N"
"U3 generator in" = "L1->generator L1; L2->generator L2; N->generator N"
"U1 frequency" = "60 Hz"
"U2 frequency" = "60 Hz"
"U3 frequency" = "60 Hz"
"U1 battery lead" = "2 m"
"U2 battery lead" = "2 m"
"U3 battery lead" = "2 m"
"U1 output lead" = "6 m"
"U2 output lead" = "6 m"
"U3 output lead" = "6 m"
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
