//! The lines of an `expect` fence.
//!
//! ```text
//! haul.effort as N = 512.4 ± 0.05        the value in that unit, within the tolerance (1 in 10^9 when none is given)
//! falls.part[2] as N = 118 ± 1           an item of a list
//! doubt of pull as N = 3.2 ± 0.1         its standard uncertainty
//! pull = text "(512 ± 6) N"              as printed
//! pull is unknown                        named, but without a value
//! pull is a force                        what it is a quantity of
//! check "post at the head" PASS          the verdict
//! check "post" PASS, wrong 2.3 %         the verdict with the chance that it is wrong, as printed
//! rule says "guard band"                 words of the decision rule
//! status "for review"                    the status of the sheet
//! signed "check is stale"                words of what became of a signature
//! caution "ropes"                        a caution with these words
//! prose "a pull of 512 N"                words of the prose, values set in
//! S1 at 4, column 2 as N = 512 ± 1         a cell of a study, by the value of its row as printed
//! S2 answer as kN = 7.45 ± 0.01           the value that serves; `doubt of S2 answer`, `S2 answer is unknown` as well
//! R1 says "an outlier"                    words of readings: marks, alarms, remarks
//! S2 says "does not serve"                words of a study; `L1 says` of a law, `A1 says` of an agreement
//! complete | incomplete                  whether everything could be worked
//! finding error[unknown-name] at 4:12 words   for a place outside fences; lines count from the heading, which is 1
//! ```

/// One expectation with the line it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// The line of the case file.
    pub at: usize,
    /// What is expected.
    pub what: Expect,
}

/// What may be expected.
#[derive(Debug, Clone, PartialEq)]
pub enum Expect {
    /// A number in a unit.
    Value(Number),
    /// A standard uncertainty in a unit.
    Doubt(Number),
    /// A printed value.
    Text { name: String, text: String },
    /// A name without a value.
    Unknown { name: String },
    /// What a name is a quantity of.
    Quantity { name: String, quantity: String },
    /// A verdict, perhaps with the chance that it is wrong.
    Verdict { title: String, verdict: String },
    /// Words of the decision rule.
    Rule(String),
    /// The status.
    Status(String),
    /// Words of what became of a signature.
    Signed(String),
    /// Words of a caution.
    Caution(String),
    /// Words of the prose.
    Prose(String),
    /// Words that a study says: in its caption, answer, remarks, reasons or the words of its plot.
    Study { number: String, words: String },
    /// Whether the sheet is complete.
    Complete(bool),
    /// A finding at a place outside fences.
    Finding { severity: String, slug: String, line: usize, column: usize, words: String },
}

/// A named number.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    /// Its name.
    pub name: String,
    /// Which item of a list, from 1.
    pub item: Option<usize>,
    /// The unit it is compared in; empty for plain numbers.
    pub unit: String,
    /// The number as written.
    pub written: String,
    /// The number.
    pub number: f64,
    /// How far it may be off.
    pub tolerance: Option<f64>,
}

/// Reads one line; none when it is blank or a remark.
pub fn read(line: &str, at: usize) -> Result<Option<Expected>, String> {
    let line = line.trim();
    if line.is_empty() || line.starts_with('#') {
        return Ok(None);
    }
    let what = if line == "complete" || line == "incomplete" {
        Expect::Complete(line == "complete")
    } else if let Some(rest) = line.strip_prefix("check ") {
        let (title, verdict) = quoted(rest)?;
        Expect::Verdict { title, verdict: verdict.to_string() }
    } else if let Some(rest) = line.strip_prefix("rule says ") {
        Expect::Rule(quoted(rest)?.0)
    } else if let Some(rest) = line.strip_prefix("status ") {
        Expect::Status(quoted(rest)?.0)
    } else if let Some(rest) = line.strip_prefix("signed ") {
        Expect::Signed(quoted(rest)?.0)
    } else if let Some(rest) = line.strip_prefix("caution ") {
        Expect::Caution(quoted(rest)?.0)
    } else if let Some((number, rest)) = line.split_once(" says ").filter(|(number, _)| number.starts_with(['S', 'R', 'L', 'A'])) {
        Expect::Study { number: number.trim().to_string(), words: quoted(rest)?.0 }
    } else if let Some(rest) = line.strip_prefix("prose ") {
        Expect::Prose(quoted(rest)?.0)
    } else if let Some(rest) = line.strip_prefix("finding ") {
        finding(rest)?
    } else if let Some(rest) = line.strip_prefix("doubt of ") {
        Expect::Doubt(number(rest)?)
    } else if let Some((name, text)) = line.split_once(" = text ") {
        Expect::Text { name: name.trim().to_string(), text: quoted(text)?.0 }
    } else if let Some(name) = line.strip_suffix(" is unknown") {
        Expect::Unknown { name: name.to_string() }
    } else if let Some((name, quantity)) = line.split_once(" is a ").or_else(|| line.split_once(" is an ")) {
        Expect::Quantity { name: name.to_string(), quantity: quantity.to_string() }
    } else {
        Expect::Value(number(line)?)
    };
    Ok(Some(Expected { at, what }))
}

