//! Files on disk: read as text within one folder, written whole or not at all.

use crate::engine::{Day, Files, Unreadable};
use crate::faces::stowed::{shown, told};
use crate::source::{SheetPath, Text};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, Metadata};
use std::io::{self, BufRead, BufReader, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The largest document that is read, in bytes. A sheet of this size would print on some four thousand pages.
pub(super) const LIMIT: u64 = 8 * 1024 * 1024;
/// Whether a file answers to its own name alone, letter by letter.
const NAMES_ARE_EXACT: bool = cfg!(all(unix, not(target_vendor = "apple")));
/// How many bytes of pictures a batch keeps, for sheets that show the same ones.
const PICTURES: usize = 64 * 1024 * 1024;

/// The documents below one folder. Each is read once, so that every sheet of a run sees the same text.
#[derive(Debug)]
pub(super) struct Disk {
    // Free of links, so that "below" can be told from the text of a path.
    root: PathBuf,
    // Whether folders stay what they are while this lasts.
    is_still: bool,
    day: Option<Day>,
    seen: Mutex<Seen>,
}

/// What a second look at a file has shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// It says what it said.
    Same,
    /// It has gone or is empty, and may come back at once.
    Halfway,
    /// It says something else now, which is known from here on.
    Changed,
}

#[derive(Debug, Default)]
struct Seen {
    texts: BTreeMap<SheetPath, Result<Text, Unreadable>>,
    // Pictures, and how many bytes of them were read since there were none.
    bytes: BTreeMap<SheetPath, Result<Arc<[u8]>, Unreadable>>,
    weight: usize,
    // Where they really stand, so that no output is written over one of them.
    places: BTreeSet<PathBuf>,
    // Those that one document read of another, and what was put here: they are kept.
    shared: BTreeSet<SheetPath>,
    // Folders free of links, as they were first met.
    folders: BTreeMap<PathBuf, PathBuf>,
    // What was last read of each, as a digest; the same of pictures.
    digests: BTreeMap<SheetPath, String>,
    picture_digests: BTreeMap<SheetPath, String>,
}

impl Disk {
    /// The documents below `root`, which must be free of links (`fs::canonicalize`).
    pub(super) fn new(root: PathBuf) -> Self {
        Disk { root, is_still: false, day: None, seen: Mutex::default() }
    }

    /// The same, for one run: where a folder really stands is asked once.
    pub(super) fn standing_still(self) -> Self {
        Disk { is_still: true, ..self }
    }

    /// Where `path` would stand, whether or not it does.
    pub(super) fn place(&self, path: &SheetPath) -> PathBuf {
        self.root.join(path.as_str())
    }

    /// The names of the files in `folder`; none of a folder that cannot be listed, or is not below ours.
    pub(super) fn names(&self, folder: &SheetPath) -> Vec<String> {
        let place = fs::canonicalize(self.place(folder)).ok().filter(|place| place.starts_with(&self.root));
        let entries = place.and_then(|place| fs::read_dir(place).ok()).into_iter().flatten().filter_map(Result::ok);
        let files = entries.filter(|entry| entry.file_type().is_ok_and(|kind| !kind.is_dir()));
        files.filter_map(|entry| entry.file_name().into_string().ok()).collect()
    }

    /// Lets `path` stand for what can be read from `input` now.
    pub(super) fn put(&self, path: &SheetPath, input: impl Read) {
        let text = read_text((input, 0));
        let mut seen = self.seen();
        seen.texts.insert(path.clone(), text);
        seen.shared.insert(path.clone());
    }

    /// What `path` says now, which is not kept.
    pub(super) fn glance(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        if let Some(known) = self.seen().texts.get(path) {
            return known.clone();
        }
        let opened = self.open(path);
        let place = opened.as_ref().ok().map(|(place, _)| place.clone());
        let text = opened.and_then(|(_, file)| read_text(file));
        let digest = told(&text);
        let mut seen = self.seen();
        seen.places.extend(place);
        seen.digests.insert(path.clone(), digest);
        text
    }

    /// What `path` says, as a digest: what it said when it was last glanced at, else now.
    pub(super) fn digest(&self, path: &SheetPath) -> String {
        if let Some(known) = self.seen().digests.get(path) {
            return known.clone();
        }
        let digest = told(&self.glance(path));
        self.seen().digests.insert(path.clone(), digest.clone());
        digest
    }

