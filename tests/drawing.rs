//! Drawings: every site, every width. Well-formed, nothing on top of a word, nothing outside, every
//! cable from socket to socket, every finding marked where it is.

use coldcheck::draw::measure::short;
use coldcheck::draw::scene::{Group, Role, Shape};
use coldcheck::draw::{Drawing, Parts, Width, draw};
use coldcheck::read::RawSheet;
use coldcheck_core::place::Place;
use coldcheck_core::rule::Severity;
use coldcheck_tests::drawings::{self, sound};
use coldcheck_tests::generate::rounds;
use coldcheck_tests::golden::day;
use coldcheck_tests::{cases, paths, program};
use std::fmt::Write;

/// Generated sites beside all others.
const GENERATED: u64 = 250;
#[test]
fn every_site_is_drawn_as_it_should_be() {
    let generated = rounds(GENERATED);
    let parts = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let part = |part| {
            scope.spawn(move || {
                let sites = drawings::all(generated).enumerate();
                let own = sites.filter(|(position, _)| position % parts == part);
                let faults = own.flat_map(|(position, named)| faults_of(&named, position / parts));
                faults.collect::<Vec<_>>()
            })
        };
        let running: Vec<_> = (0..parts).map(part).collect();
        running.into_iter().flat_map(|one| one.join().expect("no drawing panics")).collect()
    });
    let shown = &wrong[..wrong.len().min(40)];
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), shown.join("\n"));
}

/// What is wrong with the drawings of a site: of all widths, or, of one of many sites, the one
/// whose turn it is.
fn faults_of(named: &drawings::Named, turn: usize) -> Vec<String> {
    let (site, diagnosis) = named.examine();
    let mut wrong = Vec::new();
    for (at, width) in Width::ALL.into_iter().enumerate() {
        if named.is_generated && turn % Width::ALL.len() != at {
            continue;
        }
        let mut faults = sound::faults(&site, &diagnosis, width);
        faults.truncate(4);
        wrong.extend(faults.into_iter().map(|fault| format!("{}, {width:?}: {fault}", named.name)));
    }
    wrong
}

#[test]
fn the_same_sheets_give_the_same_bytes() {
    for named in drawings::of_cases().into_iter().chain(drawings::tangled()) {
        let once = || {
            let (site, diagnosis) = named.examine();
            draw(&site, &diagnosis, Width::Page, Parts::Whole).svg()
        };
        assert_eq!(once(), once(), "{}", named.name);
    }
}

#[test]
fn the_order_of_rows_does_not_move_a_box() {
    let list =
        "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,1 m\nC2,unit 2 A,unit 3 B,link,1 m\n";
    let turned =
        "cable,from,to,kind,length\nC2,unit 3 B,unit 2 A,link,1 m\nC1,unit 2 B,unit 1 A,link,1 m\n";
    let settings =
        "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\nunit 3 = follower, addr 3\n";
    let places = |list: &str| {
        let sheets = [cases::sheet("cables", list), cases::sheet("settings", settings)];
        let (site, diagnosis) = cases::examine_sheets(&sheets, None).expect("it can be read");
        draw(&site, &diagnosis, Width::Page, Parts::Whole).scene.places
    };
    assert_eq!(places(list), places(turned));
}

#[test]
fn units_stand_in_the_order_of_the_link() {
    let sheets =
        cases::all().into_iter().find(|case| case.name == "14-river-mill").expect("a case");
    let (site, diagnosis) = sheets.examine().expect("it can be read");
    let drawing = draw(&site, &diagnosis, Width::Phone, Parts::Whole);
    // From the coordinator's end along the cables m1, m2, m3.
    assert!(
        drawing.caption.description.contains("Along the link: unit 3, unit 1, unit 4, unit 2.")
    );
}

#[test]
fn a_waived_finding_and_what_is_open_are_marked_too() {
    let bytes = std::fs::read(paths::tests().join("waived/site.toml")).expect("the site");
    let sheets = [RawSheet { name: "site.toml".to_owned(), bytes }];
    let (site, mut diagnosis) = cases::examine_sheets(&sheets, None).expect("it can be read");
    diagnosis.waive(&site, day());
    let drawing = draw(&site, &diagnosis, Width::Phone, Parts::Whole);
    let has = |start: &str| drawing.scene.groups.iter().any(|group| group.title.starts_with(start));
    let number = diagnosis.findings.len() + 1;
    assert!(has(&format!("Finding {number}, waived: ")));
    let open = cases::all().into_iter().find(|case| case.name == "11-guest-house").expect("a case");
    let (site, diagnosis) = cases::examine_sheets(&open.sheets, None).expect("it can be read");
    let drawing = draw(&site, &diagnosis, Width::Phone, Parts::Whole);
    let marked: Vec<_> = drawing
        .scene
        .groups
        .iter()
        .filter(|group| group.title.starts_with("Left open: must be declared: AC terminals"))
        .filter(|group| matches!(group.role, Role::Mark(Place::Unit(_))))
        .collect();
    assert_eq!(marked.len(), 3);
}

