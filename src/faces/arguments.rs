//! What may be typed: commands, options and their help.

use crate::engine::Day;
use crate::sheet::Detail;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::num::NonZeroUsize;
use std::path::PathBuf;

const EXIT_STATUS: &str = "Exit status: 0 clean, 1 a document has errors, 2 usage, 3 a check is not accepted by its decision rule, \
4 a check not evaluated or an assumption open, and 5 a sign-off missing, where the project file refuses it, \
6 results moved from the accepted ones, 7 published pages do not match their sources.";

/// Compiles calculation sheets about machines that trade force for distance.
///
/// A sheet is a Markdown document whose `rig` fences hold the calculation.
#[derive(Debug, Parser)]
#[command(name = "parbuckle", version, subcommand_required = true, arg_required_else_help = true, after_help = EXIT_STATUS)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,

    /// When to use colour; `auto` is on a terminal, unless NO_COLOR is set
    #[arg(long, visible_alias = "color", value_name = "WHEN", value_enum, default_value_t = Colour::Auto, global = true)]
    pub(super) colour: Colour,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write every sheet as a page and as JSON
    #[command(after_help = BUILD_EXAMPLES)]
    Build(Build),
    /// Serve every sheet to a browser of this machine, renewed on every save
    #[cfg(feature = "watch")]
    #[command(after_help = WATCH_EXAMPLES, mut_arg("paths", |paths| paths.help("Sheets, or folders of sheets")))]
    Watch(Watch),
    /// Report findings and verdicts, and write nothing
    #[command(after_help = CHECK_EXAMPLES)]
    Check(Check),
    /// Write down the results as those that `check` compares with
    #[command(after_help = ACCEPT_EXAMPLES)]
    Accept(Accept),
    /// Print one sheet as plain text
    #[command(after_help = SHOW_EXAMPLES)]
    Show(Show),
    /// Say what a finding, a unit or a kind of machine is, and what moves with a value
    #[command(after_help = EXPLAIN_EXAMPLES)]
    Explain(Explain),
    /// Say what changed between two states of sheets
    #[command(after_help = COMPARE_EXAMPLES)]
    Compare(Compare),
    /// Lay out the fences of sheets the one way
    #[command(after_help = FORMAT_EXAMPLES)]
    Format(Layout),
    /// Sign a sheet as its originator, checker or approver
    #[command(after_help = SIGN_EXAMPLES)]
    Sign(Sign),
    /// Write a starter sheet
    #[command(after_help = NEW_EXAMPLES)]
    New(New),
}

const BUILD_EXAMPLES: &str = "\
A folder stands for every .md file below it that has a `rig` fence. Folders and files whose names begin with a dot, the \
output folder and linked folders are left out. A page stands in the output folder where its sheet stands in the project.

Beside the sheets, kinds/WORD.html sets out each kind of machine that they use: what it is given, its formulas, published \
values, limits and worked cases. With a folder, every kind has its page, and kinds/index.html lists them.

Examples:
  parbuckle build slip.md                    writes out/slip.html and out/slip.json
  parbuckle build sheets --out site          and site/index.html over them all
  parbuckle build - --out - < slip.md        reads standard input, prints the page
  parbuckle build slip.md --pdf              and out/slip.pdf, for A4 paper
  parbuckle build slip.md --brief            without the working and the drawings
  parbuckle build slip.md --for checking     out/slip.checking.html, to tick line by line
  parbuckle build slip.md --for blind        out/slip.blind.html without results, and the form out/slip.blind.csv
  parbuckle build slip.md --for checking --pdf   and out/slip.checking.pdf, for the pencil
  parbuckle build lesson.md --for learners   out/lesson.learners.html, the exercises without their answers

Chromium is looked for along PATH (chromium, chromium-browser, google-chrome, google-chrome-stable); PARBUCKLE_BROWSER names \
another place, PARBUCKLE_BROWSER_OPTIONS what else it is to be told. Without it the pages are written all the same, and the \
exit status is 2.

Exit status: 0 clean, 1 a document has errors, 2 usage. A sheet with errors is written too, marked incomplete; what \
its checks say stands on it, and `check` gives it as a status.";

#[cfg(feature = "watch")]
const WATCH_EXAMPLES: &str = "\
The address is printed to standard output, and everything else to standard error: for each save one line, and what was found. \
The open page is renewed in place: where it is scrolled to and what is unfolded stay, and a number that has changed is \
marked for a moment, with its old value shown on hover. While a sheet has errors, the page stays as it was last without \
any, under a list of them.

Only this machine is answered, and only under the printed address, which is another each time.

