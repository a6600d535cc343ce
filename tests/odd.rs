//! Odd sheets that changed cases and libFuzzer came upon, and what must be made of them.

use coldcheck::diagnosis::{Diagnosis, NamedPlace};
use coldcheck::engine::Site;
use coldcheck::image;
use coldcheck::read::RawSheet;
use coldcheck::render::terminal::{Style, check};
use coldcheck::tidy::tidy;
use coldcheck_core::limits;
use coldcheck_core::plan::{Demand, Plan, PlanError};
use coldcheck_core::rules::RuleId;
use coldcheck_tests::cases::{examine_sheets, request, sheet};
use coldcheck_tests::tidied::{essence, tidied_again};

const UNITS: &str = "unit 1 = coordinator, addr 1, count 2, term on, bank A\n\
    unit 2 = follower, addr 2, count 2, term on, bank A\n";

fn examined(sheets: &[RawSheet]) -> (Site, Diagnosis) {
    examine_sheets(sheets, None).expect("the sheets can be read")
}

/// The site as it is tidied, which must be the same site.
fn tidied(sheets: &[RawSheet]) -> String {
    let (site, diagnosis) = examined(sheets);
    let text = tidy(&site, &request(sheets, None)).expect("no question is open");
    let (again, diagnosis_again, twice) = tidied_again(&text);
    assert_eq!(image::write(&again), image::write(&site), "{text}");
    assert_eq!(twice, text);
    assert_eq!(
        essence(&again, &diagnosis_again)["findings"],
        essence(&site, &diagnosis)["findings"]
    );
    text
}

#[test]
fn the_dates_of_all_sheets_are_kept() {
    let one = format!("sheet date = 2026-03-01\n{UNITS}");
    let two = "sheet date = 2026-01-09\nlast change = 2026-02-01, unit 2 exchanged; by night\n";
    let sheets = [sheet("one", &one), sheet("two", two)];
    let text = tidied(&sheets);
    assert!(text.contains("\"sheet date\" = \"2026-01-09; 2026-03-01\"\n"), "{text}");
    assert!(
        text.contains("\"last change\" = \"2026-02-01, unit 2 exchanged; by night\"\n"),
        "{text}"
    );
    let old = |diagnosis: &Diagnosis| {
        let rule = RuleId::SheetNotAfterLastChange;
        diagnosis.findings.iter().filter(|finding| finding.rule == rule).count()
    };
    assert_eq!(old(&examined(&sheets).1), 1, "one of the two sheets is older than the change");
}

#[test]
fn a_socket_with_a_number_makes_no_other_pack_of_its_pack() {
    // A cell was left out, so that the length stands for a socket.
    let list = "cable,from unit,from socket,to unit,to socket,kind,length\n\
        r5,pack 1,data,bms,2 m,,\n";
    let text = tidied(&[sheet("cables", list), sheet("settings", UNITS)]);
    assert!(text.contains("to = \"bms\"\n"), "{text}");
}

#[test]
fn a_profile_below_the_last_table_is_the_profile_of_the_site() {
    let site = "[[unit]]\nname = \"unit 1\"\nrole = \"coordinator\"\n\n[[pack]]\nname = \"pack 1\"\n\
        profile = \"two-port-line\"\n";
    let sheets = [sheet("site.toml", site)];
    assert_eq!(examined(&sheets).0.profile.name, "two-port-line");
    assert!(tidied(&sheets).contains("profile = \"two-port-line\""));
}

#[test]
fn a_unit_that_two_cables_lead_to_is_named_once() {
    let list = "cable,from,to,kind\nS1,CT L1,unit 1 CT,sensor\nS2,CT L2,unit 1 CT,sensor\n";
    let units = "unit 1 addr = 1\nunit 2 = follower, addr 2\n";
    let (_, diagnosis) = examined(&[sheet("cables", list), sheet("settings", units)]);
    let own = diagnosis.not_checked.iter().find(|entry| entry.rule == RuleId::CtOnFollower);
    let own = own.expect("nobody says who leads");
    let units: Vec<_> = own.places.iter().map(NamedPlace::phrase).collect();
    assert_eq!(units, ["unit 1"], "{}", own.says);
}

