//! Pages that are written together with a sheet, and where a link to each of them leads from wherever the page stands.

use std::collections::BTreeMap;

/// Pages written together. Every address is counted from the folder they are written to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Beside {
    /// The reference pages, by the word of the kind.
    pub kinds: BTreeMap<String, String>,
    /// The index of the reference pages; empty where there is none.
    pub kinds_index: String,
    /// The pages of sheets, by the path of the sheet.
    pub sheets: BTreeMap<String, String>,
}

/// The way from the page at `place` to the page at `address`, both counted from one folder. Empty for an empty address.
pub(super) fn way(place: &str, address: &str) -> String {
    if address.is_empty() {
        return String::new();
    }
    let (mut here, mut there) = (place, address);
    // What both have in common need not be left and entered again.
    while let (Some((own, below)), Some((other, beyond))) = (here.split_once('/'), there.split_once('/')) {
        if own != other {
            break;
        }
        (here, there) = (below, beyond);
    }
    format!("{}{there}", "../".repeat(here.matches('/').count()))
}

#[cfg(test)]
mod tests {
    use super::way;

    #[test]
    fn a_link_goes_up_as_far_as_the_page_is_down_and_no_further() {
        assert_eq!(way("slip.html", "kinds/tackle.html"), "kinds/tackle.html");
        assert_eq!(way("yard/more/slip.html", "kinds/tackle.html"), "../../kinds/tackle.html");
        assert_eq!(way("yard/slip.html", "yard/more/a.html"), "more/a.html");
        assert_eq!(way("kinds/lever.html", "kinds/index.html"), "index.html");
        assert_eq!(way("slip.html", ""), "");
    }
}