    /// What the picture at `path` is now, as a digest.
    pub(super) fn picture_digest(&self, path: &SheetPath) -> String {
        if let Some(known) = self.seen().picture_digests.get(path) {
            return known.clone();
        }
        let digest = shown(&self.open(path).and_then(|(_, file)| read_bytes(file)));
        self.seen().picture_digests.insert(path.clone(), digest.clone());
        digest
    }

    /// Lets go of the text of `path`, which has been worked, unless another document has asked for it. Of the files that
    /// were `asked` for with it the others are kept, since they are likely to be asked for again; of pictures only as many
    /// as do not fill the memory.
    pub(super) fn release<'a>(&self, path: &SheetPath, asked: impl Iterator<Item = &'a SheetPath>) {
        let mut seen = self.seen();
        seen.shared.extend(asked.filter(|asked| *asked != path).cloned());
        if !seen.shared.contains(path) {
            seen.texts.remove(path);
        }
        if seen.weight > PICTURES {
            seen.bytes.clear();
            seen.weight = 0;
        }
    }

    /// Whether `place` is a document that has been read.
    pub(super) fn is_source(&self, place: &Path) -> bool {
        fs::canonicalize(place).is_ok_and(|place| self.seen().places.contains(&place))
    }

    /// Every path that has been asked for, those of files that are not there among them.
    pub(super) fn asked(&self) -> Vec<SheetPath> {
        let seen = self.seen();
        seen.texts.keys().chain(seen.bytes.keys()).cloned().collect()
    }

    /// Lets go of every text but those of `wanted`.
    pub(super) fn keep(&self, wanted: &BTreeSet<SheetPath>) {
        let mut seen = self.seen();
        seen.texts.retain(|path, _| wanted.contains(path));
        seen.bytes.retain(|path, _| wanted.contains(path));
    }

    /// Reads `path` again. What is known of it stays as it was when nothing has changed and, unless `settled`, when a
    /// file that said something has gone or is empty: it is likely being saved at this moment.
    pub(super) fn look_again(&self, path: &SheetPath, settled: bool) -> Look {
        let picture = self.seen().bytes.get(path).cloned();
        let mut same = Look::Same;
        if let Some(known) = picture {
            let bytes = self.open(path).and_then(|(_, file)| read_bytes(file));
            if bytes != known {
                let halfway = matches!(&bytes, Err(Unreadable::Missing)) || bytes.as_ref().is_ok_and(|bytes| bytes.is_empty());
                if halfway && !settled && known.is_ok_and(|known| !known.is_empty()) {
                    return Look::Halfway;
                }
                self.seen().bytes.insert(path.clone(), bytes);
                same = Look::Changed;
            }
        }
        let Some(known) = self.seen().texts.get(path).cloned() else { return same };
        let opened = self.open(path);
        let place = opened.as_ref().ok().map(|(place, _)| place.clone());
        let text = opened.and_then(|(_, file)| read_text(file));
        if text == known {
            return same;
        }
        let said_something = known.as_ref().is_ok_and(|text| !text.as_str().is_empty());
        let halfway = matches!(&text, Err(Unreadable::Missing)) || text.as_ref().is_ok_and(|text| text.as_str().is_empty());
        if said_something && halfway && !settled {
            return Look::Halfway;
        }
        let mut seen = self.seen();
        seen.places.extend(place);
        seen.texts.insert(path.clone(), text);
        Look::Changed
    }

    /// The places on disk that the text of `path` rests on: its own, those of the links it is reached by, and where it
    /// really stands.
    pub(super) fn spots(&self, path: &SheetPath) -> Vec<PathBuf> {
        let mut at = self.root.join(path.as_str());
        let mut spots = vec![at.clone()];
        // A link to a link to a link: the chain a system follows is shorter than this.
        for _ in 0..40 {
            let Ok(target) = fs::read_link(&at) else { break };
            at = at.parent().unwrap_or(&self.root).join(target);
            spots.push(at.clone());
        }
        spots.extend(fs::canonicalize(&at));
        spots.extend(at.parent().and_then(|folder| Some(fs::canonicalize(folder).ok()?.join(at.file_name()?))));
        spots.sort();
        spots.dedup();
        spots
    }

    fn seen(&self) -> MutexGuard<'_, Seen> {
        // A panic elsewhere leaves complete entries behind: they are made before they are put in.
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    // Where it stands, and the open file with its length.
    fn open(&self, path: &SheetPath) -> Result<(PathBuf, (File, usize)), Unreadable> {
        let relative = Path::new(path.as_str());
        if !relative.components().all(|part| matches!(part, Component::Normal(_))) {
            return Err(Unreadable::Outside);
        }
        // Facts are asked before opening: opening a pipe would wait for its writer.
        let (place, facts) = self.found(&self.root.join(relative)).map_err(refused)?;
        if !place.starts_with(&self.root) {
            return Err(Unreadable::Outside);
        }
        if facts.is_dir() {
            return Err(Unreadable::Denied("it is a folder".to_string()));
        }
        if !facts.is_file() {
            return Err(Unreadable::Denied("it is not a plain file".to_string()));
        }
        if facts.len() > LIMIT {
            return Err(Unreadable::TooLarge { bytes: facts.len(), limit: LIMIT });
        }
        let file = File::open(&place).map_err(refused)?;
        Ok((place, (file, usize::try_from(facts.len()).unwrap_or(0))))
    }

    // Where `path` really stands, and what stands there.
    fn found(&self, path: &Path) -> io::Result<(PathBuf, Metadata)> {
        if self.is_still
            && NAMES_ARE_EXACT
            && let Some((folder, name)) = path.parent().zip(path.file_name())
        {
            let place = self.folder(folder)?.join(name);
            let facts = fs::symlink_metadata(&place)?;
            if !facts.is_symlink() {
                return Ok((place, facts));
            }
        }
        let place = fs::canonicalize(path)?;
        let facts = fs::metadata(&place)?;
        Ok((place, facts))
    }

    fn folder(&self, folder: &Path) -> io::Result<PathBuf> {
        if let Some(known) = self.seen().folders.get(folder) {
            return Ok(known.clone());
        }
        let free = fs::canonicalize(folder)?;
        self.seen().folders.insert(folder.to_path_buf(), free.clone());
        Ok(free)
    }
}

