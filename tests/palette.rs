//! Colours of the drawing, measured: contrast for text and lines, and distance between the kinds
//! of cables with every kind of colour vision and in grey.

use coldcheck::draw::palette::{
    BATTERY, CABLES, DANGER, DEGRADED, INK, LINK, NO_START, PAPER, SENSOR, TEXTS,
};

/// Linear light of red, green and blue.
type Light = [f64; 3];

/// A colour such as `#1f5f9e` as linear light: the transfer function of IEC 61966-2-1 (sRGB).
fn light(colour: &str) -> Light {
    let byte = |at: usize| u8::from_str_radix(&colour[at..at + 2], 16).expect("two digits");
    [1, 3, 5].map(|at| {
        let value = f64::from(byte(at)) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    })
}

/// Relative luminance, as WCAG 2.2 defines it.
fn luminance([red, green, blue]: Light) -> f64 {
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Contrast ratio, as WCAG 2.2 defines it.
fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(light(one)), luminance(light(other)));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// How people see who lack one kind of cone: matrices for severity 1.0 of Machado, Oliveira and
/// Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
/// Transactions on Visualization and Computer Graphics 15 (6), 2009, table 1 (from memory).
const VISIONS: &[(&str, [[f64; 3]; 3])] = &[
    ("all cones", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
    (
        "no long cones",
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
    ),
    (
        "no middle cones",
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
    ),
    (
        "no short cones",
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ),
];

fn seen(matrix: &[[f64; 3]; 3], light: Light) -> Light {
    matrix.map(|row| {
        let sum: f64 = row.iter().zip(light).map(|(weight, part)| weight * part).sum();
        sum.clamp(0.0, 1.0)
    })
}

/// CIE 1976 L*a*b* under D65, from sRGB by the matrix of IEC 61966-2-1.
fn lab(light: Light) -> [f64; 3] {
    const TO_XYZ: [[f64; 3]; 3] =
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
    const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];
    let curve = |ratio: f64| {
        if ratio > 216.0 / 24389.0 { ratio.cbrt() } else { (24389.0 / 27.0 * ratio + 16.0) / 116.0 }
    };
    let xyz =
        TO_XYZ.map(|row| row.iter().zip(light).map(|(weight, part)| weight * part).sum::<f64>());
    let [x, y, z] = [0, 1, 2].map(|at| curve(xyz[at] / WHITE[at]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// Colour difference of CIE 1976.
fn distance(one: Light, other: Light) -> f64 {
    let (one, other) = (lab(one), lab(other));
    one.iter().zip(other).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

#[test]
fn the_formulas_give_known_values() {
    // Black on white is 21:1 by definition of the ratio; white has L* 100, red Lab as published by
    // Lindbloom's calculator (from memory).
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    let [l, a, b] = lab(light("#ff0000"));
    assert!(
        (l - 53.24).abs() < 0.1 && (a - 80.1).abs() < 0.3 && (b - 67.2).abs() < 0.3,
        "{l} {a} {b}"
    );
    // What has no colour has none for anybody.
    for (name, matrix) in VISIONS {
        let grey = seen(matrix, [0.5; 3]);
        assert!(grey.iter().all(|part| (part - 0.5).abs() < 1e-4), "{name}: {grey:?}");
    }
}

#[test]
fn text_is_read_and_lines_are_seen() {
    // WCAG 2.2: success criterion 1.4.3 for text, 1.4.11 for what is no text.
    for (ink, behind) in TEXTS {
        assert!(contrast(ink, behind) >= 4.5, "{ink} on {behind}: {}", contrast(ink, behind));
    }
    for (name, colour) in CABLES {
        assert!(contrast(colour, PAPER) >= 3.0, "{name}: {}", contrast(colour, PAPER));
    }
}

#[test]
fn kinds_of_cables_are_told_apart_with_every_kind_of_vision() {
    // A difference of 2.3 can just be noticed (Mahy, Van Eycken and Oosterlinck 1994, read
    // second-hand); thin lines need several times that. The three kinds of nearly every site
    // keep a greater distance than those that are rare; dashes tell all of them apart as well.
    let common = [LINK, BATTERY, SENSOR];
    for (vision, matrix) in VISIONS {
        for (at, (name, one)) in CABLES.iter().enumerate() {
            for (other_name, other) in &CABLES[at + 1..] {
                let apart = distance(seen(matrix, light(one)), seen(matrix, light(other)));
                let both_common = common.contains(one) && common.contains(other);
                let least = if both_common { 20.0 } else { 15.0 };
                assert!(apart >= least, "{vision}: {name} and {other_name} are {apart:.1} apart");
            }
        }
    }
}

#[test]
fn severities_are_told_apart_with_every_kind_of_vision() {
    let all = [("danger", DANGER), ("no-start", NO_START), ("degraded", DEGRADED), ("note", PAPER)];
    for (vision, matrix) in VISIONS {
        for (at, (name, one)) in all.iter().enumerate() {
            for (other_name, other) in &all[at + 1..] {
                let apart = distance(seen(matrix, light(one)), seen(matrix, light(other)));
                assert!(apart >= 10.0, "{vision}: {name} and {other_name} are {apart:.1} apart");
            }
        }
    }
    // WCAG 2.2, success criterion 1.4.6 (contrast, enhanced): 7 to 1 for what is most to be read.
    assert!(contrast(INK, PAPER) >= 7.0);
}

#[test]
fn no_two_kinds_of_cables_have_the_same_dashes_and_width() {
    use coldcheck::draw::style;
    let looks: Vec<_> = style::KINDS
        .iter()
        .map(|kind| style::cable(*kind))
        .map(|paint| (paint.dash, paint.tenths))
        .collect();
    for (at, look) in looks.iter().enumerate() {
        assert!(!looks[at + 1..].iter().any(|other| other.0 == look.0), "{look:?} stands twice");
    }
}
