//! Where units hang: `unit 1 at 0.0 m, 1.2 m` a line, or a table of unit, x and y.

use crate::fold::Folded;
use crate::read::ReadError;
use crate::value::quantity;

/// So far apart are places at the most; more is a slip.
const FARTHEST: i64 = 1_000_000;

/// A place in millimetres.
type Place = (i64, i64);

/// Reads the places of so many units, in the order of their numbers.
///
/// # Errors
/// Every line that is not understood, and every unit without a place.
pub fn read(name: &str, text: &str, count: u16) -> Result<Vec<Place>, Vec<ReadError>> {
    let mut places: Vec<Option<Place>> = vec![None; count.into()];
    let mut errors = Vec::new();
    let mut heading: Option<[String; 2]> = None;
    for (number, line) in (1..).zip(text.trim_start_matches('\u{feff}').lines()) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let mut wrong = |says: String, expected: String| {
            errors.push(ReadError::file(&format!("{name}:{number}"), says, expected));
        };
        let Some([unit, x, y]) = cells(line) else {
            wrong("this names no place of a unit".to_owned(), EXPECTED.to_owned());
            continue;
        };
        let is_heading = Folded::of(unit).is("unit") || Folded::of(unit).is("name");
        if is_heading && heading.is_none() {
            heading = Some([x, y].map(unit_in_brackets));
            continue;
        }
        let Some(own) = Folded::of(unit).number().filter(|own| (1..=count).contains(own)) else {
            wrong(
                format!("\u{201c}{unit}\u{201d} is none of the {count} units"),
                format!("unit 1 to unit {count}"),
            );
            continue;
        };
        let of_heading = heading.clone().unwrap_or_default();
        let [Some(x), Some(y)] =
            [(x, &of_heading[0]), (y, &of_heading[1])].map(|(text, unit)| signed(text, unit))
        else {
            wrong("a distance does not read as a length".to_owned(), EXPECTED.to_owned());
            continue;
        };
        let place = &mut places[usize::from(own - 1)];
        if place.is_some() {
            wrong(format!("unit {own} has a place already"), "one place for each unit".to_owned());
        }
        *place = Some((x, y));
    }
    let missing: Vec<String> = (1..=count)
        .zip(&places)
        .filter(|(_, place)| place.is_none())
        .map(|(unit, _)| format!("unit {unit}"))
        .collect();
    if !missing.is_empty() && errors.is_empty() {
        let says = format!("it has no place for {}", crate::phrase::all_of(&missing));
        errors.push(ReadError::file(name, says, EXPECTED));
    }
    if errors.is_empty() { Ok(places.into_iter().flatten().collect()) } else { Err(errors) }
}

const EXPECTED: &str = "unit 1 at 0.0 m, 1.2 m; or a table with the columns unit, x (m) and y (m)";

/// Unit, x and y of a line.
fn cells(line: &str) -> Option<[&str; 3]> {
    let of = |rest: &'static str| move |line: &'_ str| line.contains(rest);
    if let Some((unit, place)) = line.split_once(" at ") {
        let (x, y) = if of(";")(place) { place.split_once(';') } else { place.split_once(", ") }?;
        return Some([unit, x, y].map(str::trim));
    }
    let separator = [';', '\t', ','].into_iter().find(|sign| line.contains(*sign))?;
    let cells: Vec<&str> =
        line.split(separator).map(|cell| cell.trim().trim_matches('"')).collect();
    <[&str; 3]>::try_from(cells).ok()
}

/// The unit of measure in a heading such as `x (m)`.
fn unit_in_brackets(heading: &str) -> String {
    let inside = heading.split_once('(').and_then(|(_, rest)| rest.split_once(')'));
    inside.map_or_else(String::new, |(unit, _)| unit.trim().to_owned())
}

/// A length that may be to the other side.
fn signed(text: &str, unit: &str) -> Option<i64> {
    let (sign, text) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (-1, rest),
        None => (1, text),
    };
    let length = quantity::length(text, Some(unit).filter(|unit| !unit.is_empty()))?;
    Some(sign * i64::from(length.0)).filter(|length| length.abs() <= FARTHEST)
}

/// The straight ways between places, in millimetres, rounded up.
pub fn distances(places: &[Place]) -> Vec<Vec<u32>> {
    let way = |one: &Place, two: &Place| {
        let square = |from: i64, to: i64| (from - to).unsigned_abs().pow(2);
        let squares = square(one.0, two.0) + square(one.1, two.1);
        let root = squares.isqrt();
        u32::try_from(root + u64::from(root * root < squares)).unwrap_or(u32::MAX)
    };
    places.iter().map(|one| places.iter().map(|two| way(one, two)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_read_as_lines_and_as_a_table() {
        let lines =
            "# the east wall\nunit 2 at 3 m, 4 m\nunit 1 at 0.0 m, 0 m\nU3 at -1,5 m; 20 cm\n";
        let places = read("p.txt", lines, 3).expect("sound");
        assert_eq!(places, [(0, 0), (3000, 4000), (-1500, 200)]);
        assert_eq!(distances(&places)[0][1], 5000);
        let table = "unit,x (m),y (cm)\nU1,0,0\nU2,3,400\n";
        assert_eq!(read("p.csv", table, 2).expect("sound"), [(0, 0), (3000, 4000)]);
        let ways = distances(&[(0, 0), (1, 1)]);
        assert_eq!(ways[0][1], 2, "rounded up");
    }

    #[test]
    fn what_is_no_place_is_named_with_its_line() {
        let says = |text: &str| {
            let errors = read("p.txt", text, 2).expect_err("wrong");
            errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
        };
        assert!(says("unit 1 at 0 m, 0 m\n").contains("no place for unit 2"));
        assert!(says("unit 1 at 0 m, 0 m\nunit 3 at 0 m, 0 m\n").contains("p.txt:2"));
        assert!(says("unit 1 at here\n").contains("p.txt:1"));
        assert!(says("unit 1 at 0, 0\n").contains("does not read as a length"));
        let twice = "unit 1 at 0 m, 0 m\nunit 1 at 1 m, 0 m\nunit 2 at 1 m, 0 m\n";
        assert!(says(twice).contains("has a place already"));
    }
}
