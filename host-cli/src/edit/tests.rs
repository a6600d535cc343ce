use super::*;
use crate::start::start;

fn no_profile(name: &str) -> Result<String, ReadError> {
    Err(ReadError::file(name, "not built in", "a built-in profile"))
}

fn new_site(units: u16) -> Vec<RawSheet> {
    let profile =
        crate::profile::parse("plain", crate::profile::builtin("plain").unwrap()).unwrap();
    let site = start(&profile, "plain", units).unwrap();
    [("cables.csv", site.cable_list()), ("settings.txt", site.settings_list())]
        .map(|(name, text)| RawSheet { name: name.to_owned(), bytes: text.into_bytes() })
        .to_vec()
}

fn made(sheets: &[RawSheet], change: &Edit) -> Edited {
    edit(sheets, change, &no_profile).unwrap_or_else(|says| panic!("{change:?}: {says}"))
}

fn unit(number: u16, key: &str, value: &str) -> Edit {
    let of = Of::Named(List::Unit, format!("unit {number}"));
    Edit::Set { of, key: key.to_owned(), value: (!value.is_empty()).then(|| value.to_owned()) }
}

fn group(key: &str, value: &str) -> Edit {
    Edit::Set { of: Of::Group, key: key.to_owned(), value: Some(value.to_owned()) }
}

fn socket(name: &str, port: &str) -> Socket {
    Socket { name: name.to_owned(), port: port.to_owned() }
}

fn text(sheets: &[RawSheet], at: usize) -> String {
    String::from_utf8(sheets[at].bytes.clone()).unwrap()
}

/// Lines that one text has and the other has not.
fn difference(before: &str, after: &str) -> (Vec<String>, Vec<String>) {
    let lacking = |one: &str, other: &str| {
        one.lines()
            .filter(|line| other.lines().all(|have| have != *line))
            .map(ToOwned::to_owned)
            .collect()
    };
    (lacking(before, after), lacking(after, before))
}

#[test]
fn what_is_stated_in_short_follows_what_it_depends_on() {
    let settings = "supply system = split-phase 120/240 V\nall units ac out = straight\n\
                    unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";
    let sheets = [RawSheet { name: "s.txt".to_owned(), bytes: settings.as_bytes().to_vec() }];
    for supply in ["single-phase 230 V", "three-phase 230/400 V"] {
        let edited = made(&sheets, &group("supply system", supply));
        assert!(!edited.anew);
        let (gone, new) = difference(settings, &text(&edited.sheets, 0));
        assert_eq!(gone, ["supply system = split-phase 120/240 V"]);
        assert_eq!(new, [format!("supply system = {supply}")]);
    }
}

#[test]
fn a_fact_that_is_stated_is_changed_where_it_stands() {
    let sheets = new_site(3);
    let edited = made(&sheets, &unit(2, "address", "9"));
    assert!(!edited.anew);
    assert_eq!(text(&edited.sheets, 0), text(&sheets, 0));
    let (gone, new) = difference(&text(&sheets, 1), &text(&edited.sheets, 1));
    assert_eq!(
        (gone.as_slice(), new.as_slice()),
        (&["address = 2".to_owned()][..], &["address = 9".to_owned()][..])
    );
}

#[test]
fn a_blank_is_filled_in() {
    let sheets = new_site(3);
    let edited = made(&sheets, &group("neutral-earth bond", "main board (fixed)"));
    let (gone, new) = difference(&text(&sheets, 1), &text(&edited.sheets, 1));
    assert_eq!(gone, ["# neutral-earth bond ="]);
    assert_eq!(new, ["neutral-earth bond = main board (fixed)"]);
}

#[test]
fn a_new_fact_gets_a_line_in_the_section_of_its_unit() {
    let edited = made(&new_site(3), &unit(2, "firmware", "2.14"));
    let after = text(&edited.sheets, 1);
    let section = after.split("[unit 2]").nth(1).and_then(|rest| rest.split('[').next()).unwrap();
    assert!(section.contains("firmware = 2.14"), "{after}");
    let without = made(&edited.sheets, &unit(2, "firmware", ""));
    assert_eq!(text(&without.sheets, 1), text(&new_site(3), 1));
}

