//! Faults of the sheets themselves: names, labels, lengths, two sheets that disagree, a list that
//! a program or a camera spoilt.

use super::port::joined;
use super::{CABLES, Fault, Group, Spot, Thing, Touch, Way, unit_name, way};
use crate::field::Field;
use crate::read::RawSheet;
use crate::site_file::List;
use coldcheck_core::plan::{Datum, Demand};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::LabelUnknownUnit, unknown_unit),
    way(RuleId::SheetsDisagree, second_value),
    way(RuleId::CableIdRepeated, label_repeated),
    way(RuleId::UnitNameUnclear, unclear_name),
    way(RuleId::LengthMissing, length_missing),
    way(RuleId::LengthUnitUnclear, |group| {
        each_cable(group, "has no unit of length", |cable| cable.set("length", "2"))
    }),
    way(RuleId::PortDoesNotExist, no_such_socket),
    way(RuleId::PhotoZeroLetterO, |group| photo_length(group, "1O m")),
    way(RuleId::PhotoOneLetterL, one_as_letter),
    way(RuleId::PhotoEightLetterB, socket_as_digit),
    way(RuleId::PhotoFiveLetterS, |group| photo_length(group, "2.S m")),
    way(RuleId::PhotoDigitDropped, line_lost),
    way(RuleId::PhotoSimilarDigits, similar_digits),
    way(RuleId::ListSeparatorChanged, |group| {
        each_line(group, "has another separator in places", false, |line| {
            line.replacen(',', ";", 1).replacen(",link,", ";link;", 1)
        })
    }),
    way(RuleId::ListSeparatorInText, |group| {
        each_line(group, "has a note with a separator", false, |line| {
            line.replacen(",link,", ",link,by the door, low,", 1)
        })
    }),
    way(RuleId::ListByteOrderMark, byte_order_mark),
    way(RuleId::ListLineBreakInField, |group| {
        each_line(group, "is broken in two", false, |line| {
            line.replacen(",link,", "\nlow,link,", 1)
        })
    }),
    way(RuleId::ListOddDashesSpaces, |group| {
        // A Cyrillic letter that looks like the Latin one.
        each_line(group, "has a letter of another script", true, |line| {
            line.replacen("unit", "un\u{456}t", 1)
        })
    }),
    way(RuleId::LabelOrderReversed, labels_reversed),
    way(RuleId::SheetNotAfterLastChange, old_sheet),
    way(RuleId::DrawingWrong, wrong_drawing),
    way(RuleId::CableListedFromBothEnds, from_both_ends),
];

/// Appends to a sheet, or adds one.
pub(super) fn append(sheets: &mut Vec<RawSheet>, name: &str, text: &str) {
    match sheets.iter_mut().find(|sheet| sheet.name == name) {
        Some(sheet) => sheet.bytes.extend_from_slice(text.as_bytes()),
        None => sheets.push(RawSheet { name: name.to_owned(), bytes: text.as_bytes().to_vec() }),
    }
}

/// A fault that more lines on a sheet make.
fn lines(done: &str, places: Vec<Spot>, name: &'static str, text: String) -> Fault {
    Fault::new(done, places, move |group| {
        let text = text.clone();
        group.retouch(Touch::line(name), move |sheets| append(sheets, name, &text));
        true
    })
}

