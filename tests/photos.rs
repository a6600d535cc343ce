//! The whole way from a photograph to a checked list, by the program with its text engine.
//!
//! Ignored where the package with the models is not fetched: `cargo dev setup` fetches it.

use coldcheck_tests::paths;
use coldcheck_tests::photos::{self, Photo, Reader};
use coldcheck_tests::program::{err, folder, out};
use std::fs;
use std::path::Path;
use std::process::Output;

fn reader() -> &'static Reader {
    photos::test_reader()
}

fn samples() -> Vec<Photo> {
    let samples = photos::all(&paths::tests().join("photos")).expect("the samples can be read");
    assert_eq!(samples.len(), 4);
    samples
}

fn sample(name: &str) -> Photo {
    samples().into_iter().find(|photo| photo.name == name).expect("a sample of this name")
}

fn run(arguments: &[&Path]) -> Output {
    reader().command().args(arguments).output().expect("the program can be started")
}

fn schema() -> jsonschema::Validator {
    let path = paths::workspace().join("host-cli/assets/read.v1.schema.json");
    let schema = fs::read_to_string(path).expect("the schema");
    let schema = serde_json::from_str(&schema).expect("JSON");
    jsonschema::validator_for(&schema).expect("the schema is sound")
}

#[test]
#[ignore = "needs the models of the text engine"]
fn no_sure_cell_of_the_samples_is_wrong_and_the_answer_keeps_to_its_schema() {
    let schema = schema();
    for photo in samples() {
        let outcome = reader().read(&photo);
        let tally = &outcome.tally;
        assert_eq!(tally.wrong, Vec::<String>::new(), "{}", photo.name);
        assert_eq!(tally.surplus_rows, 0, "{}", photo.name);
        assert!(tally.right * 100 >= tally.cells * 96, "{}: {tally:?}", photo.name);
        assert!(tally.asked * 100 <= tally.cells * 25, "{}: {tally:?}", photo.name);
        let errors: Vec<String> =
            schema.iter_errors(&outcome.told).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{}", photo.name);
        let mut broken = outcome.told.clone();
        broken["rows"][0]["from_unit"]["state"] = "certain".into();
        assert!(!schema.is_valid(&broken), "a schema that takes anything");
    }
}

#[test]
#[ignore = "needs the models of the text engine"]
fn a_photograph_is_checked_beside_its_settings_and_doubts_are_asked() {
    let place = folder("photos-check");
    let settings = place.join("settings.txt");
    let units: Vec<String> =
        (1..=6).map(|unit| format!("U{unit} = follower, addr {unit}")).collect();
    fs::write(&settings, units.join("\n")).expect("written");
    let photo = sample("m01").picture;
    let output = run(&[Path::new("check"), &photo, &settings, Path::new("--format=json")]);
    let told: serde_json::Value = serde_json::from_str(&out(&output))
        .unwrap_or_else(|error| panic!("{error}: {}", err(&output)));
    assert_eq!(told["schema"], "coldcheck.check.v1");
    assert!(told["findings"].as_array().is_some_and(|findings| !findings.is_empty()), "{told}");
    let text = told.to_string();
    assert!(text.contains("m01.jpg"), "findings point to the photograph: {text}");
}

#[test]
#[ignore = "needs the models of the text engine"]
fn a_list_is_written_as_a_sheet_and_a_page_to_confirm_it() {
    let place = folder("photos-review");
    let (list, page) = (place.join("list.csv"), place.join("confirm.html"));
    let photo = sample("h01");
    let arguments: [&Path; 8] = [
        Path::new("read"),
        &photo.picture,
        Path::new("--words"),
        &photo.words,
        Path::new("--review"),
        &page,
        Path::new("-o"),
        &list,
    ];
    let output = run(&arguments);
    assert_eq!(output.status.code(), Some(3), "{}", err(&output));
    assert!(err(&output).contains("to confirm"), "{}", err(&output));
    let list = fs::read_to_string(list).expect("the list");
    assert!(list.contains("list came from = photograph") && list.contains('?'), "{list}");
    assert!(list.contains("# Cable list - inverter bank"), "the title is kept: {list}");
    let page = fs::read_to_string(page).expect("the page");
    assert!(
        page.contains("data:image/jpeg;base64,") && !page.contains("http:"),
        "no outside address"
    );
}

#[test]
#[ignore = "needs the models of the text engine"]
fn what_cannot_be_read_is_refused_with_advice() {
    let place = folder("photos-refused");
    let words = sample("h01").words;
    let refused = |name: &str, bytes: &[u8], says: &str| {
        let photo = place.join(name);
        fs::write(&photo, bytes).expect("written");
        let output = run(&[Path::new("read"), &photo, Path::new("--words"), &words]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        let words = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(says), "{name}: {words}");
    };
    refused("list.heic", b"\0\0\0\x18ftypheic\0\0\0\0", "as JPEG");
    refused(
        "cut.jpg",
        &fs::read(sample("h01").picture).expect("a sample")[..900],
        "cannot be read",
    );
    refused("page.pdf", b"%PDF-1.7\nno picture", "no scanned page");
    let output = run(&[Path::new("read"), &words]);
    assert!(err(&output).contains("no photograph"), "{}", err(&output));
    let mut without = reader().command();
    without.env("COLDCHECK_ENGINE", place.join("nowhere"));
    let output = without.arg("read").arg(sample("h01").picture).output().expect("started");
    assert!(err(&output).contains("coldcheck read --set-up"), "{}", err(&output));
}
