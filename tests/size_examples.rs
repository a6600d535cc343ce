//! `coldcheck size`: the worked examples of the power side through the command, those that fail as
//! findings, strings against pvlib, and the JSON of all of them against its schema.

use coldcheck_tests::paths;
use coldcheck_tests::size_examples::Wanted::{Near, Text};
use coldcheck_tests::size_examples::{self, Example, SPLIT, units};
use coldcheck_tests::sizes::{self, found, json, left_open, number, open, quantities, text};
use serde_json::Value;
use std::fs;

#[test]
fn worked_examples_come_out_of_the_command() {
    for Example { name, source, sheet, wanted } in size_examples::all() {
        let sizes = json(&sheet);
        for (id, wanted) in wanted {
            match wanted {
                Near(value, tolerance) => {
                    let found = number(&sizes, id);
                    let off = (found - value).abs();
                    assert!(off <= tolerance, "{name} ({source}): {id} is {found}, not {value}");
                }
                Text(value) => assert_eq!(text(&sizes, id), value, "{name} ({source}): {id}"),
            }
        }
    }
}

#[test]
fn examples_that_fail_are_findings() {
    // A9: four sources of 32 A on a bar of 200 A with a main of 200 A fail tests (1) and (2) of
    // 705.12(B); test (3) passes with breakers of 40 A, and fails with two more of them.
    let bar = [SPLIT, &units(4), "rated power = 7.68 kVA\nbusbar = rating 200 A, main 200 A\n"];
    let bar = bar.concat();
    assert_eq!(found(&bar), [""; 0]);
    assert_eq!(open(&bar, "busbar-overloaded"), ["busbar breakers"]);
    assert_eq!(found(&format!("{bar}busbar breakers = 160 A\n")), [""; 0]);
    assert_eq!(found(&format!("{bar}busbar breakers = 240 A\n")), ["busbar-overloaded"]);
    // A8: one of them is within 120 %, and only at the far end.
    let one = [SPLIT, &units(1), "rated power = 7.68 kVA\nbusbar = rating 200 A, main 200 A\n"];
    assert_eq!(found(&format!("{}busbar sources = far end\n", one.concat())), [""; 0]);
    assert_eq!(
        found(&format!("{}busbar sources = anywhere\nbusbar breakers = 201 A\n", one.concat())),
        ["busbar-overloaded"]
    );
    assert_eq!(open(&one.concat(), "busbar-overloaded"), ["busbar sources"]);
    // Kirchhoff's law: three units of 34.8 A and a main of 100 A bring 204.3 A to any bar at the most.
    let iec = |bar: &str| {
        let site = "code = IEC\nsupply system = single-phase 230 V\nrated power = 8 kVA\n";
        let site = format!("{site}busbar = {bar}\n{}", units(3));
        (found(&site), left_open(&site, "busbar-overloaded"))
    };
    assert_eq!(iec("rating 205 A, main 100 A"), (vec![], None));
    assert_eq!(iec("rating 200 A, main 100 A"), (vec![], Some(vec!["busbar breakers".to_owned()])));
    assert_eq!(iec("rating 200 A, main 100 A, breakers 200 A"), (vec![], None));
    let (found_then, left) = iec("rating 200 A, main 100 A, breakers 201 A");
    let left = left.expect("it is left open");
    assert!(found_then.is_empty() && left[0].contains("the designer's to say"), "{left:?}");
    // Whoever says that there is no array is asked for no strings.
    let sized = format!("supply system = single-phase 230 V\nrated power = 8 kVA\n{}", units(2));
    let strings = |text: &str| left_open(&format!("{text}{sized}"), "string-voltage-high");
    assert_eq!(strings("pv = none\n"), None);
    let inputs = left_open(&format!("pv = none\n{sized}"), "pv-input-mapping-wrong");
    assert_eq!(inputs, None);
    let strung = format!("pv = none\nstrings = roof 10 x 1\n{sized}");
    assert_eq!(found(&strung), ["pv-input-mapping-wrong"]);
    assert_eq!(found(&strung.replace("roof ", "")), ["pv-input-mapping-wrong"]);
    assert!(strings("").is_some());
    // A10: 6 mm2 fail, 10 mm2 pass.
    let iec = |size: &str| {
        let laid = "code = IEC\nsupply system = single-phase 230 V\nrated power = 8 kVA\nconductor = \
                    metal copper, insulation PVC, laid conduit, ambient 40 C, together 2\n";
        found(&format!("{laid}{}all units output conductor = {size}\n", units(1)))
    };
    assert_eq!((iec("6 mm2"), iec("10 mm2").len()), (vec!["conductor-too-small".to_owned()], 0));
    // Beside other circuits it carries less: what is too small alone stays so, and what is enough alone
    // is left open.
    let beside = |size: &str| {
        let laid = "code = IEC\nsupply system = single-phase 230 V\nrated power = 8 kVA\nconductor = \
                    metal copper, insulation PVC, laid conduit, ambient 40 C, together 6\n";
        let sheet = format!("{laid}{}all units output conductor = {size}\n", units(1));
        (found(&sheet), left_open(&sheet, "conductor-too-small").is_some())
    };
    assert_eq!(beside("6 mm2"), (vec!["conductor-too-small".to_owned()], false));
    assert_eq!(beside("10 mm2"), (vec![], true));
    // C8: a fuse of 20 kA on 25.6 kA.
    let fuse = "max battery voltage = 51.2 V\npacks fitted = 4\npack resistance = 8 mohm\nall units \
                fuse interrupts = 20 kA\n";
    assert_eq!(found(&format!("{}{fuse}", units(1))), ["fuse-cannot-interrupt"]);
    // E11, published by a maker-neutral burden chart: 30 ft of 10 AWG beside 0.75 VA pass 2.5 VA at
    // 20 C and do not at 75 C, by which this is reckoned.
    let burden = "CT L1 secondary = 5 A\nCT L1 lead length = 30 ft\nCT L1 lead size = 10 AWG\nCT L1 \
                  meter resistance = 30 mohm\nCT L1 burden = 2.5 VA\n";
    assert_eq!(found(&format!("{}{burden}", units(1))), ["sensor-burden-high"]);
    // B5: more than 3 % are pointed out.
    let long = "code = NEC\nsupply system = single-phase 120 V\nrated power = 1.92 kVA\nconductor metal = copper\n\
                all units = output conductor 12 AWG, output lead 100 ft\n";
    assert_eq!(found(&format!("{}{long}", units(1))), ["voltage-drop-high"]);
}