/// One link cable changed at a time.
fn each_cable(group: &Group, done: &str, change: fn(&mut Thing)) -> Vec<Fault> {
    let fault = |label: String| {
        let spot = Spot::Cable(label.clone());
        Fault::new(format!("cable {label} {done}"), [spot], move |group| {
            group.change(List::Cable, &label, change)
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}

/// One line of the cable list spoilt at a time, as it is written. Where it cannot be cut into
/// cells, no cable is named: the line itself is shown.
fn each_line(
    group: &Group,
    done: &str,
    names_cable: bool,
    spoil: fn(&str) -> String,
) -> Vec<Fault> {
    let fault = |label: String| {
        let spot = names_cable.then(|| Spot::Cable(label.clone()));
        Fault::new(format!("the line of cable {label} {done}"), spot, move |group| {
            let label = label.clone();
            let is_there = group.thing(List::Cable, &label).is_some();
            group.retouch(Touch::all_of(List::Cable, &label.clone()), move |sheets| {
                for sheet in sheets.iter_mut().filter(|sheet| sheet.name == CABLES) {
                    let text = String::from_utf8_lossy(&sheet.bytes).into_owned();
                    let own = |line: &str| line.split(',').next() == Some(&*label);
                    let lines: Vec<_> = text
                        .lines()
                        .map(|line| if own(line) { spoil(line) } else { line.to_owned() })
                        .collect();
                    sheet.bytes = (lines.join("\n") + "\n").into_bytes();
                }
            });
            is_there
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}

fn unknown_unit(group: &Group) -> Vec<Fault> {
    each_cable(group, "goes to a unit that no sheet lists", |cable| cable.set("to", "unit 99"))
}

/// A second sheet that gives a unit another unit count, and a cable another length.
fn second_value(group: &Group) -> Vec<Fault> {
    let of_unit = |unit: &u16| {
        lines(
            &format!("a second sheet gives unit {unit} another unit count"),
            vec![Spot::Unit(*unit)],
            "second.txt",
            format!("{} count = 31\n", unit_name(*unit)),
        )
    };
    let of_cable = |(label, from, to): (String, u16, u16)| {
        lines(
            &format!("a second list gives cable {label} another length"),
            vec![Spot::Cable(label.clone())],
            "second.csv",
            format!("cable,from,to,length\n{label},unit {from},unit {to},7 m\n"),
        )
        .needing([Touch::fact(List::Cable, &label, "length")])
    };
    let units = group.layout.order.iter().map(of_unit);
    units.chain(joined(group).into_iter().map(of_cable)).collect()
}

fn label_repeated(group: &Group) -> Vec<Fault> {
    let cables = group.link_cables();
    let fault = |(one_is, two_is): (&String, &String)| {
        let (one, two) = (one_is.clone(), two_is.clone());
        let places = [Spot::Cable(one.clone())];
        Fault::new(format!("cable {two} is labelled {one}"), places, move |group| {
            group.change(List::Cable, &two, |cable| cable.name.clone_from(&one))
        })
        .needing([Touch::all_of(List::Cable, two_is), Touch::all_of(List::Cable, one_is)])
    };
    cables.iter().zip(cables.iter().skip(1)).map(fault).collect()
}

fn unclear_name(group: &Group) -> Vec<Fault> {
    let places = [Spot::Cable("B1".to_owned())];
    let done = "the battery link goes to \u{201c}coordinator\u{201d}";
    let fault = Fault::new(done, places, |group| {
        group.change(List::Cable, "B1", |cable| cable.set("to", "coordinator"))
    });
    let leads = Touch::of_unit(group.owner(), Field::Role);
    vec![fault.needing([leads])]
}

/// A length that a limit needs. Where lengths must be declared, that is said otherwise.
fn length_missing(group: &Group) -> Vec<Fault> {
    if group.profile.must_declare.contains(Datum::Length) {
        return Vec::new();
    }
    let fault = |label: String| {
        let spot = Spot::Cable(label.clone());
        Fault::new(format!("cable {label} has no length"), [spot], move |group| {
            if group.line(Demand::MaxLinkTotal.key()).is_none() {
                group.set_line(Demand::MaxLinkTotal.key(), "100 m");
            }
            group.change(List::Cable, &label, |cable| cable.set("length", ""))
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}

fn no_such_socket(group: &Group) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (label, from, to) in joined(group) {
        for (unit, key) in [(from, "from_port"), (to, "to_port")] {
            let label = label.clone();
            let done = format!("cable {label} is in socket Q of unit {unit}");
            faults.push(Fault::new(done, [Spot::Socket(unit, "Q".to_owned())], move |group| {
                group.change(List::Cable, &label, |cable| cable.set(key, "Q"))
            }));
        }
    }
    faults
}

fn photo_length(group: &Group, read: &'static str) -> Vec<Fault> {
    let fault = |label: String| {
        let spot = Spot::Cable(label.clone());
        Fault::new(format!("the length of cable {label} is read as {read}"), [spot], move |group| {
            group.photograph(0);
            group.change(List::Cable, &label, |cable| cable.set("length", read))
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}

/// The one in a unit's number read as the letter l.
fn one_as_letter(group: &Group) -> Vec<Fault> {
    let fault = |(label, _, to): (String, u16, u16)| {
        let read = unit_name(to).replacen('1', "l", 1);
        (read != unit_name(to)).then(|| {
            let spot = Spot::Cable(label.clone());
            Fault::new(
                format!("the end of cable {label} is read as {read}"),
                [spot],
                move |group| {
                    group.photograph(0);
                    group.change(List::Cable, &label, |cable| cable.set("to", read.as_str()))
                },
            )
        })
    };
    joined(group).into_iter().filter_map(fault).collect()
}

/// Socket B read as 8.
fn socket_as_digit(group: &Group) -> Vec<Fault> {
    let [_, back] = group.link_sockets();
    if back != "B" {
        return Vec::new();
    }
    let fault = |(label, _, _): (String, u16, u16)| {
        let spot = Spot::Cable(label.clone());
        Fault::new(format!("socket B of cable {label} is read as 8"), [spot], move |group| {
            group.photograph(0);
            group.change(List::Cable, &label, |cable| cable.set("to_port", "8"))
        })
    };
    joined(group).into_iter().map(fault).collect()
}

fn line_lost(_: &Group) -> Vec<Fault> {
    vec![Fault::new("a line of the photographed list is lost", [], |group| {
        group.photograph(1);
        true
    })]
}

/// Addresses from 11 on, of which 12 is read as 11.
fn similar_digits(group: &Group) -> Vec<Fault> {
    const FIRST: u16 = 10;
    let order = group.layout.order.clone();
    if !(3..=6).contains(&order.len()) {
        return Vec::new();
    }
    let done = "address 12 of the photographed list is read as 11";
    vec![Fault::new(done, [Spot::Unit(2)], move |group| {
        group.photograph(0);
        order.iter().all(|unit| {
            let address = FIRST + unit;
            let read = if *unit == 2 { address - 1 } else { address };
            group.set_unit(*unit, Field::Switches, &super::build::switches(address))
                && group.set_unit(*unit, Field::Address, &read.to_string())
        })
    })]
}

/// The mark of a file's encoding, saved as letters.
fn byte_order_mark(_: &Group) -> Vec<Fault> {
    vec![Fault::new("a mark sticks to the first heading", [], |group| {
        group.retouch(Touch::line("heading"), |sheets| {
            for sheet in sheets.iter_mut().filter(|sheet| sheet.name == CABLES) {
                let text = String::from_utf8_lossy(&sheet.bytes).into_owned();
                sheet.bytes = format!("\u{10F}\u{BB}\u{17C}{text}").into_bytes();
            }
        });
        true
    })]
}

fn labels_reversed(group: &Group) -> Vec<Fault> {
    let count = u16::try_from(group.layout.order.len()).unwrap_or(u16::MAX);
    let serial = |unit: u16| group.of_unit(unit, Field::Serial).to_owned();
    let rows: Vec<_> =
        (1..=count).map(|unit| format!("unit {unit},{}\n", serial(count + 1 - unit))).collect();
    // The unit in the middle of an odd number keeps its own.
    let moved = (1..=count).filter(|unit| count + 1 - unit != *unit).map(Spot::Unit).collect();
    vec![lines(
        "a list of plates numbers the units from the other end",
        moved,
        "plates.csv",
        format!("unit,serial\n{}", rows.concat()),
    )]
}

fn old_sheet(_: &Group) -> Vec<Fault> {
    vec![Fault::new("the sheet is older than the last change", [], |group| {
        group.set_line("sheet date", "2026-03-01");
        group.set_line("last change", "2026-05-01");
        true
    })]
}

/// A drawing with both sockets of every link cable exchanged.
fn wrong_drawing(group: &Group) -> Vec<Fault> {
    let cables = joined(group);
    if cables.len() < 2 {
        return Vec::new();
    }
    let [onward, back] = group.link_sockets();
    let row = |(label, from, to): &(String, u16, u16)| {
        format!("{label};unit {from} {back};unit {to} {onward}\n")
    };
    let rows: String = cables.iter().map(row).collect();
    let places = cables.iter().map(|(label, _, _)| Spot::Cable(label.clone())).collect();
    let text = format!("lead;one end;other end\n{rows}");
    // A cable that only the drawing shows is a cable all the same.
    let labels = cables.iter().map(|(label, ..)| Touch::fact(List::Cable, label, "label"));
    let done = "a drawing has all link sockets exchanged";
    vec![lines(done, places, "drawing.csv", text).needing(labels)]
}

fn from_both_ends(group: &Group) -> Vec<Fault> {
    let [onward, back] = group.link_sockets();
    let fault = |(label, from, to): (String, u16, u16)| {
        let (onward, back, needed) = (onward.clone(), back.clone(), label.clone());
        let places = [Spot::Cable(label.clone()), Spot::Cable("X1".to_owned())];
        Fault::new(
            format!("cable {label} is listed again from its far end"),
            places,
            move |group| {
                let facts = [
                    ("from", &*unit_name(to)),
                    ("from_port", &*back),
                    ("to", &*unit_name(from)),
                    ("to_port", &*onward),
                    ("kind", "link"),
                    ("length", "2 m"),
                ];
                group.add(Thing::new(List::Cable, "X1", &facts))
            },
        )
        .needing([Touch::all_of(List::Cable, &needed)])
    };
    joined(group).into_iter().map(fault).collect()
}