#[test]
fn parts_for_pages_cover_the_whole_and_cut_no_word() {
    let plain = drawings::new_ones().into_iter().chain(drawings::of_cases());
    let plain = plain.map(|named| (named, false));
    let tangled = drawings::tangled().into_iter().map(|named| (named, true));
    for (named, is_tangled) in plain.chain(tangled) {
        let (site, diagnosis) = named.examine();
        let drawing = draw(&site, &diagnosis, Width::Page, Parts::Picture);
        let pages = drawing.pages(960);
        let mut below = 0;
        for page in &pages {
            assert_eq!(page.y, below, "{}", named.name);
            below = page.bottom();
            // A box with sixty cables in one socket is higher than a page; such a part is made smaller in print.
            let most = if is_tangled { 1700 } else { 1010 };
            assert!(page.h <= most, "{}: a part of {} pixels", named.name, page.h);
        }
        assert_eq!(below, drawing.scene.height, "{}", named.name);
        for text in drawing.scene.texts() {
            let within = pages.iter().any(|page| page.holds(text.area()));
            assert!(within, "{}: {:?} is cut", named.name, text.says);
        }
    }
}

/// The drawing of sheets written here.
fn drawn(sheets: &[(&str, &str)], width: Width) -> Drawing {
    let sheets: Vec<_> = sheets.iter().map(|(name, text)| cases::sheet(name, text)).collect();
    let (site, diagnosis) = cases::examine_sheets(&sheets, None).expect("it can be read");
    draw(&site, &diagnosis, width, Parts::Whole)
}

/// Groups whose title begins so.
fn titled<'d>(drawing: &'d Drawing, start: &str) -> Vec<&'d Group> {
    drawing.scene.groups.iter().filter(|group| group.title.starts_with(start)).collect()
}

/// All words of a drawing, its lines joined.
fn words(drawing: &Drawing) -> String {
    let says: Vec<_> = drawing.scene.texts().map(|text| text.says.as_str()).collect();
    says.join(" ")
}

const UNITS: &str = "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";

#[test]
fn what_must_be_answered_has_a_question_mark_at_the_group_and_at_its_place() {
    let text = format!("{UNITS}unit 2 address = 5\n");
    let drawing = drawn(&[("s", &text)], Width::Phone);
    // Two values for one fact: the mark of the finding asks.
    let asks = drawing.scene.groups.iter().filter(|group| group.title.contains(", ask, note: "));
    let labels = asks.flat_map(|group| &group.shapes).filter_map(|shape| match shape {
        Shape::Text(text) => Some(text.says.as_str()),
        Shape::Rect(..) | Shape::Line(..) | Shape::Polygon(..) | Shape::Circle(..) => None,
    });
    let labels: Vec<_> = labels.collect();
    assert!(!labels.is_empty() && labels.iter().all(|label| label.ends_with('?')), "{labels:?}");
    // A question that belongs to no rule, and what nobody declares of the whole.
    let list = "cable,from,hither,kind\nC1,unit 1 A,unit 2 B,link\n";
    let drawing = drawn(&[("c", list), ("s", UNITS)], Width::Phone);
    let sheets = [cases::sheet("c", list), cases::sheet("s", UNITS)];
    let (_, diagnosis) = cases::examine_sheets(&sheets, None).expect("it can be read");
    assert!(!diagnosis.questions.is_empty());
    let open = titled(&drawing, "Left open: ");
    let of_group = open.iter().filter(|group| group.role == Role::Mark(Place::Group)).count();
    assert_eq!(of_group, 1);
    let told = titled(&drawing, &format!("Left open: {}", &diagnosis.questions[0].says[..20]));
    assert_eq!(told.len(), 1);
}

#[test]
fn a_plug_that_ends_nothing_is_no_terminator_that_is_on() {
    let list = |socket: &str| {
        format!("cable,from,to,kind\nC1,unit 1 A,unit 2 B,link\nT1,unit 2 {socket},-,terminator\n")
    };
    for (socket, ends) in [("A", true), ("battery", false), ("B", false)] {
        let drawing = drawn(&[("c", &list(socket)), ("s", UNITS)], Width::Phone);
        let plugs = titled(&drawing, "terminator plug T1");
        assert_eq!(plugs.len(), 1, "{socket}");
        assert_eq!(plugs[0].title.contains("does not end the link"), !ends, "{socket}");
        assert_eq!(plugs[0].shapes.len() == 1, ends, "{socket}: crossed out");
        let says = words(&drawing);
        assert_eq!(says.contains("terminator: plug"), ends, "{socket}");
        assert!(says.contains("plug that does not end the link"), "the key, {socket}");
    }
}

