//! The site as it should be: what the sheets say before anything is done to it.

use super::cause::{Cause, causes};
use crate::engine::{Request, Site, plan, read_site};
use crate::fault::heard::Traffic;
use crate::fault::{Group, Layout};
use crate::field::Field;
use crate::meter::names::Names;
use crate::meter::topology::Topology;
use crate::meter::values::Values;
use crate::read::{RawSheet, ReadError};
use crate::site_file::SiteFile;
use coldcheck_core::ohms::Conditions;
use coldcheck_core::plan::Dialect;

/// A right group with all that can be done to it.
#[derive(Debug)]
pub struct Bench {
    /// The group.
    pub right: Group,
    /// The same with everything stated that sizes are computed from.
    pub sized: Group,
    /// Both as site files.
    pub right_file: SiteFile,
    /// Both as site files.
    pub sized_file: SiteFile,
    /// What is heard of it.
    pub traffic: Traffic,
    /// The link.
    pub link: Link,
    /// Everything that may be wrong.
    pub causes: Vec<Cause>,
}

/// The link of a site as a circuit.
#[derive(Debug)]
pub struct Link {
    /// The site that it was made from.
    pub site: Site,
    /// The circuit.
    pub topology: Topology,
    /// Every part as usual.
    pub usual: Values,
    /// Names of its points.
    pub points: Vec<String>,
    /// Names of its cables.
    pub cables: Vec<String>,
}

impl Link {
    /// The link of sheets; `None` if they cannot be read.
    pub fn of(sheets: &[RawSheet]) -> Option<Self> {
        let site = read(sheets)?;
        let plan = plan(&site).ok()?;
        let topology = Topology::of(&plan);
        let usual = Values::of(&Conditions::typical(&plan), &topology);
        let names = Names::of(&site, &topology);
        let (points, cables) = (names.points.clone(), names.cables.clone());
        Some(Self { site, topology, usual, points, cables })
    }

    /// The position of a point.
    pub fn point(&self, name: &str) -> Option<usize> {
        self.points.iter().position(|point| point == name)
    }

    /// The position of a cable.
    pub fn cable(&self, label: &str) -> Option<usize> {
        self.cables.iter().position(|cable| cable == label)
    }
}

/// Reads sheets of a built-in profile.
pub(super) fn read(sheets: &[RawSheet]) -> Option<Site> {
    let no_other = |name: &str| Err(ReadError::file(name, "no such profile", "a built-in one"));
    read_site(&Request { files: sheets, profile: None, scope: None, load_profile: &no_other }).ok()
}

impl Bench {
    /// Builds a group; `None` if its profile has no such group.
    pub fn build(layout: Layout, name: &str) -> Option<Self> {
        let mut right = Group::build(layout)?;
        right.set_line(Field::Site.key(), name);
        // Where the profile lists frames, units tell most.
        let traffic = Traffic::of(&mut right, Dialect::FrameMap);
        let traffic = traffic.or_else(|| Traffic::of(&mut right, Dialect::CanOpen))?;
        let mut sized = right.clone();
        sized.size();
        let link = Link::of(&right.sheets())?;
        let names = (link.points.as_slice(), link.cables.as_slice());
        let causes = causes(&right, &link.topology, names, &traffic);
        let (right_file, sized_file) = (right.site_file(), sized.site_file());
        Some(Self { right, sized, right_file, sized_file, traffic, link, causes })
    }

    /// A fault by its name.
    pub fn cause(&self, id: &str) -> Option<&Cause> {
        let (kind, nth) = id.split_once('/')?;
        let nth: usize = nth.parse().ok()?;
        self.causes.iter().find(|cause| cause.kind == kind && cause.nth == nth)
    }

    /// The unit in which the gateway listens: the first of the line.
    pub fn listens_at(&self) -> u16 {
        self.right.layout.order.first().copied().unwrap_or(1)
    }
}
