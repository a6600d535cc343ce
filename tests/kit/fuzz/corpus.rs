//! Inputs to begin with: the cases, the sheets that must be refused, golden files.

use super::NEXT_SHEET;
use crate::lines::{of_groups, of_sites};
use crate::{cases, paths};
use coldcheck::fault::heard::{self, Traffic};
use coldcheck::fault::{Group, Layout};
use coldcheck::profile;
use coldcheck_core::image::HEADER_BYTES;
use coldcheck_core::plan::{Dialect, Terminator};
use std::fs;
use std::path::Path;

/// A file of the tests.
fn file(path: impl AsRef<Path>) -> Vec<u8> {
    let path = paths::tests().join(path);
    fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Files of a folder of the tests with one of these endings, in order of name.
fn files(folder: &Path, endings: &[&str]) -> Vec<Vec<u8>> {
    let mut paths: Vec<_> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| {
            path.extension().is_some_and(|own| endings.iter().any(|ending| own == *ending))
                && path.file_name().is_some_and(|name| name != "errors.txt")
        })
        .collect();
    paths.sort();
    paths.into_iter().map(file).collect()
}

fn refused(endings: &[&str]) -> Vec<Vec<u8>> {
    cases::folders("refused").iter().flat_map(|folder| files(folder, endings)).collect()
}

/// Cable lists, with every separator.
pub(super) fn cable_lists() -> Vec<Vec<u8>> {
    let mut lists: Vec<Vec<u8>> =
        cases::all().iter().map(|case| case.sheets[0].bytes.clone()).collect();
    let with_commas = file("cases/02-village-clinic/cables.csv");
    for separator in *b";\t|" {
        let change = |byte: &u8| if *byte == b',' { separator } else { *byte };
        lists.push(with_commas.iter().map(change).collect());
    }
    lists.extend(refused(&["csv"]));
    lists.extend(files(&paths::tests().join("golden"), &["csv"]));
    lists
}

/// Settings lists.
pub(super) fn settings() -> Vec<Vec<u8>> {
    let mut lists: Vec<Vec<u8>> =
        cases::all().iter().map(|case| case.sheets[1].bytes.clone()).collect();
    lists.extend(refused(&["txt"]));
    for name in profile::builtin_names() {
        lists.push(file(format!("golden/new-{name}-settings.txt")));
    }
    let sized = crate::sizes::all().into_iter().flat_map(|(_, sheets)| sheets);
    lists.extend(sized.filter(|sheet| sheet.name.ends_with("txt")).map(|sheet| sheet.bytes));
    lists
}

/// Site files in TOML.
pub(super) fn site_files() -> Vec<Vec<u8>> {
    let mut sites = vec![file("waived/site.toml")];
    sites.extend(cases::all().iter().flat_map(|case| files(&case.folder, &["toml"])));
    sites.extend(refused(&["toml"]));
    sites.extend(files(&paths::tests().join("golden"), &["toml"]));
    sites
}

/// Lines of `batch`: right groups, groups with a fault, and sites with several.
pub(super) fn lines() -> Vec<Vec<u8>> {
    const WAIVED: &str = r#"{"unit":[{"name":"unit 1","role":"coordinator"},{"name":"unit 2","role":"coordinator"}],"waiver":[{"rule":"coordinator-two","place":["unit 1","unit 2"],"reason":"r","by":"Ida Vent","until":"2027-06-30"}]}"#;
    let groups = of_groups(2).into_iter().chain(of_groups(3)).step_by(67);
    let lines = groups.chain(of_sites(0..12)).chain([WAIVED.to_owned()]);
    lines.map(String::into_bytes).collect()
}

/// Site files in JSON, as a person would lay them out.
pub(super) fn json_files() -> Vec<Vec<u8>> {
    let laid_out = |line: Vec<u8>| {
        let site: serde_json::Value = serde_json::from_slice(&line).expect("a generated line");
        format!("{site:#}\n").into_bytes()
    };
    let mut sites = refused(&["json"]);
    sites.extend(lines().into_iter().map(laid_out));
    sites
}

/// Whole sites of two sheets, and of more.
pub(super) fn mixed() -> Vec<Vec<u8>> {
    let all = cases::all();
    let next = [NEXT_SHEET];
    let mut sites: Vec<Vec<u8>> = all
        .iter()
        .map(|case| [case.sheets[0].bytes.as_slice(), &next, &case.sheets[1].bytes].concat())
        .collect();
    for case in &all {
        if let Some(tidy) = files(&case.folder, &["toml"]).first() {
            sites.push([tidy.as_slice(), &next, &case.sheets[0].bytes].concat());
        }
    }
    for folder in cases::folders("refused") {
        sites.push(files(&folder, &["csv", "txt", "toml", "json"]).join(&NEXT_SHEET));
    }
    sites
}

/// Logs of a bus: of right groups, of each kind of fault, as on a screen, and odd ones.
pub(super) fn logs() -> Vec<Vec<u8>> {
    let mut logs: Vec<String> = Vec::new();
    for dialect in [Dialect::CanOpen, Dialect::J1939, Dialect::FrameMap] {
        let order = vec![2, 1, 3];
        let terminator = Terminator::On;
        let layout = Layout { profile: "two-port-line", order, coordinator: 1, terminator };
        let mut group = Group::build(layout).expect("a right group");
        let right = Traffic::of(&mut group, dialect).expect("it is heard");
        logs.extend([right.candump(), right.slcan()]);
        for fault in heard::faults(&group, &right).iter().step_by(9) {
            let mut traffic = right.clone();
            fault.inject(&mut traffic);
            logs.push(traffic.candump());
        }
    }
    logs.extend(
        [
            "can0  701   [1]  05\n (1.5)  can0  RX - -  18EEFF80   [8]  11 22 33 44 55 66 77 88\n",
            "(1.0) can0 701#05 T\n(0.5) can1 701##105\n(9.9) can0 20000004#0020\n\t\tpassive\n",
            "V1013\r\nN1234\r\n\x07t7011050FA0\rF24\rz\rR000000010\r",
            "(2015-07-10 08:17:32.249713)  can0  701   [0]  remote request\n",
            "",
        ]
        .map(ToOwned::to_owned),
    );
    logs.into_iter().map(String::into_bytes).collect()
}

/// Logs of adapters that speak SLCAN.
pub(super) fn slcan_lines() -> Vec<Vec<u8>> {
    logs().into_iter().filter(|log| log.contains(&b'\r')).collect()
}

/// Profiles.
pub(super) fn profiles() -> Vec<Vec<u8>> {
    let texts = profile::builtin_names().into_iter().filter_map(profile::builtin);
    texts.map(|text| text.as_bytes().to_vec()).collect()
}

/// Plan images.
pub(super) fn images() -> Vec<Vec<u8>> {
    let sites = cases::all();
    let sites = sites.iter().map(|case| case.read().expect("a case can be read"));
    let mut images: Vec<_> = sites.map(|site| coldcheck::image::write(&site)).collect();
    images.push(file("refused/binary-and-text/plan.bin"));
    images
}

/// Plans without a header.
pub(super) fn plans() -> Vec<Vec<u8>> {
    let sites = cases::all();
    let sites = sites.iter().map(|case| case.read().expect("a case can be read"));
    let mut plans: Vec<_> = sites.map(|site| site.assembled.body).collect();
    plans.extend(images().iter().filter_map(|image| image.get(HEADER_BYTES..)).map(<[u8]>::to_vec));
    plans
}
