//! The sheet as plain text for a terminal and for the differences a version control shows: 80 columns, no colour, and
//! no line whose layout depends on another line, so that one changed value changes one line.

use crate::output::comparing_text;
use crate::output::draws_text::draws;
use crate::output::excerpt::{columns, wrap};
use crate::output::exercise_text::exercise;
use crate::output::html::in_house;
use crate::output::kind_text::kind;
use crate::output::linear::linear;
use crate::output::markup::standing;
use crate::output::prose::words;
use crate::output::reading_text::readings;
use crate::output::sign_text::signatures;
use crate::output::terminal::{Style, notice, visible};
use crate::sheet::parts::{
    Block, Budget, CheckRow, EffortAnswer, Figure, GearRow, InputRow, MachineReport, Sheet, StudyReport, SummaryRow, TrainReport,
    WorkedValue, WorkingLine,
};
use crate::words::{Language, Voice, say, speaking, unmarked};

const WIDTH: usize = 80;

/// The sheet as text, ending with a line feed.
pub fn text(sheet: &Sheet) -> String {
    in_english(sheet, |sheet| unmarked(&whole(sheet)).into_owned())
}

// What a terminal says is in English, as findings are, so a sheet of a house with another language is printed as it is for JSON; a
// house that speaks English has its own sign of decimals and form of dates in text too.
fn in_english(sheet: &Sheet, print: impl Fn(&Sheet) -> String) -> String {
    if sheet.house.voice.language == Language::English { in_house(sheet, print) } else { speaking(Voice::default(), || print(sheet)) }
}

fn whole(sheet: &Sheet) -> String {
    let mut page = Page::default();
    title(sheet, &mut page);
    if !sheet.answer.is_empty() {
        page.heading("The answer");
        for line in &sheet.answer {
            page.item(&format!("{}: {}", line.label, line.text));
        }
    }
    if !sheet.notices.is_empty() {
        page.heading("Findings");
        for finding in &sheet.notices {
            page.raw(&notice(finding, Style::default()));
            page.gap();
        }
    }
    for block in &sheet.blocks {
        document(sheet, block, &mut page);
    }
    registers(sheet, &mut page);
    page.finish()
}

fn title(sheet: &Sheet, page: &mut Page) {
    let block = &sheet.title_block;
    let name = if block.title.is_empty() { &sheet.path } else { &block.title };
    let head = format!("{}  {name}", block.number);
    let head = head.trim();
    page.title(head);
    let cells: Vec<String> = block.cells.iter().map(|cell| format!("{}: {}", cell.label, cell.value)).collect();
    for cell in &cells {
        page.line(0, cell);
    }
    page.line(0, &format!("Status: {}", sheet.status));
    signatures(&sheet.sign_off, page);
    page.note(&sheet.left_out);
    if !sheet.complete {
        page.gap();
        page.line(0, "THIS SHEET IS INCOMPLETE: not everything in its source could be worked.");
    }
}

fn document(sheet: &Sheet, block: &Block, page: &mut Page) {
    match block {
        Block::Prose { html } => {
            for paragraph in words(html) {
                page.gap();
                page.line(0, &paragraph);
            }
        }
        Block::Inputs { rows } => {
            page.gap();
            rows.iter().for_each(|row| input(row, page));
        }
        Block::Gear { rows } | Block::Instruments { rows } => {
            page.gap();
            rows.iter().for_each(|row| gear(row, page));
        }
        Block::Correlations { indices } => {
            page.gap();
            for row in indices.iter().filter_map(|index| sheet.correlations.get(*index)) {
                page.item(&format!("correlation of {} and {} = {}{}", row.first.name, row.second.name, row.text, after("; ", &row.source)));
            }
        }
        Block::Working { lines } => {
            page.gap();
            lines.iter().for_each(|line| working(line, page));
        }
        Block::Results { rows } => {
            page.gap();
            rows.iter().for_each(|row| result(row, page));
        }
        Block::Machine { index } => {
            if let Some(report) = sheet.machines.get(*index) {
                machine(report, &sheet.path, page);
            }
        }
        Block::Train { index } => {
            if let Some(report) = sheet.trains.get(*index) {
                train(report, page);
            }
        }
        Block::Checks { indices } => {
            page.gap();
            indices.iter().filter_map(|index| sheet.checks.get(*index)).for_each(|row| check(row, page));
        }
        Block::Study { index } => {
            if let Some(report) = sheet.studies.get(*index) {
                study(report, page);
            }
        }
        Block::Readings { index } => {
            if let Some(report) = sheet.readings.get(*index) {
                readings(report, page);
            }
        }
        Block::Law { index } => {
            if let Some(report) = sheet.laws.get(*index) {
                comparing_text::law(report, page);
            }
        }
        Block::Agreements { indices } => {
            page.gap();
            indices.iter().filter_map(|index| sheet.agreements.get(*index)).for_each(|row| comparing_text::agreement(row, page));
        }
        Block::Exercise { index } => {
            if let Some(report) = sheet.exercises.get(*index) {
                exercise(report, page);
            }
        }
        Block::Propagation { index } => {
            if let Some(report) = sheet.propagations.get(*index) {
                draws(report, page);
            }
        }
        Block::Kind { index, .. } => {
            if let Some(report) = sheet.kinds.get(*index) {
                kind(report, page);
            }
        }
        Block::Broken { source, .. } => {
            page.heading("Could not be worked");
            page.quoted(source);
        }
    }
}

