//! Reading sheets from files, and writing results without losing what is there.

use super::Failure;
use crate::args::{OutputArgs, ScopeArg, SiteArgs};
use crate::engine::{Request, Site};
use crate::mend::repair;
use crate::picture::file;
use crate::profile;
use crate::read::{MOST_BYTES, RawSheet, ReadError};
use crate::render::html::Picture;
use crate::tidy;
use crate::words::CAUTIONS;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};

/// Reads the sheets and hands the request on.
pub(super) fn with_request<T>(
    args: &SiteArgs,
    act: impl FnOnce(&Request<'_>) -> Result<T, Failure>,
) -> Result<T, Failure> {
    with_pictures(args, |request, _| act(request))
}

/// As [`with_request`], with the rows of photographs that a person must look at.
pub(super) fn with_pictures<T>(
    args: &SiteArgs,
    act: impl FnOnce(&Request<'_>, &[Picture]) -> Result<T, Failure>,
) -> Result<T, Failure> {
    let (files, pictures) = super::read::as_sheets(args, sheets(&args.sheets)?)?;
    let request = Request {
        files: &files,
        profile: args.profile.as_deref(),
        scope: args.scope.map(ScopeArg::scope),
        load_profile: &profiles_of(&args.sheets, args.profile.as_deref()),
    };
    act(&request, &pictures)
}

/// Reads files whole.
pub(super) fn sheets(paths: &[PathBuf]) -> Result<Vec<RawSheet>, Failure> {
    let mut files = Vec::new();
    let mut errors = Vec::new();
    for path in paths {
        match read(path) {
            Ok(bytes) => files.push(RawSheet { name: name(path), bytes }),
            Err(error) => errors.push(error),
        }
    }
    if !errors.is_empty() {
        return Err(Failure::Errors(crate::source::Sheets::default(), errors));
    }
    Ok(files)
}

pub(super) fn name(path: &Path) -> String {
    if is_stream(path) { "standard input".to_owned() } else { path.display().to_string() }
}

pub(super) fn is_stream(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// The bytes of a file or of standard input, one more than the most at the most: enough to know
/// that it is too large.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, ReadError> {
    let name = name(path);
    let cannot = |error: io::Error| {
        ReadError::file(&name, format!("it cannot be read: {error}"), "a file that can be read")
    };
    let mut bytes = Vec::new();
    let mut stream = stream(path)?;
    stream.by_ref().take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(cannot)?;
    if file::kind(&bytes).is_some() {
        // A picture may be larger than any sheet of text.
        stream.take(file::MOST_BYTES).read_to_end(&mut bytes).map_err(cannot)?;
    }
    Ok(bytes)
}

/// A file or standard input, to be read piece by piece.
pub(super) fn stream(path: &Path) -> Result<Box<dyn Read + Send>, ReadError> {
    if is_stream(path) {
        return Ok(Box::new(io::stdin()));
    }
    let name = name(path);
    if path.is_dir() {
        return Err(ReadError::file(&name, "this is a folder", "a file"));
    }
    let file = File::open(path).map_err(|error| {
        ReadError::file(&name, format!("it cannot be read: {error}"), "a file that can be read")
    })?;
    Ok(Box::new(file))
}

/// Ends of the names of sheets, and of readings.
const ENDS: [&str; 6] = ["toml", "csv", "tsv", "txt", "json", "jsonl"];
/// So many bytes say what a file is.
const HEAD: usize = 400;

/// The files of a folder that may be sheets or readings, in order of their names; what this program
/// wrote there is left out.
pub(super) fn in_folder(path: &Path) -> Result<Vec<PathBuf>, Failure> {
    let name = path.display().to_string();
    let cannot = |error: io::Error| {
        ReadError::file(&name, format!("it cannot be read: {error}"), "a folder of sheets")
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(path).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        let end = path.extension().and_then(|end| end.to_str()).unwrap_or("");
        let may_be = ENDS.iter().any(|one| end.eq_ignore_ascii_case(one));
        if path.is_file() && may_be && !is_own(&path)? {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Whether a file is what this program wrote of a site, or a table of what somebody read there.
fn is_own(path: &Path) -> Result<bool, ReadError> {
    let bytes = read(path)?;
    let head = String::from_utf8_lossy(bytes.get(..HEAD).unwrap_or(&bytes)).into_owned();
    let first = head.lines().next().unwrap_or("").to_lowercase();
    let is_table = ["quantity", "value", "instrument"].iter().all(|word| first.contains(word))
        && !first.starts_with('{');
    Ok(is_table || head.contains("\"schema\": \"coldcheck."))
}

/// Whether a text is what a command told on the terminal: such a text ends with the cautions. A site
/// file has them in remarks at the most. Its lines look like settings, and are none.
pub(super) fn is_saved_answer(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let first: Vec<&str> = CAUTIONS.split_whitespace().take(6).collect();
    let begins = first.join(" ");
    text.lines().rev().take(20).any(|line| line.starts_with(&begins))
}

/// Whether this program wrote a file as a whole site, beside the sheets that it was made of.
pub(super) fn is_written_site(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes.get(..HEAD).unwrap_or(bytes)).into_owned();
    let heads = [tidy::HEAD.first(), repair::HEAD.first()];
    heads.into_iter().flatten().any(|head| text.contains(head))
}

/// The text of a profile that is not built in.
pub(super) fn load_profile(name: &str) -> Result<String, ReadError> {
    let path = Path::new(name);
    let looks_like_a_file = path.extension().is_some() || name.contains(std::path::MAIN_SEPARATOR);
    if !looks_like_a_file && !path.exists() {
        return Err(ReadError::file(
            name,
            "no profile has this name",
            format!(
                "{}, or the file of a profile",
                crate::phrase::one_of(&profile::builtin_names())
            ),
        ));
    }
    String::from_utf8(read(path)?)
        .map_err(|_| ReadError::file(name, "this is not a text file", "a profile in TOML"))
}

/// Reads profiles for a site: the path that the command line names starts from the shell's folder;
/// the one that a sheet names starts from the sheet's, and only if none is there from the shell's.
pub(super) fn profiles_of<'p>(
    sheets: &'p [PathBuf],
    named: Option<&'p str>,
) -> impl Fn(&str) -> Result<String, ReadError> + 'p {
    move |name| match beside(sheets, name).filter(|_| named != Some(name)) {
        Some(path) => load_profile(&path.to_string_lossy()),
        None => load_profile(name),
    }
}

/// The file of this name, seen from the folder of one of these.
fn beside(sheets: &[PathBuf], name: &str) -> Option<PathBuf> {
    let folders = sheets.iter().filter(|path| !is_stream(path)).filter_map(|path| path.parent());
    folders.map(|folder| folder.join(name)).find(|path| path.is_file())
}

/// A path to a file as it is seen from a folder, which need not be there yet.
pub(super) fn seen_from(folder: &Path, path: &str) -> String {
    let (Some(from), Some(to)) = (whole(folder), whole(Path::new(path))) else {
        return path.to_owned();
    };
    let same = from.components().zip(to.components()).take_while(|(one, other)| one == other);
    let same = same.count();
    let up = from.components().skip(same).map(|_| Component::ParentDir);
    let way: PathBuf = up.chain(to.components().skip(same)).collect();
    way.to_string_lossy().into_owned()
}

/// The path from the root on, without `..`.
fn whole(path: &Path) -> Option<PathBuf> {
    let path = std::path::absolute(path).ok()?;
    Some(path.components().fold(PathBuf::new(), |mut whole, part| {
        if part == Component::ParentDir {
            whole.pop();
        } else {
            whole.push(part);
        }
        whole
    }))
}

/// Writes a result to the file that is named, else to the stream. A file that is there is never
/// overwritten without being asked to, and a sheet or profile that was read not even then.
pub(super) fn write(
    inputs: &[PathBuf],
    args: &OutputArgs,
    out: &mut dyn Write,
    bytes: &[u8],
) -> Result<(), Failure> {
    let Some(path) = args.output.as_deref().filter(|path| !is_stream(path)) else {
        return Ok(out.write_all(bytes)?);
    };
    write_file(inputs, path, args.force, bytes)
}

/// Every file that was read for a site: its sheets, and the profile that the command line or a
/// sheet names.
pub(super) fn inputs(args: &SiteArgs, site: &Site) -> Vec<PathBuf> {
    inputs_with(&args.sheets, site)
}

/// These files, and the profile of the site.
pub(super) fn inputs_with(files: &[PathBuf], site: &Site) -> Vec<PathBuf> {
    let named = site.profile_named.iter();
    let profile = named.flat_map(|named| beside(files, named).into_iter().chain([named.into()]));
    files.iter().cloned().chain(profile).collect()
}

/// Writes a file. One that is there is overwritten only if that is asked for, one that was read
/// not even then.
pub(super) fn write_file(
    inputs: &[PathBuf],
    path: &Path,
    force: bool,
    bytes: &[u8],
) -> Result<(), Failure> {
    let mut file = open(inputs, path, force)?;
    file.write_all(bytes).map_err(|error| not_written(path, &error))
}

/// Opens a file to write to, under the same conditions as [`write_file`].
pub(super) fn open(inputs: &[PathBuf], path: &Path, force: bool) -> Result<File, Failure> {
    let same = |read: &PathBuf| {
        read.canonicalize().ok().is_some_and(|read| path.canonicalize().ok() == Some(read))
    };
    if inputs.iter().any(same) {
        return Err(ReadError::file(
            &path.display().to_string(),
            "this file was read for the command, and it would be lost",
            "another name",
        )
        .into());
    }
    let mut options = OpenOptions::new();
    options.write(true);
    if force {
        options.create(true).truncate(true);
    } else {
        options.create_new(true);
    }
    options.open(path).map_err(|error| not_written(path, &error))
}

/// Why a file cannot be written.
pub(super) fn not_written(path: &Path, error: &io::Error) -> Failure {
    let (says, expected) = if error.kind() == io::ErrorKind::AlreadyExists {
        ("the file is there already".to_owned(), "another name, or --force to overwrite it")
    } else {
        (format!("it cannot be written: {error}"), "a file that can be written")
    };
    ReadError::file(&path.display().to_string(), says, expected).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_seen_from_another_folder() {
        for (folder, path, seen) in [
            ("site", "mine.toml", "../mine.toml"),
            ("sites/terrace", "profiles/mine.toml", "../../profiles/mine.toml"),
            ("sites/terrace", "sites/terrace/mine.toml", "mine.toml"),
            (".", "mine.toml", "mine.toml"),
            ("../other", "../mine.toml", "../mine.toml"),
            ("/a/b", "/a/mine.toml", "../mine.toml"),
        ] {
            assert_eq!(seen_from(Path::new(folder), path), seen, "{folder} {path}");
        }
    }
}
