//! From files to a diagnosis: the one way that command line, page and tests all go.

use crate::assemble::{Assembled, assemble};
use crate::declared::Declared;
use crate::diagnosis::{self, Diagnosis};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::{self, Profile};
use crate::read::{self, RawSheet, ReadError};
use crate::source::Sheets;
use crate::statement::Statements;
use coldcheck_core::plan::{Plan, PlanError, Scope};
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
}

/// Reads files and makes the plan.
///
/// # Errors
/// Everything that cannot be read, with its place.
pub fn read_site(request: &Request<'_>) -> Result<Site, Refusal> {
    read_site_under(request, &mut |name| Ok(Arc::new(load_profile(name, request)?)))
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
    let declared = Declared::of(sheets, statements, &profile)?;
    let scope = request.scope.or_else(|| declared.scope()).unwrap_or(Scope::ALL);
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
    })
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
    let site = read_site(request)?;
    let diagnosis = diagnosis::diagnose(&site).map_err(|error| Refusal {
        sheets: site.declared.sheets.clone(),
        errors: vec![plan_error(&site.declared, error)],
    })?;
    Ok((site, diagnosis))
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

fn load_profile(name: &str, request: &Request<'_>) -> Result<Profile, Refusal> {
    let text = match profile::builtin(name) {
        Some(text) => text.to_owned(),
        None => (request.load_profile)(name)
            .map_err(|error| Refusal { sheets: Sheets::default(), errors: vec![error] })?,
    };
    Ok(profile::parse(name, &text)?)
}

fn plan_error(declared: &Declared, error: PlanError) -> ReadError {
    let file = declared.sheets.0.first().map_or("", |sheet| sheet.name.as_str());
    ReadError::file(
        file,
        format!("this site does not fit a plan ({error:?})"),
        "a site within the capacities that `coldcheck --help` names",
    )
}
