//! What `cargo dev bench` runs: `batch` against parsers that only parse, against a plain program
//! for the same job, and against the judges outside Rust. All of them in one run and in turns, so
//! that their ratios hold on a busy machine too.

mod peer;
mod rows;

use coldcheck::batch::{Answer, Settings, Worker};
use coldcheck::date::Date;
use coldcheck::diagnosis::Day;
use coldcheck::engine::read_site;
use coldcheck::image;
use coldcheck_core::finding::{Finding, Unknown};
use coldcheck_core::image::Image;
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules;
use coldcheck_tests::cases::{request, sheet};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::python::ORACLES;
use coldcheck_tests::{generate_faulty, paths};
use cpu_time::ThreadTime;
use rows::SiteRow;
use std::hint::black_box;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Sites of each size.
const SITES: u64 = 1500;
/// Turns of everything; the best one counts.
const TURNS: usize = 9;
/// The job that is timed by the clock.
const TWO: &str = "batch, 2 threads";
/// Sites for the judges outside Rust, which take their time.
const OUTSIDE: usize = 300;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        // One thing alone, for a profiler: bench batch 16
        [what, units] => alone(what, units.parse().expect("a number of units")),
        _ => all(),
    }
}

fn settings() -> Settings {
    let date = Date::read("2027-03-31").expect("a day");
    Settings { profile: None, scope: None, day: Day { date, from_clock: false } }
}

/// Sites of one size: as lines, as images, and as bodies of plans.
struct Corpus {
    lines: Vec<String>,
    images: Vec<Vec<u8>>,
}

impl Corpus {
    fn of(units: usize, sites: u64) -> Self {
        let site = |draw| generate_faulty::site_of(units, &mut Dice::new(draw)).json().to_string();
        let lines: Vec<String> = (0..sites).map(site).collect();
        let image = |line: &String| {
            let sheets = [sheet("site.json", line)];
            image::write(&read_site(&request(&sheets, None)).expect("a generated site"))
        };
        let images = lines.iter().map(image).collect();
        Self { lines, images }
    }
}

type Job<'j> = (&'static str, Box<dyn FnMut() + 'j>);

