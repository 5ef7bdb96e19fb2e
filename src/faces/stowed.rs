//! What earlier builds have left in the output folder about their own work: from what each page was made, and what was told
//! of it. A page is taken as it stands only where all of it still holds; anything else is made again.

use crate::engine::Unreadable;
use crate::faces::disk::{Disk, Draft};
use crate::faces::session::Asked;
use crate::source::{SheetPath, Text};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, SystemTime};

/// The folder among the outputs.
const NAME: &str = ".stowed";
/// Marks it as what may be thrown away (Cache Directory Tagging Specification, version 0.6; from memory).
const TAG: (&str, &str) =
    ("CACHEDIR.TAG", "Signature: 8a477f597d28d172789f06886806bc55\n# Records of earlier builds. They may be deleted.\n");
/// A draft of this age is of a build that did not end; no build takes as long over one file.
const ABANDONED: Duration = Duration::from_secs(3600);

/// One page or a pair of them, with all that it rests on.
#[derive(Debug, Serialize, Deserialize)]
struct Record<T> {
    // What it is about: two names might share a file.
    name: String,
    // The program, what it was told to do, and where its pages lead.
    basis: String,
    // Every file that was asked for and what it said, as a digest.
    files: Vec<(String, String)>,
    // The same of pictures, whose bytes need not be text.
    #[serde(default)]
    pictures: Vec<(String, String)>,
    outputs: Vec<Output>,
    product: T,
}

/// A file that was written.
#[derive(Debug, Serialize, Deserialize)]
struct Output {
    name: String,
    digest: String,
    // Length and times, and on some systems its number: while they are the same nobody has written to it.
    stamp: String,
}

/// What is known of one page before it is made.
#[derive(Debug)]
pub(super) enum Known<T> {
    /// It stands as it would be made: how many files, and what was told of it.
    Stands(usize, T),
    /// It is to be made, in the place of what an earlier build has left.
    Ours,
    /// Nothing: what may stand there is somebody else's.
    Nothing,
}

/// The records of one output folder. Where they cannot be kept, every page is made.
#[derive(Debug)]
pub(super) struct Stowed {
    out: PathBuf,
    folder: PathBuf,
    basis: String,
    touched: Mutex<BTreeSet<String>>,
    damaged: AtomicUsize,
}

/// The digest of the running program, which is being taken: two programs of one version may still print differently.
#[derive(Debug)]
pub(super) struct Program(JoinHandle<Option<String>>);

impl Program {
    /// Begins to take it.
    pub(super) fn read() -> Program {
        Program(thread::spawn(|| std::env::current_exe().and_then(fs::read).ok().map(|bytes| digest(&bytes))))
    }
}

impl Stowed {
    /// The records below `out`, of builds by this program that were told the same, as `told` has it. None when the program
    /// cannot be told from another, or the folder cannot be made.
    pub(super) fn open(out: &Path, program: Program, told: &str) -> Option<Stowed> {
        let program = program.0.join().ok()??;
        let folder = out.join(NAME);
        fs::create_dir_all(&folder).ok()?;
        let tag = folder.join(TAG.0);
        if !tag.exists() {
            Draft::within(&folder, TAG.1.as_bytes()).ok()?.stand(&tag).ok()?;
        }
        let basis = digest(format!("{} {program} {told}", env!("CARGO_PKG_VERSION")).as_bytes());
        Some(Stowed { out: out.to_path_buf(), folder, basis, touched: Mutex::default(), damaged: AtomicUsize::new(0) })
    }

    /// Where drafts are made, so that those of a build that was ended are found by the next.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// What is known of the page `name`. `beside` says where the page of a file stands that is built as well.
    pub(super) fn look<T: DeserializeOwned + Serialize>(
        &self,
        name: &str,
        disk: &Disk,
        beside: impl Fn(&str) -> Option<String>,
    ) -> Known<T> {
        let Some(mut record) = self.read::<T>(name) else { return Known::Nothing };
        let (mut stand, mut stamped) = (true, true);
        for output in &mut record.outputs {
            match self.stands(output) {
                Standing::Untouched => {}
                Standing::Same(stamp) => {
                    output.stamp = stamp;
                    stamped = false;
                }
                Standing::Other => stand = false,
            }
        }
        if !stand {
            return Known::Nothing;
        }
        let holds = record.basis == self.basis
            && record.files.iter().all(|(path, said)| *said == now(disk, &SheetPath::new(path), beside(path).as_deref()))
            && record.pictures.iter().all(|(path, shown)| *shown == disk.picture_digest(&SheetPath::new(path)));
        if !holds {
            return Known::Ours;
        }
        if !stamped {
            self.write(name, &record);
        }
        Known::Stands(record.outputs.len(), record.product)
    }

