//! From files to a diagnosis: the one way that command line, page and tests all go.

use crate::assemble::{Assembled, Map, assemble};
use crate::declared::Declared;
use crate::diagnosis::{self, Diagnosis};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::hearing::Hearing;
use crate::image::{self, BadImage};
use crate::log::Reader;
use crate::profile::{self, Profile};
use crate::read::{self, RawSheet, ReadError};
use crate::source::Sheets;
use crate::statement::Statements;
use coldcheck_core::limits;
use coldcheck_core::plan::{Demand, DemandSet, Dialect, Plan, PlanError, Scope};
use std::sync::Arc;

/// What to check, and how.
pub struct Request<'r> {
    /// The files of one site.
    pub files: &'r [RawSheet],
    /// A profile by name or file, in place of the one that a sheet names.
    pub profile: Option<&'r str>,
    /// The parts to check, in place of what a sheet says.
    pub scope: Option<Scope>,
    /// Fetches a profile that is not built in; the page has no files to fetch from.
    pub load_profile: &'r dyn Fn(&str) -> Result<String, ReadError>,
}

/// Why nothing was checked: errors, and the sheets to show them in.
#[derive(Debug)]
pub struct Refusal {
    /// The sheets.
    pub sheets: Sheets,
    /// What is wrong with them.
    pub errors: Vec<ReadError>,
}

impl From<(Sheets, Vec<ReadError>)> for Refusal {
    fn from((sheets, errors): (Sheets, Vec<ReadError>)) -> Self {
        Self { sheets, errors }
    }
}

/// A site that was read, and the plan made from it.
#[derive(Debug)]
pub struct Site {
    /// What was declared.
    pub declared: Declared,
    /// What is demanded.
    pub profile: Arc<Profile>,
    /// The profile as the request or a sheet names it.
    pub profile_named: Option<String>,
    /// Whether nobody named the profile.
    pub profile_assumed: bool,
    /// The parts that the check is about.
    pub scope: Scope,
    /// The plan.
    pub assembled: Assembled,
    /// Whether all of it comes from a plan image, so that nothing is known of any sheet.
    pub is_image: bool,
}

/// Reads files and makes the plan.
///
/// # Errors
/// Everything that cannot be read, with its place.
pub fn read_site(request: &Request<'_>) -> Result<Site, Refusal> {
    read_site_under(request, &mut |name| load_profile(name, request))
}

/// As [`read_site`], with profiles from elsewhere: whoever reads many sites keeps them.
///
/// # Errors
/// As [`read_site`].
pub fn read_site_under(
    request: &Request<'_>,
    profile_called: &mut dyn FnMut(&str) -> Result<Arc<Profile>, Refusal>,
) -> Result<Site, Refusal> {
    let (sheets, statements) = read::read(request.files)?;
    let named = request.profile.map(ToOwned::to_owned).or_else(|| profile_in(&statements));
    let profile = profile_called(named.as_deref().unwrap_or(profile::ASSUMED))?;
    let mut declared = Declared::of(sheets, statements, &profile)?;
    let scope = request.scope.or_else(|| declared.scope()).unwrap_or(Scope::ALL);
    if scope.covers(Scope::POWER) {
        declared.ask_for_side_of_boards();
    }
    let assembled = match assemble(&declared, &profile, scope) {
        Ok(assembled) => assembled,
        Err(error) => {
            let errors = vec![plan_error(&declared, error)];
            return Err(Refusal { sheets: declared.sheets, errors });
        }
    };
    Ok(Site {
        declared,
        profile,
        profile_assumed: named.is_none(),
        profile_named: named,
        scope,
        assembled,
        is_image: false,
    })
}

/// The site of a plan image: the plan itself, and the names behind it.
///
/// # Errors
/// [`BadImage`] if anything in the file is not as it was written.
pub fn site_of_image(bytes: &[u8]) -> Result<Site, BadImage> {
    let (plan, names) = image::read(bytes)?;
    let map = Map {
        units: (0..plan.units.len()).collect(),
        cables: (0..plan.cables.len()).collect(),
        packs: (0..plan.packs.len()).collect(),
        sensors: (0..plan.sensors.len()).collect(),
        devices: (0..plan.devices.len()).collect(),
    };
    // Written anew, so that an image of an older format is read as one of today's.
    let body = body_of(&plan).map_err(BadImage::Plan)?;
    Ok(Site {
        declared: Declared::of_image(&plan, &names),
        profile: Arc::new(Profile::of_image(&plan, &names)),
        profile_named: None,
        profile_assumed: false,
        scope: plan.group.scope(),
        assembled: Assembled { body, map },
        is_image: true,
    })
}