#[test]
fn signs_that_act_on_a_terminal_are_shown_and_not_obeyed() {
    let units = format!(
        "site = Mill\u{1b}[2J\u{202e}liM\n{UNITS}unit 1 addr\u{7} = 1\nwho\u{9b}31m knows\u{2066} this\n"
    );
    let (site, diagnosis) = examined(&[sheet("settings\u{1b}[1m", &units)]);
    for colour in [false, true] {
        let text = check(&site, &diagnosis, Style { colour, quiet: false });
        let own = ["\u{1b}[1m", "\u{1b}[1;31m", "\u{1b}[1;33m", "\u{1b}[1;36m", "\u{1b}[0m"];
        let text = own.iter().fold(text, |text, sign| text.replace(sign, ""));
        let acts = |c: &char| c.is_control() && *c != '\n' || ('\u{202a}'..='\u{2069}').contains(c);
        assert_eq!(text.chars().find(acts), None, "{text}");
        assert!(text.contains("Mill\u{241b}[2J\u{fffd}liM"), "{text}");
    }
}

#[test]
fn signs_that_a_site_file_escapes_are_tidied_alike_twice() {
    let list = "cable,from,to\ng3,pack 1 \u{202e} data,unit 1 battery\n";
    let units = UNITS.replace("addr 2,", "addr 2, fw 2.\u{15},");
    let text = tidied(&[sheet("cables", list), sheet("settings", &units)]);
    assert!(
        text.contains("from = \"pack 1\"\n") && text.contains("firmware = \"2.0.0.0\"\n"),
        "{text}"
    );
}

#[test]
fn a_plan_with_a_word_of_a_later_version_is_refused() {
    let (site, _) = examined(&[sheet("s", &format!("link shape = ring\n{UNITS}"))]);
    let plan = coldcheck::engine::plan(&site).expect("a plan");
    let mut demands = *plan.demands;
    let position = usize::try_from(Demand::LinkShape.position()).expect("small");
    demands.values[position].set(3);
    let later = Plan { demands: &demands, ..plan };
    let mut memory = [0; limits::BODY_BYTES];
    assert_eq!(later.encode(&mut memory).err(), Some(PlanError::UnknownDemand));
    // As a later version would write it.
    let mut body = site.assembled.body.clone();
    let own: Vec<u8> =
        plan.demands.values.iter().flat_map(|value| value.get().to_le_bytes()).collect();
    let start = body.windows(own.len()).position(|bytes| bytes == own).expect("the values");
    body[start + 4 * position] = 3;
    assert_eq!(Plan::from_body(&body), Err(PlanError::UnknownDemand));
    let head = coldcheck_core::image::header(&body).expect("short");
    let error = image::read(&[head.as_slice(), &body].concat()).expect_err("a later version");
    assert!(error.to_string().contains("later version"), "{error}");
}

#[test]
fn a_name_in_doubt_is_one_question_and_no_finding_beside_it() {
    let list = |name: &str| {
        let text = format!("cable,from,from port,to,to port\nC1,unit 1,B,{name},A\n");
        let (_, diagnosis) = examined(&[sheet("cables.csv", &text), sheet("one", UNITS)]);
        let rule = RuleId::LabelUnknownUnit;
        let found = diagnosis.findings.iter().filter(|finding| finding.rule == rule).count();
        let is_open = diagnosis.not_checked.iter().any(|entry| entry.rule == rule);
        (found, diagnosis.questions.len(), is_open)
    };
    assert_eq!(list("unit 9"), (1, 0, false));
    assert_eq!(list("unit ?"), (0, 1, true));
    assert_eq!(list("unit 9? unit 7?"), (0, 1, true));
    assert_eq!(list("unit 2? unit 7?"), (0, 1, false));
}
