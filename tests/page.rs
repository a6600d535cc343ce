//! The page: one file that says what the command line says, and that a person can work with.
//!
//! Its limits: 1,000,000 bytes (ours, `page::MOST_BYTES`), 44 pixels and contrast (WCAG 2.2, named in
//! `page/looks.mjs`), 200 steps of undo and 400,000 bytes in a link (ours, `page/shown.mjs`).
//!
//! What needs a browser is ignored in a plain `cargo test`; `cargo dev test` sets one up.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::drill::ask::Ask;
use coldcheck::drill::exercise::Drill;
use coldcheck::engine::{Refusal, Request, Site};
use coldcheck::profile::{ASSUMED, builtin};
use coldcheck::read::RawSheet;
use coldcheck::render::drill::json as drill_json;
use coldcheck::render::html::{self, Made, Table, of_meter, of_sizes};
use coldcheck::render::json;
use coldcheck::render::mend::{COSTS, why, words};
use coldcheck::render::terminal::{Style, check};
use coldcheck::sizing::site::Sizes;
use coldcheck_core::plan::Scope;
use coldcheck_tests::generate::{Dice, Hand, Model, rounds};
use coldcheck_tests::golden::day;
use coldcheck_tests::{browser, cases, generate_faulty, page, paths, tools};
use serde_json::{Value, json};
use std::sync::OnceLock;

/// Generated sites; a whole run has a thousand.
const SITES: u64 = 100;

fn made() -> usize {
    static MADE: OnceLock<usize> = OnceLock::new();
    *MADE.get_or_init(|| page::make().expect("the page can be made"))
}

/// A site with what the command line says of it.
fn told(
    name: &str,
    sheets: &[RawSheet],
    scope: Option<&str>,
    examined: Result<(Site, Diagnosis), Refusal>,
) -> Value {
    let (site, diagnosis) =
        examined.unwrap_or_else(|refusal| panic!("{name}: {:?}", refusal.errors));
    let texts: Vec<_> = sheets
        .iter()
        // The page takes text; a file's encoding is read by `read_file`, which has its own test.
        .map(|sheet| (sheet.name.clone(), coldcheck::read::text_of(sheet).expect("text")))
        .collect();
    let sent: Vec<_> =
        texts.iter().map(|(name, text)| json!({ "name": name, "text": text })).collect();
    let raw = |(name, text): (String, String)| RawSheet { name, bytes: text.into_bytes() };
    let taken: Vec<_> = texts.into_iter().map(raw).collect();
    let profile = builtin(site.profile_named.as_deref().unwrap_or(ASSUMED)).expect("built in");
    let made = Made { sheets: &taken, profile, day: day() };
    let all = html::all(&site, &diagnosis).expect("a plan");
    let style = Style { colour: false, quiet: false };
    let sizes = Sizes::of(&site, &diagnosis).expect("a plan");
    // A search for each generated site would take longer than all else.
    let mend = (!name.starts_with("generated")).then(|| mend(&site, &taken, scope, &diagnosis));
    json!({
        "name": name,
        "sizes": tables(&of_sizes(&site, &sizes)),
        "meter": tables(&of_meter(&site, &diagnosis).expect("a plan")),
        "mend": mend,
        "drawing": draw(&site, &diagnosis, Width::Page, Parts::Picture).svg(),
        "html": html::report(&site, &diagnosis, &made, &all, None),
        "date": day().date.to_string(),
        "state": { "sheets": sent, "scope": scope.unwrap_or("") },
        "report": json::check(&site, &diagnosis),
        "text": check(&site, &diagnosis, style),
    })
}

/// The cheapest acts as the page is given them.
fn mend(site: &Site, sheets: &[RawSheet], scope: Option<&str>, found: &Diagnosis) -> Vec<Value> {
    let request = Request {
        files: sheets,
        profile: None,
        scope: scope.map(|_| Scope::COMMUNICATION),
        load_profile: &|name| panic!("{name} is no file"),
    };
    let told = coldcheck::mend::mend(site, &request, found).expect("it can be written down");
    let words = words(&told);
    let head = [format!("{}: {}", words.head.0, words.head.1)];
    let head = [head.to_vec(), words.remarks].concat();
    let mut parts = vec![json!({ "says": head })];
    for (answer, told) in words.answers.iter().zip(&told.answers) {
        let acts = answer.acts.iter().map(|(says, with)| json!({ "says": says, "with_it": with }));
        parts.push(json!({
            "title": answer.heading,
            "acts": acts.collect::<Vec<_>>(),
            "below": [format!("then: {}", answer.then)],
            "sheet": { "name": "site.toml", "text": told.file },
        }));
    }
    for (title, items) in &words.lists {
        parts.push(json!({ "title": title, "items": items }));
    }
    if told.cost > 0 {
        let title = "Why no set is cheaper";
        parts.push(json!({ "title": title, "items": why(&told), "below": [COSTS] }));
    }
    parts
}

