//! The status of a sheet, computed from the signatures in its record, and what it takes to add one.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::signing::{CheckerIsOriginator, SignatureElsewhere};
use crate::sheet::difference::{Difference, difference};
use crate::sheet::inputs::{CONFIRMED, OPEN};
use crate::sheet::parts::Sheet;
use crate::sheet::persons::{has_letters, may_be_one};
use crate::sheet::sign_parts::{SignOff, SignatureRow, Stale};
use crate::sheet::sign_record::{Act, Placed, Record, Signature, appended, values_mark};
use crate::sheet::snapshot::{Snapshot, snapshot};
use crate::words::{counted, date, say, word};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What somebody asks to sign.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// As what.
    pub act: Act,
    /// Who.
    pub name: String,
    /// What it means; why; by what.
    pub meaning: String,
    /// When, `2026-03-14`.
    pub date: String,
}

/// Why a signature was not taken, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// One sentence, lower case, no full stop.
    pub what: String,
    /// What to do about it.
    pub help: String,
}

// What holds of the signatures of a sheet as it is now.
struct Standing<'s> {
    sheet: &'s Sheet,
    // The originator that the head of the sheet names, perhaps empty.
    head: &'s str,
    // The signatures of this sheet, in the order of the record.
    own: Vec<&'s Placed>,
}

impl<'s> Standing<'s> {
    fn new(sheet: &'s Sheet, head: &'s str, record: &'s Record) -> Self {
        let own = record.signatures.iter().filter(|placed| placed.signature.number == sheet.title_block.number).collect();
        Standing { sheet, head, own }
    }

    fn of(&self, act: Act) -> impl Iterator<Item = &'s Placed> + '_ {
        self.own.iter().copied().filter(move |placed| placed.signature.act == act)
    }

    fn is_current(&self, signature: &Signature) -> bool {
        signature.calculation == self.sheet.record.calculation
    }

    fn current(&self, act: Act) -> impl Iterator<Item = &'s Placed> + '_ {
        self.of(act).filter(|placed| self.is_current(&placed.signature))
    }

    // The originator that `name` cannot be told from, and whether the head alone names that one.
    fn same_person(&self, name: &str) -> Option<(&'s str, bool)> {
        let signed = self.current(Act::Originator).map(|placed| placed.signature.name.as_str());
        let known = signed.map(|name| (name, false)).chain(std::iter::once((self.head, true)));
        known.into_iter().find(|(originator, _)| may_be_one(name, originator))
    }

    fn originated(&self) -> bool {
        self.current(Act::Originator).next().is_some()
    }

    fn checked(&self) -> bool {
        self.originated() && self.current(Act::Checker).any(|placed| self.same_person(&placed.signature.name).is_none())
    }

    // What stands between a checked sheet and its approval, in words.
    fn in_the_way(&self) -> Vec<String> {
        let mut found = Vec::new();
        if !self.sheet.complete {
            found.push(say!("it has errors").to_string());
        }
        let titles = |wanted: &dyn Fn(Option<bool>) -> bool| -> Vec<String> {
            self.sheet.checks.iter().filter(|check| wanted(check.accepted)).map(|check| format!("\"{}\"", check.title)).collect()
        };
        let open: Vec<String> =
            self.sheet.assumptions.iter().filter(|row| row.state == OPEN).map(|row| format!("`{}`", row.name)).collect();
        let lists = [
            (titles(&|accepted| accepted == Some(false)), say!("1 check is not accepted"), say!("{count} checks are not accepted")),
            (titles(&|accepted| accepted.is_none()), say!("1 check is not evaluated"), say!("{count} checks are not evaluated")),
            (open, say!("1 assumption is open"), say!("{count} assumptions are open")),
        ];
        for (names, one, several) in lists.into_iter().filter(|(names, ..)| !names.is_empty()) {
            let count = names.len();
            found.push(format!("{} ({})", counted(count, one, several), names.join(", ")));
        }
        found
    }

    fn status(&self) -> &'static str {
        if self.of(Act::Void).next().is_some() {
            "void"
        } else if self.of(Act::Superseded).next().is_some() {
            "superseded"
        } else if self.checked() && self.current(Act::Approver).next().is_some() && self.in_the_way().is_empty() {
            "approved"
        } else if self.checked() {
            "checked"
        } else if self.originated() {
            "for review"
        } else {
            "draft"
        }
    }

    fn legend(&self, status: &str) -> String {
        let said = |act: Act| self.of(act).last().map(|placed| placed.signature.meaning.clone()).unwrap_or_default();
        match status {
            "draft" => say!("work in progress, not to be relied on").into(),
            "for review" => say!("signed by its originator and not yet checked, not to be relied on").into(),
            "checked" => say!("not yet approved for use").into(),
            "superseded" => say!("superseded by {other}, not to be used", other = said(Act::Superseded)),
            "void" => say!("not to be used: {why}", why = said(Act::Void)),
            _ => String::new(),
        }
    }
}