/// The budgets that were asked for by name, under the title of their sheet.
pub fn budgets_text(sheet: &Sheet) -> String {
    in_english(sheet, asked_budgets)
}

fn asked_budgets(sheet: &Sheet) -> String {
    let mut page = Page::default();
    title(sheet, &mut page);
    page.heading("Where the doubt comes from");
    if sheet.asked.is_empty() {
        page.line(0, "No stated doubt reaches what was asked for, or it could not be worked.");
    }
    sheet.asked.iter().for_each(|one| budget(one, &mut page));
    page.note(&sheet.decision_rule);
    page.finish()
}

fn budget(budget: &Budget, page: &mut Page) {
    let titles = budget.checks.iter().map(|title| format!("\"{title}\"")).collect::<Vec<_>>().join(", ");
    let mut of = format!("{} = {}", linear(&budget.formula), budget.result.bare());
    if budget.result.standard_uncertainty > 0.0 {
        let (standard, degrees, coverage) = (&budget.standard, &budget.degrees, &budget.coverage);
        of += &format!(", combined standard uncertainty {standard}, degrees of freedom {degrees}, {coverage}");
    }
    page.item(&format!("{of}{}", after("; in ", &titles)));
    for row in &budget.rows {
        let known = format!(
            "{} = {} ({}, degrees of freedom {}), standard uncertainty {}",
            row.name, row.value, row.distribution, row.degrees, row.standard
        );
        page.line(4, &format!("{}  {known}, sensitivity {}, contribution {}", row.percent, row.sensitivity, row.contribution));
    }
    if let Some(second) = &budget.second {
        let counted = if second.counted { second.percent.as_str() } else { "beside" };
        page.line(4, &format!("{counted}  terms of second order, contribution {}; {}", second.contribution, second.words));
    }
    if !budget.rest.is_empty() {
        page.line(4, &format!("and {}", budget.rest));
    }
    budget.remarks.iter().for_each(|remark| page.line(4, remark));
}

fn registers(sheet: &Sheet, page: &mut Page) {
    if !sheet.checks.is_empty() {
        page.heading("Checks");
        for row in &sheet.checks {
            let utilisation = row.utilisation.as_ref().map_or(String::new(), |figure| format!(" at {}", figure.text));
            let governing = if row.governing { ", governing" } else { "" };
            let chance = after(", chance of a wrong verdict ", &row.chance);
            page.item(&format!("{} {}: {}{utilisation}{chance}{governing}", row.number, row.title, row.verdict));
        }
    } else if !sheet.decision_rule.is_empty() {
        page.heading("How doubt is written");
    }
    page.note(&sheet.decision_rule);
    if !sheet.budgets.is_empty() {
        page.heading("Where the doubt comes from");
        sheet.budgets.iter().for_each(|budget| self::budget(budget, page));
    }
    if !sheet.nomenclature.is_empty() {
        page.heading("Nomenclature");
        for symbol in &sheet.nomenclature {
            page.item(&format!("{}{}", linear(&symbol.symbol), after(": ", &symbol.meaning)));
        }
    }
    for (heading, rows) in [("Inputs", &sheet.inputs), ("Assumptions", &sheet.assumptions)] {
        if !rows.is_empty() {
            page.heading(heading);
            page.note(&standing(rows));
            rows.iter().for_each(|row| input(row, page));
        }
    }
    if !sheet.revisions.is_empty() {
        page.heading("Revisions");
        for row in &sheet.revisions {
            page.item(&format!("{}, {}, {}: {}", row.revision, row.date, row.by, row.why));
        }
    }
    if !sheet.cautions.is_empty() {
        page.heading("Cautions");
        for caution in &sheet.cautions {
            page.item(&format!("{}{}", caution.text, bracketed(&caution.source)));
        }
    }
    page.note(&sheet.deference);
    let record = &sheet.record;
    page.note(&format!("{} {}, digest {}", record.program, record.version, record.digest));
    for file in &record.files {
        page.item(&format!("{}: {}", file.label, file.value));
    }
}

