//! Pictures beside a sheet, written into its page.
//!
//! A picture stands in an `<img>`, where no script of an SVG runs and nothing it names is fetched.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::house::PictureLeftOut;
use crate::document::{Document, Piece, Run};
use crate::engine::{Files, Unreadable};
use crate::output;
use crate::source::{Extent, FileId, Home, SheetPath};

/// The largest picture, in bytes, and the most that the pictures of one page may have together.
pub(super) const MOST: usize = 512 * 1024;
const ALL: usize = 4 * 1024 * 1024;

/// What a picture is, by its first bytes: the signatures of PNG (ISO/IEC 15948), JPEG (ITU-T T.81), GIF89a and WebP (RIFF), and
/// the root element of SVG.
pub(super) fn kind_of(bytes: &[u8]) -> Option<&'static str> {
    let starts = |with: &[u8]| bytes.starts_with(with);
    if starts(b"\x89PNG\r\n\x1a\n") {
        Some("image/png")
    } else if starts(b"\xff\xd8\xff") {
        Some("image/jpeg")
    } else if starts(b"GIF87a") || starts(b"GIF89a") {
        Some("image/gif")
    } else if starts(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some("image/webp")
    } else {
        let text = std::str::from_utf8(bytes).ok()?.trim_start_matches('\u{feff}').trim_start();
        (text.starts_with('<') && text.contains("<svg")).then_some("image/svg+xml")
    }
}

/// Why a file cannot be read as a picture, and what to do.
pub(super) fn refusal(unreadable: &Unreadable) -> (String, String) {
    match unreadable {
        Unreadable::Missing => {
            ("there is no such file".to_string(), "a path is counted from the folder of the file that names it; capitals count".to_string())
        }
        Unreadable::TooLarge { bytes, .. } => {
            (format!("it has {} KiB, and a picture may have {} KiB", bytes >> 10, MOST >> 10), "save it smaller, or as SVG".to_string())
        }
        Unreadable::Outside => ("it leads out of the project".to_string(), "copy it into the project".to_string()),
        Unreadable::NotText { .. } => ("it cannot be read".to_string(), "save it once more".to_string()),
        Unreadable::Denied(reason) => (format!("the system says: {reason}"), "look at its permissions".to_string()),
    }
}

/// Puts the pictures that the prose of `document` shows into it. `text` is what its `file` at `path` says.
pub(super) fn embed(document: &mut Document, files: &dyn Files, path: &SheetPath, file: FileId, text: &str, sink: &mut Sink) {
    let mut together = 0;
    let mut searched = 0;
    for piece in &mut document.pieces {
        let Piece::Prose(runs) = piece else { continue };
        for run in runs {
            let Run::Html(html) = run else { continue };
            if !html.contains("<img ") {
                continue;
            }
            let mut parts = html.split("<img ");
            let mut out = parts.next().unwrap_or("").to_string();
            for part in parts {
                let (tag, rest) = part.split_once('>').unwrap_or((part, ""));
                let Some((before, address, after)) = source(tag).filter(|(_, address, _)| is_beside(address)) else {
                    out.push_str(&format!("<img {tag}>{rest}"));
                    continue;
                };
                let written = plain(address);
                let found = embedded(files, path, &written, &mut together);
                match found {
                    Ok(data) => out.push_str(&format!("<img {before}src=\"{data}\"{after}>{rest}")),
                    Err((reason, mend)) => {
                        out.push_str(&format!("<img {before}{}>{rest}", after.trim_start()));
                        let at = place(text, &written, &mut searched);
                        sink.push(Home::file(file).span(at), &PictureLeftOut { picture: written, reason, mend });
                    }
                }
            }
            *html = out;
        }
    }
}

// The tag of a picture before its source, the source, and what follows. A value in quotation marks holds none.
fn source(tag: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = if let Some(rest) = tag.strip_prefix("src=\"") { ("", rest) } else { tag.split_once(" src=\"")? };
    let before = if before.is_empty() { "" } else { tag.get(..before.len() + 1)? };
    let (address, after) = rest.split_once('"')?;
    Some((before, address, after))
}

// Whether an address that was let through is one of a file beside the sheet.
fn is_beside(address: &str) -> bool {
    !address.starts_with("data:") && !address.starts_with('#') && !address.is_empty()
}

// The path that an address in markup means.
fn plain(address: &str) -> String {
    let address = address.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&#39;", "'").replace("&amp;", "&");
    let (mut bytes, mut rest) = (Vec::new(), address.as_bytes());
    while let Some((first, after)) = rest.split_first() {
        let coded = (*first == b'%').then(|| std::str::from_utf8(after.get(..2)?).ok()).flatten();
        match coded.and_then(|digits| u8::from_str_radix(digits, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = after.get(2..).unwrap_or_default();
            }
            None => {
                bytes.push(*first);
                rest = after;
            }
        }
    }
    String::from_utf8(bytes).unwrap_or(address)
}

fn embedded(files: &dyn Files, sheet: &SheetPath, written: &str, together: &mut usize) -> Result<String, (String, String)> {
    let path = sheet.beside(written).ok_or_else(|| refusal(&Unreadable::Outside))?;
    let bytes = files.read_bytes(&path).map_err(|unreadable| refusal(&unreadable))?;
    if bytes.len() > MOST {
        return Err(refusal(&Unreadable::TooLarge { bytes: bytes.len() as u64, limit: MOST as u64 }));
    }
    *together += bytes.len();
    if *together > ALL {
        let reason = format!("the pictures of this sheet have more than {} KiB together", ALL >> 10);
        return Err((reason, "save them smaller, or show fewer".to_string()));
    }
    let unknown = || ("it is no picture that every browser draws".to_string(), "save it as SVG, PNG, JPEG or WebP".to_string());
    kind_of(&bytes).map(|kind| output::data_address(kind, &bytes)).ok_or_else(unknown)
}

// Where the document names the picture, from `searched` on; the same picture named twice is told at each place.
fn place(text: &str, written: &str, searched: &mut usize) -> Extent {
    let from = text.get(*searched..).and_then(|rest| rest.find(written)).map(|at| *searched + at).or_else(|| text.find(written));
    match from {
        Some(at) => {
            *searched = at + written.len();
            Extent::new(at, at + written.len())
        }
        None => Extent::default(),
    }
}
