//! Printed forms: what is read from a photograph of one, and what is refused.
//!
//! `cargo dev forms` fills and reads 600; a few of them are read here. What needs poppler, zbar or a
//! browser is ignored in a plain `cargo test`.

use coldcheck::form::code::SheetId;
use coldcheck::form::layout::{Frame, Layout};
use coldcheck::form::read::{self, Knowledge, Refusal};
use coldcheck::form::sheet;
use coldcheck::picture::{Grey, Turn};
use coldcheck::print::{Page, Paper, pdf, svg};
use coldcheck_tests::forms::judge::{
    self, SCALE, Tally, choices, judged, knowledge, photographed, taken,
};
use coldcheck_tests::forms::raster::{Canvas, whole};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::{paths, tools};
use std::fs;
use std::path::Path;
use std::process::Command;

/// Pixels a millimetre where a blank sheet only has to be found.
const COARSE: f32 = 5.0;

fn blank(units: u16, paper: Paper) -> Page {
    sheet::pages(&choices("plain", units), paper, 1).remove(0)
}

fn told(tally: &Tally) -> String {
    format!("{:?} {:?} {:.1} % asked", tally.wrong, tally.refused, tally.share_asked())
}

#[test]
fn forms_filled_at_random_are_never_read_wrong() {
    let mut tally = Tally::default();
    // `cargo dev forms` reads six hundred of them.
    for form in 0..3 {
        tally.add(judge::one(form));
    }
    assert!(tally.wrong.is_empty() && tally.refused.is_empty(), "{}", told(&tally));
    assert!(tally.cells > 90 && tally.share_asked() <= 5.0, "{}", told(&tally));
}

#[test]
fn a_sheet_may_lie_in_any_way_and_in_a_mirror() {
    let mut form = taken(6);
    form.picture = form.picture.turned(Turn::Half);
    let picture = &form.picture;
    let mirrored = Grey::made(picture.width(), picture.height(), |x, y| {
        picture.at(picture.width() - 1 - x, y)
    });
    let upright = read::read(picture, &knowledge()).expect("a form");
    let turned = read::read(&mirrored, &knowledge()).expect("a form");
    assert!(turned.notes.iter().any(|note| note.contains("mirrored")), "{:?}", turned.notes);
    let texts = |filled: &read::Filled| -> Vec<String> {
        filled.rows.iter().flat_map(|row| &row.cells).map(|cell| cell.text.clone()).collect()
    };
    assert_eq!(texts(&upright), texts(&turned));
    let tally = judged(6, &form);
    assert!(tally.wrong.is_empty() && tally.refused.is_empty(), "{}", told(&tally));
}

#[test]
fn a_corner_that_is_cut_off_or_covered_is_named() {
    let picture = Canvas::of(&blank(4, Paper::A4), COARSE).picture;
    let cut = picture.part(0, 0, picture.width(), picture.height() - whole(14.0 * COARSE));
    // Both lower corners are gone: two marks are no form.
    assert_eq!(read::read(&cut, &knowledge()), Err(Refusal::NoForm));
    let mut covered = picture;
    let [_, _, (x, y), _] = Frame::of(Paper::A4).corners();
    for row in whole((y - 6.0) * COARSE)..whole((y + 6.0) * COARSE) {
        for pixel in &mut covered.row_mut(row)[whole((x - 6.0) * COARSE)..whole((x + 6.0) * COARSE)]
        {
            *pixel = [90];
        }
    }
    let refusal = read::read(&covered, &knowledge()).expect_err("a corner is covered");
    assert_eq!(refusal, Refusal::Corner { upper: false, left: false, cut: false });
    assert_eq!(
        refusal.to_string(),
        "the corner mark at the lower right of the picture is covered or too dark"
    );
    let narrow = whole((x - 3.0) * COARSE);
    let mut cut = covered.part(0, 0, narrow, covered.height());
    // The upper right corner is still whole in this one.
    let upper = Canvas::of(&blank(4, Paper::A4), COARSE).picture;
    cut = Grey::made(upper.width(), upper.height(), |column, row| {
        if row < upper.height() / 2 || column < narrow {
            upper.at(column, row)
        } else {
            cut.at(0, 0)
        }
    });
    assert!(matches!(read::read(&cut, &knowledge()), Err(Refusal::Corner { upper: false, .. })));
}

