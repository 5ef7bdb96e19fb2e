//! The trait behind every finding, and the macro that declares one in one place.

use crate::diagnostics::Severity;

/// Facts in, wording out. Implemented by the structs of the catalogue and by nothing else.
pub trait Finding {
    /// Stable name, `kebab-case`.
    fn slug(&self) -> &'static str;
    /// How much it matters.
    fn severity(&self) -> Severity {
        Severity::Error
    }
    /// One phrase that stands alone: lower case, no full stop.
    fn headline(&self) -> String;
    /// What stands at the place.
    fn label(&self) -> String;
    /// What it would do in the trade.
    fn why(&self) -> Option<String> {
        None
    }
    /// What to do.
    fn help(&self) -> Option<String> {
        None
    }
    /// Text to put in place of the primary span, when the mend is certain.
    fn replacement(&self) -> Option<String> {
        None
    }
}

/// The explanation of one finding, made from the comment above its declaration.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// The finding's name.
    pub slug: &'static str,
    /// What it means and how to mend it.
    pub text: &'static str,
}

/// Declares the findings of one family: doc comment (which is also the page that `explain` prints), slug, and the
/// struct of facts. The wording stands in `impl Finding` below each family's declarations, where `slug` is
/// `Self::SLUG`. The family's pages are collected in `PAGES`.
macro_rules! findings {
    ($( $(#[doc = $line:literal])+ $slug:literal => $name:ident { $( $field:ident : $type:ty ),* $(,)? } )+) => {
        $(
            $(#[doc = $line])+
            #[derive(Debug, Clone, PartialEq)]
            pub struct $name { $( pub $field: $type ),* }
            impl $name {
                /// The stable name of this finding.
                pub const SLUG: &'static str = $slug;
            }
        )+
        /// The pages of this family, in the order of declaration.
        pub const PAGES: &[$crate::diagnostics::Page] = &[
            $( $crate::diagnostics::Page { slug: $slug, text: concat!($($line, "\n"),+) } ),+
        ];
    };
}
pub(crate) use findings;

/// The wording of a finding in one piece: its severity, headline, label, reason and mend.
macro_rules! worded {
    ($name:ident, $severity:expr, |$s:ident| $headline:expr, $label:expr, $why:expr, $help:expr) => {
        impl $crate::diagnostics::Finding for $name {
            fn slug(&self) -> &'static str {
                Self::SLUG
            }
            fn severity(&self) -> $crate::diagnostics::Severity {
                $severity
            }
            fn headline(&self) -> String {
                let $s = self;
                let _ = $s;
                $headline
            }
            fn label(&self) -> String {
                let $s = self;
                let _ = $s;
                $label
            }
            fn why(&self) -> Option<String> {
                let $s = self;
                let _ = $s;
                $why
            }
            fn help(&self) -> Option<String> {
                let $s = self;
                let _ = $s;
                $help
            }
        }
    };
}
pub(crate) use worded;