/// The status of `sheet` and what is to be said about its signatures. `head` is the originator named in its head. What is
/// wrong with a signature goes into `sink`.
pub fn sign_off(sheet: &Sheet, head: &str, record: &Record, path: &str, sink: &mut Sink) -> (String, SignOff) {
    let standing = Standing::new(sheet, head, record);
    let number = &sheet.title_block.number;
    for placed in record.signatures.iter().filter(|placed| placed.signature.number != *number) {
        let Signature { act, name, number: signed, .. } = &placed.signature;
        let named = |number: &str| if number.is_empty() { "a sheet without a number".to_string() } else { number.to_string() };
        let finding = SignatureElsewhere { role: act.word().into(), name: name.clone(), signed: named(signed), number: named(number) };
        sink.push(placed.span, &finding);
    }
    for placed in standing.current(Act::Checker) {
        if let Some((originator, in_head)) = standing.same_person(&placed.signature.name) {
            let checker = placed.signature.name.clone();
            sink.push(placed.span, &CheckerIsOriginator { checker, originator: originator.to_string(), in_head });
        }
    }
    let status = standing.status();
    let since = changes(&standing, record);
    let signatures = standing.own.iter().map(|placed| row(&standing, &placed.signature, &since)).collect();
    let stale = stale(&standing, &since);
    (status.into(), SignOff { record: path.to_string(), legend: standing.legend(status), signatures, stale })
}

/// The same for a sheet that has no record.
pub fn unsigned(sheet: &Sheet) -> (String, SignOff) {
    sign_off(sheet, "", &Record::default(), "", &mut Sink::new())
}

// What has changed since each calculation that was signed and is another now, by the mark of its values.
fn changes(standing: &Standing<'_>, record: &Record) -> BTreeMap<String, Difference> {
    let mut found = BTreeMap::new();
    // A brief sheet does not hold all that was signed.
    if !standing.sheet.left_out.is_empty() {
        return found;
    }
    let mut now = None;
    for signature in standing.own.iter().map(|placed| &placed.signature).filter(|signature| !standing.is_current(signature)) {
        if found.contains_key(&signature.values) {
            continue;
        }
        let Some(mut before) = record.state(signature) else { continue };
        let now = now.get_or_insert_with(|| unconfirmed(snapshot(standing.sheet)));
        before = unconfirmed(before);
        // Who and when are told by the signature itself.
        before.number.clone_from(&now.number);
        before.title.clone_from(&now.title);
        before.status.clone_from(&now.status);
        before.head.clone_from(&now.head);
        before.telling.clone_from(&now.telling);
        before.calculation.clone_from(&signature.calculation);
        found.insert(signature.values.clone(), difference(&before, now));
    }
    found
}

// `state` without word of which assumptions were made sure of. That belongs to what a sheet tells, and a signature outlasts it.
fn unconfirmed(mut state: Snapshot) -> Snapshot {
    for input in state.inputs.iter_mut().filter(|input| [OPEN, CONFIRMED].contains(&input.state.as_str())) {
        input.state.clear();
    }
    state
}

fn row(standing: &Standing<'_>, signature: &Signature, since: &BTreeMap<String, Difference>) -> SignatureRow {
    let current = standing.is_current(signature);
    let what = match signature.act {
        Act::Checker => say!("check¦of a checker"),
        Act::Approver => say!("approval"),
        _ => say!("signature"),
    };
    let refused = match signature.act {
        Act::Void | Act::Superseded => None,
        _ if !current => None,
        Act::Originator => None,
        Act::Checker if standing.same_person(&signature.name).is_some() => Some(say!("the same person as the originator").to_string()),
        Act::Checker => (!standing.originated()).then(|| say!("no originator has signed this calculation").to_string()),
        Act::Approver if !standing.checked() => Some(say!("nobody has checked this calculation").to_string()),
        Act::Approver => Some(standing.in_the_way().join("; ")).filter(|words| !words.is_empty()),
    };
    let said = match (signature.act, current, &refused) {
        (Act::Void | Act::Superseded, ..) => say!("stands").to_string(),
        (_, true, Some(why)) => say!("{what} does not count: {why}", what = what, why = why),
        (_, true, None) if signature.telling == standing.sheet.record.telling => say!("current").to_string(),
        (_, true, None) => say!("text changed since, calculation unchanged").to_string(),
        (_, false, _) => {
            let changes = since.get(&signature.values).map_or_else(|| say!("the calculation has changed").into(), Difference::summary);
            say!("{what} is stale: {changes}", what = what, changes = changes)
        }
    };
    SignatureRow {
        role: signature.act.word().into(),
        name: signature.name.clone(),
        date: date(&signature.date),
        meaning: signature.meaning.clone(),
        revision: signature.revision.clone(),
        counts: matches!(signature.act, Act::Void | Act::Superseded) || current && refused.is_none(),
        standing: said,
        calculation: signature.calculation.clone(),
        telling: signature.telling.clone(),
    }
}