#[test]
fn what_is_no_form_is_no_form() {
    for picture in [
        Grey::filled(600, 400, [255]),
        Grey::filled(1, 1, [0]),
        Grey::filled(0, 0, [0]),
        Grey::made(900, 700, |x, y| [if (x / 7 + y / 9) % 2 == 0 { 20 } else { 230 }]),
    ] {
        assert_eq!(read::read(&picture, &knowledge()), Err(Refusal::NoForm));
    }
}

#[test]
fn a_sheet_that_is_too_small_in_the_picture_is_refused() {
    let picture = Canvas::of(&blank(4, Paper::Letter), 2.8).picture;
    assert_eq!(read::read(&picture, &knowledge()), Err(Refusal::TooSmall));
}

#[test]
fn another_form_than_the_one_that_was_named_is_refused() {
    let picture = Canvas::of(&blank(4, Paper::A4), COARSE).picture;
    let given = |units| Knowledge { given: Some(choices("plain", units)), ..knowledge() };
    assert_eq!(read::read(&picture, &given(5)), Err(Refusal::OtherForm { units: 4 }));
    let none = Knowledge { known: &|_| None, ..knowledge() };
    let number = choices("plain", 4).checksum();
    assert_eq!(read::read(&picture, &none), Err(Refusal::UnknownForm { units: 4, number }));
    let filled = read::read(&picture, &given(4)).expect("the form that was named");
    assert!(filled.rows.is_empty() && filled.notes.is_empty(), "{filled:?}");
}

/// Covers strips and code, or only the strips.
fn without_codes(picture: &mut Grey, also_qr: bool) {
    let frame = Frame::of(Paper::A4);
    let qr = frame.qr();
    let strips = frame.strips().map(|(x, y)| (x + 20.0, y - 0.3, 60.0, 2.8));
    let areas = [strips[0], strips[1], (qr.x, qr.y, qr.w, qr.h)];
    for (x, y, w, h) in areas.into_iter().take(if also_qr { 3 } else { 2 }) {
        for row in whole(y * COARSE)..whole((y + h) * COARSE) {
            for pixel in &mut picture.row_mut(row)[whole(x * COARSE)..whole((x + w) * COARSE)] {
                *pixel = [230];
            }
        }
    }
}

#[test]
fn a_form_whose_codes_are_gone_is_read_only_if_it_is_said_which_one_it_is() {
    let mut picture = Canvas::of(&blank(4, Paper::A4), COARSE).picture;
    without_codes(&mut picture, true);
    assert_eq!(read::read(&picture, &knowledge()), Err(Refusal::NoCode));
    let code = |_: &Grey| {
        let own = choices("plain", 4);
        let id =
            SheetId { paper: Paper::A4, units: 4, sheet: 1, sheets: 1, choices: own.checksum() };
        Some(id.text(&own))
    };
    let filled = read::read(&picture, &Knowledge { code: &code, ..knowledge() });
    assert_eq!(filled.expect("by its QR code").id.map(|id| id.sheet), Some(1));
    let given = Knowledge { given: Some(choices("plain", 4)), ..knowledge() };
    let filled = read::read(&picture, &given).expect("by the person's word");
    assert!(filled.id.is_none() && filled.notes[0].contains("as they were given"), "{filled:?}");
}