Examples:
  parbuckle watch slip.md --open             opens the page in the browser
  parbuckle watch sheets --out site          writes what `build` would write, too
  parbuckle watch sheets --port 7000

It runs until it is interrupted. Exit status: 1 it could not go on, 2 it could not begin.";

const CHECK_EXAMPLES: &str = "\
Findings go to standard error and verdicts to standard output. With `--format json`, `sarif` (SARIF 2.1.0) or `junit` (the XML \
of JUnit reports) both go to standard output.

Examples:
  parbuckle check sheets
  parbuckle check slip.md --format json
  parbuckle check sheets --format sarif > findings.sarif
  parbuckle check sheets --rebuilds out
  parbuckle check - < slip.md

Where a sheet has a file of accepted results beside it (see `accept`), results that moved from them are named. With \
`--rebuilds DIR` everything that `build` writes is made once more and compared with DIR, byte for byte: what differs, is missing \
or is left over is listed.

Exit status: the least that applies of 0 clean, 1 a document has errors, 2 usage, 3 a check is not accepted by its decision rule, \
4 a check is not evaluated or an assumption open where the project file refuses it, 5 a sheet is without the sign-off that it demands, \
6 results moved from the accepted ones by more than the tolerance, 7 pages in DIR are not what their sources give.";

const ACCEPT_EXAMPLES: &str = "\
Beside each sheet, NAME.accepted gets a line for each of its results: name, value, standard uncertainty, unit. It is to be kept \
under version control with the sheet; `check` compares with it from then on. What moved since the last time is printed.

Examples:
  parbuckle accept slip.md                   writes slip.accepted
  parbuckle accept sheets

Exit status: 0 written, 1 a document has errors and nothing was written, 2 usage.";

const SHOW_EXAMPLES: &str = "\
Examples:
  parbuckle show slip.md
  parbuckle show slip.md --brief
  parbuckle show slip.md --table results > results.csv
  parbuckle show - < slip.md
  parbuckle show slip.md --budget haul.effort --budget 'falls.part[2]'
  parbuckle show slip.md --budget every

A budget has a line for each input: its value, distribution, degrees of freedom, standard uncertainty, sensitivity, contribution \
and share of the variance, the largest first.

Tables are CSV (RFC 4180): numbers at full precision, each with its standard uncertainty and unit.

Exit status: 0 the sheet was printed, 1 the document has errors, 2 usage. A check that is not accepted is on the sheet, not in the \
exit status, so that `show` can serve a version-control diff.";

const EXPLAIN_EXAMPLES: &str = "\
Examples:
  parbuckle explain unit-mismatch
  parbuckle explain kN
  parbuckle explain tackle
  parbuckle explain slip.md::boat            what moves with an input, and by how much
  parbuckle explain gear/store.csv::rope.rated
  parbuckle explain                          lists what can be asked
  parbuckle explain --schema                 the JSON Schema of a sheet

Of a value of a sheet or of a list of gear, SHEET::NAME, it is told what is stated of it, what it rests on, and every check and \
result that moves with it: by how much for one standard uncertainty of it, the most moved first, and whether a verdict changes. \
So are all sheets of the project that use its file, directly or through others. Of a value without doubt 1 % is taken, of a count \
one more.

Exit status: 0 explained, 1 the sheet has errors, 2 nothing goes by that name.";

const COMPARE_EXAMPLES: &str = "\
Told are inputs, results against their doubt, verdicts, machines, sources and references; prose apart. The order of lines, \
layout, comments, and names that changed alone make no noise. Each side is a file, a folder, or a revision of a git \
repository written REVISION:PATH, which is read without touching the work tree.

Examples:
  parbuckle compare slip-b.md slip-c.md
  parbuckle compare HEAD~1:sheets sheets
  parbuckle compare v1.0:slip.md slip.md --format html > review.html
  parbuckle compare --blind slip.blind.csv slip.md

With `--blind`, OLD is a form of `build --for blind` that somebody has filled in, and NEW the sheet. A value agrees when it is as \
near as one unit of its last digit, or of the last digit that is printed; further off it is told whether that is within the \
expanded uncertainty of the result.

Exit status: 0 compared, 1 a document or a form has errors, 2 usage, 6 with --blind: a result differs by more than its uncertainty.";

const FORMAT_EXAMPLES: &str = "\
Values, units and sources are set under each other, indentation is four, several blanks or blank lines become one. Prose, \
comments and the order of lines stay, and what a sheet calculates is the same before and after.

