//! The register of correlations.

use crate::model::tree::{EntryId, TreeForm};
use crate::sheet::parts::{CorrelationRow, Named};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::working::Setter;
use crate::syntax::ast::EvidenceWord;
use crate::words::say;

/// Every correlation of the sheet, in its order.
pub(super) fn rows(setter: &Setter<'_>) -> Vec<CorrelationRow> {
    let coefficients = setter.evaluation.correlations();
    let rows = setter.model.correlations.iter().enumerate().map(|(at, stated)| {
        let coefficient = coefficients.get(at).copied().filter(|r| r.is_finite());
        let typed = match &stated.value.form {
            TreeForm::Constant(constant) => constant.parts.first().map(|(typed, _)| crate::units::typed(typed)),
            TreeForm::Negative(of) => match &of.form {
                TreeForm::Constant(constant) => constant.parts.first().map(|(typed, _)| format!("\u{2212}{}", crate::units::typed(typed))),
                _ => None,
            },
            _ => None,
        };
        let text = match coefficient {
            Some(r) => typed.unwrap_or_else(|| crate::units::significant(r, 3)),
            None => say!("not known").into(),
        };
        let said = stated.evidence.iter().map(|(word, text)| match word {
            EvidenceWord::Measured => say!("measured {text}", text = text),
            EvidenceWord::Drawing => say!("drawing {text}", text = text),
            _ => text.clone(),
        });
        CorrelationRow {
            first: named(setter, stated.first),
            second: named(setter, stated.second),
            coefficient,
            text,
            source: said.collect::<Vec<_>>().join("; "),
        }
    });
    rows.collect()
}

fn named(setter: &Setter<'_>, id: EntryId) -> Named {
    let name = &setter.model.entry(id).name;
    Named { anchor: anchor(name), name: name.clone(), symbol: symbol(name, Vec::new()) }
}
