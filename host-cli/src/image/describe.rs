//! A plan image in words, for people who want to know what a gateway boots with.

use super::Names;
use crate::profile::told;
use crate::visible::visible;
use crate::words::{self, WIDTH};
use coldcheck_core::finding::Quantity;
use coldcheck_core::limits;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{
    CableRecord, Datum, Demand, EndKind, EndRecord, Leg, Net, Plan, PortClasses, Role, Setting,
    Terminal, Terminator, UnitRecord,
};
use coldcheck_core::units::Milliamperes;
use std::fmt::Write;

/// The plan, line by line.
pub fn describe(plan: &Plan<'_>, names: &Names) -> String {
    let mut out = String::new();
    let site = if names.site.is_empty() { "(no name)" } else { &names.site };
    hanging(&mut out, "", &format!("site     {site}"));
    hanging(&mut out, "", &format!("profile  {}", or_unknown(&names.profile)));
    line(&mut out, &format!("scope    {}", words::scope(plan.group.scope()).join(", ")));
    section(
        &mut out,
        "units",
        plan.units().map(|(id, record)| unit(plan, names, id.index(), record)),
    );
    if plan.units().any(|(_, record)| alike(record).is_some()) {
        line(&mut out, "  #: equal numbers stand for equal values, which the image does not keep");
    }
    section(&mut out, "cables", plan.cables().map(|(id, record)| cable(names, id.index(), record)));
    section(
        &mut out,
        "packs",
        plan.packs().map(|(id, record)| {
            let data = record.data();
            joined(&[
                Some(name(&names.packs, id.index(), "pack")),
                record.address().map(|address| format!("address {address}")),
                record.lead().map(|lead| format!("leads: {}", lead.word())),
                data.contains(Datum::PackProtocol)
                    .then(|| format!("protocol #{}", record.protocol.get())),
                (record.charge_limit.get() > 0)
                    .then(|| charge_limit(Milliamperes(record.charge_limit.get())))
                    .flatten(),
            ])
        }),
    );
    section(
        &mut out,
        "sensors",
        plan.sensors().map(|(id, record)| {
            let (fitted, set) = record.ratios();
            joined(&[
                Some(name(&names.sensors, id.index(), "sensor")),
                record.leg().map(|leg| format!("on {}", leg.word())),
                record.place().map(|place| format!("sits on the {}", place.word())),
                record.arrow().map(|arrow| format!("arrow to the {}", arrow.word())),
                (record.rating().0 > 0).then(|| format!("rated {} A", record.rating().0)),
                (fitted.0 > 0).then(|| format!("ratio on part {}", words::ratio(fitted))),
                (set.0 > 0).then(|| format!("ratio set {}", words::ratio(set))),
            ])
        }),
    );
    section(
        &mut out,
        "devices",
        plan.devices().map(|(id, record)| {
            joined(&[
                Some(name(&names.devices, id.index(), "device")),
                record.kind().map(|kind| kind.word().to_owned()),
                record.address().map(|address| format!("address {address}")),
                record.terminator().map(terminator),
                record.asks().map(|asks| format!("asks: {}", asks.word())),
            ])
        }),
    );
    section(
        &mut out,
        "neutral-earth bonds",
        plan.bonds.iter().map(|bond| bond.place().map_or("?", |place| place.word()).to_owned()),
    );
    section(
        &mut out,
        "demands",
        Demand::ALL.iter().filter_map(|demand| {
            let bits = plan.demands.bits(*demand)?;
            let value = if *demand == Demand::Ports {
                ports(names, PortClasses(bits))
            } else {
                words::demand(demand.kind(), bits)
            };
            Some(format!("{} = {value}", demand.key()))
        }),
    );
    section(
        &mut out,
        "frames",
        plan.frames.iter().map(|record| {
            let told = told(record).into_iter().map(|(key, words)| format!("{key} {words}"));
            told.collect::<Vec<_>>().join(", ")
        }),
    );
    let must: Vec<_> = plan.demands.must_declare().iter().map(Datum::noun).collect();
    section(&mut out, "must be declared", [must.join(", ")].into_iter());
    out
}

/// `A is link, B is link, battery is battery`.
fn ports(names: &Names, classes: PortClasses) -> String {
    let port = |position: usize| {
        let class = classes.class(PortId(u8::try_from(position).ok()?))?;
        Some(format!("{} is {}", name(&names.ports, position, "port"), class.word()))
    };
    (0..limits::PORTS).filter_map(port).collect::<Vec<_>>().join(", ")
}

