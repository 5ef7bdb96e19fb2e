//! Findings about `exercise`.

use crate::diagnostics::{Severity, findings, worded};

findings! {
    /// An exercise has a question in quotation marks, a colon, and the result that answers it.
    "exercise-incomplete" => ExerciseIncomplete { missing: String }

    /// A line of an exercise says something that cannot be read.
    ///
    /// `situation "..."` and `hint "..."` are text, `given` names values of the sheet with commas between them, `step "...": RESULT`
    /// asks for a result on the way, `accept ± 2 %` or `accept ± 5 N` says how far an answer may be off, `marks 3` what it counts,
    /// and `faded 2` that the last two steps are left to the learner while those before are worked.
    "exercise-line" => ExerciseLine { name: String, found: String, wanted: String }

    /// What an exercise asks for is among what it gives.
    "answer-given" => AnswerGiven { name: String }
}

worded!(
    ExerciseIncomplete,
    Severity::Error,
    |s| format!("`exercise` without {}", s.missing),
    format!("expected {}", s.missing),
    None,
    Some("write it as in `exercise \"How hard must they pull?\": haul.effort as N`".into())
);
worded!(ExerciseLine, Severity::Error, |s| format!("`{}` cannot be `{}`", s.name, s.found), format!("{} is wanted", s.wanted), None, None);
worded!(
    AnswerGiven,
    Severity::Warning,
    |s| format!("the exercise gives `{}`, which it asks for", s.name),
    "gives the answer away".into(),
    None,
    Some("leave it out of `given`".into())
);
