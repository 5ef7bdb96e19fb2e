//! Studies as reported: the table of trials with its plot, and the value that serves with what stands in its way.

use crate::measure::Measured;
use crate::model::quantity::Quantity;
use crate::model::studies::{Asks, Demand, Shown, Study, Trials};
use crate::model::tree::{Tree, TreeForm};
use crate::program::sizing::{Answer, Governs, Sized, Tried};
use crate::program::studies::{Outcome, Varied};
use crate::sheet::build::Work;
use crate::sheet::checks::unit_of;
use crate::sheet::figures;
use crate::sheet::parts::{Figure, SketchPart, StudyColumn, StudyReport, StudyRow};
use crate::sheet::plot::{Curve, Plot, draw};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::tongues;
use crate::sheet::working::Setter;
use crate::syntax::ast::{Goal, Relation};
use crate::units::Unit;
use crate::words::say;

/// The report of the study at that place of the model; none when it could not be worked.
pub(super) fn report(setter: &Setter<'_>, work: &Work<'_>, at: usize, number: usize) -> Option<StudyReport> {
    let study = setter.model.studies.get(at)?;
    let entry = setter.model.entry(study.entry);
    let teller = Teller { setter, work, study, quantity: entry.quantity, unit: unit(setter, study) };
    let report = StudyReport {
        number: format!("S{number}"),
        anchor: anchor(&format!("study-{number}")),
        statement: String::new(),
        name: study.name.clone(),
        symbol: symbol(&entry.name, Vec::new()),
        label: entry.label.clone(),
        caption: String::new(),
        conditions: Vec::new(),
        answer: String::new(),
        value: None,
        columns: Vec::new(),
        rows: Vec::new(),
        remarks: Vec::new(),
        plot: None,
    };
    match (work.studies.get(at)?, &study.asks) {
        (Outcome::Varied(varied), Asks::Results(results)) => Some(teller.varied(report, varied, results)),
        (Outcome::Sized(sized), Asks::Holds { demands, .. }) => Some(teller.sized(report, sized, demands)),
        _ => None,
    }
}

// The unit of the varied value: as its range is written, or as the sheet shows it.
fn unit(setter: &Setter<'_>, study: &Study) -> Option<Unit> {
    let written = match &study.trials {
        Some(Trials::Between { from, to, .. }) => unit_of(setter, to).or_else(|| unit_of(setter, from)),
        Some(Trials::Listed(Tree { form: TreeForm::List(items), .. })) => items.last().and_then(|item| unit_of(setter, item)),
        Some(Trials::Listed(list)) => unit_of(setter, list),
        None => None,
    };
    written.or_else(|| setter.model.entry(study.entry).shown_in.clone())
}

struct Teller<'t> {
    setter: &'t Setter<'t>,
    work: &'t Work<'t>,
    study: &'t Study,
    quantity: Quantity,
    unit: Option<Unit>,
}