/// Tables of the report as the page is given them, those without rows left out.
fn tables(tables: &[Table]) -> Vec<Value> {
    let told = |table: &Table| {
        json!({
            "title": table.title,
            "stop": table.stop,
            "says": table.says,
            "table": { "head": table.head, "rows": table.rows },
            "below": table.below,
        })
    };
    tables.iter().filter(|table| !table.rows.is_empty()).map(told).collect()
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn the_page_says_what_the_command_line_says() {
    made();
    let mut sites: Vec<Value> = cases::all()
        .iter()
        .map(|case| {
            told(&case.name, &case.sheets, case.scope.map(|_| "communication"), case.examine())
        })
        .collect();
    assert!(sites.len() >= 15, "{} cases", sites.len());
    for number in 0..rounds(SITES) {
        let mut dice = Dice::new(number);
        let sheets = if number % 5 == 0 {
            let units = 2 + dice.roll(15);
            Model::line(units, &mut dice).written(&mut dice, &Hand::FREE)
        } else {
            vec![cases::sheet("site.json", &generate_faulty::site(&mut dice).json().to_string())]
        };
        let examined = cases::examine_sheets(&sheets, None);
        sites.push(told(&format!("generated {number}"), &sheets, None, examined));
    }
    let file = paths::scratch("page").join("same.json");
    std::fs::write(&file, Value::from(sites).to_string()).expect("the target folder is writable");
    print!("{}", browser::work("same.mjs", &[file.as_os_str()]));
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn a_person_can_work_with_it() {
    made();
    let downloads = paths::scratch("page-files");
    let case = paths::tests().join("cases").join("02-village-clinic");
    print!("{}", browser::work("acts.mjs", &[downloads.as_os_str(), case.as_os_str()]));
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn nothing_that_is_known_is_hidden_and_nothing_typed_is_lost() {
    made();
    print!("{}", browser::work("shown.mjs", &[]));
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn a_site_can_be_connected_and_mended_with_it() {
    made();
    let downloads = paths::scratch("page-mend");
    print!("{}", browser::work("mend.mjs", &[downloads.as_os_str()]));
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn a_power_up_is_kept_step_by_step() {
    made();
    let downloads = paths::scratch("page-day");
    print!("{}", browser::work("day.mjs", &[downloads.as_os_str()]));
}

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn it_can_be_used_by_everybody_on_any_screen() {
    made();
    let pictures = paths::scratch("page-pictures");
    print!("{}", browser::work("looks.mjs", &[pictures.as_os_str()]));
}

#[test]
#[ignore = "needs the wasm target; cargo dev test runs it"]
fn what_a_program_with_the_page_is_built_from_is_packed() {
    made();
    let mut cargo = tools::cargo(&paths::workspace().join("target"));
    let packed =
        tools::run(cargo.args(["package", "--package", "coldcheck", "--list", "--allow-dirty"]));
    let packed = String::from_utf8(packed.stdout).expect("names of files");
    for file in ["coldcheck.html", "build.rs", "assets/report.css", "profiles/plain.toml"] {
        assert!(packed.lines().any(|line| line == file), "{file} is not packed: {packed}");
    }
}

#[test]
#[ignore = "needs the wasm target; cargo dev test runs it"]
fn it_is_one_small_file_without_an_address() {
    let bytes = made();
    let page = std::fs::read_to_string(page::file()).expect("the page was made");
    assert_eq!(page.len(), bytes);
    assert!(bytes <= page::MOST_BYTES, "{bytes}");
    let (head, rest) =
        page.split_once("<script type=\"text/plain\" id=\"engine\">").expect("the engine");
    let (_, script) = rest.split_once("</script>").expect("its end");
    let outside = |text: &str| {
        let own = "http://www.w3.org/2000/svg";
        let text = text.replace(own, "");
        ["http://", "https://", "src=", "@import", " url(", ":url("]
            .iter()
            .any(|sign| text.contains(sign))
    };
    assert!(!outside(head), "the head names an address");
    assert!(!outside(&script.replace("url\\s*\\(", "")), "the script names an address");
    assert!(!script.contains("innerHTML") && !script.contains("insertAdjacentHTML"));
    assert!(head.contains("default-src 'none'; script-src 'sha256-"), "no policy");
    assert!(!head.contains("unsafe-inline") && !head.contains("'unsafe-eval'"));
}

/// Drills that the page must tell as the library does.
const DRILLS: [u64; 4] = [2, 3, 8, 11];

#[test]
#[ignore = "needs the wasm target, node and a browser; cargo dev test runs it"]
fn a_class_can_be_drilled_with_it() {
    made();
    let told = DRILLS.map(|number| {
        let ask = Ask { units: 3, number, on_paper: number == 8, ..Ask::default() };
        let drill = Drill::make(&ask).expect("a drill");
        json!({
            "ask": { "units": 3, "number": number, "on_paper": ask.on_paper },
            "exercise": drill_json::exercise(&drill, &drill.exercise()),
            "answers": drill_json::answers(&drill.answered()),
        })
    });
    let file = paths::scratch("page").join("drills.json");
    std::fs::write(&file, json!(told).to_string()).expect("the target folder is writable");
    let pictures = paths::scratch("page-pictures");
    print!("{}", browser::work("drill.mjs", &[pictures.as_os_str(), file.as_os_str()]));
}