fn body_of(plan: &Plan<'_>) -> Result<Vec<u8>, PlanError> {
    let mut memory = vec![0; limits::BODY_BYTES];
    Ok(plan.encode(&mut memory)?.to_vec())
}

impl Site {
    /// Takes every act that is to do as done, though nobody confirmed it.
    pub fn assume_done(&mut self) {
        if self.declared.unconfirmed().is_empty() {
            return;
        }
        self.declared.to_do.iter_mut().for_each(|one| one.assumed = true);
        let body = plan(self).ok().and_then(|plan| {
            let group = diagnosis::without_acts(&plan, &self.declared);
            body_of(&Plan { group: &group, ..plan }).ok()
        });
        self.assembled.body = body.unwrap_or_else(|| std::mem::take(&mut self.assembled.body));
    }

    /// Demands another dialect than profile and sheets do.
    ///
    /// # Errors
    /// If the dialect is that of a frame map, and no frame is listed.
    pub fn demand_dialect(&mut self, dialect: Dialect) -> Result<(), ReadError> {
        let wrong = |says: &str| {
            ReadError::file("the dialect", says, "canopen, j1939, or a profile that lists frames")
        };
        let plan = Plan::from_body(&self.assembled.body)
            .map_err(|error| wrong(&format!("the plan cannot be read ({error:?})")))?;
        if dialect == Dialect::FrameMap && plan.frames.is_empty() {
            return Err(wrong("the profile lists no frame, so a frame map says nothing"));
        }
        let mut demands = *plan.demands;
        demands.stated = (demands.stated.get() | DemandSet::of(&[Demand::Dialect]).0).into();
        if let Some(value) = demands.values.get_mut(Demand::Dialect.position() as usize) {
            *value = u32::from(dialect.code()).into();
        }
        let body = body_of(&Plan { demands: &demands, ..plan })
            .map_err(|error| wrong(&format!("the plan cannot be written ({error:?})")))?;
        self.assembled.body = body;
        Ok(())
    }
}

/// Reads files, checks the site and says what was found.
///
/// # Errors
/// As [`read_site`].
///
/// ```
/// use coldcheck::engine::{Request, examine};
/// use coldcheck::read::{RawSheet, ReadError};
///
/// let files = [RawSheet {
///     name: "site.txt".to_owned(),
///     bytes: b"unit 1 = coordinator, addr 1\nunit 2 = follower, addr 1\n".to_vec(),
/// }];
/// let request = Request {
///     files: &files,
///     profile: None,
///     scope: None,
///     load_profile: &|name| Err(ReadError::file(name, "no such profile", "a built-in one")),
/// };
/// let (_, diagnosis) = examine(&request).expect("the sheet can be read");
/// assert_eq!(diagnosis.findings[0].rule.rule().slug, "address-duplicate");
/// ```
pub fn examine(request: &Request<'_>) -> Result<(Site, Diagnosis), Refusal> {
    examine_as(request, false)
}

/// As [`examine`], with every act that is to do taken as done if that is wanted.
///
/// # Errors
/// As [`read_site`].
pub fn examine_as(request: &Request<'_>, assume_done: bool) -> Result<(Site, Diagnosis), Refusal> {
    let mut site = read_site(request)?;
    if assume_done {
        site.assume_done();
    }
    let diagnosis = diagnosis::diagnose(&site).map_err(|error| Refusal {
        sheets: site.declared.sheets.clone(),
        errors: vec![plan_error(&site.declared, error)],
    })?;
    Ok((site, diagnosis))
}

