//! Drawings: every site, every width. Well-formed, nothing on top of a word, nothing outside, every
//! cable from socket to socket, every finding marked where it is.

use coldcheck::declared::End;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::draw::scene::{Area, Role, Scene, Shape};
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::engine::Site;
use coldcheck_core::place::{Place, PortId, UnitId};
use coldcheck_tests::drawings;
use coldcheck_tests::golden::day;
use coldcheck_tests::{cases, paths};
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

/// Generated sites beside all others.
const GENERATED: u64 = 1000;
/// No drawing takes longer, even in a debug build on a busy machine.
const MOST_TIME: Duration = Duration::from_secs(5);

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
        let start = Instant::now();
        let drawing = draw(&site, &diagnosis, width, Parts::Whole);
        let svg = drawing.svg();
        let took = start.elapsed();
        let mut faults = geometry(&drawing.scene);
        faults.extend(cables(&site, &drawing.scene));
        faults.extend(marks(&diagnosis, &drawing.scene));
        faults.extend(form(&svg, width));
        if took > MOST_TIME {
            faults.push(format!("it took {took:?}"));
        }
        faults.truncate(4);
        wrong.extend(faults.into_iter().map(|fault| format!("{}, {width:?}: {fault}", named.name)));
    }
    wrong
}

/// Words on words, shapes outside, cables over words, one box over another.
fn geometry(scene: &Scene) -> Vec<String> {
    let mut faults = Vec::new();
    let canvas = Area { x: 0, y: 0, w: scene.width, h: scene.height };
    for group in &scene.groups {
        for shape in &group.shapes {
            if !canvas.holds(shape.area()) {
                faults.push(format!("outside: {shape:?}"));
            }
        }
    }
    let mut texts: Vec<_> = scene.texts().map(|text| (text.area(), &text.says)).collect();
    texts.sort_by_key(|(area, _)| area.y);
    for (at, (area, says)) in texts.iter().enumerate() {
        let near = texts[at + 1..].iter().take_while(|(other, _)| other.y < area.bottom());
        for (other, others) in near {
            if area.meets(*other) {
                faults.push(format!("{says:?} and {others:?} overlap: {area:?} {other:?}"));
            }
        }
    }
    // A mark lies over its cable, on a shape of its own.
    let marks = scene.groups.iter().filter(|group| matches!(group.role, Role::Mark(_)));
    let marks: Vec<_> = marks.map(coldcheck::draw::scene::Group::area).collect();
    texts.retain(|(area, _)| !marks.iter().any(|mark| mark.holds(*area)));
    let lines =
        scene.groups.iter().flat_map(|group| &group.shapes).filter_map(|shape| match shape {
            Shape::Line(points, _) => Some(points),
            Shape::Rect(..) | Shape::Polygon(..) | Shape::Circle(..) | Shape::Text(_) => None,
        });
    for points in lines {
        for pair in points.windows(2) {
            let crossed = texts.iter().find(|(area, _)| area.meets(stretch(pair[0], pair[1])));
            if let Some((_, says)) = crossed {
                faults.push(format!("a line {pair:?} crosses {says:?}"));
            }
        }
    }
    let units: Vec<_> = scene.places.iter().filter(|(place, _)| is_box(*place)).collect();
    for (at, (place, area)) in units.iter().enumerate() {
        for (other, others) in &units[at + 1..] {
            if area.meets(*others) {
                faults.push(format!("{place:?} lies on {other:?}"));
            }
        }
    }
    faults
}

fn is_box(place: Place) -> bool {
    matches!(place, Place::Unit(_) | Place::Pack(_) | Place::Sensor(_) | Place::Device(_))
}

fn stretch(from: (i32, i32), to: (i32, i32)) -> Area {
    let (x, y) = (from.0.min(to.0), from.1.min(to.1));
    Area { x, y, w: (from.0 - to.0).abs().max(1), h: (from.1 - to.1).abs().max(1) }
}

/// Every cable but plugs is drawn once, upright or level, and its ends are where it is declared.
fn cables(site: &Site, scene: &Scene) -> Vec<String> {
    let mut faults = Vec::new();
    let mut drawn = BTreeSet::new();
    for group in &scene.groups {
        let Role::Cable(cable) = group.role else { continue };
        if !drawn.insert(cable) {
            faults.push(format!("cable {cable} is drawn twice"));
        }
        let Some(Shape::Line(points, _)) = group.shapes.last() else {
            faults.push(format!("cable {cable} has no line"));
            continue;
        };
        if points.windows(2).any(|pair| pair[0].0 != pair[1].0 && pair[0].1 != pair[1].1) {
            faults.push(format!("cable {cable} runs askew"));
        }
        let ends = [points.first(), points.last()];
        for (end, point) in site.declared.cables[cable].ends.into_iter().zip(ends) {
            let Some((x, y)) = point.copied() else { continue };
            let touches = |area: &Area| {
                area.x <= x && x <= area.right() + 4 && area.y <= y && y <= area.bottom()
            };
            let place = place_of(site, end);
            let there = place.is_none_or(|place| {
                scene.places.iter().any(|(other, area)| *other == place && touches(area))
            });
            if !there {
                faults.push(format!("cable {cable} does not end at {end:?} but {:?}", (x, y)));
            }
        }
    }
    let is_open = |end: &End| matches!(end, End::Open | End::Unknown);
    for (position, cable) in site.declared.cables.iter().enumerate() {
        let is_plug = cable.kind == Some(coldcheck_core::plan::CableKind::Terminator);
        let is_drawn = drawn.contains(&position);
        if !is_drawn && !(is_plug && cable.ends.iter().any(is_open)) {
            faults.push(format!("cable {} is not drawn", cable.label));
        }
    }
    faults
}

