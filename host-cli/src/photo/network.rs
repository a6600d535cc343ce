//! The text engine by two neural networks: one finds text, one reads a line of it.

use super::engine::{EngineError, STRIP_HEIGHT, Sign, TextBox, TextEngine};
use super::regions;
use crate::picture::Colour;
use rten::{Model, ModelOptions, OpRegistry, ValueOrView};
use rten_tensor::prelude::*;
use rten_tensor::{NdTensor, Tensor};

/// Means and deviations that the finding network was trained with; channels are blue, green, red.
const FIND_MEAN: [f32; 3] = [0.485, 0.456, 0.406];
const FIND_DEVIATION: [f32; 3] = [0.229, 0.224, 0.225];

/// Both networks want sides that are multiples of these.
const FIND_STEP: usize = 32;
const READ_STEP: usize = 8;

/// The widest strip: fifty times its height, more than any line of a list.
const WIDEST: usize = 50 * STRIP_HEIGHT;

/// The two networks.
pub struct Networks {
    finder: Model,
    reader: Model,
    /// The signs in the order of the reader's classes, the first class (no sign) left out.
    signs: Vec<char>,
}

impl Networks {
    /// From the bytes of two model files.
    pub fn load(finder: Vec<u8>, reader: Vec<u8>) -> Result<Self, EngineError> {
        let load = |bytes, what| {
            ModelOptions::with_ops(OpRegistry::with_all_ops())
                .load(bytes)
                .map_err(|error| EngineError(format!("the model that {what} text: {error}")))
        };
        let finder = load(finder, "finds")?;
        let reader = load(reader, "reads")?;
        let listed = reader.metadata().get("character").unwrap_or("");
        let mut signs: Vec<char> =
            listed.split('\n').map(|line| line.trim_end_matches('\r')).map(first).collect();
        signs.push(' ');
        if signs.len() < 100 {
            return Err(EngineError("the model that reads text names no signs".to_owned()));
        }
        Ok(Self { finder, reader, signs })
    }
}

fn first(line: &str) -> char {
    line.chars().next().unwrap_or(char::REPLACEMENT_CHARACTER)
}

/// Pixels as the networks take them: channel by channel, blue first.
fn planes(
    picture: &Colour,
    height: usize,
    width: usize,
    value: impl Fn(f32, usize) -> f32,
) -> Vec<f32> {
    let mut planes = vec![0.0; 3 * height * width];
    for (channel, plane) in planes.chunks_exact_mut(height * width).enumerate() {
        for (y, row) in plane.chunks_exact_mut(width).enumerate() {
            for (target, pixel) in row.iter_mut().zip(picture.row(y)) {
                *target = value(f32::from(pixel[2 - channel]) / 255.0, channel);
            }
        }
    }
    planes
}

fn run(
    model: &Model,
    planes: Vec<f32>,
    height: usize,
    width: usize,
) -> Result<Tensor<f32>, EngineError> {
    let input = NdTensor::from_data([1, 3, height, width], planes);
    let output = model
        .run_one(ValueOrView::from(input), None)
        .map_err(|error| EngineError(error.to_string()))?;
    Tensor::<f32>::try_from(output).map_err(|error| EngineError(error.to_string()))
}

impl TextEngine for Networks {
    fn find(&self, picture: &Colour) -> Result<Vec<TextBox>, EngineError> {
        let up = |side: usize| side.max(1).next_multiple_of(FIND_STEP);
        let (width, height) = (up(picture.width()), up(picture.height()));
        let input = planes(picture, height, width, |value, channel| {
            (value - FIND_MEAN[channel]) / FIND_DEVIATION[channel]
        });
        let output = run(&self.finder, input, height, width)?;
        let map = output.to_vec();
        if map.len() != width * height {
            return Err(EngineError("the model that finds text gives no map".to_owned()));
        }
        Ok(regions::boxes(&map, width, height))
    }

    fn read(&self, strip: &Colour) -> Result<Vec<Sign>, EngineError> {
        let used = strip.width().clamp(1, WIDEST);
        let width = used.next_multiple_of(READ_STEP);
        let input = planes(strip, STRIP_HEIGHT, width, |value, _| (value - 0.5) / 0.5);
        let output = run(&self.reader, input, STRIP_HEIGHT, width)?;
        let classes = self.signs.len() + 1;
        let values = output.to_vec();
        if values.len() % classes != 0 || values.is_empty() {
            return Err(EngineError("the model that reads text gives no signs".to_owned()));
        }
        let steps = values.len() / classes;
        Ok(signs(&values, classes, &self.signs, used as f32 / width as f32, steps))
    }

    fn finding_side(&self) -> usize {
        960
    }
}

/// The likeliest sign of every step, runs of one sign taken as one, class 0 (none) left out.
fn signs(values: &[f32], classes: usize, names: &[char], used: f32, steps: usize) -> Vec<Sign> {
    let mut signs: Vec<Sign> = Vec::new();
    let mut before = 0;
    for (step, row) in values.chunks_exact(classes).enumerate() {
        let (best, other) = best_two(row);
        let at = (step as f32 + 0.5) / steps as f32 / used;
        if best.0 != 0 && best.0 == before {
            if let Some(last) = signs.last_mut().filter(|last| best.1 > last.confidence) {
                last.confidence = best.1;
                last.other = named(other, names);
                last.at = at;
            }
        } else if best.0 != 0 {
            let sign = names.get(best.0 - 1).copied().unwrap_or(char::REPLACEMENT_CHARACTER);
            signs.push(Sign { sign, confidence: best.1, other: named(other, names), at });
        }
        before = best.0;
    }
    signs
}

fn named(class: (usize, f32), names: &[char]) -> Option<(char, f32)> {
    Some((names.get(class.0.checked_sub(1)?).copied()?, class.1))
}

fn best_two(row: &[f32]) -> ((usize, f32), (usize, f32)) {
    let mut best = (0, f32::MIN);
    let mut other = (0, f32::MIN);
    for (class, value) in row.iter().enumerate() {
        if *value > best.1 {
            other = best;
            best = (class, *value);
        } else if *value > other.1 {
            other = (class, *value);
        }
    }
    (best, other)
}