Examples:
  parbuckle format slip.md                   lays out slip.md in place
  parbuckle format sheets --check            names what would change, and writes nothing
  parbuckle format - < slip.md               prints the sheet laid out

Exit status: 0 laid out, or nothing to do; 1 with --check, when a sheet would change; 2 usage.";

const SIGN_EXAMPLES: &str = "\
The signature goes into a record beside the sheet, named like it with the ending .signoff: who, as what, what it means, when, the \
revision, a digest of the calculation and one of the text, and what the sheet comes to. From then on the sheet says whether it \
still holds. Layout, comments and the place of files change neither digest; prose changes that of the text alone.

The originator signs first, somebody else checks, and approval needs a current check, every check on the sheet accepted and every \
assumption confirmed. Names are declared, not proven.

Examples:
  parbuckle sign slip.md --role originator --name \"M. Tolland\" --meaning \"made from the survey of 12 March\"
  parbuckle sign slip.md --role checker --name \"R. Okafor\" --meaning \"every line followed, inputs held against their sources\"
  parbuckle sign slip.md --superseded-by SL-09 --name \"M. Tolland\"
  parbuckle sign slip.md --void \"the winch was sold\" --name \"M. Tolland\"

Exit status: 0 signed, or signed so already; 1 the document cannot be read; 2 usage, or the signature was not taken.";

const NEW_EXAMPLES: &str = "\
Examples:
  parbuckle new slates.md
  parbuckle new -                            prints the starter sheet

A name without an ending gets .md. A file that is already there is left alone. Exit status: 0 written, 2 not written.";

/// Which documents, and where they are counted from.
#[derive(Debug, Clone, Args)]
pub(super) struct Paths {
    /// Sheets, folders of sheets, or `-` for standard input
    #[arg(required = true, value_name = "PATH")]
    pub(super) paths: Vec<PathBuf>,

    /// Folder that no sheet may reach out of; by default the current one, or what holds every PATH
    #[arg(long, value_name = "DIR")]
    pub(super) root: Option<PathBuf>,
}

/// How much is made of each sheet.
#[derive(Debug, Clone, Copy, Default, Args)]
pub(super) struct Brief {
    /// Leave out the working and the drawings: the answer, the inputs, the results and the checks alone
    #[arg(long)]
    pub(super) brief: bool,
}

impl From<Brief> for Detail {
    fn from(asked: Brief) -> Detail {
        if asked.brief { Detail::Brief } else { Detail::Whole }
    }
}

/// The day that sheets are looked at on.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct Looked {
    /// Day on which dates of inspection are looked at, as in 2026-11-30; nothing is read from the clock
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub(super) on: Option<Day>,
}

fn day(text: &str) -> Result<Day, String> {
    Day::read(text).ok_or_else(|| "a day is written as year, month and day: 2026-11-30".to_string())
}

#[derive(Debug, Args)]
pub(super) struct Build {
    #[command(flatten)]
    pub(super) paths: Paths,

    #[command(flatten)]
    pub(super) looked: Looked,

    /// Folder to write to; `-` prints the page of a single sheet
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(super) out: PathBuf,

    #[command(flatten)]
    pub(super) brief: Brief,

    /// Sheets worked at a time; by default as many as there are cores
    #[arg(long, value_name = "N")]
    pub(super) cores: Option<NonZeroUsize>,

    /// Write copies for whoever checks instead: to tick line by line, or without any result
    #[arg(long = "for", value_enum, value_name = "PURPOSE", conflicts_with = "brief")]
    pub(super) purpose: Option<Purpose>,

    /// Print every sheet to PDF as well, through an installed Chromium
    #[arg(long)]
    pub(super) pdf: bool,

    /// Paper of the PDF (default: that of the project file, else A4)
    #[arg(long, value_enum, ignore_case = true, requires = "pdf")]
    pub(super) paper: Option<Paper>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Purpose {
    /// A page to tick line by line, with a margin for the pencil
    Checking,
    /// What is given and what is asked, without any result, and a form for the results
    Blind,
    /// The exercises without their answers, and nothing else
    Learners,
}

impl Build {
    /// A build without further wishes, into `out`.
    pub(super) fn into(paths: &Paths, looked: Looked, out: PathBuf) -> Self {
        Build { paths: paths.clone(), looked, out, brief: Brief::default(), purpose: None, cores: None, pdf: false, paper: None }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    #[value(name = "A4")]
    A4,
    #[value(name = "Letter")]
    Letter,
}

#[cfg(feature = "watch")]
#[derive(Debug, Args)]
pub(super) struct Watch {
    #[command(flatten)]
    pub(super) paths: Paths,

