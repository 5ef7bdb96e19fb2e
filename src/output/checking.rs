//! The page of a sheet as a copy for whoever checks it line by line with a pencil.

use crate::output::html::{html, in_house};
use crate::output::templates::checking_style;
use crate::sheet::parts::Sheet;
use crate::words::marked;

/// What the checker fills in.
fn signing() -> &'static str {
    marked!(
        "<section class=\"signing\" aria-labelledby=\"sheet.checking\"><strong id=\"sheet.checking\">[[Copy for checking]]</strong>\n<p class=\"small\">[[Tick what you have followed: inputs against their sources (G), lines of working, checks. The margin is for your pencil. Your signature is given with the sheet's source, not on this copy.]]</p>\n<dl><dt>[[Checked by]]</dt><dd></dd><dt>[[On]]</dt><dd></dd><dt>[[By which method]]</dt><dd></dd><dt>[[Found]]</dt><dd></dd></dl></section>\n"
    )
}

/// The copy: the whole page, with boxes, numbers of inputs and a margin; every fold is open.
pub fn checking_html(sheet: &Sheet) -> String {
    let page = html(sheet);
    // Text never holds a bare `<`, so these are the page's own marks; each stands there once.
    let page = page.replacen("</style>", &format!("{}</style>", in_house(sheet, |_| checking_style())), 1);
    let page = page.replacen("<body>", "<body class=\"checking\">", 1);
    let signing = in_house(sheet, |_| signing());
    let page = page.replacen("<main>", &format!("<main>\n{signing}"), 1);
    // What is open on the page already is not opened twice.
    page.replace(" open>", ">").replace("<details class=", "<details open=\"\" class=")
}

#[cfg(test)]
mod tests {
    use super::{checking_html, signing};
    use crate::output::fixture::{emptiest, fullest, hostile};
    use crate::output::html::html;
    use crate::output::reader::well_formed_page;

    #[test]
    fn the_copy_is_the_page_with_room_for_a_pencil() {
        for sheet in [fullest(), emptiest(), hostile()] {
            let copy = checking_html(&sheet);
            well_formed_page(&copy);
            for told in ["<body class=\"checking\">", "id=\"sheet.checking\"", "<main>"] {
                assert_eq!(copy.matches(told).count(), 1, "{told}");
            }
            assert!(!copy.contains("<details class") && !copy.contains("<details>"), "every fold is open");
            // Nothing of the page is lost: without what was added it is the page again.
            let plain = copy.replace(" open=\"\" class=", " class=").replace("<body class=\"checking\">", "<body>").replace(signing(), "");
            assert_eq!(
                plain.split_once("<body>").map(|(_, body)| body),
                html(&sheet).replace(" open>", ">").replace("<main>", "<main>\n").split_once("<body>").map(|(_, body)| body)
            );
        }
    }
}