impl Disk {
    /// The same documents, looked at on `day`.
    pub(super) fn on(mut self, day: Option<Day>) -> Self {
        self.day = day;
        self
    }
}

impl Files for Disk {
    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        if let Some(known) = self.seen().bytes.get(path) {
            return known.clone();
        }
        let opened = self.open(path);
        let place = opened.as_ref().ok().map(|(place, _)| place.clone());
        let bytes = opened.and_then(|(_, file)| read_bytes(file));
        let mut seen = self.seen();
        seen.places.extend(place);
        seen.weight += bytes.as_ref().map_or(0, |bytes| bytes.len());
        seen.bytes.insert(path.clone(), bytes.clone());
        bytes
    }

    fn day(&self) -> Option<Day> {
        self.day
    }

    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        if let Some(known) = self.seen().texts.get(path) {
            return known.clone();
        }
        let opened = self.open(path);
        let place = opened.as_ref().ok().map(|(place, _)| place.clone());
        let text = opened.and_then(|(_, file)| read_text(file));
        let mut seen = self.seen();
        seen.places.extend(place);
        seen.texts.insert(path.clone(), text.clone());
        text
    }
}

/// Whether `place` is a file that says `bytes` already.
pub(super) fn is_same(place: &Path, bytes: &[u8]) -> bool {
    let same_size = fs::metadata(place).is_ok_and(|facts| facts.is_file() && facts.len() == bytes.len() as u64);
    same_size && fs::read(place).is_ok_and(|old| old == bytes)
}

/// Puts `bytes` at `place`, making the folders it needs. The file is replaced whole, or left as it was when this
/// fails or when it already says the same; true when it was replaced.
pub(super) fn replace(place: &Path, bytes: &[u8]) -> io::Result<bool> {
    if is_same(place, bytes) {
        return Ok(false);
    }
    Draft::beside(place, bytes)?.stand(place).map_err(|(_, error)| error)?;
    Ok(true)
}

/// Puts `bytes` at `place` where nothing stands yet; an error of the kind `AlreadyExists` when something does.
pub(super) fn create(place: &Path, bytes: &[u8]) -> io::Result<()> {
    Draft::within(folder_of(place), bytes)?.0.persist_noclobber(place).map_err(|failed| failed.error)?;
    Ok(())
}

/// A complete file under another name; it goes away by itself unless it is given its own.
#[derive(Debug)]
pub(super) struct Draft(tempfile::TempPath);

impl Draft {
    /// What the names of drafts begin with.
    pub(super) const PREFIX: &str = ".parbuckle-";