    #[command(flatten)]
    pub(super) looked: Looked,

    /// Port of this machine to answer on; by default any free one
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(super) port: Option<u16>,

    /// Open the first page in the browser
    #[arg(long)]
    pub(super) open: bool,

    /// Folder to write to as well, as `build` does
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct Check {
    #[command(flatten)]
    pub(super) paths: Paths,

    #[command(flatten)]
    pub(super) looked: Looked,

    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,

    /// Folder of published pages, to be held against what the sheets give now
    #[arg(long, value_name = "DIR")]
    pub(super) rebuilds: Option<PathBuf>,

    /// Sheets worked at a time; by default as many as there are cores
    #[arg(long, value_name = "N")]
    pub(super) cores: Option<NonZeroUsize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    Text,
    Json,
    Sarif,
    Junit,
}

#[derive(Debug, Args)]
pub(super) struct Accept {
    #[command(flatten)]
    pub(super) paths: Paths,
}

#[derive(Debug, Args)]
pub(super) struct Show {
    /// The sheet, or `-` for standard input
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,

    /// Only where the doubt of NAME comes from, of any value; `every` for all of them
    #[arg(long, value_name = "NAME", conflicts_with = "table")]
    pub(super) budget: Vec<String>,

    /// Folder that the sheet may not reach out of; by default the current one, or the one that holds it
    #[arg(long, value_name = "DIR")]
    pub(super) root: Option<PathBuf>,

    #[command(flatten)]
    pub(super) looked: Looked,

    #[command(flatten)]
    pub(super) brief: Brief,

    /// Print one of its tables as CSV instead
    #[arg(long, value_enum, value_name = "TABLE", conflicts_with = "brief")]
    pub(super) table: Option<Table>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Table {
    Results,
    Inputs,
    Checks,
    Gear,
}

#[derive(Debug, Args)]
pub(super) struct Explain {
    /// A finding, a unit, a kind of machine, a statement or a function; or a value of a sheet, as SHEET::NAME
    #[arg(value_name = "WORD", conflicts_with = "schema")]
    pub(super) word: Option<String>,

    /// Print the JSON Schema of the JSON that `build` writes
    #[arg(long)]
    pub(super) schema: bool,

    /// Of what moves with a value, print the values inside machines too
    #[arg(long, requires = "word")]
    pub(super) every: bool,

    /// How to report on a value
    #[arg(long, value_enum, default_value_t = Data::Text)]
    pub(super) format: Data,

    /// Folder to look for sheets in that use the file of the value; by default that of the project
    #[arg(long, value_name = "DIR", requires = "word")]
    pub(super) root: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Data {
    Text,
    Json,
}

#[derive(Debug, Args)]
pub(super) struct Compare {
    /// The earlier state
    #[arg(value_name = "OLD")]
    pub(super) old: PathBuf,

    /// The later state
    #[arg(value_name = "NEW")]
    pub(super) new: PathBuf,

    /// OLD is the form of an independent calculation, and NEW the sheet that it was made from
    #[arg(long)]
    pub(super) blind: bool,

    /// How to report
    #[arg(long, value_enum, default_value_t = Review::Text)]
    pub(super) format: Review,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Review {
    Text,
    Json,
    Html,
}

#[derive(Debug, Args)]
pub(super) struct Layout {
    #[command(flatten)]
    pub(super) paths: Paths,

    /// Name the sheets that would change, and leave them alone
    #[arg(long)]
    pub(super) check: bool,
}

#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("what").required(true).args(["role", "void", "superseded_by"]))]
pub(super) struct Sign {
    /// The sheet
    #[arg(value_name = "SHEET")]
    pub(super) file: PathBuf,

    /// As what to sign
    #[arg(long, value_enum, requires = "meaning")]
    pub(super) role: Option<Role>,

    /// Who signs
    #[arg(long, value_name = "NAME")]
    pub(super) name: String,

    /// What the signature means
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    pub(super) meaning: String,

    /// Take the sheet out of use, and say why
    #[arg(long, value_name = "WHY")]
    pub(super) void: Option<String>,

    /// Say which sheet has taken its place
    #[arg(long, value_name = "NUMBER")]
    pub(super) superseded_by: Option<String>,

    /// Day of the signature, as 2026-03-14; by default today
    #[arg(long, value_name = "DATE")]
    pub(super) date: Option<String>,

    /// Folder that the sheet may not reach out of; by default the current one, or the one that holds it
    #[arg(long, value_name = "DIR")]
    pub(super) root: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Role {
    Originator,
    Checker,
    Approver,
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// File to write, or `-` for standard output
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
}