/// Where an end must be; none for an end that is nowhere.
fn place_of(site: &Site, end: End) -> Option<Place> {
    let map = &site.assembled.map;
    let at = |order: &[usize], declared: usize| {
        let at = order.iter().position(|other| *other == declared);
        u8::try_from(at.expect("it is in the plan")).expect("few things")
    };
    Some(match end {
        End::Unit(unit, Some(port)) => Place::Port(UnitId(at(&map.units, unit)), PortId(port.0)),
        End::Unit(unit, None) => Place::Unit(UnitId(at(&map.units, unit))),
        End::Pack(pack) => Place::Pack(coldcheck_core::place::PackId(at(&map.packs, pack))),
        End::Sensor(one) => Place::Sensor(coldcheck_core::place::SensorId(at(&map.sensors, one))),
        End::Device(one) => Place::Device(coldcheck_core::place::DeviceId(at(&map.devices, one))),
        End::Open | End::Unknown => return None,
    })
}

/// Every finding is marked at each of its places, and each mark lies within what it marks.
fn marks(diagnosis: &Diagnosis, scene: &Scene) -> Vec<String> {
    let mut faults = Vec::new();
    for group in &scene.groups {
        let Role::Mark(place) = group.role else { continue };
        let own = scene.places.iter().filter(|(other, _)| *other == place);
        if !own.clone().any(|(_, area)| area.holds(group.area())) {
            let areas: Vec<_> = own.map(|(_, area)| *area).collect();
            faults.push(format!("{} is not in {place:?}: {areas:?}", group.title));
        }
    }
    for (number, finding) in (1..).zip(&diagnosis.findings) {
        let start = format!("Finding {number}, ");
        let group = [Place::Group];
        let places = if finding.at.is_empty() { &group[..] } else { &finding.at };
        for place in places {
            let is_it = |group: &coldcheck::draw::scene::Group| {
                group.role == Role::Mark(*place) && group.title.starts_with(&start)
            };
            if !scene.groups.iter().any(is_it) {
                faults.push(format!("{} is not marked at {place:?}", finding.says));
            }
        }
    }
    faults
}

/// Well-formed, with a title, as wide as was asked for, no text below eleven pixels.
fn form(svg: &str, width: Width) -> Vec<String> {
    let tree = match roxmltree::Document::parse(svg) {
        Ok(tree) => tree,
        Err(error) => return vec![format!("not well-formed: {error}")],
    };
    let mut faults = Vec::new();
    let root = tree.root_element();
    if root.attribute("width") != Some(&width.pixels().to_string()) {
        faults.push(format!("width {:?}", root.attribute("width")));
    }
    let named = ["title", "desc"].map(|tag| {
        root.children()
            .find(|child| child.has_tag_name((root.tag_name().namespace().unwrap_or(""), tag)))
    });
    if named.iter().any(|one| one.is_none_or(|one| one.text().unwrap_or("").is_empty())) {
        faults.push("no title or description".to_owned());
    }
    let known = ["svg", "title", "desc", "rect", "g", "text", "polyline", "polygon", "circle"];
    for node in tree.descendants().filter(roxmltree::Node::is_element) {
        if !known.contains(&node.tag_name().name()) {
            faults.push(format!("an element {}", node.tag_name().name()));
        }
        let size = node.attribute("font-size").and_then(|size| size.parse::<i32>().ok());
        if node.has_tag_name("text") && size.is_none_or(|size| size < 11) {
            faults.push(format!("text of size {size:?}"));
        }
    }
    faults
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
    let sheets = [coldcheck::read::RawSheet { name: "site.toml".to_owned(), bytes }];
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
            // Cables in tangles need room above the boxes; such a part is made smaller in print.
            let most = if is_tangled { 1250 } else { 1010 };
            assert!(page.h <= most, "{}: a part of {} pixels", named.name, page.h);
        }
        assert_eq!(below, drawing.scene.height, "{}", named.name);
        for text in drawing.scene.texts() {
            let within = pages.iter().any(|page| page.holds(text.area()));
            assert!(within, "{}: {:?} is cut", named.name, text.says);
        }
    }
}
