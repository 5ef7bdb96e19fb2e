//! Findings of the syntax family: what stands in a fence and cannot be read (a table).

use crate::diagnostics::Finding;
use crate::diagnostics::findings;

findings! {
    /// Something stands here that cannot stand here.
    ///
    /// The finding says what was read and what could have followed. The statement is left out until it is mended.
    "unexpected-text" => UnexpectedText { found: String, expected: String }
    /// A line at the margin begins with a word that is no statement.
    ///
    /// A statement is `sheet`, `take`, `assume`, `gear`, `machine`, `train`, `check`, `kind`, `use`, or a working line `name = value`.
    "unknown-statement" => UnknownStatement { word: String, near: Vec<String> }
    /// The `=` between a name and its value is missing.
    "missing-equals" => MissingEquals { after: String }
    /// A value is expected and nothing stands there.
    "missing-value" => MissingValue { after: String }
    /// A name is expected here.
    ///
    /// A name is made of letters, digits and `_`, and does not begin with a digit.
    "missing-name" => MissingName { after: String }
    /// A bracket is opened and never closed within its statement.
    "unclosed-bracket" => UnclosedBracket { bracket: String, close: String }
    /// A closing bracket has no opening one before it.
    "stray-bracket" => StrayBracket { bracket: String }
    /// A bracket is closed by a bracket of the other sort.
    "wrong-bracket" => WrongBracket { found: String, close: String }
    /// A quotation mark is opened and not closed on its line.
    "unclosed-quote" => UnclosedQuote {}
    /// A typographic quotation mark stands where a plain one is needed.
    "curly-quote" => CurlyQuote { found: String }
    /// A comma stands between the digits of a number.
    ///
    /// The decimal sign is the point. A comma separates the items of a list, so a number with a comma could be read two ways.
    "decimal-comma" => DecimalComma { found: String, mended: String }
    /// A name and its value are joined by a single `=`.
    "doubled-equals" => DoubledEquals { found: String }
    /// A name begins with a digit.
    "name-with-digit" => NameWithDigit { found: String }
    /// A word of the language is used as a name.
    "reserved-name" => ReservedName { word: String }
    /// An indented line stands at the beginning of a fence, with no statement above it to belong to.
    "line-without-statement" => LineWithoutStatement {}
    /// The parts of a unit are joined by `·`, and values are multiplied with spaces around the `*`.
    "star-in-unit" => StarInUnit { unit: String, factor: String }
    /// Two operators stand side by side with no value between them.
    "two-operators" => TwoOperators { second: String }
    /// A word of evidence or a title needs text in quotation marks.
    "missing-quoted-text" => MissingQuotedText { word: String }
    /// A `±` has no amount after it.
    "doubt-without-amount" => DoubtWithoutAmount {}
    /// What stands in brackets behind a doubt is none of the meanings a doubt can have.
    ///
    /// Without brackets, or with `(rectangular)`, the amount is a limit of error (JCGM 100, 4.3.7). Limits may also be `(triangular)`, `(trapezoidal 0.5)` with the share of the top in the base, or `(arcsine)`. With `(k=2)` the amount is expanded with that coverage factor, with `(95 %)` it is the interval of that level, with `(u)` a standard uncertainty. Behind any of them may stand `, 12 degrees of freedom`.
    "unread-doubt-meaning" => UnreadDoubtMeaning {}
    /// A level of confidence lies between 0 % and 100 %, and is neither.
    ///
    /// A normal distribution has no limits that hold for all of it; where limits are certain, write them as `± a` alone.
    "bad-level" => BadLevel {}
    /// A doubt has one degree of freedom or more.
    ///
    /// The mean of `n` readings has `n - 1` (JCGM 100, 4.2.6); a certificate prints its number, often as an effective one.
    "bad-degrees-of-freedom" => BadDegreesOfFreedom {}
    /// The top of a trapezoid is a share of its base, from 0 to 1.
    ///
    /// With 0 it is a triangle, with 1 a rectangle (JCGM 100, 4.3.9).
    "bad-trapezoid" => BadTrapezoid {}
    /// A coverage factor is a number greater than zero.
    "bad-coverage-factor" => BadCoverageFactor {}
    /// In `(12 ± 2) %` the unit behind the bracket belongs to both numbers, so both must be plain numbers.
    "doubt-needs-plain-numbers" => DoubtNeedsPlainNumbers {}
    /// A machine is given without the word for its kind.
    "missing-kind-word" => MissingKindWord { form: String, name: String, valued: bool }
    /// The stations of a train are joined by `->`, from the effort to the load.
    "missing-arrow" => MissingArrow { worked: Option<String> }
    /// A train has at least an effort and a load.
    "short-train" => ShortTrain {}
    /// A `:` is missing between what is named and what is said of it.
    "missing-colon" => MissingColon { after: String }
    /// A check has a title in quotation marks.
    "check-without-title" => CheckWithoutTitle {}
    /// A comparison is expected: two sides with `<=`, `<`, `>=` or `>` between them.
    "missing-comparison" => MissingComparison { form: String }
    /// Two quantities are compared with `=`.
    ///
    /// Measured and computed quantities are never exactly equal, so a check, limit, question or `sustains` line asks for `<=`, `<`, `>=` or `>`. Only counts in a guard are compared with `=`.
    "equals-in-comparison" => EqualsInComparison {}
    /// A comparison has two sides.
    "chained-comparison" => ChainedComparison {}
    /// A comparison stands where a value is expected.
    "stray-comparison" => StrayComparison {}
    /// A line in the body of a kind begins with a word that is none of its forms.
    ///
    /// The forms are `field`, `option`, `from`, `relation`, `node`, `limit`, `question`, `sustains` and `caution`.
    "unknown-kind-line" => UnknownKindLine { word: String, near: Vec<String> }
    /// A field says what sort of quantity it takes.
    "field-without-quantity" => FieldWithoutQuantity { name: String }
    /// An option lists what may be chosen.
    "option-without-choices" => OptionWithoutChoices { name: String }
    /// `for` needs an index and both its bounds.
    "loop-without-bounds" => LoopWithoutBounds {}
    /// An indexed definition says what its index runs over.
    "index-without-loop" => IndexWithoutLoop { name: String, index: String }
    /// The index of a definition and the index of its `for` are different names.
    "index-mismatch" => IndexMismatch { index: String, running: String }
    /// `when` needs a guard.
    ///
    /// A guard is a state (`raising`, `holding`, `lowering`, `starting`, `moving`), `option is words`, `field is given`, or a comparison of counts, joined by `and` and `or`.
    "when-without-guard" => WhenWithoutGuard {}
    /// A guard belongs to a line of a kind.
    "when-outside-kind" => WhenOutsideKind {}
    /// The same clause stands twice on one line.
    "clause-twice" => ClauseTwice { word: String }
    /// A number is beyond what can be computed with.
    "number-too-large" => NumberTooLarge { typed: String }
    /// A number begins with its decimal point.
    "number-without-leading-digit" => NumberWithoutLeadingDigit {}
    /// `as` is followed by a unit.
    "missing-unit" => MissingUnit {}
    /// Brackets are nested deeper than the program reads.
    "nested-too-deep" => NestedTooDeep { limit: usize }
    /// One expression has more steps inside each other than the program reads.
    "expression-too-long" => ExpressionTooLong { limit: usize }
    /// A character stands here that has no meaning in the language.
    "strange-character" => StrangeCharacter { found: String }
    /// The bracket of a function follows its name at once.
    "space-before-bracket" => SpaceBeforeBracket { name: String }
}

