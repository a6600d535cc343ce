//! What `coldcheck size` must not assume: how units and conductors stand, what limits are for, what a table
//! does not hold. Figures are of NFPA 70 (2023) and IEC 60364-5-52:2009 (both second-hand), or worked
//! out by hand as written beside them.

use coldcheck_tests::size_examples::{SPLIT, units};
use coldcheck_tests::sizes::{every_finding, found, json, lacking, number, open, quantities, text};

const COPPER: &str = "conductor = metal copper, insulation 90 C, ambient 30 C, together 3\n";
const IEC: &str = "code = IEC\nconductor = metal copper, insulation XLPE, laid clipped direct, \
                   ambient 30 C, together 3\n";

/// So many units, one after the other on the phases.
fn phased(count: usize) -> String {
    let unit = |unit: usize| format!("unit {unit} = addr {unit}, phase L{}\n", (unit - 1) % 3 + 1);
    (1..=count).map(unit).collect::<Vec<_>>().concat()
}

#[test]
fn conductors_that_carry_current_are_counted_for_each_circuit() {
    // Table B.52.5 (three loaded, XLPE, C): 10 mm2 carry 71 A; Table B.52.3 (two loaded): 80 A.
    let site = format!("{IEC}supply system = three-phase 230/400 V\nrated power = 8 kVA\n");
    let leads = "min battery voltage = 48 V\nefficiency = 94 %\n";
    let all = "feeder conductor = 10 mm2\n\
               all units = output conductor 10 mm2, battery conductor 10 mm2\n";
    let report = json(&format!("{site}{leads}{}{all}", phased(3)));
    for (id, amperes) in
        [("feeder.ampacity", 71.0), ("unit.ampacity", 80.0), ("battery.ampacity", 80.0)]
    {
        assert!((number(&report, id) - amperes).abs() < 1e-9, "{id}");
    }
    // Both legs and their neutral of a split-phase supply may carry current at once (523.6).
    let split = format!("{IEC}supply system = split-phase 120/240 V\nrated power = 8 kVA\n");
    let report = json(&format!("{split}{}{all}", units(2)));
    assert!((number(&report, "unit.ampacity") - 71.0).abs() < 1e-9);
    assert!((number(&report, "battery.ampacity") - 80.0).abs() < 1e-9);
}

#[test]
fn nothing_is_computed_from_phases_that_nobody_states() {
    let site = "code = NEC\nsupply system = three-phase 120/208 V\nrated power = 6 kVA\n";
    let some = phased(3).replace(", phase L2", "");
    for (units, lack) in [
        (some.as_str(), "no phase is stated of unit 2"),
        (&units(3), "neither a phase of each unit is stated nor all lines of its ac out"),
        // The word tells neither of one line nor of three.
        (&format!("{}all units ac out = straight\n", units(3)), "neither a phase"),
    ] {
        let report = json(&format!("{site}{units}"));
        for id in ["unit.current", "feeder.current", "island.fault"] {
            let lacks = lacking(&report, id);
            assert!(lacks.iter().any(|one| one.starts_with(lack)), "{id}: {lacks:?}");
        }
        assert!(quantities(&report, "unit.breaker").is_empty());
    }
    // Stated either way: 6 kVA at 120 V, or at three lines of 208 V.
    let near = |found: f64, wanted: f64| (found - wanted).abs() < 0.005;
    assert!(near(number(&json(&format!("{site}{}", phased(3))), "unit.current"), 50.0));
    let lines = "all units ac out = L1->bar L1; L2->bar L2; L3->bar L3; N->bar N; PE->earth bar\n";
    assert!(near(number(&json(&format!("{site}{}{lines}", units(3))), "unit.current"), 16.654));
}

#[test]
fn a_limit_of_the_group_is_the_largest_that_is_stated() {
    let site = format!("{SPLIT}supply breaker = 100 A\nsource limit is for = group\n{}", units(3));
    let with = |limits: &str| format!("{site}{limits}");
    // 100 A for hours are 80 A (210.20(A)).
    let once = with("unit 1 supply limit = 90 A\n");
    assert!((number(&json(&once), "supply.limit") - 90.0).abs() < 1e-9);
    assert_eq!(found(&once), ["source-limit-too-high"]);
    let unlike = with("unit 1 supply limit = 20 A\nunit 3 supply limit = 90 A\n");
    assert_eq!(found(&unlike), ["source-limit-too-high"]);
    assert_eq!(found(&with("all units supply limit = 80 A\n")), [""; 0]);
    let added = with("all units supply limit = 30 A\n").replace("for = group", "for = unit");
    assert!((number(&json(&added), "supply.limit") - 90.0).abs() < 1e-9);
}