    /// Notes that `name` was made from `files`, written to `outputs` and told as `product`. A record that cannot be written
    /// costs the next build its time and nothing else.
    pub(super) fn note<T: Serialize>(
        &self,
        name: &str,
        asked: &Asked,
        beside: impl Fn(&str) -> Option<String>,
        outputs: &[(String, &[u8])],
        product: T,
    ) {
        let texts = asked.texts.iter();
        let files = texts.map(|(path, read)| (path.to_string(), said(&told(read), beside(path.as_str()).as_deref()))).collect();
        let pictures = asked.pictures.iter().map(|(path, read)| (path.to_string(), shown(read))).collect();
        let outputs = outputs.iter().filter_map(|(name, bytes)| {
            let stamp = stamp(&fs::symlink_metadata(self.out.join(name)).ok()?);
            Some(Output { name: name.clone(), digest: digest(bytes), stamp })
        });
        let outputs = outputs.collect();
        self.write(name, &Record { name: name.to_string(), basis: self.basis.clone(), files, pictures, outputs, product });
    }

    /// Throws away the records that were neither asked for nor made, and the drafts of builds that were ended. Says how
    /// many records were damaged.
    pub(super) fn tidy(&self, whole: bool) -> usize {
        let touched = self.touched.lock().unwrap_or_else(PoisonError::into_inner);
        for entry in fs::read_dir(&self.folder).into_iter().flatten().flatten() {
            let name = entry.file_name();
            let Some(name) = name.to_str() else { continue };
            let abandoned = || {
                let age = entry.metadata().and_then(|facts| facts.modified()).map(|time| SystemTime::now().duration_since(time));
                age.is_ok_and(|age| age.is_ok_and(|age| age > ABANDONED))
            };
            let record = name.bytes().all(|byte| byte.is_ascii_hexdigit());
            if (record && whole && !touched.contains(name)) || (name.starts_with(Draft::PREFIX) && abandoned()) {
                let _ = fs::remove_file(entry.path());
            }
        }
        self.damaged.load(Ordering::Relaxed)
    }

    // Its digest stands in front, so that a record that is not the whole of what was written is known.
    fn read<T: DeserializeOwned>(&self, name: &str) -> Option<Record<T>> {
        let bytes = fs::read(self.place(name)).ok()?;
        let whole =
            std::str::from_utf8(&bytes).ok().and_then(|text| text.split_once('\n')).filter(|(sum, rest)| *sum == digest(rest.as_bytes()));
        let record: Option<Record<T>> = whole.and_then(|(_, rest)| serde_json::from_str(rest).ok());
        if record.is_none() {
            self.damaged.fetch_add(1, Ordering::Relaxed);
        }
        record.filter(|record| record.name == name)
    }

    fn write<T: Serialize>(&self, name: &str, record: &Record<T>) {
        let Ok(text) = serde_json::to_string(record) else { return };
        let text = format!("{}\n{text}", digest(text.as_bytes()));
        let Ok(draft) = Draft::within(&self.folder, text.as_bytes()) else { return };
        let _ = draft.stand(&self.place(name));
    }

    fn place(&self, name: &str) -> PathBuf {
        let file = digest(name.as_bytes());
        self.touched.lock().unwrap_or_else(PoisonError::into_inner).insert(file.clone());
        self.folder.join(file)
    }

    fn stands(&self, output: &Output) -> Standing {
        let place = self.out.join(&output.name);
        let Some(now) = fs::symlink_metadata(&place).ok().filter(Metadata::is_file).map(|facts| stamp(&facts)) else {
            return Standing::Other;
        };
        if now == output.stamp {
            return Standing::Untouched;
        }
        // It may have been copied here with everything else.
        match fs::read(&place) {
            Ok(bytes) if digest(&bytes) == output.digest => Standing::Same(now),
            _ => Standing::Other,
        }
    }
}

enum Standing {
    Untouched,
    // Its bytes are those that were written, under this stamp.
    Same(String),
    Other,
}

// What `path` says now, and where its page stands.
fn now(disk: &Disk, path: &SheetPath, page: Option<&str>) -> String {
    said(&disk.digest(path), page)
}

fn said(digest: &str, page: Option<&str>) -> String {
    page.map_or_else(|| digest.to_string(), |page| format!("{digest} {page}"))
}

/// What was read, as a digest; a reason why nothing could be read stands for itself.
pub(super) fn told(read: &Result<Text, Unreadable>) -> String {
    match read {
        Ok(text) => digest(text.as_str().as_bytes()),
        Err(unreadable) => format!("{unreadable:?}"),
    }
}

/// The same of a picture.
pub(super) fn shown(read: &Result<Arc<[u8]>, Unreadable>) -> String {
    match read {
        Ok(bytes) => digest(bytes),
        Err(unreadable) => format!("{unreadable:?}"),
    }
}

/// 128 bits of BLAKE3, as hexadecimal digits. It is never told to anybody; SHA-256, which the sheets print, takes four times as long over
/// pages and JSON.
fn digest(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().chars().take(32).collect()
}

#[cfg(unix)]
fn stamp(facts: &Metadata) -> String {
    use std::os::unix::fs::MetadataExt;
    // The time of the last change of state cannot be set by hand, as that of the last writing can.
    let times = [facts.mtime(), facts.mtime_nsec(), facts.ctime(), facts.ctime_nsec()].map(|part| part.to_string()).join(" ");
    format!("{} {} {times}", facts.len(), facts.ino())
}

#[cfg(not(unix))]
fn stamp(facts: &Metadata) -> String {
    let time = facts.modified().ok().and_then(|time| time.duration_since(SystemTime::UNIX_EPOCH).ok());
    format!("{} {:?}", facts.len(), time)
}