// The near misses as a question, or what could be written in general.
fn nearest_or(near: &[String], otherwise: &str) -> String {
    match near {
        [] => otherwise.to_string(),
        near => format!("did you mean {}?", near.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(" or ")),
    }
}

impl Finding for UnexpectedText {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("expected {expected}, found {found}", expected = self.expected, found = self.found)
    }
    fn label(&self) -> String {
        format!("expected {expected} here", expected = self.expected)
    }
}

impl Finding for UnknownStatement {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{word}` begins no statement", word = self.word)
    }
    fn label(&self) -> String {
        "not a statement word".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(nearest_or(
            &self.near,
            "write `take`, `assume`, `gear`, `machine`, `train`, `check`, `kind`, `use`, or a working line `name = value`",
        ))
    }
}

impl Finding for MissingEquals {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no `=` after `{after}`", after = self.after)
    }
    fn label(&self) -> String {
        "expected `=` here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `{after} = ` and then the value", after = self.after))
    }
}

impl Finding for MissingValue {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no value after {after}", after = self.after)
    }
    fn label(&self) -> String {
        "expected a value here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write a value with its unit, a name, or an expression".to_string())
    }
}

impl Finding for MissingName {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no name after `{after}`", after = self.after)
    }
    fn label(&self) -> String {
        "expected a name here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write a name made of letters, digits and `_`, beginning with a letter".to_string())
    }
}

impl Finding for UnclosedBracket {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{bracket}` is never closed", bracket = self.bracket)
    }
    fn label(&self) -> String {
        "opened here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write the `{close}` that belongs to it; the lines it runs over must be indented", close = self.close))
    }
}

