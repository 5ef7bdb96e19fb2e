//! Findings of the document family: what is wrong with a file before a statement in it is read.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A byte of value zero stands in the file.
    ///
    /// No text has such a byte, so the file is damaged or is not text at all, and nothing in it can be relied on. It is
    /// not read further. Open the file in an editor and remove the byte, or fetch the file again from where it came.
    "nul-byte" => NulByte {}

    /// The file has nothing in it, or only blanks.
    ///
    /// A sheet without a statement computes nothing and checks nothing. Write the document, or take the file out of
    /// the list of sheets to be worked.
    "empty-sheet" => EmptySheet {}

    /// A line opens more quotations and lists inside each other than a document can need.
    ///
    /// The file is not read, since the work would grow with the square of its length. Such a line is usually the
    /// remains of quoted mail; take the marks at its start out.
    "markup-too-deep" => NestedTooDeep { limit: String }

    /// A `rig` fence is opened and never closed.
    ///
    /// Everything that follows, up to the end of the file or of the quotation or list it stands in, is read as
    /// statements, prose included. Put a line with the same fence marks below the last statement.
    "fence-not-closed" => FenceNotClosed { mark: String }

    /// A fence of another kind is opened and never closed.
    ///
    /// Everything that follows is shown as a listing. A `rig` fence in it is not worked, and its checks are missing
    /// from the sheet. Put a line with the same fence marks below the listing.
    "listing-not-closed" => ListingNotClosed { mark: String }

    /// The word behind a fence is `rig` in capitals.
    ///
    /// The word is written small, as in every sheet. As it stands the fence is shown as a listing and is not worked.
    "fence-word" => FenceWord { found: String }

    /// Inline code that begins with `rig ` runs over too many lines.
    ///
    /// A value stands in a sentence. As it stands it is shown as code. Close the code with a backtick behind the
    /// expression, or move the expression into a `rig` fence under a name of its own.
    "value-too-long" => ValueTooLong {}

    /// A formula between dollar signs cannot be read.
    ///
    /// Its source is shown in its place. Nothing that is computed depends on it: formulas in prose are for the reader,
    /// and only statements in `rig` fences are worked.
    "math-not-read" => MathNotRead { formula: String, reason: String }

    /// A link leads to an address that is not followed from a sheet.
    ///
    /// Links to `http`, `https`, `mailto` and `tel` addresses and to files beside the sheet are followed. Others could
    /// run a program when clicked, or hide text in an address. The words of the link are kept, the address is not.
    "link-refused" => LinkRefused { target: String }

    /// An image lies on another machine.
    ///
    /// A sheet is one file that can be filed and printed as it is. An image fetched on reading would be missing
    /// without a network, could change after the check, and tells another machine who reads the sheet. A link with the
    /// image's description stands in its place. Put a copy of the image beside the sheet.
    "remote-image" => RemoteImage { target: String }

    /// A tag of raw HTML does not reach the page.
    ///
    /// Tags that set text are kept. Those that run something, fetch something or restyle the page are taken out, as
    /// are attributes that do so: a reader must be able to rely on a sheet looking like a sheet.
    "html-removed" => HtmlRemoved { tag: String }

    /// Raw HTML would hide or move a part of the document, so all of it is shown as text.
    ///
    /// A tag or an attribute that is never closed can swallow the prose and the working behind it, and tags that may not
    /// stand inside each other move what is between them. A sheet must show its working where it was written, so the
    /// HTML gives way. Close what is open, or write the passage in Markdown.
    "html-hides" => HtmlHides {}

    /// A comment in raw HTML is opened and never closed.
    ///
    /// Everything behind it, fences included, is left out of the sheet. Close it with `-->`.
    "comment-not-closed" => CommentNotClosed {}
}

impl Finding for NulByte {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a byte of value zero in the text".into()
    }
    fn label(&self) -> String {
        "first one here".into()
    }
    fn why(&self) -> Option<String> {
        Some("no text has such a byte, so the file is damaged; it is not read further".into())
    }
    fn help(&self) -> Option<String> {
        Some("remove the byte, or fetch the file again from where it came".into())
    }
}

impl Finding for EmptySheet {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "nothing is written in this sheet".into()
    }
    fn label(&self) -> String {
        "only blanks from here to the end".into()
    }
    fn why(&self) -> Option<String> {
        Some("nothing is computed and nothing is checked".into())
    }
    fn help(&self) -> Option<String> {
        Some("begin with a heading, and put statements into a fence that opens with ```rig".into())
    }
}

