//! Damaged images, all of them and a million.

use coldcheck_tests::{damage, images, rig};
use std::time::Instant;

const COUNT: u64 = 1_000_000;

pub(crate) fn run() -> Result<(), String> {
    let images: Vec<_> =
        images::all().into_iter().map(|site| rig::without_names(site).image).collect();
    let start = Instant::now();
    let (mut bits, mut unseen) = (0, Vec::new());
    for image in &images {
        bits += image.len() * 8;
        unseen.extend(damage::unseen(image));
    }
    println!(
        "{} images: {bits} flipped bits and {} cuts, {} not refused; {:.0} s",
        images.len(),
        bits / 8,
        unseen.len(),
        start.elapsed().as_secs_f32()
    );
    if let Some(first) = unseen.first() {
        return Err(format!("not refused: {first}"));
    }
    let start = Instant::now();
    let accepted = damage::endure(&images, COUNT);
    println!(
        "{COUNT} damaged images: {accepted} were accepted and checked, no panic; {:.0} s",
        start.elapsed().as_secs_f32()
    );
    Ok(())
}
