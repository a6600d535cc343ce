//! What readers find in the sheets themselves.

pub(super) mod cable_id_repeated;
pub(super) mod cable_listed_from_both_ends;
pub(super) mod drawing_wrong;
pub(super) mod label_order_reversed;
pub(super) mod label_unknown_unit;
pub(super) mod length_missing;
pub(super) mod length_unit_unclear;
pub(super) mod list_byte_order_mark;
pub(super) mod list_line_break_in_field;
pub(super) mod list_odd_dashes_spaces;
pub(super) mod list_separator_changed;
pub(super) mod list_separator_in_text;
pub(super) mod photo_digit_dropped;
pub(super) mod photo_eight_letter_b;
pub(super) mod photo_five_letter_s;
pub(super) mod photo_one_letter_l;
pub(super) mod photo_similar_digits;
pub(super) mod photo_zero_letter_o;
pub(super) mod port_does_not_exist;
pub(super) mod sheet_not_after_last_change;
pub(super) mod sheets_disagree;
pub(super) mod unit_name_unclear;

/// Three units, read from a photograph of the list.
pub(super) const PHOTOGRAPH: &str = r#"site = "Example photograph"
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
pub(super) const SHEETS: &str = "\
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
