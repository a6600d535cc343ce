//! The outcome of a check in the person's own words: data, which renderers only read.

mod demands;
mod findings;
mod heard;
mod naming;
pub(crate) mod readings;
pub(crate) mod sized;
mod strict;
pub(crate) mod to_do;
mod unchecked;
mod waivers;

pub use demands::SiteDemand;
pub use heard::{HeardLog, HeardRow, Who};
pub use naming::NamedPlace;
pub use unchecked::{Because, NotChecked};
pub(crate) use unchecked::{to_declare, told_noun};
pub use waivers::{Day, Idle, IdleWaiver, Waived};

use crate::declared::{Declared, Question, Subject};
use crate::engine::{self, Site};
use crate::hearing::Hearing;
use crate::source::{Cell, Origin};
use coldcheck_core::finding::{Finding, Outcome, Unknown, Verdict};
use coldcheck_core::heard::Heard;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, GroupRecord, Plan, PlanError, Scope};
use coldcheck_core::report::{Report, Tally};
use coldcheck_core::rule::{Check, Severity};
use coldcheck_core::rules::{self, RULES, RuleId};

/// Room that the host lends to a report; more than any plan can fill.
const FINDINGS: usize = 4096;
const PLACES: usize = 32 * 1024;
const UNKNOWNS: usize = 4096;

/// A place in a sheet with what is to be said there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub origin: Origin,
    /// What is said there.
    pub text: String,
}

/// One finding, told.
#[derive(Clone, Debug)]
pub struct Diagnostic {
    /// The rule that is broken.
    pub rule: RuleId,
    /// How bad it is.
    pub severity: Severity,
    /// The places that identify it.
    pub places: Vec<NamedPlace>,
    /// The same places by their numbers in the plan.
    pub at: Vec<Place>,
    /// Others to look at.
    pub related: Vec<NamedPlace>,
    /// What is wrong, in one sentence.
    pub says: String,
    /// Where in the sheets, the first place first.
    pub labels: Vec<Label>,
    /// Its place in the order of the rule table and, within a rule, of the plan.
    pub position: usize,
}

/// A datum that must be declared and is not.
#[derive(Clone, Debug)]
pub struct Undeclared {
    /// What.
    pub datum: Datum,
    /// Where it is missing.
    pub places: Vec<NamedPlace>,
    /// The same places by their numbers in the plan.
    pub at: Vec<Place>,
}

/// Everything that a check says.
#[derive(Clone, Debug)]
pub struct Diagnosis {
    /// The verdict.
    pub verdict: Verdict,
    /// Counts of findings.
    pub tally: Tally,
    /// The stages that ran.
    pub stages: Vec<&'static str>,
    /// Findings, dangers first, then by their place in the sheets.
    pub findings: Vec<Diagnostic>,
    /// Findings that a named person lets stand; they do not count for the verdict.
    pub waived: Vec<Waived>,
    /// Waivers that let nothing stand, each with the reason.
    pub idle_waivers: Vec<IdleWaiver>,
    /// The day that waivers were held against, if there are any.
    pub day: Option<Day>,
    /// Rules that lack data and count as findings, if the check is strict.
    pub counted: Option<Vec<RuleId>>,
    /// Rules that could not be checked.
    pub not_checked: Vec<NotChecked>,
    /// Rules that were met or are broken, but could not be checked at some places.
    pub gaps: Vec<NotChecked>,
    /// Rules that were met.
    pub met: Vec<RuleId>,
    /// What must be declared and is not.
    pub undeclared: Vec<Undeclared>,
    /// What a person must answer.
    pub questions: Vec<Question>,
    /// What nobody understood.
    pub not_understood: Vec<Cell>,
    /// Demands that the site states, with what the profile says.
    pub site_demands: Vec<SiteDemand>,
    /// What was declared or demanded and no rule of the stages that ran looks at.
    pub looked_at_by_none: Vec<&'static str>,
    /// What was heard, if a log was held against the plan.
    pub heard: Option<HeardLog>,
    /// Dangers that stand until their act is confirmed; the sheets say how the plant is to be.
    pub unconfirmed: Vec<Diagnostic>,
    /// The verdict once every act that is to do is confirmed, waivers left aside; `None` where no
    /// act waits for it.
    pub after_confirming: Option<Verdict>,
}