// The lists for what each role signed last, where nobody has signed for that role since; each list once, with all it is true of.
fn stale(standing: &Standing<'_>, since: &BTreeMap<String, Difference>) -> Vec<Stale> {
    let mut found: Vec<Stale> = Vec::new();
    for act in [Act::Originator, Act::Checker, Act::Approver] {
        if standing.current(act).next().is_some() {
            continue;
        }
        let Some(last) = standing.of(act).max_by(|a, b| a.signature.date.cmp(&b.signature.date)) else { continue };
        let signed =
            say!("{name} as {role} on {date}", name = last.signature.name, role = word(act.word()), date = date(&last.signature.date));
        let Some(changes) = since.get(&last.signature.values) else { continue };
        match found.iter_mut().find(|stale| stale.changes == *changes) {
            Some(stale) => stale.signed.push(signed),
            None => found.push(Stale { signed: vec![signed], summary: changes.summary(), changes: changes.clone() }),
        }
    }
    found
}

/// The text of the record with the signature that is asked for; none when it stands there already. `before` is the text
/// of the record as it is, perhaps empty, and `head` the originator named in the head of the sheet.
///
/// # Errors
/// Why the signature is not taken.
pub fn signed(sheet: &Sheet, head: &str, (before, record): (&str, &Record), ask: &Ask) -> Result<Option<String>, Refusal> {
    let refuse = |what: &str, help: &str| Err(Refusal { what: what.into(), help: help.into() });
    let decides = matches!(ask.act, Act::Void | Act::Superseded);
    if !record.sound && !before.is_empty() {
        return refuse("the record of signatures cannot be relied on", "`check` says what is wrong with it");
    }
    if !has_letters(&ask.name) {
        return refuse("a signature needs a name", "give it with --name, as in --name \"R. Okafor\"");
    }
    if ask.meaning.trim().is_empty() {
        return refuse(
            "what is signed must say what it means",
            "as in --meaning \"every line followed, inputs held against their sources\"",
        );
    }
    if [&ask.name, &ask.meaning].iter().any(|text| text.chars().any(char::is_control)) {
        return refuse("a name or a meaning holds a sign that cannot be printed", "write it on one line");
    }
    if ask.date.len() != 10 || NaiveDate::parse_from_str(&ask.date, "%Y-%m-%d").is_err() {
        return refuse(&format!("`{}` is no date of the calendar", ask.date), "write it as year, month and day: 2026-03-14");
    }
    if sheet.title_block.number.is_empty() {
        return refuse(
            "the sheet has no number, so no signature could be told from that of another sheet",
            "give it one in its head: `sheet SL-07 \"Title\"`",
        );
    }
    let standing = Standing::new(sheet, head, record);
    if let Some(end) = ["void", "superseded"].iter().find(|word| standing.status() == **word).filter(|_| !decides) {
        return refuse(
            &format!("the sheet is {end}"),
            "a sheet that is out of use is not signed again; give what takes its place a number of its own",
        );
    }
    if !sheet.complete && !decides {
        return refuse("the sheet has errors", "`check` names them");
    }
    match ask.act {
        Act::Originator | Act::Void | Act::Superseded => {}
        Act::Checker if !standing.originated() => {
            let stale = standing.of(Act::Originator).next().is_some();
            let what = if stale { "its originator has signed another calculation than this" } else { "nobody has signed it as originator" };
            return refuse(what, "the originator signs first: `sign SHEET --role originator`");
        }
        Act::Checker => {
            if let Some((originator, in_head)) = standing.same_person(&ask.name) {
                let place = if in_head { ", whom the head names as originator," } else { ", who signed as originator," };
                let what = format!("\"{}\" cannot be told from \"{originator}\"{place} and nobody checks what is their own", ask.name);
                return refuse(&what, "have it checked by somebody else; two people whose names are alike write them in full");
            }
        }
        Act::Approver if !standing.checked() => {
            let stale = standing.of(Act::Checker).any(|placed| !standing.is_current(&placed.signature));
            let what = if stale { "its check is stale" } else { "nobody has checked it" };
            return refuse(what, "have it checked as it is now: `sign SHEET --role checker`");
        }
        Act::Approver => {
            let found = standing.in_the_way();
            if !found.is_empty() {
                return refuse(
                    &format!("it cannot be approved: {}", found.join("; ")),
                    "confirm what is assumed and settle the checks, and have the sheet checked again",
                );
            }
        }
    }
    let state = snapshot(sheet);
    let revision = sheet.title_block.cells.iter().find(|cell| cell.label == "Revision").map(|cell| cell.value.clone());
    let signature = Signature {
        act: ask.act,
        name: ask.name.trim().to_string(),
        date: ask.date.clone(),
        meaning: ask.meaning.trim().to_string(),
        number: sheet.title_block.number.clone(),
        revision: revision.unwrap_or_default(),
        calculation: sheet.record.calculation.clone(),
        telling: sheet.record.telling.clone(),
        values: values_mark(&state),
    };
    Ok((!record.holds(&signature)).then(|| appended(before, record, &signature, &state)))
}