fn input(row: &InputRow, page: &mut Page) {
    let value = row.figure.as_ref().map_or("not known", |figure| &figure.text);
    let mut line = format!("{} = {value}", row.name);
    let evidence = format!("{} {}", row.evidence, if row.source.is_empty() { String::new() } else { format!("\"{}\"", row.source) });
    let stated = row.stated_in_line.map_or(String::new(), |line| say!("stated in this sheet, line {line}", line = line));
    for part in [&row.label, &row.doubt_stated, evidence.trim(), &stated] {
        line.push_str(&after("; ", part));
    }
    line.push_str(&after("; if wrong: ", &row.effect));
    line.push_str(&after("; ", &row.state));
    match row.confirmed.is_empty() {
        true => line.push_str(&after(", to be confirmed: ", &row.confirm_by)),
        false => line.push_str(&after(": ", &row.confirmed)),
    }
    page.item(&line);
}

fn gear(row: &GearRow, page: &mut Page) {
    page.line(2, &format!("{}{}", row.name, after(": ", &row.label)));
    for rating in &row.ratings {
        let value = rating.figure.as_ref().map_or("not known", |figure| &figure.text);
        let label = if rating.label.is_empty() { &rating.name } else { &rating.label };
        page.line(4, &format!("{label} = {value}{}{}", after("; ", &rating.evidence), after(" ", &rating.source)));
    }
    for fact in &row.facts {
        page.line(4, &format!("{}: {}", fact.label, fact.value));
    }
}

pub(super) fn working(line: &WorkingLine, page: &mut Page) {
    if !line.label.is_empty() {
        page.line(6, &line.label);
    }
    let mut parts = vec![linear(&line.symbol), format!("= {}", linear(&line.formula))];
    if let Some(substitution) = &line.substitution {
        parts.push(format!("= {}", linear(substitution)));
    }
    match (&line.result, line.items.is_empty()) {
        (Some(figure), _) => parts.push(format!("= {}", figure.text)),
        (None, false) => parts.push(format!("= [{}]", figures(&line.items))),
        (None, true) => parts.push("could not be worked".to_owned()),
    }
    if !line.reference.is_empty() {
        parts.push(bracketed(&line.reference).trim().to_owned());
    }
    page.numbered(&line.number, &parts);
}

fn result(row: &WorkedValue, page: &mut Page) {
    let value = match (&row.result, row.items.is_empty()) {
        (Some(figure), _) => figure.text.clone(),
        (None, false) => format!("[{}]", figures(&row.items)),
        (None, true) => "could not be worked".to_owned(),
    };
    page.item(&format!("{} = {value}{}", row.name, after("; ", &row.label)));
}

fn figures(items: &[Figure]) -> String {
    items.iter().map(|item| item.text.as_str()).collect::<Vec<_>>().join(", ")
}

fn summary(rows: &[SummaryRow], page: &mut Page) {
    for row in rows {
        let actual = row.actual.as_ref().map(|figure| figure.text.as_str());
        let ideal = row.ideal.as_ref().map(|figure| figure.text.as_str());
        let values = match (actual, ideal) {
            (Some(actual), Some(ideal)) => format!("{actual}; without friction {ideal}"),
            (Some(only), None) => only.to_owned(),
            (None, Some(ideal)) => format!("without friction {ideal}"),
            (None, None) => "not known".to_owned(),
        };
        page.item(&format!("{}: {values}", row.quantity));
    }
}

fn answers(rows: &[EffortAnswer], sustains: &str, page: &mut Page) {
    for row in rows {
        page.item(&format!("{}: {}", row.question, row.answer));
    }
    if !sustains.is_empty() {
        page.item(sustains);
    }
}

