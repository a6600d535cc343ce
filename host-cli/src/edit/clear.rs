//! A fact taken out of the text: the clause that states it, or its line, and nothing else.

use super::patch::{Patch, lines_around};
use super::small::Texts;
use crate::declared::Subject;
use crate::source::Origin;
use std::ops::Range;

/// More places than these are cleared in the same way each.
const MOST_FREE: usize = 2;

impl Texts<'_> {
    /// The ways to take what these places state out of the sheets, the smallest first.
    pub(super) fn cleared(&self, subject: Subject, key: &str) -> Vec<Patch> {
        let places = self.stated(subject, key);
        let ways: Vec<Vec<Patch>> = places
            .iter()
            .map(|place| self.ways_out(*place, &self.kept_of_others(subject, key, *place)))
            .collect();
        if places.len() <= MOST_FREE {
            return ways.into_iter().fold(vec![Patch::default()], |so_far, own| {
                let with =
                    |patch: Patch| so_far.iter().map(move |one| one.clone().and(patch.clone()));
                own.into_iter().flat_map(with).collect()
            });
        }
        let most = ways.iter().map(Vec::len).max().unwrap_or(0);
        let nth = |at: usize| {
            let of_each = ways.iter().filter_map(|own| own.get(at).or(own.last()));
            of_each.cloned().fold(Patch::default(), Patch::and)
        };
        (0..most).map(nth).collect()
    }

    /// The ways out for one place: the whole clause with the sign that parts it from the next one,
    /// then the line, then the line but for what is a comment, then the value alone. Below it comes
    /// `kept`: what the place states of others as well.
    fn ways_out(&self, place: Origin, kept: &str) -> Vec<Patch> {
        let sheet = place.sheet.0;
        let text = self.text(sheet);
        let line = lines_around(text, place.range());
        let comment = self.declared.remarks.iter().map(|remark| remark.origin).find(|remark| {
            remark.sheet == place.sheet && line.start <= remark.start && remark.end <= line.end
        });
        let whole = text.get(line.clone()).unwrap_or("").trim_end_matches(['\r', '\n']);
        let end = comment.map_or(line.start + whole.len(), |comment| comment.start);
        let mut gone: Vec<Range<usize>> = [b',', b';']
            .iter()
            .flat_map(|sign| clauses(text, line.start..end, place.range(), *sign))
            .collect();
        gone.push(comment.map_or(line.clone(), |comment| line.start..comment.start));
        gone.push(place.range());
        let way = |gone: Range<usize>| {
            let below = if text.get(..line.end).is_some_and(|text| text.ends_with('\n')) {
                kept.to_owned()
            } else {
                format!("\n{kept}")
            };
            let is_line = gone == line;
            let own = Patch::stretch(sheet, gone, if is_line { kept } else { "" }.to_owned());
            if kept.is_empty() || is_line {
                own
            } else {
                own.and(Patch::stretch(sheet, line.end..line.end, below))
            }
        };
        gone.into_iter().map(way).collect()
    }

    /// What a place states of other things: a line for each.
    fn kept_of_others(&self, subject: Subject, key: &str, place: Origin) -> String {
        let declared = self.declared;
        let value = self.text(place.sheet.0).get(place.range()).unwrap_or("");
        let units = declared.units.iter().enumerate();
        let units = units.map(|(at, unit)| (Subject::Unit(at), &unit.name));
        let packs = declared.packs.iter().enumerate();
        let packs = packs.map(|(at, pack)| (Subject::Pack(at), &pack.name));
        let sensors = declared.sensors.iter().enumerate();
        let sensors = sensors.map(|(at, (sensor, _))| (Subject::Sensor(at), &sensor.name));
        let others = units.chain(packs).chain(sensors).filter(|(other, _)| *other != subject);
        let sharing = others.filter(|(other, _)| self.stated(*other, key).contains(&place));
        let lines: Vec<_> = sharing.map(|(_, name)| format!("{name} {key} = {value}\n")).collect();
        lines.concat()
    }
}

/// The clause of a line that holds a place, with the sign before it, or behind it where it is the
/// first: from whatever may stand before the first one.
fn clauses(text: &str, line: Range<usize>, place: Range<usize>, sign: u8) -> Vec<Range<usize>> {
    let sign = char::from(sign);
    let before = text.get(line.start..place.start).unwrap_or("");
    let behind = text.get(place.end..line.end).unwrap_or("");
    let next = behind.find(sign).map(|at| place.end + at);
    let closing = behind.find(['}', ']']).map(|at| place.end + at);
    let kept = |end: usize| {
        let stretch = text.get(place.end..end).unwrap_or("");
        place.end + stretch.trim_end().len()
    };
    if let Some(at) = before.rfind(sign) {
        let end = [next, closing].into_iter().flatten().min().unwrap_or(line.end);
        return std::iter::once(line.start + at..kept(end)).collect();
    }
    let Some(next) = next else { return Vec::new() };
    let rest = text.get(next + 1..line.end).unwrap_or("");
    let end = next + 1 + (rest.len() - rest.trim_start().len());
    let opens = ['=', ':', '{', '['].into_iter().filter_map(|open| before.rfind(open));
    opens
        .map(|at| {
            let start = line.start + at + 1;
            let rest = text.get(start..place.start).unwrap_or("");
            start + (rest.len() - rest.trim_start().len())..end
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn without(line: &str, what: &str) -> Vec<String> {
        let at = line.find(what).expect("it is there");
        let cut =
            |clause: Range<usize>| format!("{}{}", &line[..clause.start], &line[clause.end..]);
        clauses(line, 0..line.len(), at..at + what.len(), b',').into_iter().map(cut).collect()
    }

    #[test]
    fn a_clause_goes_with_its_comma() {
        let line = "unit 2 = follower, addr 2, term on";
        assert_eq!(without(line, "on"), ["unit 2 = follower, addr 2"]);
        assert_eq!(without(line, "addr 2"), ["unit 2 = follower, term on"]);
        assert_eq!(without(line, "follower"), ["unit 2 = addr 2, term on"]);
        assert_eq!(without("unit = [{ name = 1, address = 2 }]", "2"), ["unit = [{ name = 1 }]"]);
        assert!(without("unit 2 = follower", "follower").is_empty());
    }
}