#[test]
fn nothing_of_the_power_side_is_lost_on_a_phone() {
    let rail = "distribution rail of the long workshop beyond the yard";
    let mut text = UNITS.to_owned();
    let mut names = vec![rail.to_owned()];
    for (side, start) in [("ac out", "bar"), ("ac in", "supply rail"), ("generator in", "gen rail")]
    {
        let own = |pole: &str| format!("{start} {pole}");
        let to =
            |pole: &str| if side == "ac out" && pole == "L1" { rail.to_owned() } else { own(pole) };
        let poles = ["L1", "L2", "L3", "N"].map(|pole| format!("{pole}->{}", to(pole)));
        let _ = writeln!(text, "all units {side} = {}; PE->{start} ground", poles.join("; "));
        names.extend(["L2", "L3", "N"].map(own));
        names.push(format!("{start} ground"));
    }
    text += "all units bank = East\n";
    for width in Width::ALL {
        let says = words(&drawn(&[("s", &text)], width));
        for name in &names {
            // As the name of a bar or said in words, for both units.
            assert!(says.contains(name), "{width:?}: {name}: {says}");
        }
        let power = says.split_once("Power side").expect("the power side").1;
        let power = power.split_once("Lines and marks").expect("the key").0;
        assert!(!power.contains('…'), "{width:?}: {power}");
    }
}

#[test]
fn a_bond_is_drawn_only_where_it_is_on_the_bars() {
    let squares = |bond: &str, more: &str| {
        let text =
            format!("{UNITS}all units ac out = straight\n{more}neutral-earth bond = {bond}\n");
        let drawing = drawn(&[("s", &text)], Width::Page);
        let groups = titled(&drawing, "neutral-earth bond");
        assert_eq!(groups.len(), 1, "{bond}");
        let of = |shape: &&Shape| matches!(shape, Shape::Rect(..));
        let dashed = groups[0]
            .shapes
            .iter()
            .any(|shape| matches!(shape, Shape::Line(_, paint) if !paint.dash.is_empty()));
        (groups[0].shapes.iter().filter(of).count(), dashed)
    };
    assert_eq!(squares("main board (fixed)", ""), (2, false));
    assert_eq!(squares("unit 1 relay (closed on island, open on supply)", ""), (2, true));
    for elsewhere in ["not known", "hut by the river (fixed)", "generator frame (fixed)"] {
        assert_eq!(squares(elsewhere, ""), (0, false), "{elsewhere}");
    }
    // Before the changeover or behind it: its words do not tell.
    assert_eq!(squares("main board (fixed)", "all units ac in = straight\n"), (0, false));
}

#[test]
fn the_shape_of_the_link_is_the_sites_and_else_only_demanded() {
    let own = drawn(&[("s", &format!("{UNITS}link shape = ring\n"))], Width::Page);
    assert!(words(&own).contains("link shape ring"));
    assert!(!words(&own).contains("demands link shape"));
    let none = words(&drawn(&[("s", UNITS)], Width::Page));
    assert!(none.contains("profile plain demands link shape line"), "{none}");
}

#[test]
fn the_description_tells_every_danger() {
    let mut dangers = 0;
    for named in drawings::of_cases() {
        let (site, diagnosis) = named.examine();
        let told = draw(&site, &diagnosis, Width::Page, Parts::Picture).caption.description;
        for (number, finding) in (1..).zip(&diagnosis.findings).take(12) {
            let is_told = told.contains(&format!("{number}: {}", short(&finding.says, 200)));
            assert_eq!(is_told, finding.severity == Severity::Danger, "{}: {told}", named.name);
            dangers += usize::from(is_told);
        }
    }
    assert!(dangers > 3);
}

#[test]
fn a_strict_drawing_says_what_counts() {
    let folder = program::folder("strict-drawing");
    std::fs::write(folder.join("s.txt"), UNITS).expect("the target folder is writable");
    let says = |more: &[&str]| {
        let output = program::run_in(&folder, &[&["draw", "s.txt"], more].concat());
        assert_eq!(output.status.code(), Some(0));
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    assert!(!says(&[]).contains("the check is strict"));
    assert!(says(&["--strict"]).contains("the check is strict"));
}