fn machine(report: &MachineReport, path: &str, page: &mut Page) {
    let label = if report.label.is_empty() { &report.kind_label } else { &report.label };
    let what = if report.is_load { "Load" } else { "Machine" };
    page.heading(&format!("{what} {} ({}){}", report.name, report.kind, after(": ", label)));
    if !report.kind_path.is_empty() && report.kind_path != path {
        page.item(&format!("the kind {} is described in {}", report.kind, report.kind_path));
    }
    page.item(&format!("{}, {}{}", report.direction, report.friction_state, after(", in train ", &report.train)));
    for choice in &report.choices {
        page.item(&format!("{}: {}", choice.label, choice.value));
    }
    report.settings.iter().for_each(|row| input(row, page));
    summary(&report.summary, page);
    answers(&report.answers, &report.sustains, page);
    report.nodes.iter().chain(&report.relations).for_each(|line| working(line, page));
    if let Some(sketch) = &report.sketch {
        page.note(&format!("{}. {}", sketch.title.trim_end_matches('.'), sketch.description));
    }
    if let Some(body) = &report.free_body {
        page.note(&format!("{}. {}", body.sketch.title, body.sketch.description));
    }
}

fn train(report: &TrainReport, page: &mut Page) {
    page.heading(&format!("Train {}{}", report.name, after(": ", &report.label)));
    page.item(&format!("{}: {}", report.direction, report.stations.join(" -> ")));
    for joint in &report.joints {
        let carried: Vec<&str> =
            [&joint.force, &joint.travel, &joint.work].into_iter().flatten().map(|figure| figure.text.as_str()).collect();
        page.item(&format!(
            "{} to {}: {}",
            joint.from,
            joint.to,
            if carried.is_empty() { "not known".to_owned() } else { carried.join(", ") }
        ));
    }
    summary(&report.summary, page);
    answers(&report.answers, &report.sustains, page);
    for row in &report.balance {
        page.item(&format!("{}: {}", row.label, row.work.as_ref().map_or("not known", |figure| &figure.text)));
    }
    page.note(&report.balance_words);
    report.relations.iter().for_each(|line| working(line, page));
}

fn check(row: &CheckRow, page: &mut Page) {
    let mut parts = vec![format!("{}:", row.title), linear(&row.statement)];
    match (&row.demand, &row.capacity) {
        (Some(demand), Some(capacity)) => parts.push(format!("({} against {})", demand.text, capacity.text)),
        (Some(demand), None) => parts.push(format!("({}, no capacity)", demand.text)),
        (None, Some(capacity)) => parts.push(format!("(no demand, against {})", capacity.text)),
        (None, None) => {}
    }
    parts.push(row.verdict.clone());
    if let Some(utilisation) = &row.utilisation {
        parts.push(format!("at {}", utilisation.text));
    }
    if !row.reference.is_empty() {
        parts.push(bracketed(&row.reference).trim().to_owned());
    }
    page.numbered(&row.number, &parts);
    if let (Some(margin), false) = (&row.margin, row.chance.is_empty()) {
        page.line(6, &format!("capacity less demand {}; chance of a wrong verdict {}", margin.text, row.chance));
    }
    if !row.remark.is_empty() {
        page.line(6, &row.remark);
    }
    for limit in &row.limits {
        page.line(6, &format!("limit of {}: {}", limit.label, limit.value));
    }
}

fn study(report: &StudyReport, page: &mut Page) {
    page.gap();
    page.numbered(&report.number, std::slice::from_ref(&report.caption));
    if !report.answer.is_empty() {
        page.line(6, &report.answer);
    }
    for row in &report.rows {
        let mut marks = String::new();
        if row.answer {
            marks.push_str(" (answer)");
        }
        if row.present {
            marks.push_str(" (present)");
        }
        let mut parts: Vec<String> = Vec::new();
        match row.serves {
            Some(true) => parts.push("serves".into()),
            Some(false) => parts.push("does not serve".into()),
            None => {
                let named = report.columns.iter().zip(&row.cells);
                parts.extend(named.filter_map(|(column, cell)| Some(format!("{} {}", column.title, cell.as_ref()?.text))));
            }
        }
        if let (false, [Some(demand), Some(capacity)]) = (row.decides.is_empty(), row.cells.as_slice()) {
            parts.push(format!("{} decides, {} against {}", row.decides, demand.text, capacity.text));
        }
        if !row.reason.is_empty() {
            parts.push(row.reason.clone());
        }
        page.hung(6, 8, &format!("{}{marks}: {}", row.value.text, parts.join("; ")));
    }
    for remark in &report.remarks {
        page.line(6, remark);
    }
}

