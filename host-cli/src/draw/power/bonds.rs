//! Where neutral and earth are joined, in words, and between the bars where that is sure.

use super::nets::{Bar, Joins};
use super::{PAD, Power};
use crate::declared::Subject;
use crate::draw::measure::{Face, short, width, wrap};
use crate::draw::palette;
use crate::draw::scene::{Area, Paint, Role, Scene, Shape};
use crate::draw::things::stated;
use crate::field::Field;
use coldcheck_core::plan::Datum;

impl Power<'_> {
    /// Words for each place where neutral and earth are joined, each with how it joins the bars.
    pub(super) fn bonds(&self, room: i32) -> Vec<(Vec<String>, Joins)> {
        let declared = &self.site.declared;
        let mut rows = Vec::new();
        let mut row = |text: String, joins| {
            rows.push((wrap(&text, Face::PLAIN, room, 6), joins));
        };
        match self.bars.bonds.as_slice() {
            [] => {
                let says = stated(declared, Subject::Group, Field::Bonds);
                let says = says.unwrap_or_else(|| "not declared".to_owned());
                row(format!("{}: {says}", Datum::Bonds.noun()), Joins::Unknown);
            }
            bonds => {
                for (bond, joins) in bonds {
                    row(format!("{}: {bond}", Datum::Bonds.noun()), *joins);
                }
            }
        }
        for field in [Field::ChangeoverNeutral, Field::SupplyBreaker, Field::Interlock] {
            if let Some(says) = stated(declared, Subject::Group, field) {
                row(format!("{}: {says}", field.key()), Joins::Unknown);
            }
        }
        rows
    }

    pub(super) fn draw_bonds(
        &self,
        scene: &mut Scene,
        bonds: &[(Vec<String>, Joins)],
        at: (i32, i32),
        room: i32,
        bars: &[Bar],
        bar_x: &dyn Fn(i32) -> i32,
    ) {
        let of = |wanted: Option<usize>| wanted.filter(|bar| *bar < bars.len());
        let joined = of(self.bars.neutral).zip(of(self.bars.earth));
        let mut y = at.1;
        for (lines, joins) in bonds {
            scene.group(Role::Thing, short(&lines.join(" "), 200));
            let below = scene.lines(at.0 + PAD, y + 2, Face::PLAIN, palette::INK, lines);
            let dash = if *joins == Joins::Sometimes { "4 3" } else { "" };
            if let (true, Some((neutral, earth))) = (*joins != Joins::Unknown, joined) {
                let x = |bar: usize| bar_x(i32::try_from(bar).unwrap_or(0));
                let middle = y + 10;
                let line = Paint::line(palette::INK, 30, dash);
                let from = at.0
                    + room
                        .min(PAD + lines.first().map_or(0, |line| width(line, Face::PLAIN)) + PAD);
                let near = x(neutral).min(x(earth));
                let faint = Paint::line(palette::RULE, 10, "");
                scene.draw(Shape::Line(vec![(from, middle), (near, middle)], faint));
                scene.draw(Shape::Line(vec![(x(neutral), middle), (x(earth), middle)], line));
                for bar in [neutral, earth] {
                    let square = Area { x: x(bar) - 4, y: middle - 4, w: 8, h: 8 };
                    scene.draw(Shape::Rect(square, 0, Paint::filled(palette::INK)));
                }
            }
            y = below + 6;
        }
    }
}
