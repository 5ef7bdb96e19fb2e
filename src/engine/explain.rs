//! What can be said about a word: a finding, a unit, a kind or a function.

use crate::diagnostics::catalogue::pages;
use crate::engine::reference::reference;
use crate::model::functions::FUNCTIONS;

/// The statements of a sheet: word, form, what it does. The README tells them at length.
const STATEMENTS: &[(&str, &str, &str)] = &[
    (
        "sheet",
        "sheet SL-07 \"Title\"",
        "Heads the sheet. Indented below it may stand `revision`, `revised`, `date`, `project`, `client`, `originator`, `checker`, `approver`,\n\
         `question`, which the sheet is to answer, `language`, which its author writes in, `duty`, `gravity`, `units`, `prefer`, `rule` (`simple acceptance`, `guard band` or `probability 95 %`), `coverage`, how doubts\n\
         are expanded (`factor 2`, which is the default, or `level 95 %`), and `terms second order`, which counts those in.",
    ),
    (
        "take",
        "take NAME \"label\" = VALUE ± DOUBT from \"source\"",
        "States an input with its evidence. In place of `from` may stand `measured`, `marked`, `weighed` or `drawing`.",
    ),
    (
        "assume",
        "assume NAME \"label\" = VALUE because \"reason\" effect \"what follows if it is wrong\"\n    confirm by \"when, or before what\"\n    confirmed \"how, by whom, when\"",
        "States an input that nobody measured, with its reason. It is open, and counted as such at the top of the sheet, until it says\n\
         how it was `confirmed`; `confirm by` says when that is to be done.",
    ),
    (
        "gear",
        "gear NAME \"label\"\n    rated 2.4 kN from \"tag\"",
        "Names a piece of gear with its rating. With `breaking` and `design factor` the rating is their quotient; none is made up.",
    ),
    (
        "instrument",
        "instrument NAME \"label\"\n    resolution STEP\n    zero VALUE\n    calibration ± DOUBT from \"certificate\"\n    own weight FORCE",
        "Describes what readings are taken with. `take NAME = VALUE by INSTRUMENT` takes its zero off, gives the reading its step as a\n\
         doubt, and shares the doubt of the calibration among all its readings. Behind `by INSTRUMENT inverted` its `own weight` is added\n\
         (set to zero upside down), or twice its `hook weight` (set to zero upright).",
    ),
    (
        "correlation",
        "correlation NAME, NAME = COEFFICIENT from \"source\"",
        "States how far the doubts of two inputs go together, from -1 to 1 (JCGM 100:2008, 5.2.2). Both must state a doubt.",
    ),
    (
        "machine",
        "machine NAME \"label\" = KIND\n    FIELD VALUE\n    OPTION CHOICE\n    load NAME",
        "Puts a machine to work. `explain kinds` lists the kinds, and `explain` with one of them says what it is given.",
    ),
    (
        "load",
        "load NAME \"label\" = KIND\n    FIELD VALUE",
        "States what is moved, by a kind of load that gives the force to move it. A train may end at it.",
    ),
    (
        "train",
        "train NAME \"label\": EFFORT -> machine -> machine -> LOAD",
        "Joins machines in a row, from the effort to the load. Each machine's effort is the load of the next one towards the hand.",
    ),
    (
        "check",
        "check \"title\": DEMAND <= CAPACITY ref \"source\"",
        "Compares a demand with a capacity. The verdict is PASS, PASS WITHIN UNCERTAINTY, FAIL WITHIN UNCERTAINTY, FAIL\n\
         or NOT EVALUATED, by the decision rule of the sheet: `rule` in its head, else a guard band where the duty is lift or pull and\n\
         simple acceptance elsewhere.",
    ),
    (
        "vary",
        "vary NAME over FIRST .. LAST by STEP showing NAME \"label\", NAME\nvary NAME over [VALUE, VALUE] showing NAME as UNIT",
        "Works results over a range or a list of values, as a table and a plot. Everything else stays as the sheet states it.",
    ),
    (
        "size",
        "size NAME over FIRST .. LAST, least for DEMAND <= CAPACITY and \"title of a check\"\nsize NAME, greatest for every check",
        "Finds the least or the greatest value for which every condition named holds. Its neighbours are shown, with what fails there.",
    ),
    (
        "readings",
        "readings NAME \"label\" of MACHINE, raising\n    effort by INSTRUMENT\n    load    effort    load travel    effort travel\n    \
         100 N   31 N      50 mm          201 mm",
        "Takes what was read of a machine, one trial a row, in the fence or with `file \"bench.csv\"` from a file. Columns are `load` and\n\
         `effort`, and perhaps `load travel`, `effort travel`, `trial`, `direction` and `remark`. Of each trial and of all trials of one\n\
         direction it works advantage, velocity ratio, work and efficiency: `NAME.each.efficiency[2]`, `NAME.efficiency`.",
    ),
    (
        "propagate",
        "propagate NAME, NAME as UNIT\n    draws 1_000_000\n    draws at most 200_000\n    seed 20261\n    interval symmetric\n    level 95 %\n    digits 1",
        "Draws the distributions of results from those of the inputs (JCGM 101:2008) and says whether the first-order interval is\n\
         confirmed. Every setting may be left out; drawing then goes on until the results are steady.",
    ),
    (
        "use",
        "use \"path.md\" as NAME",
        "Takes over the names and kinds of another document. Without `as` its names stand beside the sheet's own.",
    ),
    (
        "law",
        "law NAME \"label\" of READINGS, raising\nlaw NAME of EFFORTS against LOADS\n    errors in both\n    velocity ratio VALUE",
        "Draws the straight line of effort against load, never forced through zero. It gives `NAME.slope`, `NAME.no_load_effort`,\n\
         `NAME.limiting_mechanical_advantage`, `NAME.limiting_efficiency` and `NAME(350 N)`, the effort at a load.",
    ),
    (
        "exercise",
        "exercise \"question\": RESULT as UNIT\n    situation \"...\"\n    given NAME, NAME\n    step \"question\": RESULT\n    accept ± 2 %\n    \
         marks 3\n    hint \"...\"\n    faded 1",
        "Poses a question to learners. The sheet prints it with its answer, the steps and the answers that are accepted;\n\
         `build --for learners` prints the questions alone. Every line below it may be left out.",
    ),
    (
        "agreement",
        "agreement \"title\": PREDICTED with MEASURED as UNIT ref \"source\"",
        "Sets a prediction beside what was measured, with the doubt of their difference and the normalised error\n\
         |difference| / U(difference): up to 1 they agree within their doubt.",
    ),
    (
        "kind",
        "kind WORD \"label\"\n    field NAME QUANTITY \"label\"\n    from load : force to effort : force\n    relation NAME = EXPRESSION when GUARD\n    \
         limit A <= B \"what is wrong when it fails\"",
        "Describes a machine of one's own. It must give `effort`, `velocity_ratio` and `friction_work`.",
    ),
];