/// `text` behind `before`, or nothing.
pub(super) fn after(before: &str, text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("{before}{text}") }
}

pub(super) fn bracketed(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!(" [{text}]") }
}

/// Lines so far.
#[derive(Default)]
pub(super) struct Page {
    out: String,
}

impl Page {
    /// A blank line, unless one stands there already.
    pub(super) fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    pub(super) fn heading(&mut self, words: &str) {
        self.gap();
        self.line(0, words);
        self.raw(&"-".repeat(columns(words).min(WIDTH)));
    }

    /// The title of the page.
    pub(super) fn title(&mut self, words: &str) {
        self.line(0, words);
        self.raw(&"=".repeat(columns(words).min(WIDTH)));
    }

    /// A heading below a heading.
    pub(super) fn run_in(&mut self, words: &str) {
        self.gap();
        self.line(0, words);
    }

    fn raw(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    /// Words wrapped at an indent.
    pub(super) fn line(&mut self, indent: usize, words: &str) {
        self.hung(indent, indent, words);
    }

    /// Words wrapped, the following lines two columns further in.
    pub(super) fn item(&mut self, words: &str) {
        self.hung(2, 4, words);
    }

    pub(super) fn hung(&mut self, first: usize, rest: usize, words: &str) {
        for (place, line) in wrap(&visible(words), WIDTH - rest).iter().enumerate() {
            let indent = if place == 0 { first } else { rest };
            self.out.push_str(&format!("{:indent$}{line}\n", ""));
        }
    }

    pub(super) fn note(&mut self, words: &str) {
        if !words.is_empty() {
            self.gap();
            self.line(0, words);
        }
    }

    /// A number in the gutter and parts that go onto one line where they fit, or each onto its own.
    pub(super) fn numbered(&mut self, number: &str, parts: &[String]) {
        let whole = visible(&parts.join(" "));
        if 6 + columns(&whole) <= WIDTH {
            self.out.push_str(&format!("{number:>4}  {whole}\n"));
            return;
        }
        let mut first = true;
        for part in parts {
            // Each further part keeps to one deeper indent; a part too long for a line wraps within it.
            let indent = if first { 6 } else { 8 };
            for line in wrap(&visible(part), WIDTH - 10) {
                let gutter = if first { format!("{number:>4}  ") } else { " ".repeat(indent) };
                self.out.push_str(&format!("{gutter}{line}\n"));
                first = false;
            }
        }
    }

    /// Source text, indented and never wrapped.
    fn quoted(&mut self, source: &str) {
        for line in source.lines() {
            self.out.push_str(format!("    {}", visible(line)).trim_end());
            self.out.push('\n');
        }
    }

    pub(super) fn finish(self) -> String {
        let mut out = self.out.trim_end().to_owned();
        out.push('\n');
        out
    }
}

#[cfg(test)]
mod tests {
    use super::text;
    use crate::output::excerpt::columns;
    use crate::output::fixture::{emptiest, fullest};

    #[test]
    fn lines_keep_to_eighty_columns_and_carry_no_blanks_at_their_ends() {
        for sheet in [fullest(), emptiest()] {
            let text = text(&sheet);
            assert!(text.ends_with('\n') && !text.ends_with("\n\n") && !text.contains("\n\n\n"), "{text}");
            for line in text.lines() {
                // Source excerpts are shown as they are; everything else is wrapped.
                let excerpt = line.contains('|') || line.starts_with("    ");
                assert!(excerpt || columns(line) <= 80, "{line}");
                assert_eq!(line, line.trim_end());
            }
        }
    }

    #[test]
    fn a_line_of_working_gives_name_formula_substitution_and_result() {
        let text = text(&fullest());
        assert!(text.contains("load = boat·g = 1850 kg × 9.806 65 m/s² = (18.14 ± 0.34) kN"), "{text}");
    }

    #[test]
    fn one_changed_value_changes_one_line_of_an_input() {
        let before = fullest();
        let mut changed = before.clone();
        if let Some(figure) = changed.assumptions.first_mut().and_then(|row| row.figure.as_mut()) {
            figure.text = "0.170 000 001".into();
        }
        let (before, after) = (text(&before), text(&changed));
        let differing = before.lines().zip(after.lines()).filter(|(one, other)| one != other).count();
        assert_eq!(before.lines().count(), after.lines().count());
        assert_eq!(differing, 1);
    }
}