impl Finding for StrayBracket {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{bracket}` closes nothing", bracket = self.bracket)
    }
    fn label(&self) -> String {
        "no open bracket before it".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("remove it, or open the bracket it belongs to".to_string())
    }
}

impl Finding for WrongBracket {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` where `{close}` would close the bracket", found = self.found, close = self.close)
    }
    fn label(&self) -> String {
        format!("expected `{close}`", close = self.close)
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `{close}`", close = self.close))
    }
}

impl Finding for UnclosedQuote {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a quotation mark is never closed".to_string()
    }
    fn label(&self) -> String {
        "opened here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the closing `\"` on the same line".to_string())
    }
}

impl Finding for CurlyQuote {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` is not the plain quotation mark", found = self.found)
    }
    fn label(&self) -> String {
        "a typographic quotation mark".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `\"`".to_string())
    }
    fn replacement(&self) -> Option<String> {
        Some("\"".to_string())
    }
}

impl Finding for DecimalComma {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` has a comma between its digits", found = self.found)
    }
    fn label(&self) -> String {
        "a comma inside a number".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("read as thousands or as a decimal, the value differs a thousandfold".to_string())
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `{mended}` if the comma is a decimal sign; group digits with `_`, as in `1_850`", mended = self.mended))
    }
}

impl Finding for DoubledEquals {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` where `=` is meant", found = self.found)
    }
    fn label(&self) -> String {
        "not a sign of this language".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `=`".to_string())
    }
    fn replacement(&self) -> Option<String> {
        Some("=".to_string())
    }
}

impl Finding for NameWithDigit {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` begins with a digit and cannot be a name", found = self.found)
    }
    fn label(&self) -> String {
        "a name begins with a letter".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("begin the name with a letter or `_`".to_string())
    }
}

impl Finding for ReservedName {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{word}` is a word of the language and cannot be a name", word = self.word)
    }
    fn label(&self) -> String {
        "reserved".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("choose another name, such as `{word}_1`", word = self.word))
    }
}

impl Finding for LineWithoutStatement {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "an indented line with no statement above it".to_string()
    }
    fn label(&self) -> String {
        "belongs to nothing".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("move the line to the margin, or write the statement it belongs to above it".to_string())
    }
}

impl Finding for StarInUnit {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{unit}*{factor}` can be read as a unit or as a product", unit = self.unit, factor = self.factor)
    }
    fn label(&self) -> String {
        "`*` between a unit and a word".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("a moment and a product of a force with a count are different quantities".to_string())
    }
    fn help(&self) -> Option<String> {
        Some(format!(
            "write `{unit}·{factor}` for the unit, or put spaces around `*` to multiply by the name `{factor}`",
            unit = self.unit,
            factor = self.factor
        ))
    }
}

impl Finding for TwoOperators {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{second}` follows another operator", second = self.second)
    }
    fn label(&self) -> String {
        "expected a value before it".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("remove one of the operators, or write the value between them".to_string())
    }
}

impl Finding for MissingQuotedText {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{word}` without text in quotation marks", word = self.word)
    }
    fn label(&self) -> String {
        format!("expected `\"` after `{word}`", word = self.word)
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `{word} \"...\"`", word = self.word))
    }
}

impl Finding for DoubtWithoutAmount {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "`±` without an amount".to_string()
    }
    fn label(&self) -> String {
        "expected the amount of the doubt".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the amount with its unit, as in `± 30 kg`".to_string())
    }
}