impl Finding for NestedTooDeep {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("more than {} quotations and lists inside each other", self.limit)
    }
    fn label(&self) -> String {
        "opened on this line".into()
    }
    fn why(&self) -> Option<String> {
        Some("the file is not read, so nothing in it is worked".into())
    }
    fn help(&self) -> Option<String> {
        Some("take the marks at the start of the line out".into())
    }
}

impl Finding for FenceNotClosed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "this `rig` fence is not closed".into()
    }
    fn label(&self) -> String {
        "opened here".into()
    }
    fn why(&self) -> Option<String> {
        Some("everything behind it is read as statements, prose included".into())
    }
    fn help(&self) -> Option<String> {
        let sign = if self.mark.starts_with('~') { "tildes" } else { "backticks" };
        Some(format!("put a line of {} {sign} below the last statement", self.mark.chars().count()))
    }
}

impl Finding for ListingNotClosed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "this fence is not closed".into()
    }
    fn label(&self) -> String {
        "opened here".into()
    }
    fn why(&self) -> Option<String> {
        Some("a `rig` fence behind it is shown as a listing and not worked".into())
    }
    fn help(&self) -> Option<String> {
        Some(format!("put a line `{}` below the listing", self.mark))
    }
}

impl Finding for FenceWord {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the fence word is `rig`, not `{}`", self.found)
    }
    fn label(&self) -> String {
        if self.found.eq_ignore_ascii_case("rig") { "in capitals".into() } else { "nearly the word".into() }
    }
    fn why(&self) -> Option<String> {
        Some("as it stands the fence is shown as a listing and not worked".into())
    }
    fn help(&self) -> Option<String> {
        Some("write `rig`".into())
    }
    fn replacement(&self) -> Option<String> {
        Some("rig".into())
    }
}

impl Finding for ValueTooLong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "this value runs over too many lines".into()
    }
    fn label(&self) -> String {
        "shown as code".into()
    }
    fn why(&self) -> Option<String> {
        Some("the sentence prints the expression where its value is meant".into())
    }
    fn help(&self) -> Option<String> {
        Some("close it with a backtick behind the expression, or work it in a `rig` fence under a name".into())
    }
}

impl Finding for MathNotRead {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the formula `{}` cannot be read", self.formula)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("the page shows its source instead; no computed value depends on it".into())
    }
    fn help(&self) -> Option<String> {
        Some("mend the formula; if dollar signs are meant, write each as `\\$`".into())
    }
}

impl Finding for LinkRefused {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the address `{}` is not followed from a sheet", self.target)
    }
    fn label(&self) -> String {
        "its words are kept, its address is not".into()
    }
    fn why(&self) -> Option<String> {
        Some("an address of this sort can run something on the reader's machine".into())
    }
    fn help(&self) -> Option<String> {
        Some("link to an `http`, `https`, `mailto` or `tel` address, or to a file beside the sheet".into())
    }
}

impl Finding for RemoteImage {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the image `{}` lies on another machine", self.target)
    }
    fn label(&self) -> String {
        "not shown on the page".into()
    }
    fn why(&self) -> Option<String> {
        Some("a sheet is filed as one file, and this part of it could change or go after the check".into())
    }
    fn help(&self) -> Option<String> {
        Some("put a copy of the image beside the sheet and name that".into())
    }
}

impl Finding for HtmlRemoved {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the tag `<{}>` does not reach the page", self.tag)
    }
    fn label(&self) -> String {
        "taken out of this HTML".into()
    }
    fn why(&self) -> Option<String> {
        Some("what runs, fetches or restyles could change what the sheet appears to say".into())
    }
    fn help(&self) -> Option<String> {
        Some("write the passage in Markdown, or as code if the tag itself is meant".into())
    }
}

impl Finding for HtmlHides {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "the raw HTML of this document is shown as text".into()
    }
    fn label(&self) -> String {
        "the first of it stands here".into()
    }
    fn why(&self) -> Option<String> {
        Some("it would hide or move a part of the document, and a sheet shows all its working".into())
    }
    fn help(&self) -> Option<String> {
        Some("close the tags and quotation marks left open, or write the passage in Markdown".into())
    }
}

impl Finding for CommentNotClosed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        "this comment is not closed".into()
    }
    fn label(&self) -> String {
        "opened here".into()
    }
    fn why(&self) -> Option<String> {
        Some("everything behind it, `rig` fences included, is left out of the sheet".into())
    }
    fn help(&self) -> Option<String> {
        Some("close it with `-->`".into())
    }
}