fn jobs<'j>(corpus: &'j Corpus, settings: &'j Settings) -> Vec<Job<'j>> {
    let lines = &corpus.lines;
    let batch = |lines: &'j [String]| {
        let mut worker = Worker::new(settings);
        let mut out = Vec::new();
        move || {
            for (number, line) in (1..).zip(lines) {
                out.clear();
                black_box(worker.line(number, line.as_bytes(), &mut out));
            }
        }
    };
    let mut image_worker = Worker::new(settings);
    let mut image_out = Vec::new();
    let mut peer_out = Vec::new();
    let mut copy = Vec::new();
    let (one, other) = lines.split_at(lines.len() / 2);
    let (mut first, mut second) = (batch(one), batch(other));
    let mut room =
        (vec![Finding::BLANK; 4096], vec![Place::Group; 32 * 1024], vec![Unknown::BLANK; 4096]);
    let bodies: Vec<&[u8]> =
        corpus.images.iter().map(|image| Image::read(image).expect("an image").body).collect();
    vec![
        ("batch", Box::new(batch(lines))),
        (
            TWO,
            Box::new(move || {
                std::thread::scope(|scope| {
                    scope.spawn(&mut first);
                    second();
                });
            }),
        ),
        (
            "batch --images",
            Box::new(move || {
                for (number, image) in (1..).zip(&corpus.images) {
                    image_out.clear();
                    black_box(image_worker.image(number, image, &mut image_out));
                }
            }),
        ),
        (
            "core: check alone",
            Box::new(move || {
                for body in &bodies {
                    let plan = Plan::from_body(body).expect("a plan");
                    let mut report = Report::new(&mut room.0, &mut room.1, &mut room.2);
                    rules::check(&plan, &mut report);
                    black_box(report.verdict());
                }
            }),
        ),
        (
            "parse: sonic-rs",
            Box::new(move || {
                for line in lines {
                    black_box(sonic_rs::from_slice::<SiteRow<'_>>(line.as_bytes()).expect("JSON"));
                }
            }),
        ),
        (
            "parse: simd-json",
            Box::new(move || {
                for line in lines {
                    copy.clear();
                    copy.extend_from_slice(line.as_bytes());
                    black_box(simd_json::from_slice::<SiteRow<'_>>(&mut copy).expect("JSON"));
                }
            }),
        ),
        (
            "parse: serde_json",
            Box::new(move || {
                for line in lines {
                    black_box(
                        serde_json::from_slice::<SiteRow<'_>>(line.as_bytes()).expect("JSON"),
                    );
                }
            }),
        ),
        (
            "peer: petgraph",
            Box::new(move || {
                for (number, line) in (1..).zip(lines) {
                    peer_out.clear();
                    peer::line(number, line.as_bytes(), &mut peer_out);
                    black_box(&peer_out);
                }
            }),
        ),
    ]
}

fn alone(what: &str, units: usize) {
    let number = |name: &str| std::env::var(name).ok().and_then(|text| text.parse().ok());
    let (corpus, settings) = (Corpus::of(units, number("SITES").unwrap_or(SITES)), settings());
    let mut jobs = jobs(&corpus, &settings);
    let (_, job) = jobs.iter_mut().find(|(name, _)| *name == what).expect("the name of a job");
    for _ in 0..number("TURNS").unwrap_or(2000) {
        job();
    }
}

fn all() {
    println!("{SITES} generated sites of each size, with none to four faults;");
    println!("microseconds of a core a site, best of {TURNS} turns; two threads, and the judges");
    println!("outside Rust, by the clock; ratio: time over that of batch");
    for units in [4, 16, 32] {
        let (corpus, settings) = (Corpus::of(units, SITES), settings());
        let bytes: usize = corpus.lines.iter().map(String::len).sum();
        let sites = usize::try_from(SITES).expect("some");
        say_what_is_judged(&corpus, &settings, units, bytes / sites);
        let mut jobs = jobs(&corpus, &settings);
        let mut best = vec![Duration::MAX; jobs.len()];
        for _ in 0..TURNS {
            for ((name, job), best) in jobs.iter_mut().zip(&mut best) {
                let (wall, own) = (Instant::now(), ThreadTime::now());
                job();
                // Another program on the same core is no cost of the job; two threads cannot be
                // weighed but by the clock.
                let took = if *name == TWO { wall.elapsed() } else { own.elapsed() };
                *best = (*best).min(took);
            }
        }
        let each = |time: Duration| time.as_secs_f64() * 1e6 / sites as f64;
        let batch = each(best[0]);
        for ((name, _), time) in jobs.iter().zip(&best) {
            let time = each(*time);
            println!("  {name:18} {time:9.2} us {:9.0} sites/s {:8.2} x", 1e6 / time, time / batch);
        }
        for program in ["judge_networkx.py", "judge_clingo.py"] {
            let count = if program.contains("clingo") { OUTSIDE / 5 } else { OUTSIDE };
            match outside(program, &corpus.lines[..count]) {
                Ok(time) => {
                    let time = time.as_secs_f64() * 1e6 / count as f64;
                    println!(
                        "  {program:18} {time:9.0} us {:9.0} sites/s {:8.0} x",
                        1e6 / time,
                        time / batch
                    );
                }
                Err(error) => println!("  {program}: not measured ({error})"),
            }
        }
    }
    println!("The petgraph peer parses with serde_json, judges 31 rules and tells the broken ones");
    println!("with their places; networkx and clingo judge the same 31 and tell only their names.");
    println!("None of them tells severity, verdict or what was not checked, or reads other words.");
}

/// How many rules batch decides, so that the peers can be weighed.
fn say_what_is_judged(corpus: &Corpus, settings: &Settings, units: usize, bytes: usize) {
    let mut worker = Worker::new(settings);
    let (mut decided, mut findings, mut written, mut fast) = (0, 0, 0, 0);
    for (number, line) in (1..).zip(&corpus.lines) {
        let mut out = Vec::new();
        assert_ne!(worker.line(number, line.as_bytes(), &mut out), Answer::Unread, "{line}");
        let report: serde_json::Value = serde_json::from_slice(&out).expect("JSON");
        let found = report["findings"].as_array().expect("a list");
        let mut broken: Vec<&str> = found.iter().filter_map(|one| one["rule"].as_str()).collect();
        broken.dedup();
        decided += broken.len() as u64 + report["met"].as_u64().expect("a number");
        findings += found.len();
        written += out.len();
        fast += u64::from(worker.fast_body(line.as_bytes()).is_some());
    }
    let sites = corpus.lines.len();
    println!(
        "{units} units: {bytes} bytes a line, {} a report; batch decides {} rules a site, {:.1} \
         findings; {:.1} % of the lines go the fast way",
        written / sites,
        decided / SITES,
        findings as f64 / sites as f64,
        100.0 * fast as f64 / sites as f64
    );
}

/// Time of a judge outside Rust, without that of its start.
fn outside(program: &str, lines: &[String]) -> Result<Duration, String> {
    let run = |lines: &[String]| {
        let start = Instant::now();
        let mut child = Command::new(ORACLES.python())
            .arg(paths::tests().join("oracles").join(program))
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| format!("{error}; cargo dev setup makes its environment"))?;
        let text = lines.join("\n");
        let written = child.stdin.take().map(|mut pipe| pipe.write_all(text.as_bytes()));
        let status = child.wait().map_err(|error| error.to_string())?;
        match written {
            Some(Ok(())) if status.success() => Ok(start.elapsed()),
            _ => Err("it failed".to_owned()),
        }
    };
    let nothing = run(&[])?;
    run(lines)?.checked_sub(nothing).ok_or_else(|| "its start took longer than its work".to_owned())
}