#[test]
fn below_the_table_a_string_is_at_least_as_high_as_by_its_last_row() {
    // Table 690.7(A) ends at -40 C with 1.25: 10 modules of 49.5 V are 618.75 V there.
    let site = |limit: &str, degrees: &str| {
        let module = format!(
            "module = voc 49.5 V, kind silicon\narray = strings 10, coldest day {degrees}\n"
        );
        format!("{}{module}solar input max voltage = {limit}\n", units(1))
    };
    let cold = site("600 V", "-45 C");
    assert!((number(&json(&cold), "string.cold-volts-least") - 618.75).abs() < 1e-9);
    assert_eq!(found(&cold), ["string-voltage-high"]);
    // It may be right and may be wrong: nobody says so.
    let unknown = site("620 V", "-45 C");
    assert_eq!(found(&unknown), [""; 0]);
    let lacks = open(&unknown, "string-voltage-high");
    assert!(lacks.iter().any(|lack| lack.contains("-40 C")), "{lacks:?}");
    assert!(quantities(&json(&site("620 V", "-40 C")), "string.cold-volts-least").is_empty());
}

#[test]
fn a_coefficient_without_its_sign_is_refused() {
    for text in ["0.27 %/K", "0 %/K", "116 mV/K"] {
        let sheet = format!("{}module = voc 49.5 V\nmodule coefficient = {text}\n", units(1));
        let sheet = coldcheck::read::RawSheet { name: "x.txt".into(), bytes: sheet.into_bytes() };
        let refusal = coldcheck_tests::cases::examine_sheets(&[sheet], None).expect_err(text);
        let told = format!("{:?}", refusal.errors);
        assert!(told.contains("below zero"), "{told}");
    }
}

#[test]
fn a_generator_at_the_input_of_the_supply_counts() {
    let input = "all units ac in = L1->generator L1; L2->generator L2; N->bar N; PE->earth bar\n";
    let bond = "neutral-earth bond = main board (fixed)\n";
    let site = format!("{SPLIT}rated power = 8 kVA\n{}{input}{bond}", units(2));
    let all = every_finding(&site);
    assert!(all.contains(&"generator-bond-unknown".to_owned()), "{all:?}");
    let stated = site.replace("(fixed)", "(fixed); generator frame (open)");
    let all = every_finding(&stated);
    assert!(!all.contains(&"generator-bond-unknown".to_owned()), "{all:?}");
}

#[test]
fn a_breaker_that_its_conductor_allows_is_shared_by_nobody() {
    // Two units of 33.3 A: 66.7 A and 83.3 A with 125 %. 3 AWG at 75 C carries 100 A.
    let site = |size: &str| {
        let sheet = format!("{SPLIT}{COPPER}terminals = 75 C\nrated power = 8 kVA\n{}", units(2));
        format!("{sheet}all units = output breaker 90 A{size}\n")
    };
    assert_eq!(found(&site(", output conductor 3 AWG")), [""; 0]);
    let both = ["breaker-shared-wrong".to_owned(), "breaker-too-large".to_owned()];
    let mut own = found(&site(", output conductor 8 AWG"));
    own.sort();
    assert_eq!(own, both);
    assert_eq!(found(&site("")), ["breaker-shared-wrong"]);
}

#[test]
fn residual_current_protection_answers_a_low_fault_current() {
    // Two units of 250 A are 500 A; a breaker of 200 A with a pick-up of 5 trips from 1000 A.
    let site = "short-time current = 250 A\nmagnetic pick-up = 5 x\nfeeder breaker = 2000 A\n";
    let site = |load: &str, more: &str| {
        format!("{SPLIT}{site}largest load breaker = {load}\n{more}{}", units(2))
    };
    assert_eq!(found(&site("200 A", "")), [""; 0]);
    let lacks = open(&site("200 A", ""), "island-fault-current-low");
    assert_eq!(lacks, ["residual-current protection"]);
    assert_eq!(
        found(&site("200 A", "residual-current protection = no\n")),
        ["island-fault-current-low"]
    );
    assert_eq!(found(&site("200 A", "residual-current protection = yes\n")), [""; 0]);
    // The breaker of the feeder is none of the loads'.
    assert_eq!(found(&site("100 A", "")), [""; 0]);
}