/// The group's record with the open questions alone: acts that are to do taken as done.
pub(crate) fn without_acts(plan: &Plan<'_>, declared: &Declared) -> GroupRecord {
    let questions = u16::try_from(declared.question_count()).unwrap_or(u16::MAX);
    GroupRecord { questions: questions.into(), ..*plan.group }
}

impl Diagnosis {
    /// The dangers that stand in the sheets, or whose act nobody confirmed. No waiver lets one stand.
    pub fn dangers(&self) -> impl Iterator<Item = &Diagnostic> {
        let found = self.findings.iter().filter(|finding| finding.severity == Severity::Danger);
        found.chain(&self.unconfirmed)
    }
}

/// Checks a site and tells what was found.
///
/// # Errors
/// [`PlanError`] if the site's bytes are no plan; never for a site that was read.
pub fn diagnose(site: &Site) -> Result<Diagnosis, PlanError> {
    diagnose_with(site, None)
}

/// Checks a site, holds it against what was heard, and tells what was found.
///
/// # Errors
/// As [`diagnose`].
pub fn diagnose_heard(site: &Site, hearing: &Hearing<'_>) -> Result<Diagnosis, PlanError> {
    let mut diagnosis = diagnose_with(site, Some(hearing.heard()))?;
    diagnosis.heard = Some(HeardLog::of(site, &engine::plan(site)?, hearing));
    diagnosis.verdict = diagnosis.verdict.max(diagnosis.least_of_log());
    Ok(diagnosis)
}

impl Diagnosis {
    /// Declared units that were not heard, where the log does not tell whether they are silent.
    pub(crate) fn unheard(&self) -> Option<String> {
        let open = self.not_checked.iter().chain(&self.gaps);
        let is_open = open.into_iter().any(|one| one.rule == RuleId::UnitSilent);
        self.heard.as_ref().filter(|_| is_open)?.silent()
    }

    /// The verdict that a log gives at the least: one that is too short says nothing of a unit that it
    /// lacks.
    fn least_of_log(&self) -> Verdict {
        if self.unheard().is_some() { Verdict::Incomplete } else { Verdict::Ok }
    }
}

/// What can be said while there is more to hear; without the table of what was heard.
///
/// # Errors
/// As [`diagnose`].
pub fn diagnose_so_far(site: &Site, heard: &Heard) -> Result<Diagnosis, PlanError> {
    diagnose_with(site, Some(heard))
}

fn diagnose_with(site: &Site, heard: Option<&Heard>) -> Result<Diagnosis, PlanError> {
    let plan = engine::plan(site)?;
    let (mut findings, mut places, mut unknowns) = (
        vec![Finding::BLANK; FINDINGS],
        vec![Place::Group; PLACES],
        vec![Unknown::BLANK; UNKNOWNS],
    );
    let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
    let words = judge(site, &plan, heard, &mut report);
    let teller = findings::Teller { site, plan: &plan, report: &report, words: &words, heard };
    let mut diagnosis = tell(&teller);
    diagnosis.unconfirmed = to_do::unconfirmed_dangers(site);
    if !site.declared.unconfirmed().is_empty() {
        let group = without_acts(&plan, &site.declared);
        diagnosis.after_confirming = Some(verdict(site, &Plan { group: &group, ..plan }, heard));
    }
    Ok(diagnosis)
}

/// The verdict alone.
fn verdict(site: &Site, plan: &Plan<'_>, heard: Option<&Heard>) -> Verdict {
    let (mut findings, mut places, mut unknowns) = (
        vec![Finding::BLANK; FINDINGS],
        vec![Place::Group; PLACES],
        vec![Unknown::BLANK; UNKNOWNS],
    );
    let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
    judge(site, plan, heard, &mut report);
    report.verdict()
}

