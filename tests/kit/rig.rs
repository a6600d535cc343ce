//! Many sites on an emulated gateway and on the laptop, and where the two differ.

use crate::firmware::{Board, Build, built};
use crate::generate::Dice;
use crate::heard::{expected, read, slcan};
use crate::images::Site;
use crate::proof;
use coldcheck::fault::{Group, Layout, faults};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Boots a gateway with all of these, a list at a time. Gives each difference in a few lines.
pub fn differences(board: Board, name: &str, sites: &[Site]) -> Vec<String> {
    let heard: Vec<_> = sites.iter().map(|site| read(&site.log)).collect();
    let answers: Vec<_> =
        sites.iter().zip(&heard).map(|(site, events)| expected(&site.image, events)).collect();
    let boots: Vec<_> = sites
        .iter()
        .zip(&heard)
        .zip(&answers)
        .map(|((site, events), (_, status))| {
            // Nobody listens after an image was refused.
            (site.image.clone(), (*status != 2).then(|| slcan(events)))
        })
        .collect();
    let told = built(board, Build::Many).boot_many(name, &boots);
    let mut differences = Vec::new();
    for ((site, boot), (lines, status)) in sites.iter().zip(told).zip(answers) {
        if (&boot.lines, boot.status) == (&lines, status) {
            continue;
        }
        let pairs = boot.lines.iter().zip(&lines);
        let place = pairs.take_while(|(gateway, laptop)| gateway == laptop).count();
        differences.push(format!(
            "{}: the gateway says {:?} ({}), the laptop {:?} ({status})",
            site.name,
            boot.lines.get(place),
            boot.status,
            lines.get(place),
        ));
    }
    differences
}

/// An image without the names behind the plan, which a gateway does not read.
pub fn without_names(mut site: Site) -> Site {
    if let Ok(image) = coldcheck_core::image::Image::read(&site.image) {
        let length = site.image.len() - image.rest.len();
        site.image.truncate(length);
    }
    site
}

/// One in so many of all sites of so many units with one fault, from some forty drawn right groups.
///
/// # Panics
/// If a fault cannot be made.
pub fn singles(units: usize, one_in: usize) -> Vec<Site> {
    let layouts: Vec<_> = proof::layouts(units, 1)
        .into_iter()
        .enumerate()
        .filter(|(_, layout)| Group::build(layout.clone()).is_some())
        .collect();
    let mut dice = Dice::new(u64::try_from(units).unwrap_or(0));
    let share = layouts.len() / 40 + 1;
    let drawn = layouts.into_iter().filter(|_| dice.roll(share) == 0);
    drawn.flat_map(|(place, layout)| faulty(layout, place, one_in)).collect()
}

fn faulty(layout: Layout, place: usize, one_in: usize) -> Vec<Site> {
    let mut dice = Dice::new(u64::try_from(place).unwrap_or(0));
    let Some(right) = Group::build(layout) else { return Vec::new() };
    let mut sites = Vec::new();
    for fault in faults(&right) {
        if dice.roll(one_in) != 0 {
            continue;
        }
        let mut group = right.clone();
        assert!(fault.inject(&mut group), "{fault:?} cannot be made in {group:?}");
        let name = format!("{:?} at {:?} in {:?}", fault.rule, fault.places, right.layout);
        sites.push(without_names(Site::of(&name, group.sheets())));
    }
    sites
}

/// As [`singles`] and [`differences`] together, but with every right group and on all cores; gives
/// how many sites that were.
///
/// # Panics
/// If one of the emulators cannot be run.
pub fn all_singles(
    board: Board,
    units: usize,
    one_in: usize,
    progress: impl Fn(usize) + Sync,
) -> (usize, Vec<String>) {
    /// Sites for which one list is made.
    const AT_ONCE: usize = 1000;
    let layouts: Vec<_> = proof::layouts(units, 1);
    let next = AtomicUsize::new(0);
    let run = |core: usize| {
        let (mut count, mut found, mut sites) = (0, Vec::new(), Vec::new());
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let layout = layouts.get(place).cloned();
            let is_last = layout.is_none();
            sites.extend(layout.into_iter().flat_map(|layout| faulty(layout, place, one_in)));
            if sites.len() >= AT_ONCE || is_last {
                found.extend(differences(board, &format!("singles-{core}"), &sites));
                count += sites.len();
                progress(sites.len());
                sites.clear();
            }
            if is_last {
                return (count, found);
            }
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let run = &run;
    std::thread::scope(|scope| {
        let runs: Vec<_> = (0..cores).map(|core| scope.spawn(move || run(core))).collect();
        let (mut count, mut found) = (0, Vec::new());
        for run in runs {
            let (of_one, differences) = run.join().expect("it does not panic");
            count += of_one;
            found.extend(differences);
        }
        (count, found)
    })
}