#[test]
fn a_unit_wired_straight_has_the_lines_of_its_supply() {
    let site = |supply: &str| {
        format!("code = IEC\nsupply system = {supply}\n{}all units ac out = straight\n", units(2))
    };
    let rule = "supply-not-split-phase".to_owned();
    for supply in ["single-phase 230 V", "split-phase 120/240 V", "three-phase 230/400 V"] {
        let all = every_finding(&site(supply));
        assert!(!all.contains(&rule), "{supply}: {all:?}");
    }
    let legs = site("single-phase 230 V").replace("straight", "L1->bar L1; L2->bar L2; N->bar N");
    assert!(every_finding(&legs).contains(&rule));
    // One leg on the bar of its phase.
    let phased =
        format!("supply system = three-phase 400 V\n{}all units ac out = straight\n", phased(3));
    let all = every_finding(&phased);
    assert!(!all.iter().any(|rule| rule.contains("leg") || rule.contains("phase")), "{all:?}");
}

#[test]
fn output_leads_are_compared_on_one_line() {
    let site = |lengths: [u8; 6]| {
        let lead = |(unit, metres)| format!("unit {unit} output lead = {metres} m\n");
        let leads = (1..).zip(lengths).map(lead).collect::<Vec<String>>().concat();
        format!("supply system = three-phase 400 V\n{}{leads}", phased(6))
    };
    let rule = "ac-leads-unequal".to_owned();
    let all = |lengths| every_finding(&site(lengths));
    // The lines lie at unlike distances, the two units of each alike.
    assert!(!all([3, 6, 9, 3, 6, 9]).contains(&rule));
    assert!(all([3, 6, 9, 3, 6, 12]).contains(&rule));
}

#[test]
fn unequal_leads_are_told_by_one_criterion() {
    // 2 m, 2 m and 2.4 m: shares of 1/2, 1/2 and 1/2.4 are 1.0588 times the mean at most; 2, 2 and
    // 3 m are 1.125.
    let site = |metres: &str| {
        let leads = format!(
            "all units = battery conductor 2/0 AWG, battery lead 2 m\nunit 3 battery lead = {metres} m\n"
        );
        let power = "rated power = 8 kVA\nmin battery voltage = 48 V\nefficiency = 94 %\n";
        format!("{SPLIT}{COPPER}terminals = 75 C\n{power}{}{leads}", units(3))
            .replace("2/0 AWG", "4/0 AWG")
    };
    let rule = "dc-leads-unequal".to_owned();
    for (metres, times, is_found) in [("2.4", 1.0588, false), ("3", 1.125, true)] {
        let sheet = site(metres);
        let found = number(&json(&sheet), "battery.unevenness");
        assert!((found - times).abs() < 5e-5, "{metres}: {found}");
        let all = every_finding(&sheet);
        assert_eq!(all.contains(&rule), is_found, "{metres}: {all:?}");
    }
}

#[test]
fn each_conductor_may_have_a_metal_of_its_own() {
    // Table 310.16 at 75 C: 250 kcmil aluminium 205 A, 8 AWG copper 50 A.
    let site = format!("{SPLIT}{COPPER}terminals = 75 C\nrated power = 8 kVA\n{}", units(3));
    let sizes = "feeder = breaker 125 A, conductor 250 kcmil aluminium, earth 4 AWG aluminium\n\
                 all units output conductor = 8 AWG\n";
    let report = json(&format!("{site}{sizes}"));
    assert!((number(&report, "feeder.ampacity") - 205.0).abs() < 1e-9);
    assert!((number(&report, "unit.ampacity") - 50.0).abs() < 1e-9);
    // 125 A continuous design: 2/0 AWG of aluminium carries 135 A at 75 C, 1/0 only 120 A.
    assert_eq!(text(&report, "feeder.conductor"), "2/0 AWG");
    // Table 250.122 for a breaker of 125 A: 4 AWG aluminium, 6 AWG copper.
    assert_eq!(text(&report, "feeder.earth"), "4 AWG");
}

