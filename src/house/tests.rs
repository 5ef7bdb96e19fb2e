//! The project file read whole, read broken, and read as anything at all.

use super::{DateForm, DecimalSign, House, Language, Paper, SignOff, StatusWord, read};
use crate::diagnostics::Sink;
use crate::source::{FileId, SheetPath};

fn read_at(path: &str, text: &str) -> (House, Vec<String>) {
    let mut sink = Sink::new();
    let house = read(text, &SheetPath::new(path), FileId(0), &mut sink);
    (house, sink.into_sorted().into_iter().map(|finding| format!("{}: {}", finding.slug, finding.headline)).collect())
}

const WHOLE: &str = r#"
owner = "Harbour Works Ltd"
logo = "style/mark.svg"
paper = "Letter"
units = "US customary"
prefer = ["kN", "mm"]
decimal_sign = "comma"
language = "de"
author_language = "pt-BR"
date_form = "D Month YYYY"

[status_legend]
draft = "not for use"
for_review = "for review only"

[templates]
folder = "style/parts"

[demands]
not_evaluated = "refuse"
open_assumptions = "allow"
sign_off = "checked"

[results]
tolerance = "0.5 %"
"#;

#[test]
fn a_whole_file_is_read_whole() {
    let (house, found) = read_at("yard/parbuckle.toml", WHOLE);
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(house.file, Some(SheetPath::new("yard/parbuckle.toml")));
    assert_eq!(house.owner, "Harbour Works Ltd");
    assert_eq!(house.logo, Some(SheetPath::new("yard/style/mark.svg")));
    assert_eq!((house.paper, house.us_customary), (Some(Paper::Letter), Some(true)));
    assert_eq!(house.preferred.iter().map(|unit| unit.symbol.as_str()).collect::<Vec<_>>(), ["kN", "mm"]);
    assert_eq!((house.decimal_sign, house.language, house.date_form), (DecimalSign::Comma, Language::German, DateForm::DayFirst));
    assert_eq!(house.author_language.map(|tag| tag.as_str().to_string()).as_deref(), Some("pt-BR"));
    assert_eq!(house.status_legend.get(&StatusWord::Draft).map(String::as_str), Some("not for use"));
    assert_eq!(house.status_legend.get(&StatusWord::ForReview).map(String::as_str), Some("for review only"));
    assert_eq!(house.templates, Some(SheetPath::new("yard/style/parts")));
    assert!(house.demands.refuses_not_evaluated && !house.demands.refuses_open_assumptions);
    assert_eq!((house.demands.sign_off, house.tolerance), (SignOff::Checked, Some(0.005)));
}

#[test]
fn an_empty_file_settles_nothing() {
    let (house, found) = read_at("parbuckle.toml", "# nothing yet\n");
    assert!(found.is_empty());
    assert_eq!(House { file: None, ..house }, House::default());
}

#[test]
fn a_broken_line_costs_itself_alone() {
    for line in
        ["owner Harbour Works", "owner = \"Harbour", "owner = ", "paper = \"A4\"\npaper = \"A4\"", "= 3", "\u{0}", "prefer = [\"kN\""]
    {
        let text = format!("# house\n{line}\n\nlanguage = \"de\"\n[demands]\nsign_off = \"checked\"\n");
        let (house, found) = read_at("parbuckle.toml", &text);
        assert_eq!(found.len(), 1, "{line}: {found:?}");
        assert_eq!((house.language, house.demands.sign_off), (Language::German, SignOff::Checked), "{line}");
        assert!(house.owner.is_empty(), "{line}: a broken line is not believed");
    }
}

#[test]
fn keys_below_a_broken_head_are_not_taken_for_those_of_another_table() {
    let (house, found) =
        read_at("parbuckle.toml", "[demands]\nsign_off = \"checked\"\n[results\ntolerance = \"1 %\"\n[templates]\nfolder = \"a\"\n");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((house.demands.sign_off, house.tolerance, house.templates), (SignOff::Checked, None, Some(SheetPath::new("a"))));
}

#[test]
fn a_path_may_not_leave_the_project() {
    for path in ["../mark.svg", "/mark.svg", "https://example.org/mark.svg", "", "mark.gif"] {
        let (house, found) = read_at("parbuckle.toml", &format!("logo = \"{path}\""));
        assert_eq!((house.logo, found.len()), (None, 1), "{path}");
    }
}

#[test]
fn a_share_is_read_in_per_cent_alone() {
    let share = |value: &str| read_at("parbuckle.toml", &format!("[results]\ntolerance = {value}\n")).0.tolerance;
    assert_eq!((share("\"0%\""), share("\"2.5 %\"")), (Some(0.0), Some(0.025)));
    for refused in ["0.5", "\"0.5\"", "\"-1 %\"", "\"NaN %\"", "\"inf %\"", "\"101 %\"", "true"] {
        assert_eq!(share(refused), None, "{refused}");
    }
}

proptest::proptest! {
    #[test]
    fn any_text_is_answered(text in "(?s).{0,80}", cut in 0_usize..600, put in "[\\[\\]=\"',{}.#\n a-z0-9]{0,4}") {
        read_at("parbuckle.toml", &text);
        let mut at = cut.min(WHOLE.len());
        while !WHOLE.is_char_boundary(at) {
            at -= 1;
        }
        read_at("parbuckle.toml", &format!("{}{put}{}", &WHOLE[..at], &WHOLE[at..]));
    }
}