impl Teller<'_> {
    // The varied value in all its rows: one unit, and as many decimals as show every value as it is.
    fn column(&self, values: &[f64]) -> Vec<Figure> {
        let greatest = values.iter().map(|value| value.abs()).fold(0.0, f64::max);
        let unit = self
            .unit
            .clone()
            .or_else(|| crate::units::for_reader(greatest, self.quantity.dimension, self.quantity.nature, self.setter.style.us_customary));
        let shown: Vec<f64> = values.iter().map(|value| figures::in_unit(*value, self.quantity, unit.as_ref())).collect();
        // Values without an end get as many as tell each from the next.
        let ends = shown.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(*value), high.max(*value)));
        let step = (ends.1 - ends.0) / shown.len().saturating_sub(1).max(1) as f64;
        let telling = if step > 0.0 { (1.0 - libm::floor(libm::log10(step))).clamp(0.0, 9.0) as usize } else { 4 };
        let exact = (0..=4_usize).find(|decimals| {
            let scale = libm::pow(10.0, *decimals as f64);
            shown.iter().all(|value| (value * scale - libm::round(value * scale)).abs() <= 1e-7 * (value * scale).abs().max(1.0))
        });
        let set = |si: &f64| match exact {
            Some(decimals) => figures::placed(*si, self.quantity, unit.as_ref(), decimals),
            None if values.len() > 1 => figures::placed(*si, self.quantity, unit.as_ref(), telling),
            None => figures::figure_in(Measured::exact(*si), self.quantity, unit.as_ref(), true, self.setter.style),
        };
        values.iter().map(set).collect()
    }

    fn value(&self, si: f64) -> Figure {
        let plain = figures::exact(si, self.quantity, self.unit.as_ref(), self.setter.style);
        // What was typed with many digits is not cut short; what has no end is.
        let exact = self.column(&[si]).into_iter().next().filter(|exact| exact.number.chars().count() <= plain.number.chars().count());
        exact.unwrap_or(plain)
    }

    fn written(&self, tree: &Tree) -> String {
        let text = self.work.sources.text_of(tree.span.home);
        let text = text.get(tree.span.start as usize..tree.span.end as usize).unwrap_or("");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    // How a reader calls the varied value.
    fn called(&self) -> String {
        let label = &self.setter.model.entry(self.study.entry).label;
        if label.is_empty() { self.study.name.clone() } else { format!("{label} ({})", self.study.name) }
    }

    fn set_aside(&self) -> Option<String> {
        let doubt = !self.setter.model.entry(self.study.entry).doubts.is_empty();
        doubt.then(|| say!("The doubt stated for {name} is set aside here; all other doubts are carried.", name = self.study.name))
    }

    // ---- vary

    fn title(&self, shown: &Shown) -> String {
        if !shown.label.is_empty() {
            return shown.label.clone();
        }
        match &shown.value.form {
            TreeForm::Entry(id) if !self.setter.model.entry(*id).label.is_empty() => self.setter.model.entry(*id).label.clone(),
            _ => self.written(&shown.value),
        }
    }

    fn varied(&self, mut report: StudyReport, varied: &Varied, results: &[Shown]) -> StudyReport {
        let values: Vec<f64> = varied.rows.iter().map(|row| row.value).collect();
        let column = self.column(&values);
        let titles: Vec<String> = results.iter().map(|shown| self.title(shown)).collect();
        let mut cells: Vec<Vec<Option<Figure>>> = vec![Vec::new(); varied.rows.len()];
        for (at, shown) in results.iter().enumerate() {
            let found: Vec<Option<Measured>> = varied.rows.iter().map(|row| row.results.get(at)?.as_ref().ok().copied()).collect();
            let figures = self.down(shown, &found);
            cells.iter_mut().zip(figures).for_each(|(row, figure)| row.push(figure));
        }
        for ((row, value), cells) in varied.rows.iter().zip(&column).zip(cells) {
            let mut reasons: Vec<&str> = row.results.iter().filter_map(|result| result.as_ref().err()).map(String::as_str).collect();
            reasons.dedup();
            report.rows.push(StudyRow {
                value: value.clone(),
                present: row.present,
                answer: false,
                serves: None,
                decides: String::new(),
                cells,
                reason: reasons.join("; "),
            });
        }
        report.statement = "vary".into();
        report.columns = results
            .iter()
            .zip(&titles)
            .map(|(shown, title)| StudyColumn { title: title.clone(), symbol: Some(self.setter.formula(&shown.value)) })
            .collect();
        report.caption = say!(
            "{results} for {varied}{range}",
            results = sentence(&joined(&titles)),
            varied = self.called(),
            range = self.range(&column)
        );
        let none = varied.present.is_none();
        if !varied.rows.iter().any(|row| row.present) {
            report.remarks.push(match varied.present {
                Some(present) => say!("The present value, {value}, is not among those tried.", value = self.value(present).text),
                None if none => say!("The present value could not be worked.").into(),
                None => String::new(),
            });
        }
        report.remarks.extend(self.set_aside());
        if !self.setter.brief {
            report.plot = self.plot(&report, varied, results, &titles, &column);
        }
        report
    }

    fn range(&self, column: &[Figure]) -> String {
        match (column.first(), column.last()) {
            (Some(first), Some(last)) if matches!(self.study.trials, Some(Trials::Between { .. })) => {
                say!(" from {low} to {top}", low = first.text, top = last.text)
            }
            _ => String::new(),
        }
    }

    // One unit down a column, chosen by its greatest value.
    fn down(&self, shown: &Shown, found: &[Option<Measured>]) -> Vec<Option<Figure>> {
        let greatest = found.iter().flatten().map(|found| found.value.abs()).fold(0.0, f64::max);
        let sample =
            figures::figure_in(Measured::exact(greatest), shown.value.quantity, shown.shown_in.as_ref(), shown.asked, self.setter.style);
        let unit = match &shown.shown_in {
            Some(unit) if unit.symbol == sample.unit => Some(unit.clone()),
            _ => crate::units::for_reader(
                greatest,
                shown.value.quantity.dimension,
                shown.value.quantity.nature,
                self.setter.style.us_customary,
            ),
        };
        let set = |found| figures::figure_in(found, shown.value.quantity, unit.as_ref(), true, self.setter.style);
        found.iter().map(|found| found.map(set)).collect()
    }

    fn plot(&self, report: &StudyReport, varied: &Varied, results: &[Shown], titles: &[String], column: &[Figure]) -> Option<SketchPart> {
        let mut order: Vec<usize> = (0..varied.rows.len()).collect();
        order.sort_by(|a, b| column.get(*a).map(|f| f.value).unwrap_or(0.0).total_cmp(&column.get(*b).map(|f| f.value).unwrap_or(0.0)));
        let places: Vec<f64> = order.iter().filter_map(|at| column.get(*at)).map(|figure| figure.value).collect();
        let present = report.rows.iter().find(|row| row.present).map(|row| row.value.value);
        let mut curves = Vec::new();
        let mut words = Vec::new();
        for (at, title) in titles.iter().enumerate().take(results.len()) {
            let cells: Vec<Option<&Figure>> =
                order.iter().map(|row| report.rows.get(*row).and_then(|row| row.cells.get(at)).and_then(Option::as_ref)).collect();
            let unit = cells.iter().flatten().map(|figure| figure.unit.clone()).next().unwrap_or_default();
            let points = cells.iter().map(|cell| cell.map(|figure| (figure.value, figure.expanded()))).collect();
            curves.push(Curve { title: with_unit(title, &unit), points });
            words.push(spoken(title, &cells, &order, column));
        }
        let along = with_unit(&self.called(), column.first().map_or("", |figure| figure.unit.as_str()));
        let apart = self.study.whole || matches!(self.study.trials, Some(Trials::Listed(_)));
        let plot = Plot { along, places, present, apart, curves };
        let title = say!("{results} over {name}", results = sentence(&joined(titles)), name = self.study.name);
        let mut description = words.join(" ");
        if varied.rows.iter().flat_map(|row| &row.results).any(|result| matches!(result, Ok(found) if found.uncertainty > 0.0)) {
            let coverage = figures::coverage_words(self.setter.style.coverage);
            description.push_str(&match apart {
                true => say!(" Whiskers show the expanded uncertainty, {coverage}.", coverage = coverage),
                false => say!(" Thin lines show the expanded uncertainty, {coverage}.", coverage = coverage),
            });
        }
        let drawing = draw(&plot, title.clone(), description.clone())?;
        Some(SketchPart { title, description, drawing })
    }

    // ---- size

    fn condition(&self, demand: &Demand) -> String {
        match demand.check.and_then(|at| self.setter.model.checks.get(at)) {
            Some(check) => format!("\"{}\"", check.title),
            None => {
                let sign = match demand.relation {
                    Relation::AtMost => "≤",
                    Relation::Below => "<",
                    Relation::AtLeast => "≥",
                    Relation::Above => ">",
                    Relation::Equal => "=",
                };
                format!("{} {sign} {}", self.written(&demand.left), self.written(&demand.right))
            }
        }
    }

    // Demand and capacity in one unit: that of the capacity, as in a check.
    fn sides(&self, demand: &Demand, tried: &Tried) -> Option<[Figure; 2]> {
        let sides = tried.sides?;
        let unit = unit_of(self.setter, demand.capacity()).or_else(|| unit_of(self.setter, demand.demand()));
        let set = |found| figures::figure(found, demand.demand().quantity, unit.as_ref(), self.setter.style);
        Some([set(sides.demand), set(sides.capacity)])
    }

    // Why a value does not serve: which condition, by how much, or which limit.
    fn failure(&self, demands: &[Demand], tried: &Tried) -> String {
        if !tried.reason.is_empty() {
            return tried.reason.clone();
        }
        let Some((demand, sides)) = tried.decides.and_then(|at| demands.get(at)).zip(tried.sides) else { return String::new() };
        let Some([asked, there]) = self.sides(demand, tried) else { return String::new() };
        let unit = unit_of(self.setter, demand.capacity());
        // Printed no finer than the doubt of the difference, which is itself not of interest here.
        let over = Measured { value: sides.demand.value - sides.capacity.value, ..sides.apart };
        let quantity = demand.demand().quantity;
        let quantity = quantity.minus(quantity).unwrap_or(quantity);
        let over = figures::figure(over, quantity, unit.as_ref(), self.setter.style);
        let over = crate::units::spaced(&over.number, &over.unit);
        let condition = self.condition(demand);
        match demand.relation {
            Relation::AtLeast | Relation::Above => say!(
                "{condition} fails: {there} against {asked}, {over} short",
                condition = condition,
                there = there.text,
                asked = asked.text,
                over = over
            ),
            _ => say!(
                "{condition} fails: {asked} against {there}, {over} too much",
                condition = condition,
                asked = asked.text,
                there = there.text,
                over = over
            ),
        }
    }

    // The end of a stretch, rounded to the side that serves when it carries no doubt.
    fn boundary(&self, answer: &Answer, goal: Goal, each: bool) -> Figure {
        let mut figure = if answer.measured.uncertainty > 0.0 {
            figures::figure(answer.measured, self.quantity, self.unit.as_ref(), self.setter.style)
        } else {
            self.value(answer.value)
        };
        if answer.measured.uncertainty == 0.0 && answer.governs != Governs::End && !each {
            let step = libm::pow(10.0, libm::floor(libm::log10(figure.value.abs().max(f64::MIN_POSITIVE))) - 3.0);
            let near = libm::round(figure.value / step) * step;
            let kept = match goal {
                _ if (near - figure.value).abs() <= 1e-11 * figure.value.abs() => near,
                Goal::Least => libm::ceil(figure.value / step) * step,
                Goal::Greatest => libm::floor(figure.value / step) * step,
            };
            let whole = kept == libm::trunc(kept) && kept.abs() < 1e6;
            let number = if whole { crate::units::places(kept, 0) } else { crate::units::significant(kept, 4) };
            figure.text = crate::units::spaced(&number, &figure.unit);
            figure.number = number;
        }
        figure
    }

    fn sized(&self, mut report: StudyReport, sized: &Sized, demands: &[Demand]) -> StudyReport {
        report.conditions = demands.iter().map(|demand| self.condition(demand)).collect();
        let least = sized.goal == Goal::Least;
        let called = self.called();
        report.statement = "size".into();
        report.caption =
            sentence(&if least { say!("least {called}", called = called) } else { say!("greatest {called}", called = called) });
        report.columns = [say!("Demand"), say!("Capacity")].map(|title| StudyColumn { title: title.into(), symbol: None }).to_vec();
        let found = sized.answer.as_ref().map(|answer| (answer, self.boundary(answer, sized.goal, sized.count.is_some())));
        // Where an outward search was given up is no end; the number one is, of whole numbers.
        let open_end = |answer: &Answer| {
            answer.governs == Governs::End
                && sized.outward
                && (sized.count.is_none() || sized.goal == Goal::Greatest || answer.value != 1.0)
        };
        let mut answer = match &found {
            Some((answer, figure)) if open_end(answer) => match least {
                true => say!(
                    "No least {called} was found: everything named still holds at {figure}, the least value tried.",
                    called = called,
                    figure = figure.text
                ),
                false => say!(
                    "No greatest {called} was found: everything named still holds at {figure}, the greatest value tried.",
                    called = called,
                    figure = figure.text
                ),
            },
            Some((answer, figure)) => {
                report.value = Some(figure.clone());
                let governing = self.governing(answer, sized, demands);
                match least {
                    true => say!("The least {called} that serves is {figure}.", called = called, figure = figure.text) + &governing,
                    false => say!("The greatest {called} that serves is {figure}.", called = called, figure = figure.text) + &governing,
                }
            }
            None => {
                let tried = match sized.count {
                    Some(1) => say!("The one value tried does not serve.").to_string(),
                    Some(count) => say!(
                        "None of the {count} values tried serves, from {low} to {top}.",
                        count = count,
                        low = self.value(sized.tried.0).text,
                        top = self.value(sized.tried.1).text
                    ),
                    None => say!(
                        "Nothing from {low} to {top} serves.",
                        low = self.value(sized.tried.0).text,
                        top = self.value(sized.tried.1).text
                    ),
                };
                let nearest = sized.nearest.as_ref().map(|nearest| {
                    say!(" The nearest is {value}: {why}.", value = self.value(nearest.value).text, why = self.failure(demands, nearest))
                });
                format!("{tried}{}", nearest.unwrap_or_default())
            }
        };
        answer.push_str(&match &sized.present {
            None => say!(" The present value of the sheet could not be worked.").into(),
            Some(present) if present.holds => say!(" The sheet stands at {value}, which serves.", value = self.value(present.value).text),
            Some(present) if answer.contains(&self.failure(demands, present)) => {
                say!(" The sheet stands at {value}, which does not serve.", value = self.value(present.value).text)
            }
            Some(present) => say!(
                " The sheet stands at {value}, which does not serve: {why}.",
                value = self.value(present.value).text,
                why = self.failure(demands, present)
            ),
        });
        report.answer = answer;
        report.remarks = self.remarks(sized, demands);
        for tried in &sized.rows {
            let is = |value: f64| (tried.value - value).abs() <= 1e-9 * value.abs();
            let figure = match &found {
                Some((answer, figure)) if is(answer.value) => figure.clone(),
                _ => self.value(tried.value),
            };
            let demand = tried.decides.and_then(|at| demands.get(at));
            let sides = demand.and_then(|demand| self.sides(demand, tried));
            let [asked, there] = sides.map_or([None, None], |[asked, there]| [Some(asked), Some(there)]);
            report.rows.push(StudyRow {
                value: figure,
                present: sized.present.as_ref().is_some_and(|present| is(present.value)),
                answer: report.value.is_some() && sized.answer.as_ref().is_some_and(|answer| is(answer.value)),
                serves: Some(tried.holds),
                decides: if tried.reason.is_empty() {
                    demand.map(|demand| self.condition(demand)).unwrap_or_default()
                } else {
                    String::new()
                },
                cells: vec![asked, there],
                reason: tried.reason.clone(),
            });
        }
        report
    }

    fn governing(&self, answer: &Answer, sized: &Sized, demands: &[Demand]) -> String {
        let least = sized.goal == Goal::Least;
        let next = sized
            .rows
            .iter()
            .filter(|row| !row.holds && if sized.goal == Goal::Least { row.value < answer.value } else { row.value > answer.value });
        let next = if sized.goal == Goal::Least {
            next.max_by(|a, b| a.value.total_cmp(&b.value))
        } else {
            next.min_by(|a, b| a.value.total_cmp(&b.value))
        };
        match (&answer.governs, sized.count) {
            (Governs::End, Some(_)) if sized.all => if least {
                say!(" Every value tried serves; it is the least of them.")
            } else {
                say!(" Every value tried serves; it is the greatest of them.")
            }
            .into(),
            (Governs::End, None) if sized.all => {
                say!(
                    " The whole range serves, from {low} to {top}.",
                    low = self.value(sized.tried.0).text,
                    top = self.value(sized.tried.1).text
                )
            }
            (Governs::End, _) => match least {
                true => say!(" It is where the values tried end; nothing below it was asked for.").into(),
                false => say!(" It is where the values tried end; nothing above it was asked for.").into(),
            },
            (_, Some(_)) => next
                .map(|next| say!(" At {value}, {why}.", value = self.value(next.value).text, why = self.failure(demands, next)))
                .unwrap_or_default(),
            (Governs::Demand(at), None) => demands
                .get(*at)
                .map(|demand| {
                    let condition = sentence(&self.condition(demand));
                    let (left, right) = (self.written(&demand.left), self.written(&demand.right));
                    match (least, matches!(demand.relation, Relation::AtLeast | Relation::Above)) {
                        (true, true) => {
                            say!(
                                " {condition} governs: below it, {left} is less than {right}.",
                                condition = condition,
                                left = left,
                                right = right
                            )
                        }
                        (true, false) => {
                            say!(
                                " {condition} governs: below it, {left} is more than {right}.",
                                condition = condition,
                                left = left,
                                right = right
                            )
                        }
                        (false, true) => {
                            say!(
                                " {condition} governs: above it, {left} is less than {right}.",
                                condition = condition,
                                left = left,
                                right = right
                            )
                        }
                        (false, false) => {
                            say!(
                                " {condition} governs: above it, {left} is more than {right}.",
                                condition = condition,
                                left = left,
                                right = right
                            )
                        }
                    }
                })
                .unwrap_or_default(),
            (Governs::Words(words), None) => match least {
                true => say!(" A limit governs: below it, {words}.", words = words),
                false => say!(" A limit governs: above it, {words}.", words = words),
            },
        }
    }

    fn remarks(&self, sized: &Sized, demands: &[Demand]) -> Vec<String> {
        let mut remarks = Vec::new();
        if sized.serving.len() > 1 {
            let runs = sized.serving.iter().map(|(first, last)| {
                if first == last {
                    self.value(*first).text.clone()
                } else {
                    say!("{low} to {top}", low = self.value(*first).text, top = self.value(*last).text)
                }
            });
            remarks.push(say!("What serves is not one stretch: {runs}.", runs = joined(&runs.collect::<Vec<_>>())));
        }
        for (at, why) in &sized.left_out {
            let title = demands.get(*at).map(|demand| self.condition(demand)).unwrap_or_default();
            remarks.push(say!("Not taken into account: {title} ({why}).", title = title, why = tongues::unrated(why)));
        }
        if sized.outward && sized.count.is_some() {
            let (first, last) = (self.value(sized.tried.0).text.clone(), self.value(sized.tried.1).text.clone());
            remarks.push(say!(
                "No range is stated: searched outward from the present value, from {low} to {top}.",
                low = first,
                top = last
            ));
        } else if sized.outward {
            remarks.push(
                say!("No range is stated: searched outward from the present value, to a millionth of it and to a million times it.").into(),
            );
        }
        let answer = sized.answer.as_ref().map(|answer| self.value(answer.value).text.clone()).unwrap_or_default();
        remarks.extend(
            sized.questions.iter().map(|question| say!("At {answer} a question arises. {question}", answer = answer, question = question)),
        );
        remarks.extend(self.set_aside());
        remarks
    }
}