fn number(line: &str) -> Result<Number, String> {
    let fault = || format!("`{line}` is not of the form `name as unit = number ± tolerance`");
    let (left, right) = line.split_once(" = ").ok_or_else(fault)?;
    let (name, unit) = left.split_once(" as ").unwrap_or((left, ""));
    let (name, item) = match name.trim().strip_suffix(']').and_then(|name| name.split_once('[')) {
        Some((name, item)) => (name, Some(item.parse().map_err(|_| fault())?)),
        None => (name.trim(), None),
    };
    let (written, tolerance) = match right.split_once('±') {
        Some((written, tolerance)) => (written.trim(), Some(tolerance.trim().parse().map_err(|_| fault())?)),
        None => (right.trim(), None),
    };
    Ok(Number {
        name: name.to_string(),
        item,
        unit: unit.trim().to_string(),
        written: written.to_string(),
        number: written.parse().map_err(|_| fault())?,
        tolerance,
    })
}

fn finding(rest: &str) -> Result<Expect, String> {
    let fault = || format!("`finding {rest}` is not of the form `finding error[slug] at line:column words`");
    let (severity, rest) = rest.split_once('[').ok_or_else(fault)?;
    let (slug, rest) = rest.split_once("] at ").ok_or_else(fault)?;
    let (place, words) = rest.split_once(' ').unwrap_or((rest, ""));
    let (line, column) = place.split_once(':').ok_or_else(fault)?;
    Ok(Expect::Finding {
        severity: severity.to_string(),
        slug: slug.to_string(),
        line: line.parse().map_err(|_| fault())?,
        column: column.parse().map_err(|_| fault())?,
        words: words.trim().to_string(),
    })
}

// The text between the first two quotation marks, and what follows it.
fn quoted(text: &str) -> Result<(String, &str), String> {
    let fault = || format!("`{text}` should begin with words in quotation marks");
    let inner = text.trim().strip_prefix('"').ok_or_else(fault)?;
    let (words, rest) = inner.split_once('"').ok_or_else(fault)?;
    Ok((words.to_string(), rest.trim()))
}

#[cfg(test)]
mod tests {
    use super::{Expect, read};

    #[test]
    fn every_form_is_read() {
        let forms = [
            "a.b as N = 3.5 ± 0.1",
            "a[2] = 4",
            "doubt of a as m = 0.1 ± 0.01",
            "a = text \"3 N\"",
            "a is unknown",
            "a is a force",
            "a is an angle",
            "check \"post\" NOT EVALUATED",
            "check \"post\" PASS, wrong 2.3 %",
            "rule says \"guard band\"",
            "caution \"rope\"",
            "status \"draft\"",
            "signed \"stale\"",
            "S1 says \"rope\"",
            "L1 says \"slope\"",
            "A1 says \"agree\"",
            "S1 at 4, column 2 as N = 512 ± 1",
            "prose \"rope\"",
            "complete",
            "finding error[x] at 3:4 words",
        ];
        for form in forms {
            assert!(matches!(read(form, 1), Ok(Some(_))), "{form}");
        }
        assert!(read("a is", 1).is_err());
        assert_eq!(read("  # remark", 1), Ok(None));
        let Ok(Some(read)) = read("part[2] as lbf = 1.5e2 ± 0.5", 7) else { panic!("it is a value") };
        let Expect::Value(number) = read.what else { panic!("it is a value") };
        assert_eq!((number.name.as_str(), number.item, number.unit.as_str()), ("part", Some(2), "lbf"));
        assert_eq!((number.number, number.tolerance), (150.0, Some(0.5)));
    }
}
