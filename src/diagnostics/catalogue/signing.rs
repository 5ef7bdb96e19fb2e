//! Findings about the record of signatures beside a sheet, and about a status that is typed.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// The head of a sheet states its status. A status is computed and never typed.
    ///
    /// It follows from the signatures that stand in the record beside the sheet and still answer to what the sheet says:
    /// draft, for review, checked, approved, superseded, void. A word in the head would stay when the sheet is changed.
    /// Take the line out, and sign with `parbuckle sign`.
    "status-typed" => StatusTyped { found: String }

    /// A line of the record of signatures cannot be read.
    ///
    /// Every line begins with the mark of the signature or of the calculation that it belongs to, followed by a word that
    /// says what the line holds. A line that cannot be read may have been part of a signature, so that signature does not
    /// count. Take the record as it was out of version control, or have the sheet signed again.
    "record-line" => RecordLine { found: String, wanted: String }

    /// Two branches met in the record of signatures, and nobody has settled it.
    ///
    /// Every line of the record stands by itself, so the lines of both sides are kept and only the marks between them are
    /// taken out. Version control does it unasked when `*.signoff merge=union` stands in `.gitattributes`.
    "record-unmerged" => RecordUnmerged { found: String }

    /// The record of signatures is of a form that this version does not know.
    ///
    /// A later version has written it, and what it says could be misread. Use that version, or a later one.
    "record-newer" => RecordNewer { found: String, known: String }

    /// The lines of a signature do not agree with its mark, so the signature does not count.
    ///
    /// The mark is a digest of all that was signed: who, in what role, when, what it means, which sheet, the digests of
    /// calculation and text, and the values that stood there. Whoever changes one of them breaks the mark. It shows a slip
    /// and a careless hand; it does not prove who signed. Have the sheet signed again.
    "signature-altered" => SignatureAltered { role: String, name: String, how: String }

    /// The record holds a signature of another sheet. It does not count here.
    ///
    /// A signature is of one sheet by its number, whatever its file is called. The record may have been copied with the
    /// file of another sheet: delete it, and have this sheet signed.
    "signature-elsewhere" => SignatureElsewhere { role: String, name: String, signed: String, number: String }

    /// One person has signed as originator and as checker. The check does not count.
    ///
    /// Every procedure for calculations asks for a checker other than the originator. Names are compared without case,
    /// blanks and stops, and letters that look alike count as the same. The names are those declared: nothing here proves
    /// who signed.
    "checker-is-originator" => CheckerIsOriginator { checker: String, originator: String, in_head: bool }

    /// A file of signatures or of accepted results stands without the sheet that it belongs to.
    ///
    /// Both stand beside their sheet, named like it with another ending. When a sheet is moved, renamed or deleted and its
    /// files are left behind, the sheet at its new place is a draft, and nothing watches its results. Move them after it, or
    /// delete them if the sheet was given up.
    "record-without-sheet" => RecordWithoutSheet { what: &'static str, sheet: String }
}

impl Finding for RecordWithoutSheet {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("{} without the sheet that they belong to", self.what)
    }
    fn label(&self) -> String {
        format!("there is no sheet `{}`", self.sheet)
    }
    fn why(&self) -> Option<String> {
        Some("a sheet that was moved without them is unsigned where it is now, and nothing watches its results".into())
    }
    fn help(&self) -> Option<String> {
        Some("move the file to where the sheet is, named like it, or delete it if the sheet was given up".into())
    }
}

macro_rules! worded {
    ($name:ident, |$s:ident| $headline:expr, $label:expr, $why:expr, $help:expr) => {
        impl Finding for $name {
            fn slug(&self) -> &'static str {
                Self::SLUG
            }
            fn headline(&self) -> String {
                let $s = self;
                $headline
            }
            fn label(&self) -> String {
                let $s = self;
                let _ = $s;
                $label
            }
            fn why(&self) -> Option<String> {
                Some($why.into())
            }
            fn help(&self) -> Option<String> {
                Some($help.into())
            }
        }
    };
}

worded!(
    StatusTyped,
    |s| match s.found.as_str() {
        "" => "a status is computed, never typed".to_string(),
        found => format!("a status is computed, never typed, and `{found}` stands here"),
    },
    "it follows from the signatures that still answer to the sheet".into(),
    "a typed word stays when the sheet is changed, and is believed",
    "take this line out, and sign with `parbuckle sign`"
);
worded!(
    RecordLine,
    |s| format!("a line of the record of signatures cannot be read: {}", s.found),
    s.wanted.clone(),
    "what cannot be read may have been part of a signature, so nothing here is signed by it",
    "take the record as it was out of version control, or have the sheet signed again"
);
worded!(
    RecordUnmerged,
    |s| format!("two branches met in the record of signatures, and `{}` still stands between them", s.found),
    "a mark of version control, not a line of the record".into(),
    "until it is settled, nobody can tell which signatures are meant",
    "take the marks out and keep the lines of both sides; `*.signoff merge=union` in `.gitattributes` does it unasked"
);
worded!(
    RecordNewer,
    |s| format!("the record of signatures is of form {}", s.found),
    format!("this version knows form {}", s.known),
    "what a later version wrote could be misread, and a signature with it",
    "use the version that wrote it, or a later one"
);
worded!(
    SignatureAltered,
    |s| format!("the signature of \"{}\" as {} has been altered and does not count", s.name, s.role),
    s.how.clone(),
    "what stands here is not what was signed",
    "take the record as it was out of version control, or have the sheet signed again"
);
worded!(
    SignatureElsewhere,
    |s| format!("the signature of \"{}\" as {} is of another sheet and does not count", s.name, s.role),
    format!("signed was `{}`, and this is `{}`", s.signed, s.number),
    "nobody has looked at this sheet by looking at another",
    "delete the record if it was copied, and have this sheet signed"
);
worded!(
    CheckerIsOriginator,
    |s| format!("\"{}\" cannot check what \"{}\" originated", s.checker, s.originator),
    if s.in_head { "the same person as the originator in the head".into() } else { "the same person as the originator".to_string() },
    "a second pair of eyes finds what the first has overlooked; the same pair overlooks it again",
    "have the sheet checked by somebody else; two people whose names are alike write them in full"
);