impl Finding for UnreadDoubtMeaning {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the meaning of the doubt cannot be read".to_string()
    }
    fn label(&self) -> String {
        "no meaning of a doubt".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("the same number means a different spread under each reading".to_string())
    }
    fn help(&self) -> Option<String> {
        Some("write nothing for limits of error, or one of `(triangular)`, `(trapezoidal 0.5)`, `(arcsine)`, `(k=2)`, `(95 %)`, `(u)`, and behind it `, 12 degrees of freedom` where they are known".to_string())
    }
}

impl Finding for BadCoverageFactor {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the coverage factor must be greater than zero".to_string()
    }
    fn label(&self) -> String {
        "not a coverage factor".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the factor given with the value, commonly 2".to_string())
    }
}

impl Finding for BadLevel {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the level must lie between 0 % and 100 %".to_string()
    }
    fn label(&self) -> String {
        "no interval of a normal distribution has this level".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the level that the certificate gives, commonly `(95 %)`, or nothing where the limits are certain".to_string())
    }
}

impl Finding for BadDegreesOfFreedom {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "there must be one degree of freedom or more".to_string()
    }
    fn label(&self) -> String {
        "too few".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the number that the certificate gives, or one less than the number of readings".to_string())
    }
}

impl Finding for BadTrapezoid {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the top of a trapezoid must be from 0 to 1 of its base".to_string()
    }
    fn label(&self) -> String {
        "not a share of the base".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the width of the top divided by the width of the base: 0 is a triangle, 1 a rectangle".to_string())
    }
}

impl Finding for DoubtNeedsPlainNumbers {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a unit behind the bracket needs plain numbers inside".to_string()
    }
    fn label(&self) -> String {
        "not a plain number".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `12 % ± 2 %`".to_string())
    }
}

impl Finding for MissingKindWord {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{form} `{name}` has no kind", form = self.form, name = self.name)
    }
    fn label(&self) -> String {
        "expected the word of a kind here".to_string()
    }
    fn help(&self) -> Option<String> {
        let (form, name) = (&self.form, &self.name);
        let kind = if form == "load" { "resistance" } else { "tackle" };
        Some(match self.valued {
            true if form == "load" => {
                format!(
                    "state a load that is known with `take {name} = ...` and its source; one that is worked out needs a kind, as in `load {name} = {kind}`"
                )
            }
            true => format!("write the kind, as in `{form} {name} = {kind}`; a value is stated with `take {name} = ...`"),
            false => format!("write the kind, as in `{form} {name} = {kind}`"),
        })
    }
}

impl Finding for MissingArrow {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "no `->` between the stations".to_string()
    }
    fn label(&self) -> String {
        if self.worked.is_some() { "a station is a name".to_string() } else { "expected `->` here".to_string() }
    }
    fn help(&self) -> Option<String> {
        Some(match &self.worked {
            Some(word) => format!("work it on a line above the train, as in `load = {word}(...)`, and write its name here"),
            None => "write `->` between stations, as in `crew -> falls -> load`".to_string(),
        })
    }
}

impl Finding for ShortTrain {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a train needs at least two stations".to_string()
    }
    fn label(&self) -> String {
        "expected `->` and another station".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the effort, the machines and the load, as in `crew -> falls -> load`".to_string())
    }
}

impl Finding for MissingColon {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no `:` after {after}", after = self.after)
    }
    fn label(&self) -> String {
        "expected `:` here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `:`".to_string())
    }
}

impl Finding for CheckWithoutTitle {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a check without a title".to_string()
    }
    fn label(&self) -> String {
        "expected a title in quotation marks".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("the title is what the checker of the sheet reads beside the verdict".to_string())
    }
    fn help(&self) -> Option<String> {
        Some("write `check \"what is checked\": demand <= capacity`".to_string())
    }
}

impl Finding for MissingComparison {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{form}` without a comparison", form = self.form)
    }
    fn label(&self) -> String {
        "expected `<=`, `<`, `>=` or `>`".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write demand `<=` capacity".to_string())
    }
}

impl Finding for EqualsInComparison {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "quantities cannot be compared with `=`".to_string()
    }
    fn label(&self) -> String {
        "`=` states equality".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("two computed quantities are never exactly equal, so such a check could not pass".to_string())
    }
    fn help(&self) -> Option<String> {
        Some("write `<=` or `>=`".to_string())
    }
}

impl Finding for ChainedComparison {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a comparison has two sides".to_string()
    }
    fn label(&self) -> String {
        "a second comparison sign".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write two lines, one for each comparison".to_string())
    }
}

impl Finding for StrayComparison {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a comparison cannot stand in a value".to_string()
    }
    fn label(&self) -> String {
        "not part of a value".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write it as `check \"...\": left <= right`".to_string())
    }
}