#[test]
fn strings_agree_with_pvlib_within_a_tenth_of_a_volt() {
    // pvlib 0.16.1 over the public table of modules that it bundles; see the file.
    let text = fs::read_to_string(paths::tests().join("facts/pv_cases.json")).expect("the facts");
    let facts: Value = serde_json::from_str(&text).expect("JSON");
    let cases = facts["cases"].as_array().expect("cases");
    assert!(cases.len() >= 6);
    for case in cases {
        let (of, expected) = (&case["parameters"], &case["expected"]);
        let kind = if case["technology"] == "CdTe" { "thin film" } else { "silicon" };
        let sheet = format!(
            "{}module = voc {} V, coefficient {} V/K, kind {kind}\narray = strings {}, coldest day {} C\n",
            units(1),
            of["v_oc_ref_v"],
            of["beta_oc_v_per_k"],
            case["modules_in_series"],
            case["cell_temperature_c"],
        );
        let sizes = json(&sheet);
        let linear = expected["voc_string_cold_linear_v"].as_f64().expect("volts");
        let own = number(&sizes, "string.cold-volts");
        assert!((own - linear).abs() < 0.1, "{}: {own} and {linear}", case["id"]);
        match expected["voc_string_cold_table_v"].as_f64() {
            Some(table) => {
                let own = number(&sizes, "string.cold-volts-table");
                assert!((own - table).abs() < 0.1, "{}: {own} and {table}", case["id"]);
            }
            None => assert!(quantities(&sizes, "string.cold-volts-table").is_empty()),
        }
    }
}

#[test]
fn a_string_within_a_hundredth_of_its_limit_is_pointed_out() {
    // Module C of the cases: 499.062 V by the coefficient, 501.787 V by the diode model, 500 V stood.
    let sheet = |limit: &str| {
        let module = "module = voc 65.3 V, coefficient -0.199818 V/K\n";
        let array = "array = strings 7, coldest day -5 C\n";
        format!("{}{module}{array}solar input max voltage = {limit}\n", units(1))
    };
    assert_eq!(found(&sheet("500 V")), ["string-voltage-near-limit"]);
    assert_eq!(found(&sheet("499 V")), ["string-voltage-high"]);
    assert_eq!(found(&sheet("505 V")), [""; 0]);
}

#[test]
fn the_json_keeps_to_its_schema() {
    let path = paths::workspace().join("host-cli/assets/size.v1.schema.json");
    let schema = serde_json::from_str(&fs::read_to_string(path).expect("the schema"))
        .expect("the schema is JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let sites = sizes::all().into_iter().map(|(name, sheets)| {
        let (site, found) = sizes::of_sheets(&sheets);
        (name, coldcheck::render::json::sizes::sizes(&site, &found))
    });
    let examples = size_examples::all().into_iter();
    let examples = examples.map(|one| (one.name.to_owned(), json(&one.sheet)));
    for (name, report) in sites.chain(examples) {
        let errors: Vec<_> = validator.iter_errors(&report).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        for (key, value) in [("code", "ABC".into()), ("quantities", Value::Null)] {
            let mut wrong = report.clone();
            wrong[key] = value;
            assert!(!validator.is_valid(&wrong), "{name}: {key}");
        }
    }
}