    /// `bytes` in the folder where `place` stands, which is made where it is not there.
    pub(super) fn beside(place: &Path, bytes: &[u8]) -> io::Result<Draft> {
        let folder = folder_of(place);
        fs::create_dir_all(folder)?;
        Draft::within(folder, bytes)
    }

    /// `bytes` in `folder`.
    pub(super) fn within(folder: &Path, bytes: &[u8]) -> io::Result<Draft> {
        Draft::poured(folder, |file| file.write_all(bytes))
    }

    /// What `pour` writes, in `folder`.
    pub(super) fn poured(folder: &Path, pour: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<Draft> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(Draft::PREFIX);
        #[cfg(unix)]
        {
            // A page is for others to read; left alone, a temporary file is for its owner only. The umask still applies.
            use std::os::unix::fs::PermissionsExt;
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let mut file = builder.tempfile_in(folder).map_err(|error| io::Error::from(error.kind()))?;
        pour(&mut file)?;
        file.flush()?;
        // Closed, so that many may wait.
        Ok(Draft(file.into_temp_path()))
    }

    /// Gives it the name `place`, in the place of whatever file has it; itself back when that cannot be.
    pub(super) fn stand(self, place: &Path) -> Result<(), (Draft, io::Error)> {
        self.0.persist(place).map_err(|failed| (Draft(failed.path), failed.error))
    }

    /// Whether `place` is a file that says the same already.
    pub(super) fn is_at(&self, place: &Path) -> bool {
        let length = |path: &Path| fs::metadata(path).ok().filter(|facts| facts.is_file()).map(|facts| facts.len());
        let same_size = length(place).is_some_and(|old| Some(old) == length(&self.0));
        same_size && says_the_same(place, &self.0).unwrap_or(false)
    }

    /// Where it stands meanwhile.
    pub(super) fn path(&self) -> &Path {
        &self.0
    }
}

// Neither file is held whole.
fn says_the_same(one: &Path, other: &Path) -> io::Result<bool> {
    let (mut one, mut other) = (BufReader::new(fs::File::open(one)?), BufReader::new(fs::File::open(other)?));
    loop {
        let (here, there) = (one.fill_buf()?, other.fill_buf()?);
        let count = here.len().min(there.len());
        if here.get(..count) != there.get(..count) {
            return Ok(false);
        }
        if count == 0 {
            return Ok(here.is_empty() && there.is_empty());
        }
        one.consume(count);
        other.consume(count);
    }
}

fn folder_of(place: &Path) -> &Path {
    place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn read_text(input: (impl Read, usize)) -> Result<Text, Unreadable> {
    let bytes = read_all(input)?;
    match std::str::from_utf8(&bytes) {
        Ok(text) => Ok(Text::new(text.strip_prefix('\u{feff}').unwrap_or(text))),
        Err(error) => Err(Unreadable::NotText { at: error.valid_up_to() }),
    }
}

fn read_bytes(input: (impl Read, usize)) -> Result<Arc<[u8]>, Unreadable> {
    read_all(input).map(Into::into)
}

// What comes of `input`, which is likely as long as is said.
fn read_all((input, length): (impl Read, usize)) -> Result<Vec<u8>, Unreadable> {
    let mut bytes = Vec::with_capacity(length + 1);
    // One byte more than the limit: a file may have grown since its size was asked, and a stream has no size.
    let length = input.take(LIMIT + 1).read_to_end(&mut bytes).map_err(refused)? as u64;
    if length > LIMIT {
        return Err(Unreadable::TooLarge { bytes: length, limit: LIMIT });
    }
    Ok(bytes)
}

fn refused(error: io::Error) -> Unreadable {
    match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => Unreadable::Missing,
        _ => Unreadable::Denied(reason(&error)),
    }
}

/// Why the system refused, in words that are the same everywhere and name no path.
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_string(),
        ErrorKind::AlreadyExists => "something of that name is there already".to_string(),
        ErrorKind::NotADirectory => "a file stands where a folder is needed".to_string(),
        ErrorKind::IsADirectory => "a folder stands where a file is needed".to_string(),
        kind => kind.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Disk, Draft, LIMIT, create, replace};
    use crate::engine::{Files, Unreadable};
    use crate::source::SheetPath;
    use std::fs;
    use std::io::ErrorKind;

    fn here() -> (tempfile::TempDir, Disk) {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let disk = Disk::new(fs::canonicalize(folder.path()).expect("it is there"));
        (folder, disk)
    }

    #[test]
    fn each_way_of_being_unreadable_has_its_own_answer() {
        let (folder, disk) = here();
        fs::create_dir(folder.path().join("sub.md")).expect("a folder");
        fs::write(folder.path().join("latin.md"), b"Stra\xdfe").expect("a file");
        fs::File::create(folder.path().join("huge.md")).and_then(|file| file.set_len(LIMIT + 1)).expect("a file");
        fs::write(folder.path().join("mark.md"), "\u{feff}text").expect("a file");
        let read = |path: &str| disk.read(&SheetPath::new(path)).map(|text| text.as_str().to_string());
        assert_eq!(read("nowhere.md"), Err(Unreadable::Missing));
        assert_eq!(read("latin.md/below.md"), Err(Unreadable::Missing));
        assert_eq!(read("latin.md"), Err(Unreadable::NotText { at: 4 }));
        assert_eq!(read("huge.md"), Err(Unreadable::TooLarge { bytes: LIMIT + 1, limit: LIMIT }));
        assert_eq!(read("sub.md"), Err(Unreadable::Denied("it is a folder".to_string())));
        assert_eq!(read("../secret.md"), Err(Unreadable::Outside));
        assert_eq!(read("/etc/hostname"), Err(Unreadable::Outside));
        assert_eq!(read("mark.md"), Ok("text".to_string()));
    }

    #[test]
    fn a_stream_is_read_no_further_than_a_file_may_go() {
        let (_folder, disk) = here();
        let path = SheetPath::new("standard-input");
        disk.put(&path, std::io::repeat(b'a'));
        assert_eq!(disk.read(&path), Err(Unreadable::TooLarge { bytes: LIMIT + 1, limit: LIMIT }));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_followed_inside_the_project_only() {
        let (folder, disk) = here();
        let (outside, _) = here();
        fs::write(outside.path().join("secret.md"), "secret").expect("a file");
        fs::write(folder.path().join("near.md"), "near").expect("a file");
        let link = |to: &std::path::Path, name: &str| std::os::unix::fs::symlink(to, folder.path().join(name)).expect("a link");
        link(&outside.path().join("secret.md"), "out.md");
        link(outside.path(), "far");
        link("near.md".as_ref(), "in.md");
        let read = |path: &str| disk.read(&SheetPath::new(path)).map(|text| text.as_str().to_string());
        assert_eq!(read("out.md"), Err(Unreadable::Outside));
        assert_eq!(read("far/secret.md"), Err(Unreadable::Outside));
        assert_eq!(read("in.md"), Ok("near".to_string()));
        assert!(disk.is_source(&folder.path().join("near.md")) && !disk.is_source(&outside.path().join("secret.md")));
    }

    #[test]
    fn a_draft_is_known_where_it_says_the_same() {
        let (folder, _) = here();
        let place = folder.path().join("register.html");
        let long = "row ".repeat(10_000);
        let draft = |text: &str| {
            Draft::poured(folder.path(), |file| text.split_inclusive(' ').try_for_each(|row| file.write_all(row.as_bytes()))).expect("room")
        };
        assert!(!draft(&long).is_at(&place));
        fs::write(&place, &long).expect("written");
        assert!(draft(&long).is_at(&place));
        assert!(!draft(&long.replacen("row", "rod", 9_999)).is_at(&place) && !draft(&format!("{}rod ", &long[4..])).is_at(&place));
        assert!(!draft("row ").is_at(&place) && !draft("").is_at(folder.path()));
        assert_eq!(fs::read_dir(folder.path()).expect("there").count(), 1, "no draft is left behind");
    }

    #[test]
    fn a_file_is_replaced_whole_or_left_alone() {
        let (folder, _) = here();
        let place = folder.path().join("a/b/page.html");
        assert!(replace(&place, b"one").expect("written"));
        assert!(!replace(&place, b"one").expect("the same"));
        assert!(replace(&place, b"two").expect("written"));
        assert_eq!(create(&place, b"three").map_err(|error| error.kind()), Err(ErrorKind::AlreadyExists));
        assert_eq!(fs::read(&place).expect("there"), b"two");
        fs::create_dir(folder.path().join("a/b/taken")).expect("a folder");
        assert!(replace(&folder.path().join("a/b/taken"), b"x").is_err());
        let left = fs::read_dir(folder.path().join("a/b")).expect("there").count();
        assert_eq!(left, 2, "no draft is left behind");
    }
}