#[test]
fn battery_banks_are_sized_one_by_one() {
    // Two units on two banks: 8000 / (48 * 0.94) = 177.3 A each; 3 packs of 8 mohm at 58 V are 21.75 kA.
    let power =
        "rated power = 8 kVA\nbattery = min voltage 48 V, max voltage 58 V, efficiency 94 %\n";
    let packs = "packs fitted = 6\npack = resistance 8 mohm, discharge limit 50 A\n";
    let site = format!("{SPLIT}{power}{packs}{}battery banks = one a unit\n", units(2));
    let report = json(&site);
    assert!((number(&report, "bank.current") - 177.305).abs() < 0.0005);
    for id in ["battery.fault", "bank.limit"] {
        let lacks = lacking(&report, id);
        assert!(lacks.iter().any(|lack| lack.contains("packs per bank")), "{id}: {lacks:?}");
    }
    let stated = format!("{site}packs per bank = 3\n");
    let report = json(&stated);
    assert!((number(&report, "battery.fault") - 21_750.0).abs() < 1e-6);
    assert!((number(&report, "bank.limit") - 150.0).abs() < 1e-9);
    assert_eq!(found(&stated), ["bank-too-small"]);
}

#[test]
fn losses_are_held_against_the_code_that_applies() {
    // 1.92 kVA at 120 V over 12 AWG: 16 A * 2 * 1.98 ohm / kft; 5 % are 6 V, 3 % are 3.6 V.
    let site = |code: &str, size: &str, feet: u8| {
        let sheet = "supply system = single-phase 120 V\nrated power = 1.92 kVA\nconductor metal = copper\n";
        format!(
            "{code}{sheet}all units = output conductor {size}, output lead {feet} ft\n{}",
            units(1)
        )
    };
    let long = site("", "12 AWG", 60);
    assert_eq!(found(&long), [""; 0]);
    assert!(open(&long, "voltage-drop-high").contains(&"code".to_owned()));
    let told =
        |sheet: &str| json(sheet)["findings"][0]["says"].as_str().unwrap_or_default().to_owned();
    // 60 ft: 3.80 V, 3.17 %.
    assert!(told(&site("code = NEC\n", "12 AWG", 60)).contains("3 % in one circuit"));
    assert!(told(&site("code = IEC\n", "12 AWG", 60)).contains("3 % for lighting"));
    assert!(told(&site("code = IEC\n", "12 AWG", 100)).contains("5 % from the supply"));
    // Table G.52.1: past 100 m 0.005 % a metre more, at most 0.5 %.
    for (metres, most) in [(100, 5.0), (160, 5.3), (220, 5.5)] {
        let report = json(&format!("code = IEC\nfeeder length = {metres} m\n{}", units(1)));
        assert!((number(&report, "drop.advised-upper") - most).abs() < 1e-9, "{metres}");
    }
}

#[test]
fn terminals_go_by_the_rating_of_the_circuit() {
    // 110.14(C): up to 100 A at 60 C, above at 75 C. 25 A: 31.25 A, 35 A; 8 AWG carries 40 A at 60 C.
    // 100 A: 125 A; 1 AWG carries 130 A at 75 C and 110 A at 60 C.
    let site = |power: &str| json(&format!("{SPLIT}{COPPER}rated power = {power}\n{}", units(1)));
    assert_eq!(text(&site("6 kVA"), "unit.conductor"), "8 AWG");
    let large = site("24 kVA");
    assert_eq!(text(&large, "unit.conductor"), "1 AWG");
    let of = |report: &serde_json::Value| {
        let inputs = quantities(report, "unit.conductor")[0]["inputs"].clone();
        inputs
            .as_array()
            .expect("inputs")
            .iter()
            .find(|one| one["name"] == "terminals")
            .expect("it")["text"]
            .clone()
    };
    assert_eq!(of(&large), "75 C, the code's own for circuits above 100 A, 110.14(C)");
    assert_eq!(of(&site("6 kVA")), "60 C, the code's own up to 100 A and 1 AWG, 110.14(C)");
    // 2 AWG at 60 C, 95 A, for 19.2 kVA: 80 A, exactly 100 A.
    assert_eq!(text(&site("19.2 kVA"), "unit.conductor"), "1 AWG");
}