/// What `explain` prints for a word. None when nothing goes by that name.
pub fn explain(word: &str) -> Option<String> {
    let word = word.trim();
    match word {
        "findings" => return Some(listing("Findings", pages().map(|page| (page.slug.to_string(), first_line(page.text))))),
        "kinds" => return Some(listing("Kinds of machine", crate::kinds::words().map(|word| (word.to_string(), kind_title(word))))),
        "functions" => {
            return Some(listing("Functions", FUNCTIONS.iter().map(|(name, _, _, says)| ((*name).to_string(), (*says).to_string()))));
        }
        "statements" => {
            return Some(listing("Statements", STATEMENTS.iter().map(|(word, _, says)| ((*word).to_string(), first_sentence(says)))));
        }
        "units" => return Some(listing("Units", crate::units::all().map(|row| (row.spellings.join(", "), row.name.to_string())))),
        _ => {}
    }
    if let Some(page) = pages().find(|page| page.slug == word) {
        return Some(format!("{}\n\n{}\n", page.slug, unindented(page.text)));
    }
    let statement = STATEMENTS.iter().find(|(known, ..)| *known == word).map(|(_, form, says)| format!("{form}\n\n{says}\n"));
    let document = reference(word).map(|sheet| crate::output::reference(&sheet));
    if statement.is_some() || document.is_some() {
        // What every train has is a document of its own; it belongs to the statement.
        return Some([statement, document].into_iter().flatten().collect::<Vec<_>>().join("\n\n"));
    }
    if let Some((name, _, _, says)) = FUNCTIONS.iter().find(|(name, ..)| *name == word) {
        return Some(format!("{name}(...)\n\n{says}\n"));
    }
    crate::units::describe(word)
}

/// Words of one sort that [`explain`] has a page for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subjects {
    /// What they are: "Findings" ...
    pub title: &'static str,
    /// The words, in the order to list them.
    pub words: Vec<String>,
}

/// Every word that [`explain`] answers to, by sort.
pub fn subjects() -> Vec<Subjects> {
    vec![
        Subjects { title: "Lists", words: ["findings", "kinds", "functions", "statements", "units"].map(String::from).to_vec() },
        Subjects { title: "Kinds", words: crate::kinds::words().map(String::from).collect() },
        Subjects { title: "Statements", words: STATEMENTS.iter().map(|(word, ..)| (*word).to_string()).collect() },
        Subjects { title: "Functions", words: FUNCTIONS.iter().map(|(name, ..)| (*name).to_string()).collect() },
        Subjects { title: "Findings", words: pages().map(|page| page.slug.to_string()).collect() },
        Subjects { title: "Units", words: crate::units::all().flat_map(spellings).collect() },
    ]
}

fn listing(title: &str, rows: impl Iterator<Item = (String, String)>) -> String {
    let rows: Vec<(String, String)> = rows.collect();
    let width = rows.iter().map(|(word, _)| word.chars().count()).max().unwrap_or(0).min(40);
    let mut text = format!("{title}\n\n");
    for (word, says) in rows {
        let gap = width.saturating_sub(word.chars().count());
        text.push_str(&format!("  {word}{}  {says}\n", " ".repeat(gap)));
    }
    text
}

fn first_sentence(text: &str) -> String {
    text.split_once(". ").map_or(text, |(first, _)| first).trim_end_matches('.').to_string()
}

fn first_line(text: &str) -> String {
    unindented(text).lines().next().unwrap_or("").to_string()
}

fn kind_title(word: &str) -> String {
    let document = crate::kinds::document(word).unwrap_or("");
    document.lines().find_map(|line| line.strip_prefix("# ")).unwrap_or("").to_string()
}

fn unindented(text: &str) -> String {
    text.lines().map(|line| line.strip_prefix(' ').unwrap_or(line)).collect::<Vec<_>>().join("\n").trim_end().to_string()
}

// A unit's spellings, and its symbol with the prefixes of everyday work.
fn spellings(row: &'static crate::units::Row) -> Vec<String> {
    let mut words: Vec<String> = row.spellings.iter().map(|spelling| (*spelling).to_string()).collect();
    let prefixed = ["m", "k", "M"].into_iter().filter(|prefix| row.takes(prefix));
    words.extend(prefixed.map(|prefix| format!("{prefix}{}", row.print)));
    words
}
