//! Right sites that the rules' examples break by an edit each.

mod equipment;
mod heard;
mod sizes;

pub(crate) use equipment::*;
pub(crate) use heard::*;
pub(crate) use sizes::*;

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

/// Three units in an open line with nearly everything stated that can be stated, nothing wrong.
pub(crate) const DETAIL: &str = r#"site = "Example in detail"
"neutral-earth bond" = "main board (fixed)"
"medium" = "can"
"bit rate" = "500 kbit/s"
"sockets" = "A to B"
"max units" = 8
"max stub" = "2 m"
"terminator value" = "120 ohm"
"address range" = "1-16"
"addresses without gaps" = "yes"
"coordinator place" = "end of line"
"lead wiring" = "straight"
"battery lead wiring" = "special"
"pins of the pair" = "1-2"
"wired pins" = "1, 2, 3"
"common pin" = 3
"firmware alike" = "yes"
"model alike" = "yes"
"settings alike" = "frequency, charge voltage, charge limit"
"charge limit is for" = "bank"
"sensors" = 2
"sensors sit on" = "supply side"
"arrow must point to" = "house"
"U1 firmware" = "2.14"
"U2 firmware" = "2.14"
"U3 firmware" = "2.14"
"U1 model" = "six"
"U2 model" = "six"
"U3 model" = "six"
"U1 serial" = "7001"
"U2 serial" = "7002"
"U3 serial" = "7003"
"U1 switches" = "1000"
"U2 switches" = "0100"
"U3 switches" = "1100"
"U1 mode" = "parallel"
"U2 mode" = "parallel"
"U3 mode" = "parallel"
"U1 link bit rate" = "500 kbit/s"
"U2 link bit rate" = "500 kbit/s"
"U3 link bit rate" = "500 kbit/s"
"U1 frequency" = "50 Hz"
"U2 frequency" = "50 Hz"
"U3 frequency" = "50 Hz"
"U1 charge limit" = "80 A"
"U2 charge limit" = "80 A"
"U3 charge limit" = "80 A"
"U1 battery type" = "data link"
"U1 battery protocol" = "frame set 2"
"U3 terminator ohms" = "120 ohm"
"packs fitted" = 2
"packs set" = 2
"lead pack" = 1
"capacity set" = "10 kWh"
"supply breaker" = "63 A"
"meter address set" = 5
"pv" = "roof south -> U1; roof west -> U2"
"U1 ac in" = "L1->supply L1; L2->supply L2; N->supply N; PE->earth bar"
"U2 ac in" = "L1->supply L1; L2->supply L2; N->supply N; PE->earth bar"
"U3 ac in" = "L1->supply L1; L2->supply L2; N->supply N; PE->earth bar"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
]
pack = [
  { name = "pack 1", address = 1, protocol = "frame set 2", "charge limit" = "50 A", capacity = "5 kWh" },
  { name = "pack 2", address = 2, protocol = "frame set 2", "charge limit" = "50 A", capacity = "5 kWh" },
]
sensor = [
  { name = "CT L1", arrow = "house", input = "L1", "voltage reference" = "L1", place = "supply side", "ratio on part" = "2000:1", "ratio set" = "2000:1", rating = "100 A" },
  { name = "CT L2", arrow = "house", input = "L2", "voltage reference" = "L2", place = "supply side", "ratio on part" = "2000:1", "ratio set" = "2000:1", rating = "100 A" },
]
device = [
  { name = "gateway", terminator = "off", asks = "no" },
  { name = "meter", address = 5, asks = "no" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m", construction = "twisted pair", wiring = "straight", pins = "1, 2, 3", screen = "one end" },
  { label = "G1", from = "gateway", to = "U3 A", kind = "link", length = "1 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery", wiring = "special" },
  { label = "P1", from = "pack 1", to = "pack 2", kind = "pack link" },
  { label = "M1", from = "meter", to = "U1 meter", kind = "meter" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;

/// Four units with one leg each, two on either leg.
pub(crate) const LEGS: &str = r#"site = "Example legs"
"neutral-earth bond" = "main board (fixed)"
unit = [
  { name = "U1", phase = "L1", role = "coordinator", address = 1, count = 4, terminator = "on", bank = "A", "ac out" = "L->bar L1; N->bar N; PE->earth bar" },
  { name = "U2", phase = "L1", role = "follower", address = 2, count = 4, terminator = "off", bank = "A", "ac out" = "L->bar L1; N->bar N; PE->earth bar" },
  { name = "U3", phase = "L2", role = "follower", address = 3, count = 4, terminator = "off", bank = "A", "ac out" = "L->bar L2; N->bar N; PE->earth bar" },
  { name = "U4", phase = "L2", role = "follower", address = 4, count = 4, terminator = "on", bank = "A", "ac out" = "L->bar L2; N->bar N; PE->earth bar" },
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

/// Three units, read from a photograph of the list.
pub(crate) const PHOTOGRAPH: &str = r#"site = "Example photograph"
"list came from" = "photograph"
rows = 5
"neutral-earth bond" = "main board (fixed)"
unit = [
  { name = "U1", role = "coordinator", address = 11, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
  { name = "U2", role = "follower", address = 12, count = 3, terminator = "off", bank = "A", "ac out" = "straight" },
  { name = "U3", role = "follower", address = 13, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2.5 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "10 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;

/// Three units on four sheets that agree with each other: a cable list, a drawing, the settings
/// and the type plates. A line with two signs of equality names the sheet that follows.
pub(crate) const SHEETS: &str = "\
== cables.csv
cable,from,to,kind,length
C1,Box 1 A,Box 2 B,link,2 m
C2,Box 2 A,Box 3 B,link,2 m
B1,pack 1 data,Box 1 battery,battery,
S1,CT L1,Box 1 CT,ct,
S2,CT L2,Box 1 CT,ct,
== drawing.csv
lead;one end;other end
C1;Box 1 A;Box 2 B
C2;Box 2 A;Box 3 B
== settings.txt
site = Example sheets
sheet date = 2026-05-20
last change = 2026-05-01
neutral-earth bond = main board (fixed)
Box 1 = coordinator, addr 1, count 3, term on, bank A
Box 2 = follower, addr 2, count 3, term off, bank A
Box 3 = follower, addr 0x10, count 3, term on, bank A
all units ac out = straight
== plates.csv
unit,address,serial
Box 1,1,7001
Box 2,2,7002
Box 3,0x10,7003
== list.txt
Box 1 serial = 7001
Box 2 serial = 7002
Box 3 serial = 7003
";