#[test]
fn a_size_of_the_other_system_counts_as_the_next_smaller_one() {
    let site = format!("{SPLIT}{COPPER}rated power = 8 kVA\n{}", units(1));
    let with = |size: &str| format!("{site}all units output conductor = {size}\n");
    // 16 mm2 lie between 6 AWG (13.3 mm2) and 4 AWG (21.2 mm2): Table 310.16, 60 C, 55 A.
    let report = json(&with("16 mm2"));
    assert!((number(&report, "unit.ampacity") - 55.0).abs() < 1e-9);
    let quantity = quantities(&report, "unit.ampacity")[0].clone();
    let counted = quantity["inputs"].as_array().expect("inputs").iter();
    let texts: Vec<_> = counted.filter_map(|input| input["text"].as_str()).collect();
    assert!(texts.contains(&"16 mm2, counted as 6 AWG"), "{texts:?}");
    assert_eq!(found(&with("6 mm2")), ["conductor-too-small"]);
    assert_eq!(found(&with("10 AWG")), ["conductor-too-small"]);
    let alone = IEC.replace("together 3", "together 2");
    let iec =
        format!("{alone}supply system = single-phase 230 V\nrated power = 8 kVA\n{}", units(1));
    // 6 AWG counts as 10 mm2: Table B.52.3, 80 A.
    let report = json(&format!("{iec}all units output conductor = 6 AWG\n"));
    assert!((number(&report, "unit.ampacity") - 80.0).abs() < 1e-9);
    // Thinner than all that the table has.
    let report = json(&format!("{iec}all units output conductor = 18 AWG\n"));
    assert_eq!(
        lacking(&report, "unit.ampacity"),
        ["the IEC table has no 18 AWG: ask the designer"]
    );
}

#[test]
fn battery_leads_in_square_millimetres_are_judged_by_the_american_code_too() {
    // 67.4 mm2 are 2/0 AWG: Table 310.16, 75 C, 175 A; a fuse of 250 A does not protect that.
    let site = |size: &str| {
        format!(
            "{SPLIT}{COPPER}rated power = 8 kVA\nmin battery voltage = 44 V\nefficiency = 94 %\n{}\
             all units = battery conductor {size}, battery fuse 250 A\n",
            units(2)
        )
    };
    let by_gauge = found(&site("2/0 AWG"));
    assert!(by_gauge.iter().any(|rule| rule == "conductor-too-small"), "{by_gauge:?}");
    assert_eq!(found(&site("70 mm2")), by_gauge);
}

#[test]
fn a_sensor_may_have_its_facts_in_one_line() {
    let lines = "CT L1 = rating 400 A, secondary 5 A, lead length 50 ft, lead size 14 AWG\n\
                 CT L1 = meter resistance 20 mohm, burden 10 VA\n";
    let report = json(&format!("{}{lines}", units(1)));
    // E10: 5 A through 100 ft of 14 AWG and 20 mohm.
    assert!((number(&report, "sensor.burden") - 8.35).abs() < 0.0005);
    let all = "CT L1 rating = 400 A\nCT L2 rating = 400 A\nCT = secondary 5 A, lead length 50 ft, \
               lead size 14 AWG, meter resistance 20 mohm, burden 10 VA\n";
    let report = json(&format!("{}{all}", units(1)));
    assert_eq!(quantities(&report, "sensor.burden").len(), 2);
}

#[test]
fn words_behind_a_bond_that_nobody_knows_are_refused() {
    let sheet = format!(
        "{}neutral-earth bond = main board (fixed); generator frame (whatever)\n",
        units(1)
    );
    let sheet = coldcheck::read::RawSheet { name: "x.txt".into(), bytes: sheet.into_bytes() };
    let refusal = coldcheck_tests::cases::examine_sheets(&[sheet], None).expect_err("refused");
    assert!(format!("{:?}", refusal.errors).contains("whatever"), "{:?}", refusal.errors);
}

#[test]
fn thousandths_of_a_watt_are_no_megawatts() {
    let sheet = |power: &str| format!("{SPLIT}generator rating = {power}\n{}", units(1));
    assert!((number(&json(&sheet("9.6 kVA")), "generator.gives") - 40.0).abs() < 1e-9);
    assert!((number(&json(&sheet("9600000 mW")), "generator.gives") - 40.0).abs() < 1e-9);
    assert_eq!(
        quantities(&json(&sheet("12 kVA")), "generator.gives")[0]["formula"],
        "current.split-phase"
    );
    let single = sheet("12 kVA").replace("split-phase 120/240", "single-phase 230");
    assert_eq!(quantities(&json(&single), "generator.gives")[0]["formula"], "current.single-phase");
}

#[test]
fn what_is_0_is_named() {
    let site = "supply system = split-phase 240 V\nrated power = 8 kVA\nefficiency = 94 %\n";
    let report = json(&format!("{site}min battery voltage = 0 V\n{}", units(1)));
    assert_eq!(lacking(&report, "battery.current"), ["min battery voltage is 0"]);
}