/// Reads files, checks the site, holds it against what a log tells, and says what was found. The
/// files may be one plan image instead of sheets.
///
/// # Errors
/// As [`read_site`], and if the log cannot be read.
///
/// ```
/// use coldcheck::engine::{Request, examine_heard};
/// use coldcheck::read::{RawSheet, ReadError};
///
/// let sheet = b"dialect = canopen\nunit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";
/// let files = [RawSheet { name: "site.txt".to_owned(), bytes: sheet.to_vec() }];
/// let request = Request {
///     files: &files,
///     profile: None,
///     scope: None,
///     load_profile: &|name| Err(ReadError::file(name, "no such profile", "a built-in one")),
/// };
/// let log: String = (1..5).map(|second| format!("({second}.5) can0 701#05\n")).collect();
/// let log = RawSheet { name: "bus.log".to_owned(), bytes: log.as_bytes().to_vec() };
/// let (_, diagnosis) = examine_heard(&request, &log).expect("sheet and log can be read");
/// let found = diagnosis.findings.iter().map(|finding| finding.rule.rule().slug);
/// assert_eq!(found.collect::<Vec<_>>(), ["unit-silent"]);
/// ```
pub fn examine_heard(request: &Request<'_>, log: &RawSheet) -> Result<(Site, Diagnosis), Refusal> {
    let site = site_of(request)?;
    let refuse = |error| Refusal { sheets: site.declared.sheets.clone(), errors: vec![error] };
    let no_plan = |error| refuse(plan_error(&site.declared, error));
    let plan = plan(&site).map_err(no_plan)?;
    let mut hearing = Hearing::of(&plan, Reader::new(&log.name, None));
    hearing.push(&log.bytes).map_err(refuse)?;
    hearing.finish().map_err(refuse)?;
    let diagnosis = diagnosis::diagnose_heard(&site, &hearing).map_err(no_plan)?;
    Ok((site, diagnosis))
}

/// The site of sheets, or of one plan image: which it is, is told by what the file holds.
///
/// # Errors
/// As [`read_site`], and if an image is damaged, or stands beside anything else.
pub fn site_of(request: &Request<'_>) -> Result<Site, Refusal> {
    let Some(file) = request.files.iter().find(|file| image::is_one(&file.bytes)) else {
        return read_site(request);
    };
    let refuse = |says: String, expected: &str| Refusal {
        sheets: Sheets::default(),
        errors: vec![ReadError::file(&file.name, says, expected)],
    };
    if request.files.len() > 1 {
        return Err(refuse("this is a plan image".to_owned(), "it alone, or sheets alone"));
    }
    if request.profile.is_some() || request.scope.is_some() {
        return Err(refuse(
            "this is a plan image, and profile and scope are part of it".to_owned(),
            "no --profile and no --scope, or the sheets",
        ));
    }
    let site = site_of_image(&file.bytes)
        .map_err(|error| refuse(error.to_string(), "an image as coldcheck wrote it"))?;
    let is_empty_map = |plan: Plan<'_>| {
        plan.demands.dialect() == Some(Dialect::FrameMap) && plan.frames.is_empty()
    };
    if plan(&site).is_ok_and(is_empty_map) {
        return Err(refuse(
            "the plan demands a frame map and lists no frame".to_owned(),
            "an image made with a profile that lists frames",
        ));
    }
    Ok(site)
}

/// The plan of a site, read back from its bytes.
///
/// # Errors
/// [`PlanError`] never for a site that [`read_site`] gave.
pub fn plan(site: &Site) -> Result<Plan<'_>, PlanError> {
    Plan::from_body(&site.assembled.body)
}

/// The profile that a sheet names.
fn profile_in(statements: &[Statements]) -> Option<String> {
    statements
        .iter()
        .flat_map(|statements| &statements.settings)
        .find(|setting| {
            // It may stand below the last unit's section, and is the group's unless that kind of
            // thing has such a fact.
            let key = Folded::of(&setting.key.text);
            setting.kind.is_none_or(|kind| Field::find(kind, &key).is_none())
                && Field::find(About::Group, &key) == Some(Field::Profile)
        })
        .map(|setting| setting.value.text.clone())
}

fn load_profile(name: &str, request: &Request<'_>) -> Result<Arc<Profile>, Refusal> {
    if let Some(kept) = profile::kept(name) {
        return Ok(kept);
    }
    let text = (request.load_profile)(name)
        .map_err(|error| Refusal { sheets: Sheets::default(), errors: vec![error] })?;
    Ok(Arc::new(profile::parse(name, &text)?))
}

fn plan_error(declared: &Declared, error: PlanError) -> ReadError {
    let file = declared.sheets.0.first().map_or("", |sheet| sheet.name.as_str());
    ReadError::file(
        file,
        format!("this site does not fit a plan ({error:?})"),
        "a site within the capacities that `coldcheck --help` names",
    )
}
