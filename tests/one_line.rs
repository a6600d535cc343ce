//! Lines: how many sensors a site with one has and on what they stand, and lines where neutrals are.

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

/// At one unit the others tell; at all of them the names of the bars do.
#[test]
fn a_line_at_a_bar_of_neutrals_is_a_danger() {
    let found = |side: &str, of_units: [&str; 3]| {
        let sides: Vec<String> = of_units
            .into_iter()
            .zip(1..)
            .map(|(to, unit)| format!("unit {unit} {side} = {to}"))
            .collect();
        let settings = SETTINGS.replace("all units ac out = straight\n", "");
        told(CABLES, &format!("{settings}{}", sides.join("\n"))).0.contains(&"line-on-neutral-bar")
    };
    for bar in ["in bar ", "bus "] {
        let right = format!("L1->{bar}L1; L2->{bar}L2; N->{bar}N; PE->earth bar");
        let wrong = format!("L1->{bar}N; L2->{bar}L2; N->{bar}L1; PE->earth bar");
        let shorted = format!("L1->{bar}L1; L2->{bar}L2; N->{bar}L2; PE->earth bar");
        let other = format!("L1->{bar}L2; L2->{bar}L1; N->{bar}N; PE->earth bar");
        for side in ["ac in", "generator in"] {
            assert!(!found(side, [&right; 3]), "{side}");
            assert!(found(side, [&right, &wrong, &right]), "{side}");
            assert!(found(side, [&wrong; 3]) && found(side, [&shorted; 3]), "{side}");
            // Legs in another order are told by a rule of their own.
            assert!(!found(side, [&right, &other, &right]), "{side}");
        }
        assert!(found("ac out", [&wrong; 3]) && !found("ac out", [&shorted; 3]));
        // The odd one of several outputs is told by the rules about legs and neutrals.
        assert!(!found("ac out", [&right; 3]) && !found("ac out", [&right, &wrong, &right]));
    }
    // Names that tell nothing: only the others do.
    let [right, wrong] = ["L1->one; L2->two; N->three", "L1->three; L2->two; N->one"];
    assert!(found("ac in", [right, wrong, right]) && !found("ac in", [wrong; 3]));
    // Neutral and earth exchanged, at one and at all; two legs of all on one bar.
    let right = "L1->in L1; L2->in L2; N->in N; PE->earth bar";
    let bonded = "L1->in L1; L2->in L2; N->earth bar; PE->in N";
    let one_leg = "L1->in L1; L2->in L1; N->in N; PE->earth bar";
    for side in ["ac in", "generator in"] {
        assert!(found(side, [right, bonded, right]) && found(side, [bonded; 3]), "{side}");
        assert!(found(side, [one_leg; 3]) && !found(side, [right, one_leg, right]), "{side}");
    }
    // One line and its neutral on one bar, of units that have one line.
    assert!(found("ac in", ["L->one; N->three", "L->three; N->three", "L->one; N->three"]));
    assert!(found("ac out", ["L1->earth bar; L2->two; N->three"; 3]));
}