/// Applies every rule.
fn judge(
    site: &Site,
    plan: &Plan<'_>,
    heard: Option<&Heard>,
    report: &mut Report<'_>,
) -> findings::Words {
    // Of an image nobody knows how its sheets were written.
    let mut words = if site.is_image {
        findings::Words::default()
    } else {
        readings::report_readings(site, plan, report)
    };
    sized::report_sizes(site, plan, report, &mut words);
    rules::check(plan, report);
    if let Some(heard) = heard {
        rules::compare(plan, heard, report);
        heard::leave_open_what_is_no_number(plan, heard, report);
    }
    words
}

fn tell(teller: &findings::Teller<'_, '_>) -> Diagnosis {
    let (site, plan, report) = (teller.site, teller.plan, teller.report);
    let mut findings: Vec<_> =
        report.findings().iter().enumerate().map(|(at, one)| teller.diagnostic(at, one)).collect();
    findings.sort_by_key(|finding| {
        let first = finding.labels.first().map(|label| label.origin);
        (std::cmp::Reverse(finding.severity), first, finding.rule.rule().slug)
    });
    let mut met = Vec::new();
    let mut not_checked = Vec::new();
    let mut gaps = Vec::new();
    for (rule, _) in RULES {
        match report.outcome(*rule) {
            Outcome::NotRun => {}
            Outcome::Broken => gaps.extend(teller.gaps(*rule)),
            Outcome::Met => {
                met.push(*rule);
                gaps.extend(teller.gaps(*rule));
            }
            outcome @ (Outcome::Undemanded(_) | Outcome::Missing(_) | Outcome::Blocked(_)) => {
                not_checked.extend(teller.not_checked(*rule, outcome));
            }
        }
    }
    Diagnosis {
        verdict: report.verdict(),
        tally: report.tally(),
        stages: stages(site, teller.heard.is_some()),
        findings,
        waived: Vec::new(),
        idle_waivers: waivers::undated(&site.declared),
        day: None,
        counted: None,
        not_checked,
        gaps,
        met,
        undeclared: report
            .undeclared()
            .iter()
            .map(|datum| {
                let at = teller.places_without(datum);
                Undeclared { datum, places: teller.names(&at), at }
            })
            .collect(),
        questions: [site.declared.questions.clone(), site.declared.unconfirmed()].concat(),
        not_understood: site.declared.not_understood.clone(),
        site_demands: demands::of_the_site(site),
        looked_at_by_none: demands::looked_at_by_none(site, plan, teller.heard.is_some()),
        heard: None,
        unconfirmed: Vec::new(),
        after_confirming: None,
    }
}

/// The stages that run.
fn stages(site: &Site, is_heard: bool) -> Vec<&'static str> {
    let scope = site.scope;
    let mut stages = if site.is_image { Vec::new() } else { vec!["sheets"] };
    if scope.covers(Scope::COMMUNICATION) {
        stages.push("link");
    }
    if scope.covers(Scope::POWER) {
        stages.push("power");
    }
    if is_heard && scope.covers(Scope::COMMUNICATION) {
        stages.push("heard");
    }
    stages
}

/// The stage in which a rule is checked.
pub fn stage(rule: RuleId) -> &'static str {
    match rule.rule().check {
        Check::Reader => "sheets",
        Check::Link(_) => "link",
        Check::Power(_) | Check::Sized => "power",
        Check::Heard(_) => "heard",
    }
}

/// The declared thing that a place is about, if it has facts of its own.
fn subject(site: &Site, place: Place) -> Option<Subject> {
    let map = &site.assembled.map;
    Some(match place {
        Place::Group => Subject::Group,
        Place::Unit(unit) | Place::Port(unit, _) | Place::Terminator(unit) => {
            Subject::Unit(map.unit(unit)?)
        }
        Place::Cable(cable) => Subject::Cable(map.cable(cable)?),
        Place::Sensor(sensor) => Subject::Sensor(map.sensor(sensor)?),
        Place::Pack(pack) => Subject::Pack(map.pack(pack)?),
        Place::Device(device) => Subject::Device(map.device(device)?),
    })
}
