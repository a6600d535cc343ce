//! What must hold for every drawing: nothing on top of a word, nothing outside, every cable from
//! socket to socket, every finding marked where it is, and the file well-formed.

use coldcheck::declared::End;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::draw::scene::{Area, Group, Role, Scene, Shape};
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::engine::Site;
use coldcheck_core::place::{DeviceId, PackId, Place, PortId, SensorId, UnitId};
use coldcheck_core::plan::CableKind;
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

/// No drawing takes longer, even in a debug build on a busy machine.
const MOST_TIME: Duration = Duration::from_secs(5);

/// Everything that is wrong with the drawing of a site.
pub fn faults(site: &Site, diagnosis: &Diagnosis, width: Width) -> Vec<String> {
    let start = Instant::now();
    let drawing = draw(site, diagnosis, width, Parts::Whole);
    let svg = drawing.svg();
    let took = start.elapsed();
    let mut faults = geometry(&drawing.scene);
    faults.extend(cables(site, &drawing.scene));
    faults.extend(marks(diagnosis, &drawing.scene));
    faults.extend(form(&svg, width));
    if took > MOST_TIME {
        faults.push(format!("it took {took:?}"));
    }
    faults
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
    let marks: Vec<_> = marks.map(Group::area).collect();
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
        let is_plug = cable.kind == Some(CableKind::Terminator);
        let is_drawn = drawn.contains(&position);
        if !(is_drawn || is_plug && cable.ends.iter().any(is_open)) {
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
        End::Pack(pack) => Place::Pack(PackId(at(&map.packs, pack))),
        End::Sensor(one) => Place::Sensor(SensorId(at(&map.sensors, one))),
        End::Device(one) => Place::Device(DeviceId(at(&map.devices, one))),
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
            let is_it =
                |group: &Group| group.role == Role::Mark(*place) && group.title.starts_with(&start);
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