impl Finding for UnknownKindLine {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{word}` begins no line of a kind", word = self.word)
    }
    fn label(&self) -> String {
        "not a line of a kind".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(nearest_or(&self.near, "write `field`, `option`, `from`, `relation`, `node`, `limit`, `question`, `sustains` or `caution`"))
    }
}

impl Finding for FieldWithoutQuantity {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("field `{name}` has no quantity", name = self.name)
    }
    fn label(&self) -> String {
        "expected a quantity such as `force` or `count`".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `field {name} force`, or `mass`, `length`, `angle`, `ratio`, `count` and so on", name = self.name))
    }
}

impl Finding for OptionWithoutChoices {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("option `{name}` has no choices", name = self.name)
    }
    fn label(&self) -> String {
        "expected `:` and the choices".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `option {name}: one | another`", name = self.name))
    }
}

impl Finding for LoopWithoutBounds {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "`for` needs an index, `from` and `to`".to_string()
    }
    fn label(&self) -> String {
        "expected `i from 1 to n`".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `for i from 1 to n`".to_string())
    }
}

impl Finding for IndexWithoutLoop {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("nothing says what `{index}` runs over", index = self.index)
    }
    fn label(&self) -> String {
        "indexed here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some(format!("end the line with `for {index} from 1 to n`", index = self.index))
    }
}

impl Finding for IndexMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the index is `{index}` but `for` runs over `{running}`", index = self.index, running = self.running)
    }
    fn label(&self) -> String {
        format!("expected `{index}`", index = self.index)
    }
    fn help(&self) -> Option<String> {
        Some("use one name for both".to_string())
    }
}

impl Finding for WhenWithoutGuard {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "`when` without a guard".to_string()
    }
    fn label(&self) -> String {
        "expected a guard".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write a state such as `raising`, `option is words`, `field is given`, or a comparison of counts".to_string())
    }
}

impl Finding for WhenOutsideKind {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "`when` belongs in the body of a kind".to_string()
    }
    fn label(&self) -> String {
        "no guard can stand here".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("remove the guard; a sheet computes every line".to_string())
    }
}

impl Finding for ClauseTwice {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{word}` stands here twice", word = self.word)
    }
    fn label(&self) -> String {
        "the second one".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("keep one of them".to_string())
    }
}

impl Finding for NumberTooLarge {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{typed}` is too large to compute with", typed = self.typed)
    }
    fn label(&self) -> String {
        "beyond the range of numbers".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write a smaller number, or a larger unit".to_string())
    }
}

impl Finding for NumberWithoutLeadingDigit {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a number begins with a digit".to_string()
    }
    fn label(&self) -> String {
        "no digit before the point".to_string()
    }
    fn why(&self) -> Option<String> {
        Some("a lost point changes the value tenfold or more".to_string())
    }
    fn help(&self) -> Option<String> {
        Some("write `0` before the point".to_string())
    }
}

impl Finding for MissingUnit {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "`as` without a unit".to_string()
    }
    fn label(&self) -> String {
        "expected a unit".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write the unit to show the value in, as in `as kN`".to_string())
    }
}

impl Finding for NestedTooDeep {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("brackets nested deeper than {limit}", limit = self.limit)
    }
    fn label(&self) -> String {
        "one bracket too many".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("divide the expression among several lines, each with a name".to_string())
    }
}

impl Finding for ExpressionTooLong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("an expression more than {limit} steps deep", limit = self.limit)
    }
    fn label(&self) -> String {
        "too many steps".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("divide the expression among several lines, each with a name".to_string())
    }
}

impl Finding for StrangeCharacter {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{found}` has no meaning here", found = self.found)
    }
    fn label(&self) -> String {
        "not part of the language".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("remove it, or put it between quotation marks".to_string())
    }
}

impl Finding for SpaceBeforeBracket {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a value followed by a bracket".to_string()
    }
    fn label(&self) -> String {
        "no operator before the bracket".to_string()
    }
    fn help(&self) -> Option<String> {
        Some("write `name(` without a space to call a function, or put an operator before the bracket".to_string())
    }
}
