//! Findings about slips of the pen that can be told for what they are: signs and words from elsewhere, and lines run together.

use crate::diagnostics::{Severity, findings, worded};

findings! {
    /// A sign of another notation stands where this language writes another.
    ///
    /// A power is `^`, a comment begins with `#`, the end of a line ends a statement, a train is joined by `->`, minutes of arc are `′`,
    /// and a comparison is `<=`, `<`, `>=` or `>`.
    "other-sign" => OtherSign { found: String, mend: String, why: Option<String> }

    /// A word of everyday speech stands where this language writes another.
    "other-word" => OtherWord { found: String, mend: String }

    /// The digits of one number are grouped with blanks, so that they are read as several numbers.
    ///
    /// Digits are grouped with `_`, as in `1_850`, or not at all.
    "digits-apart" => DigitsApart { found: String, mended: String }

    /// A range, or a guess, stands where one value is needed.
    ///
    /// A sheet is worked with one value and with how well it is known: the middle of the range and half its width, as in
    /// `96 kg ± 2 kg`. To try several values, write `vary`.
    "value-not-settled" => ValueNotSettled { found: String, mend: String }

    /// Two values stand side by side with no operator between them.
    "operator-missing" => OperatorMissing { left: String, right: String, mends: Vec<String> }

    /// A name of several words is written apart, or with a dash, which subtracts.
    ///
    /// A name is one word of letters, digits and `_`. What is to be read on the page stands behind it in quotation marks.
    "name-apart" => NameApart { found: String, mended: String }

    /// A working line states a doubt of its own.
    ///
    /// Doubt belongs to what was measured, stated or assumed, that is, to `take`, `assume` and settings; from there it is carried
    /// through the working.
    "doubt-in-working" => DoubtInWorking { name: String }

    /// A kind of machine or of load is named with several words.
    "kind-in-words" => KindInWords { found: String }

    /// Two conditions stand in one check, so that one verdict would have to speak for both.
    "two-in-one-check" => TwoInOneCheck {}

    /// A line begins at the margin and yet says something of the statement above it.
    ///
    /// What belongs to a statement is indented below it. The line is read as if it were.
    "not-indented" => NotIndented { word: String, above: String }

    /// A line is indented deeper than the one above it, and so runs it on.
    ///
    /// Lines that belong to one statement are indented alike. A longer line may be broken, its rest indented deeper.
    "runs-on" => RunsOn { word: String }
}

worded!(
    OtherSign,
    Severity::Error,
    |s| format!("`{}` does not belong here", s.found),
    "a sign of another notation".into(),
    s.why.clone(),
    Some(s.mend.clone())
);
worded!(
    OtherWord,
    Severity::Error,
    |s| format!("`{}` does not belong here", s.found),
    "not a word of this place".into(),
    None,
    Some(s.mend.clone())
);
worded!(
    DigitsApart,
    Severity::Error,
    |s| format!("`{}` is read as two numbers", s.found),
    "a blank ends a number".into(),
    Some("of two numbers side by side nobody can tell which was meant".into()),
    Some(format!("write `{}` if it is one number", s.mended))
);
worded!(
    ValueNotSettled,
    Severity::Error,
    |s| format!("`{}` where one value is needed", s.found),
    "not one value".into(),
    Some("a sheet is worked with one value and with how well it is known".into()),
    Some(s.mend.clone())
);
worded!(
    OperatorMissing,
    Severity::Error,
    |s| format!("no operator between `{}` and `{}`", s.left, s.right),
    "a second value".into(),
    None,
    Some(s.mends.join("; "))
);
worded!(
    NameApart,
    Severity::Error,
    |s| format!("`{}` is not one name", s.found),
    "a name is one word".into(),
    None,
    Some(format!("write `{}`; what is to be read on the page stands behind it in quotation marks", s.mended))
);
worded!(
    DoubtInWorking,
    Severity::Error,
    |s| format!("the working line `{}` states a doubt of its own", s.name),
    "belongs to an input".into(),
    Some("doubt is stated where a number comes from, and carried through the working from there".into()),
    Some(format!("begin the line with `take` or `assume`, as in `take {} = ...`, and say where the value comes from", s.name))
);
worded!(
    KindInWords,
    Severity::Error,
    |s| format!("`{}` is no kind: a kind is one word", s.found),
    "more than one word".into(),
    None,
    Some("write its word, as in `machine falls = tackle`; `parbuckle explain kinds` lists them".into())
);
worded!(
    TwoInOneCheck,
    Severity::Error,
    |_s| "two conditions in one check".into(),
    "begins a second condition".into(),
    Some("each check has one demand, one capacity and one verdict, so that it is seen which of them fails".into()),
    Some("write a check of its own for each".into())
);
worded!(
    NotIndented,
    Severity::Error,
    |s| format!("`{}` begins at the margin", s.word),
    format!("read as a line of {}", s.above),
    None,
    Some("indent it, so that it belongs to the statement above".into())
);
worded!(
    RunsOn,
    Severity::Error,
    |s| format!("`{}` runs on the line above", s.word),
    "indented deeper than the line above".into(),
    Some("a line that is indented deeper is the rest of the one above it".into()),
    Some("indent both alike if it is a line of its own".into())
);