/// A page as poppler draws its PDF.
fn by_poppler(page: &Page, folder: &Path, name: &str) -> Grey {
    let file = folder.join(format!("{name}.pdf"));
    fs::write(&file, pdf::file(std::slice::from_ref(page), name).expect("plain signs"))
        .expect("writable");
    let to = folder.join(name);
    let resolution = (SCALE * 25.4).to_string();
    let mut poppler = Command::new("pdftoppm");
    tools::run(poppler.args(["-r", &resolution, "-png", "-singlefile"]).arg(&file).arg(&to));
    picture(&to.with_extension("png"))
}

/// A page as the browser draws its SVG.
fn by_browser(page: &Page, folder: &Path, name: &str) -> Grey {
    let (file, to) = (folder.join(format!("{name}.svg")), folder.join(format!("{name}.png")));
    fs::write(&file, svg::file(page, name)).expect("writable");
    // 96 pixels an inch are 3.78 a millimetre.
    let scale = SCALE * 25.4 / 96.0;
    let pixels = |millimetres: f32| (millimetres * 96.0 / 25.4).ceil();
    let mut browser = Command::new("chromium");
    tools::run(
        browser.args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]).args([
            format!("--force-device-scale-factor={scale}"),
            format!("--window-size={},{}", pixels(page.width), pixels(page.height)),
            format!("--screenshot={}", to.display()),
            format!("file://{}", file.display()),
        ]),
    );
    picture(&to)
}

fn picture(path: &Path) -> Grey {
    let grey = image::open(path).expect("a picture").into_luma8();
    let size = |pixels: u32| usize::try_from(pixels).expect("small");
    Grey::of_bytes(size(grey.width()), size(grey.height()), grey.as_raw()).expect("whole")
}

#[test]
#[ignore = "needs poppler, zbar and a browser"]
fn what_others_draw_of_the_files_is_read_the_same() {
    let folder = paths::scratch("forms");
    fs::create_dir_all(&folder).expect("the target folder is writable");
    let mut tally = Tally::default();
    for (number, (units, paper)) in [(32, Paper::A4)].into_iter().enumerate() {
        let choices = choices("plain", units);
        let page = blank(units, paper);
        let drawn = [
            by_poppler(&page, &folder, &format!("poppler-{number}")),
            by_browser(&page, &folder, &format!("browser-{number}")),
        ];
        for (which, sheet) in drawn.into_iter().enumerate() {
            // Nothing is read from what is blank.
            let filled = read::read(&sheet, &knowledge()).expect("a form");
            assert_eq!(filled.rows, [], "{units} {paper:?} {which}");
            let mut dice = Dice::new(u64::try_from(number * 2 + which).expect("small"));
            let canvas = Canvas { picture: sheet, scale: SCALE };
            let form = photographed(canvas, &choices, paper, 0.7, &mut dice);
            tally.add(judged(number * 2 + which, &form));
        }
    }
    assert!(tally.wrong.is_empty() && tally.refused.is_empty(), "{}", told(&tally));
    assert!(tally.cells > 50 && tally.share_asked() <= 5.0, "{}", told(&tally));
}

#[test]
#[ignore = "needs poppler and zbar"]
fn another_reader_finds_the_same_text_in_the_code() {
    let folder = paths::scratch("forms");
    fs::create_dir_all(&folder).expect("the target folder is writable");
    for (units, paper) in [(2, Paper::A4), (32, Paper::Letter)] {
        let own = choices("plain", units);
        by_poppler(&blank(units, paper), &folder, &format!("code-{units}"));
        let png = folder.join(format!("code-{units}.png"));
        let output = tools::run(Command::new("zbarimg").args(["--quiet", "--raw"]).arg(png));
        let text = String::from_utf8(output.stdout).expect("text");
        let (id, choices) = SheetId::of_text(text.trim()).expect("our code");
        assert_eq!((id.paper, id.sheet, id.sheets), (paper, 1, 1));
        assert_eq!(choices, own);
        assert!(Layout::new(&choices, paper).rows.len() > 10);
    }
}
