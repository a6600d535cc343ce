//! The right site that rules about sizes break.

/// Three split-phase units with everything stated that sizes are computed from, nothing wrong.
pub(crate) const SIZES: &str = r#"site = "Example sizes"
"neutral-earth bond" = "main board (fixed); generator frame (open)"
"code" = "NEC"
"supply system" = "split-phase 120/240 V"
"rated power" = "8000 VA"
"short-time current" = "250 A"
"min battery voltage" = "44 V"
"max battery voltage" = "58 V"
"input capacitance" = "20000 uF"
"max solar voltage" = "600 V"
"max solar current" = "30 A"
"conductor metal" = "copper"
"insulation" = "90 C"
"terminals" = "75 C"
"ambient" = "30 C"
"conductors together" = 3
"feeder breaker" = "125 A"
"feeder conductor" = "1 AWG"
"feeder length" = "20 m"
"feeder earth" = "6 AWG"
"busbar" = "400 A"
"busbar main" = "200 A"
"busbar breakers" = "240 A"
"largest load breaker" = "63 A"
"magnetic pick-up" = "5 x"
"residual-current protection" = "no"
"efficiency" = "94 %"
"pre-charge resistor" = "25 ohm"
"supply breaker" = "63 A"
"generator rating" = "12 kVA"
"source limit is for" = "unit"
"module voc" = "49.5 V"
"module coefficient" = "-0.27 %/K"
"module isc" = "11 A"
"coldest day" = "-10 C"
"strings" = "10 x 2"
"string fuses" = "no"
"pv" = "roof south -> U1; roof west -> U2"
"load L1" = "40 A"
"load L2" = "25 A"
"pack resistance" = "20 mohm"
"all units supply limit" = "15 A"
"all units generator limit" = "15 A"
"U2 solar inputs" = 1
"U3 solar inputs" = 1
"U3 output breaker" = "45 A"
"U3 output conductor" = "8 AWG"
"U3 output lead" = "6 m"
"U3 earth conductor" = "10 AWG"
"U3 battery fuse" = "250 A"
"U3 fuse interrupts" = "20 kA"
"U3 battery conductor" = "250 kcmil"
"U3 battery lead" = "2 m"
unit = [
  { name = "U1", role = "coordinator", address = 1, count = 3, terminator = "on", bank = "A", "ac out" = "straight", "output breaker" = "45 A", "output conductor" = "8 AWG", "output lead" = "6 m", "earth conductor" = "10 AWG", "battery fuse" = "250 A", "fuse interrupts" = "20 kA", "battery conductor" = "250 kcmil", "battery lead" = "2 m", "solar inputs" = 2 },
  { name = "U2", role = "follower", address = 2, count = 3, terminator = "off", bank = "A", "ac out" = "straight", "output breaker" = "45 A", "output conductor" = "8 AWG", "output lead" = "6 m", "earth conductor" = "10 AWG", "battery fuse" = "250 A", "fuse interrupts" = "20 kA", "battery conductor" = "250 kcmil", "battery lead" = "2 m" },
  { name = "U3", role = "follower", address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight" },
]
pack = [
  { name = "pack 1", "discharge limit" = "400 A" },
  { name = "pack 2", "discharge limit" = "400 A" },
]
sensor = [
  { name = "CT L1", rating = "100 A", "ratio on part" = "100/5", secondary = "5 A", "rated burden" = "10 VA", "lead length" = "50 ft", "lead size" = "14 AWG", "meter resistance" = "20 mohm" },
  { name = "CT L2", rating = "100 A", "ratio on part" = "100/5", secondary = "5 A", "rated burden" = "12 VA", "lead length" = "50 ft", "lead size" = "14 AWG", "meter resistance" = "20 mohm" },
]
cable = [
  { label = "C1", from = "U1 A", to = "U2 B", length = "2 m" },
  { label = "C2", from = "U2 A", to = "U3 B", length = "2 m" },
  { label = "B1", from = "pack 1 data", to = "U1 battery" },
  { label = "S1", from = "CT L1", to = "U1 CT" },
  { label = "S2", from = "CT L2", to = "U1 CT" },
]
"#;
