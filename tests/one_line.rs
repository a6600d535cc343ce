//! What is asked about lines: how many sensors a site with one has and on what they stand, and lines where
//! neutrals are.

use coldcheck_tests::cases::{examine_sheets, sheet};

const CABLES: &str = "cable,from,to,kind,length\n\
    C1,unit 1 A,unit 2 B,link,2 m\n\
    C2,unit 2 A,unit 3 B,link,2 m\n\
    B1,pack 1,unit 1 battery,bms,\n\
    S1,CT L1,unit 1 CT,ct,\n";

const SETTINGS: &str = "unit 1 = coordinator, addr 1, count 3, term on, bank A\n\
    unit 2 = follower, addr 2, count 3, term off, bank A\n\
    unit 3 = follower, addr 3, count 3, term on, bank A\n\
    all units ac out = straight\n\
    neutral-earth bond = main board (fixed)\n";

const ONE_LINE: &str = "supply system = single-phase 230 V\n";

/// Rules that are broken, and what is asked, of these cables and settings.
fn told(cables: &str, settings: &str) -> (Vec<&'static str>, Vec<String>) {
    let sheets = [sheet("cables", cables), sheet("settings", settings)];
    let (_, diagnosis) = examine_sheets(&sheets, None).expect("the sheets can be read");
    let broken = diagnosis.findings.iter().map(|finding| finding.rule.rule().slug).collect();
    (broken, diagnosis.questions.into_iter().map(|question| question.says).collect())
}

#[test]
fn a_supply_with_one_line_needs_one_sensor() {
    let broken = |more: &str| told(CABLES, &format!("{SETTINGS}{more}")).0;
    // Whoever names one leg of two has forgotten the other.
    assert_eq!(broken(""), ["ct-one-leg-missing"]);
    assert_eq!(broken("supply system = split-phase 120/240 V\n"), ["ct-one-leg-missing"]);
    assert!(broken(ONE_LINE).is_empty());
    // What the site says of its sensors comes before that.
    assert_eq!(broken(&format!("{ONE_LINE}sensors = 2\n")), ["ct-one-leg-missing"]);
    // Units with two legs have two, whatever the supply is said to be.
    let legs = SETTINGS.replace("straight", "L1->bar L1; L2->bar L2; N->bar N; PE->earth bar");
    let (broken, _) = told(CABLES, &format!("{legs}supply system = single-phase 240 V\n"));
    assert!(broken.contains(&"ct-one-leg-missing"));
}

#[test]
fn a_sensor_on_a_leg_that_is_not_there_is_asked_about() {
    let two = format!("{CABLES}S2,CT L2,unit 1 CT,ct,\n");
    let asked = |more: &str| told(&two, &format!("{SETTINGS}{more}")).1;
    assert_eq!(asked(ONE_LINE), ["the supply has one line; what does CT L2 stand on?"]);
    assert!(asked("supply system = split-phase 120/240 V\n").is_empty());
    assert!(asked(&format!("{ONE_LINE}sensors = 2\n")).is_empty());
    assert!(told(CABLES, &format!("{SETTINGS}{ONE_LINE}")).1.is_empty());
}

#[test]
fn a_line_and_a_neutral_on_one_bar_of_an_input_are_asked_about() {
    let right = "L1->in bar L1; L2->in bar L2; N->in bar N; PE->earth bar";
    for side in ["ac in", "generator in"] {
        let asked = |of_2: &str| {
            let inputs = [right, of_2, right].into_iter().zip(1..);
            let inputs: Vec<String> =
                inputs.map(|(to, unit)| format!("unit {unit} {side} = {to}")).collect();
            let inputs = inputs.join("\n");
            told(CABLES, &format!("{SETTINGS}{inputs}")).1
        };
        assert!(asked(right).is_empty(), "{:?}", asked(right));
        let exchanged = asked("L1->in bar N; L2->in bar L2; N->in bar L1; PE->earth bar");
        assert!(
            exchanged.len() == 1 && exchanged[0].contains("are line and neutral exchanged?"),
            "{exchanged:?}"
        );
        assert!(exchanged[0].starts_with(side) && exchanged[0].contains("unit 2"), "{exchanged:?}");
        // One line and its neutral on one bar, of units that have one line.
        let one = ["L1->in bar L; N->in bar N", "L1->in bar N; N->in bar N"].into_iter().zip(1..);
        let one: Vec<String> = one.map(|(to, unit)| format!("unit {unit} {side} = {to}")).collect();
        assert_eq!(told(CABLES, &format!("{SETTINGS}{}", one.join("\n"))).1.len(), 1);
        // Legs in another order are told by a rule, and asked about by nobody.
        assert!(asked("L1->in bar L2; L2->in bar L1; N->in bar N; PE->earth bar").is_empty());
    }
}