#[test]
fn a_cable_comes_and_goes_as_one_row() {
    let sheets = new_site(3);
    let without = made(&sheets, &Edit::Disconnect(1));
    assert!(!without.anew);
    let (gone, new) = difference(&text(&sheets, 0), &text(&without.sheets, 0));
    assert_eq!((gone.len(), new.len()), (1, 0));
    let from = socket("unit 1", "A");
    let again = Edit::Connect { from, to: socket("unit 3", "B"), kind: "link".to_owned() };
    let with = made(&sheets, &again);
    let (gone, new) = difference(&text(&sheets, 0), &text(&with.sheets, 0));
    assert!(gone.is_empty());
    assert_eq!(new, ["C3,unit 1,A,unit 3,B,link,"]);
}

#[test]
fn the_row_of_a_cable_gets_what_it_lacks() {
    let sheets = new_site(3);
    let set = |key: &str, value: &str| Edit::Set {
        of: Of::Cable(2),
        key: key.to_owned(),
        value: Some(value.to_owned()),
    };
    let edited = made(&sheets, &set("length", "1,5m"));
    assert!(
        text(&edited.sheets, 0).contains("C1,unit 1,A,unit 2,B,link,1.5 m")
            || text(&edited.sheets, 0).contains(",1.5 m"),
        "{}",
        text(&edited.sheets, 0)
    );
    assert!(!edited.anew);
    assert!(edit(&sheets, &set("length", "long"), &no_profile).unwrap_err().contains("1.5 m"));
    assert!(edit(&sheets, &set("kind", "rope"), &no_profile).is_err());
}

#[test]
fn a_value_that_all_units_have_from_one_line_is_told_apart() {
    let list = "all units count = 2\nunit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";
    let sheets = [RawSheet { name: "s".to_owned(), bytes: list.as_bytes().to_vec() }];
    let edited = made(&sheets, &unit(2, "count", "3"));
    let request =
        Request { files: &edited.sheets, profile: None, scope: None, load_profile: &no_profile };
    let (_, shape) = read(&request).unwrap();
    let counts: Vec<_> = shape.tables.iter().map(|table| table.value("count").to_owned()).collect();
    assert_eq!(counts, ["2", "3"]);
}

/// Sheets of one file.
fn one(text: &str) -> Vec<RawSheet> {
    vec![RawSheet { name: "s".to_owned(), bytes: text.as_bytes().to_vec() }]
}

#[test]
fn what_one_unit_no_longer_says_the_others_still_say() {
    let units = "unit 1 = coordinator, addr 1\nunit 2 = follower\nunit 3 = follower\n";
    let shared = [
        ("# all\nall units count = 3 # seen\n", ["# all\n", "# seen\n"].as_slice()),
        ("all units = count 3, bank A\n", &["bank A"]),
        ("all units = bank A, count 3\n", &["bank A\n"]),
    ];
    let ends = ["\n", "\r\n"].map(|end| {
        shared.map(|(line, kept)| (format!("{line}{units}").replace('\n', end), end, kept))
    });
    for (list, end, kept) in ends.concat() {
        let edited = made(&one(&list), &unit(2, "count", ""));
        let after = text(&edited.sheets, 0);
        let request = Request {
            files: &edited.sheets,
            profile: None,
            scope: None,
            load_profile: &no_profile,
        };
        let (site, shape) = read(&request).unwrap();
        let tables = shape.tables.iter().filter(|table| table.list == List::Unit);
        let told: Vec<_> = tables.map(|unit| [unit.value("role"), unit.value("count")]).collect();
        let wanted = [["coordinator", "3"], ["follower", ""], ["follower", "3"]];
        assert_eq!(told, wanted, "{list}: {after}");
        assert!(site.declared.not_understood.is_empty(), "{after}");
        assert_eq!(site.declared.question_count(), 0, "{after}");
        let plain = after.replace(end, "\n");
        assert!(kept.iter().all(|part| plain.contains(part)), "{after}");
        assert!(plain.ends_with(units) && !edited.anew, "{after}");
        assert!(!plain.contains('\r'), "{after:?}");
    }
}

#[test]
fn a_changed_cell_leaves_every_other_byte_as_it_was() {
    let list = "Lead ; from;from port;to ;to port;kind; Length;remark\r\n\
                \"P 1\"; U1 ;A;U2;B; patch ;1,50 m;\"by ; door\"\r\n";
    let sheets = one(list);
    let set = |key: &str, value: &str| Edit::Set {
        of: Of::Cable(0),
        key: key.to_owned(),
        value: Some(value.to_owned()),
    };
    for (key, value, was, is) in [("length", "2 m", "1,50 m", "2 m"), ("label", "P2", "P 1", "P2")]
    {
        let edited = made(&sheets, &set(key, value));
        assert!(!edited.anew, "{key}");
        assert_eq!(text(&edited.sheets, 0), list.replace(was, is), "{key}");
    }
}

