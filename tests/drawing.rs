//! Drawings: every site, every width. Well-formed, nothing on top of a word, nothing outside, every
//! cable from socket to socket, every finding marked where it is.

use coldcheck::draw::scene::Role;
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::read::RawSheet;
use coldcheck_core::place::Place;
use coldcheck_tests::drawings::{self, sound};
use coldcheck_tests::golden::day;
use coldcheck_tests::{cases, paths};

/// Generated sites beside all others.
const GENERATED: u64 = 1000;
#[test]
fn every_site_is_drawn_as_it_should_be() {
    let generated = std::env::var("COLDCHECK_DRAWINGS").ok().and_then(|text| text.parse().ok());
    let generated = generated.unwrap_or(GENERATED);
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
