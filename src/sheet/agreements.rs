//! A prediction beside what was measured: their difference with its own doubt, and the normalised error.

use crate::model::Agreement;
use crate::sheet::checks::unit_of;
use crate::sheet::figures::{figure, figure_in};
use crate::sheet::parts::AgreementRow;
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::units::Nature;
use crate::words::say;

/// The rows of all agreements, in the order of the document.
pub(super) fn rows(setter: &Setter<'_>) -> Vec<AgreementRow> {
    setter.model.agreements.iter().enumerate().map(|(at, agreement)| row(setter, at, agreement)).collect()
}

fn row(setter: &Setter<'_>, at: usize, agreement: &Agreement) -> AgreementRow {
    let (predicted, measured) = setter.evaluation.program.agreements.get(at).copied().unwrap_or((None, None));
    let known = |tree, place: Option<usize>| place.filter(|_| setter.evaluation.knows(tree)).and_then(|place| setter.evaluation.at(place));
    let (prediction, measurement) = (known(&agreement.predicted, predicted), known(&agreement.measured, measured));
    let unit =
        agreement.shown_in.clone().or_else(|| unit_of(setter, &agreement.measured)).or_else(|| unit_of(setter, &agreement.predicted));
    let asked = agreement.shown_in.is_some();
    let quantity = agreement.measured.quantity;
    let print = |found| figure_in(found, quantity, unit.as_ref(), asked, setter.style);
    let difference = prediction.and(measurement).and_then(|_| setter.evaluation.margin(predicted?, measured?));
    let expanded = difference.map_or(0.0, |difference| difference.measured().expanded(setter.style.coverage));
    let normalised = difference.filter(|_| expanded > 0.0).map(|difference| difference.value.abs() / expanded);
    let agrees = normalised.map(|error| error <= 1.0);
    let share = difference.zip(measurement).filter(|(_, measured)| measured.value != 0.0 && quantity.nature != Nature::TemperaturePoint);
    let share = share.map(|(difference, measured)| {
        let percent = 100.0 * difference.value / measured.value;
        crate::units::spaced(&crate::units::significant(percent, 2), "%")
    });
    let words = match (difference, normalised) {
        (None, _) => say!("NOT EVALUATED: something it rests on could not be worked").to_string(),
        (Some(difference), None) if difference.value == 0.0 => {
            say!("the same number; neither states a doubt, so agreement cannot be judged").to_string()
        }
        (Some(_), None) => say!("cannot be judged: neither states a doubt that the difference keeps").to_string(),
        (Some(_), Some(error)) if error <= 1.0 => say!("they agree within their doubt").to_string(),
        (Some(_), Some(_)) => say!("they differ by more than their doubt").to_string(),
    };
    AgreementRow {
        number: format!("A{}", at + 1),
        anchor: anchor(&format!("agreement-{}", at + 1)),
        title: agreement.title.clone(),
        prediction: setter.formula(&agreement.predicted),
        measurement: setter.formula(&agreement.measured),
        predicted: prediction.map(print),
        measured: measurement.map(print),
        difference: difference.map(|difference| {
            let quantity = quantity.minus(quantity).unwrap_or(quantity);
            figure(difference.measured(), quantity, unit.as_ref(), setter.style)
        }),
        share: share.unwrap_or_default(),
        normalised_error: normalised,
        // Enough digits to agree with the words: 0.998 is not shown as 1.00.
        normalised: normalised
            .map_or(String::new(), |error| crate::units::places(error, if (error - 1.0).abs() < 0.005 && error != 1.0 { 4 } else { 2 })),
        agrees,
        words,
        reference: agreement.evidence.iter().map(|(_, text)| text.clone()).collect::<Vec<_>>().join("; "),
    }
}