#[test]
fn one_more_unit_says_nothing_that_nobody_stated() {
    let list = "unit 1 = coordinator, addr 1, fw 2.14, serial A1\n\
                unit 2 = follower, addr 2, fw 2.14, serial A2, term on\n\
                unit 2 ac out = L->bar L1\nlink cables = 1\n";
    let edited = made(&one(list), &Edit::AddUnit);
    let after = text(&edited.sheets, 0);
    let added = after.strip_prefix(list).expect("all that was there stands first");
    for invented in ["serial", "ac out", "count", "bank", "phase", "mode"] {
        assert!(!added.contains(invented), "{invented}: {added}");
    }
    for chosen in ["unit 3 role = follower", "unit 3 address = 3", "unit 3 terminator = off"] {
        assert!(added.contains(chosen), "{added}");
    }
}

#[test]
fn a_disagreement_ends_with_a_value_for_both_places() {
    let sheet = |name: &str, text: &str| RawSheet {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let sheets = [
        sheet("a", "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n"),
        sheet("b", "unit 2 address = 3\n"),
    ];
    let edited = made(&sheets, &unit(2, "address", "4"));
    assert_eq!(text(&edited.sheets, 1), "unit 2 address = 4\n");
    assert!(text(&edited.sheets, 0).ends_with("addr 4\n"));
}

#[test]
fn units_come_and_go() {
    let sheets = new_site(3);
    let more = made(&sheets, &Edit::AddUnit);
    assert!(!more.anew && text(&more.sheets, 1).contains("[unit 4]\nrole = follower\naddress = 4"));
    let fewer = made(&more.sheets, &Edit::RemoveUnit("unit 4".to_owned()));
    assert_eq!(text(&fewer.sheets, 1).trim_end(), text(&sheets, 1).trim_end());
    let fewer = made(&sheets, &Edit::RemoveUnit("unit 3".to_owned()));
    assert!(!text(&fewer.sheets, 0).contains("unit 3"));
    assert!(edit(&sheets, &Edit::RemoveUnit("unit 9".to_owned()), &no_profile).is_err());
}

#[test]
fn what_nobody_can_read_is_not_changed() {
    let sheets = [RawSheet { name: "s".to_owned(), bytes: b"\0\0".to_vec() }];
    assert!(edit(&sheets, &Edit::AddUnit, &no_profile).is_err());
    assert!(edit(&new_site(2), &unit(1, "colour", "red"), &no_profile).is_err());
    assert!(edit(&new_site(2), &unit(1, "address", "many"), &no_profile).is_err());
}

#[test]
fn an_act_is_confirmed_in_its_own_lines_and_nothing_else_changes() {
    let sheet = "site = \"Mill\"\n\n[[unit]]\nname = \"U1\"\naddress = 1\n\n\
                [[to_do]]\nact = \"join C1\"  # by hand\nmends = \"port-class\"\nseen = \"\"\nby = \"\"\n\
                time = \"\"\n\n[[to_do]]\nact = \"join C2\"\nmends = \"\"\nseen = \"\"\n";
    let confirm = |act: usize, seen: [&str; 3]| Edit::Confirm { act, seen: seen.map(String::from) };
    let seen = ["C1 joins both", "I. V.", "2027-03-01 09:12"];
    let edited = made(&one(sheet), &confirm(0, seen));
    assert!(!edited.anew);
    let after = text(&edited.sheets, 0);
    assert_eq!(
        after,
        sheet
            .replacen("seen = \"\"", "seen = \"C1 joins both\"", 1)
            .replacen("by = \"\"", "by = \"I. V.\"", 1)
            .replacen("time = \"\"", "time = \"2027-03-01 09:12\"", 1)
    );
    let both = made(&edited.sheets, &confirm(1, seen));
    assert!(text(&both.sheets, 0).ends_with(
        "act = \"join C2\"\nmends = \"\"\nseen = \"C1 joins both\"\nby = \"I. V.\"\n\
         time = \"2027-03-01 09:12\"\n"
    ));
    for (act, seen) in [(2, seen), (0, ["", "I. V.", "2027-03-01 09:12"]), (0, ["x", "y", "noon"])]
    {
        assert!(edit(&one(sheet), &confirm(act, seen), &no_profile).is_err(), "{seen:?}");
    }
}
