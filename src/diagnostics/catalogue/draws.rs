//! Findings about `propagate`.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A setting of `propagate` says something that cannot be read.
    ///
    /// `draws 1_000_000` makes so many draws, `draws at most 200_000` no more than so many; without it drawing goes on until
    /// the results are steady (JCGM 101:2008, 7.9). `seed 20261` starts the generator elsewhere, `interval shortest` or
    /// `interval symmetric` says which interval is printed, `level 95 %` how much it holds, and `digits 1` or `digits 2` how
    /// many significant digits of the uncertainty are meant.
    "draws-setting" => DrawsSetting { name: String, found: String, wanted: String }

    /// An interval of a high level wants many draws: a hundred outside it (JCGM 101:2008, 7.9.4).
    "too-few-draws" => TooFewDraws { draws: usize, least: usize, level: String }

    /// More draws than are kept.
    "too-many-draws" => TooManyDraws { draws: String, most: usize }

    /// What is to be drawn rests on nothing that is stated with a doubt.
    "nothing-to-draw" => NothingToDraw { name: String }

    /// Drawing ended before the results were as steady as the digits that are meant (JCGM 101:2008, 7.9).
    "draws-unsteady" => DrawsUnsteady { draws: String, name: String, what: String, scatter: String, tolerance: String }

    /// In some draws a machine could not work, or a result came to no number. Such draws are left out, and what is printed
    /// holds for the rest alone.
    "draws-left-out" => DrawsLeftOut { count: String, share: String, reason: String }
}

impl Finding for DrawsSetting {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` cannot be `{}`", self.name, self.found)
    }
    fn label(&self) -> String {
        format!("{} is wanted", self.wanted)
    }
}

impl Finding for TooFewDraws {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("too few draws for an interval of {}", self.level)
    }
    fn label(&self) -> String {
        format!("{} of them; {} is the least", self.draws, self.least)
    }
    fn why(&self) -> Option<String> {
        Some("the ends of the interval are found from the draws outside it, and there would be hardly any".into())
    }
    fn help(&self) -> Option<String> {
        Some("ask for more draws, or for a lower level".into())
    }
}

impl Finding for TooManyDraws {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "more draws than are kept".into()
    }
    fn label(&self) -> String {
        format!("{} for all results together; {} is the most", self.draws, self.most)
    }
    fn help(&self) -> Option<String> {
        Some("ask for fewer, or for fewer results at once; without `draws` there are as many as it takes".into())
    }
}

impl Finding for NothingToDraw {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("nothing to draw for `{}`", self.name)
    }
    fn label(&self) -> String {
        "this rests on no doubt".into()
    }
    fn help(&self) -> Option<String> {
        Some("state the doubts of what it rests on, or leave it out".into())
    }
}

impl Finding for DrawsUnsteady {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("after {} draws the {} of `{}` is not steady", self.draws, self.what, self.name)
    }
    fn label(&self) -> String {
        format!("twice its scatter is {}, and {} is wanted", self.scatter, self.tolerance)
    }
    fn why(&self) -> Option<String> {
        Some("its last printed digit may be another with another seed".into())
    }
    fn help(&self) -> Option<String> {
        Some("allow more draws, or mean fewer digits: `digits 1`".into())
    }
}

impl Finding for DrawsLeftOut {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("{} draws left out, {} of all", self.count, self.share)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("within the stated doubts things may stand where the working does not hold; the results are those of the other draws".into())
    }
    fn help(&self) -> Option<String> {
        Some("see whether the doubts are stated too wide, or keep farther from the limit".into())
    }
}
