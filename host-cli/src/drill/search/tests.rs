//! The search against brute force over every order of acts.

use super::super::dice::Dice;
use super::*;

/// The least readings in the worst case, by trying everything.
fn brute(rivals: &[usize], costs: &[u32], answers: &[Vec<usize>]) -> u32 {
    let told = |one: usize, two: usize| answers.iter().any(|of| of[one] != of[two]);
    if rivals.iter().all(|two| !told(rivals[0], *two)) {
        return 0;
    }
    let mut best = u32::MAX;
    for (act, of) in answers.iter().enumerate() {
        let mut parts: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for rival in rivals {
            parts.entry(of[*rival]).or_default().push(*rival);
        }
        if parts.len() > 1 {
            let worst = parts.values().map(|part| brute(part, costs, answers)).max().unwrap();
            best = best.min(worst + costs[act]);
        }
    }
    best
}

#[test]
fn no_search_needs_fewer_readings() {
    for number in 0..400 {
        let mut dice = Dice::new(number);
        let (rivals, acts) = (2 + dice.roll(8), 1 + dice.roll(6));
        let costs: Vec<u32> = (0..acts).map(|_| 1 + u32::try_from(dice.roll(2)).unwrap()).collect();
        let sides = 2 + dice.roll(2);
        let answers: Vec<Vec<usize>> = (0..acts)
            .map(|_| (0..rivals).map(|_| dice.roll(6).saturating_sub(6 - sides)).collect())
            .collect();
        let wanted = brute(&(0..rivals).collect::<Vec<_>>(), &costs, &answers);
        let (least, tree) = Search::of(&costs, answers.clone()).unwrap().solve().unwrap();
        assert_eq!(least, wanted, "{number}");
        let mut worst = 0;
        for rival in (0..rivals).rev() {
            let (way, found) = tree.way(&mut |act| Some(answers[act][rival]));
            assert!(found.unwrap().contains(&rival), "{number}");
            worst = worst.max(way.iter().map(|act| costs[*act]).sum());
        }
        assert_eq!(worst, wanted, "{number}");
    }
}

#[test]
fn one_place_after_the_other_is_one_reading_less_than_places() {
    // Each look shows one place only, as with a firmware that one of forty units has.
    let answers = (0..40).map(|act| (0..40).map(|at| usize::from(at == act)).collect()).collect();
    let (least, _) = Search::of(&[1; 40], answers).unwrap().solve().unwrap();
    assert_eq!(least, 39);
}

#[test]
fn halving_is_found() {
    let answers = (0..6).map(|bit| (0..64).map(|at: usize| at >> bit & 1).collect()).collect();
    let (least, _) = Search::of(&[1; 6], answers).unwrap().solve().unwrap();
    assert_eq!(least, 6);
}
