//! Plan images on the host: written with the people's names behind the plan, and read back.

mod describe;

pub use describe::describe;

use crate::engine::Site;
use coldcheck_core::image::{
    HEADER_BYTES, Image, ImageError, MAGIC, TRAILER_HEADER_BYTES, TRAILER_MAGIC, header,
    trailer_header,
};
use coldcheck_core::plan::{Plan, PlanError};
use serde::{Deserialize, Serialize};
use std::fmt;

/// The people's words for what the plan numbers, in the order of the plan.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Names {
    /// The site.
    pub site: String,
    /// The profile.
    pub profile: String,
    /// The sockets of a unit.
    pub ports: Vec<String>,
    /// The units.
    pub units: Vec<String>,
    /// The cables.
    pub cables: Vec<String>,
    /// The packs.
    pub packs: Vec<String>,
    /// The sensors.
    pub sensors: Vec<String>,
    /// Other devices.
    pub devices: Vec<String>,
}

/// Why a file is no plan image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BadImage {
    /// Header, checksum or trailer.
    Image(ImageError),
    /// The plan inside.
    Plan(PlanError),
    /// The names behind it.
    Names,
}

impl fmt::Display for BadImage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Image(ImageError::Truncated) => f.write_str("the image is cut short"),
            Self::Image(ImageError::NotAnImage) => f.write_str("this is not a plan image"),
            Self::Image(ImageError::UnknownVersion(version)) => {
                write!(f, "the image has format {version}, which this program does not know")
            }
            Self::Image(ImageError::BadHeader) => f.write_str("the header of the image is damaged"),
            Self::Image(ImageError::ChecksumMismatch) => {
                f.write_str("the checksum does not fit: the image was changed after it was written")
            }
            Self::Image(ImageError::BadTrailer) | Self::Names => {
                f.write_str("the names behind the plan are damaged")
            }
            Self::Plan(PlanError::UnknownDemand) => f.write_str(
                "the plan in the image holds a demand of a later version of this program",
            ),
            Self::Plan(error) => write!(f, "the plan in the image is damaged ({error:?})"),
        }
    }
}

impl std::error::Error for BadImage {}

/// The image of a site, with names.
pub fn write(site: &Site) -> Vec<u8> {
    let body = &site.assembled.body;
    // A body is below 8 KiB, and names of a site below 4 MiB, so both lengths fit.
    let mut image = header(body).unwrap_or_default().to_vec();
    image.extend(body);
    let names = postcard::to_allocvec(&names(site)).unwrap_or_default();
    image.extend(trailer_header(&names).unwrap_or_default());
    image.extend(names);
    image
}

fn names(site: &Site) -> Names {
    let (declared, map) = (&site.declared, &site.assembled.map);
    Names {
        site: declared.site_name().unwrap_or_default().to_owned(),
        profile: site.profile.name.clone(),
        ports: site.profile.ports.iter().map(|port| port.name.clone()).collect(),
        units: map.units.iter().map(|unit| declared.units[*unit].name.clone()).collect(),
        cables: map.cables.iter().map(|cable| declared.cables[*cable].label.clone()).collect(),
        packs: map.packs.iter().map(|pack| declared.packs[*pack].name.clone()).collect(),
        sensors: map
            .sensors
            .iter()
            .map(|sensor| declared.sensors[*sensor].0.name.clone())
            .collect(),
        devices: map
            .devices
            .iter()
            .map(|device| declared.devices[*device].0.name.clone())
            .collect(),
    }
}

/// Whether a file is, or was, an image: it begins like one, and like no text.
pub fn is_one(bytes: &[u8]) -> bool {
    let head = bytes.get(..HEADER_BYTES).unwrap_or(bytes);
    head.starts_with(&MAGIC) && head.contains(&0)
}

/// What stands behind the body of an image, without the padding of the flash that it was read back
/// from: bytes at the end that are all those of empty flash, or all zero.
pub(crate) fn without_padding(rest: &[u8]) -> &[u8] {
    let names = rest.strip_prefix(&TRAILER_MAGIC).and_then(|behind| behind.first_chunk::<4>());
    let names =
        names.map(|length| usize::try_from(u32::from_le_bytes(*length)).unwrap_or(usize::MAX));
    let end = names.map_or(0, |names| names.saturating_add(TRAILER_HEADER_BYTES));
    let Some((whole, padding)) = rest.split_at_checked(end) else { return rest };
    let is_all = |sign: u8| padding.iter().all(|byte| *byte == sign);
    if is_all(EMPTY_FLASH) || is_all(0) { whole } else { rest }
}

/// What flash holds that nobody has written.
const EMPTY_FLASH: u8 = 0xFF;

/// The plan and the names of an image; an image without names has empty ones.
///
/// # Errors
/// [`BadImage`] if anything in the file is not as it was written.
pub fn read(bytes: &[u8]) -> Result<(Plan<'_>, Names), BadImage> {
    let image = Image::read(bytes).map_err(BadImage::Image)?;
    let image = Image { rest: without_padding(image.rest), ..image };
    let plan = image.plan().map_err(BadImage::Plan)?;
    let names = match image.trailer().map_err(BadImage::Image)? {
        Some(bytes) => postcard::from_bytes(bytes).map_err(|_| BadImage::Names)?,
        None => Names::default(),
    };
    Ok((plan, names))
}