fn with_unit(words: &str, unit: &str) -> String {
    if unit.is_empty() { words.into() } else { format!("{words}, {unit}") }
}

fn joined(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => say!("{one} and {other}", one = most.join(", "), other = last),
    }
}

fn sentence(words: &str) -> String {
    // A name in the source keeps its case.
    let first = words.split_whitespace().next().unwrap_or("");
    if first.contains(['.', '_', '(']) {
        return words.into();
    }
    let mut letters = words.chars();
    letters.next().map(|letter| letter.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

// One curve in words: its ends, and its least and greatest where they lie between.
fn spoken(title: &str, cells: &[Option<&Figure>], order: &[usize], column: &[Figure]) -> String {
    let at: Vec<(&Figure, &Figure)> = cells.iter().zip(order).filter_map(|(cell, row)| Some(((*cell)?, column.get(*row)?))).collect();
    let (Some(first), Some(last)) = (at.first(), at.last()) else {
        return say!("{title}: no result at any value.", title = sentence(title));
    };
    let mut words = say!(
        "{title}: {first} at {low}, {last} at {top}",
        title = sentence(title),
        first = first.0.text,
        low = first.1.text,
        last = last.0.text,
        top = last.1.text
    );
    let ends = [first.0.value, last.0.value];
    let extreme = |words: &mut String, name: &str, found: Option<&(&Figure, &Figure)>| {
        if let Some((figure, place)) = found.filter(|(figure, _)| !ends.contains(&figure.value)) {
            words.push_str(&say!("; {name} {figure} at {place}", name = name, figure = figure.text, place = place.text));
        }
    };
    extreme(&mut words, say!("least"), at.iter().min_by(|a, b| a.0.value.total_cmp(&b.0.value)));
    extreme(&mut words, say!("greatest"), at.iter().max_by(|a, b| a.0.value.total_cmp(&b.0.value)));
    let missing = cells.iter().filter(|cell| cell.is_none()).count();
    if missing > 0 {
        words.push_str(&say!("; no result at {missing} of {all}", missing = missing, all = cells.len()));
    }
    words.push('.');
    words
}