fn unit(plan: &Plan<'_>, names: &Names, index: usize, record: &UnitRecord) -> String {
    let nets = plan.power.get(index).map(|power| {
        let net = |(word, terminal)| Some(format!("{word} {}", net(power.net(terminal)?)));
        TERMINALS.into_iter().filter_map(net).collect::<Vec<_>>().join(" ")
    });
    joined(&[
        Some(name(&names.units, index, "unit")),
        record.role().map(|role: Role| role.word().to_owned()),
        record.address().map(|address| format!("address {address}")),
        record.count().map(|count| format!("count {count}")),
        record.phase().map(|phase: Leg| format!("phase {}", phase.word())),
        record.terminator().map(terminator),
        record
            .declares(Datum::TerminatorOhms)
            .then(|| format!("terminator value {} ohm", record.terminator_ohms.get())),
        record.mode().map(|mode| format!("mode {}", mode.word())),
        record.bit_rate().map(|rate| format!("bit rate {}", words::bit_rate(rate.0))),
        record.charge_limit().and_then(charge_limit),
        record.battery_type().map(|kind| format!("battery type {}", kind.word())),
        record.declares(Datum::Firmware).then(|| firmware(record)),
        record.declares(Datum::Serial).then(|| serial(record)),
        alike(record),
        nets.filter(|nets| !nets.is_empty()).map(|nets| format!("nets: {nets}")),
    ])
}

/// What an image keeps as numbers only: the same number, the same value.
fn alike(record: &UnitRecord) -> Option<String> {
    let settings = Setting::WORDS.iter().filter_map(|(word, code)| {
        Some((*word, u32::from(record.setting(Setting::from_code(*code)?)?)))
    });
    let numbered = [
        (Datum::Model, u32::from(record.model.get())),
        (Datum::Protocol, u32::from(record.protocol.get())),
        (Datum::LineFormat, u32::from(record.line_format)),
    ];
    let numbered = numbered.into_iter().filter(|(datum, _)| record.declares(*datum));
    let all = settings.chain(numbered.map(|(datum, number)| (datum.noun(), number)));
    let told: Vec<_> = all.map(|(word, number)| format!("{word} #{number}")).collect();
    (!told.is_empty()).then(|| told.join(", "))
}

fn serial(record: &UnitRecord) -> String {
    match record.plain_serial() {
        Some(number) => format!("serial {number}"),
        None => format!("serial #{}", record.serial.get() & 0x00FF_FFFF),
    }
}

/// Terminals whose nets are shown.
const TERMINALS: [(&str, Terminal); 7] = [
    ("B+", Terminal::BatteryPlus),
    ("B-", Terminal::BatteryMinus),
    ("L1", Terminal::OutL1),
    ("L2", Terminal::OutL2),
    ("L3", Terminal::OutL3),
    ("N", Terminal::OutN),
    ("PE", Terminal::OutEarth),
];

fn net(net: Net) -> String {
    if net == Net::ALONE { "alone".to_owned() } else { net.0.to_string() }
}

/// A version, or the number that stands for one of another form.
fn firmware(record: &UnitRecord) -> String {
    match record.plain_firmware() {
        Some(parts) => format!("firmware {}", words::version(parts)),
        None => format!("firmware #{}", record.firmware.get() & 0x00FF_FFFF),
    }
}

fn charge_limit(limit: Milliamperes) -> Option<String> {
    Some(format!("charge limit {}", words::quantity(Quantity::Current(limit))?))
}

fn terminator(terminator: Terminator) -> String {
    format!("terminator {}", terminator.word())
}

fn cable(names: &Names, index: usize, record: &CableRecord) -> String {
    let [first, second] = record.ends;
    joined(&[
        Some(name(&names.cables, index, "cable")),
        record.kind().map(|kind| kind.word().to_owned()),
        Some(format!("{} to {}", end(names, first), end(names, second))),
        record.length().map(words::length),
        record.plug_ohms().map(|ohms| format!("{} ohm", ohms.0)),
    ])
}

fn end(names: &Names, end: EndRecord) -> String {
    let index = usize::from(end.index);
    let at = match end.kind() {
        None => return "?".to_owned(),
        Some(EndKind::Open) => return "nothing".to_owned(),
        Some(EndKind::Unit) => name(&names.units, index, "unit"),
        Some(EndKind::Pack) => name(&names.packs, index, "pack"),
        Some(EndKind::Sensor) => name(&names.sensors, index, "sensor"),
        Some(EndKind::Device) => name(&names.devices, index, "device"),
    };
    match end.port() {
        Some(port) => format!("{at} {}", name(&names.ports, port.index(), "port")),
        None => at,
    }
}

/// The name, or word and position where the image carries no names.
fn name(names: &[String], index: usize, word: &str) -> String {
    names.get(index).cloned().unwrap_or_else(|| format!("{word}[{index}]"))
}

fn or_unknown(text: &str) -> &str {
    if text.is_empty() { "(no name)" } else { text }
}

fn joined(parts: &[Option<String>]) -> String {
    parts.iter().flatten().map(String::as_str).collect::<Vec<_>>().join(", ")
}

fn section(out: &mut String, title: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<_> = lines.collect();
    if lines.is_empty() {
        return;
    }
    line(out, title);
    for text in lines {
        hanging(out, "  ", &text);
    }
}

fn hanging(out: &mut String, indent: &str, text: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(indent)
        .subsequent_indent("      ")
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    line(out, &textwrap::fill(&visible(text), &options));
}

fn line(out: &mut String, text: &str) {
    let _ = writeln!(out, "{text}");
}
