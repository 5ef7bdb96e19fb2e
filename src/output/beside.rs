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

/// A path as an address in a page: what RFC 3986 does not leave unreserved is written as its bytes.
pub fn address(path: &str) -> String {
    path.bytes().fold(String::new(), |mut address, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address += &format!("%{byte:02X}");
        }
        address
    })
}

#[cfg(test)]
mod tests {
    use super::{address, way};

    #[test]
    fn a_link_goes_up_as_far_as_the_page_is_down_and_no_further() {
        assert_eq!(way("slip.html", "kinds/tackle.html"), "kinds/tackle.html");
        assert_eq!(way("yard/more/slip.html", "kinds/tackle.html"), "../../kinds/tackle.html");
        assert_eq!(way("yard/slip.html", "yard/more/a.html"), "more/a.html");
        assert_eq!(way("kinds/lever.html", "kinds/index.html"), "index.html");
        assert_eq!(way("slip.html", ""), "");
    }

    #[test]
    fn an_address_survives_any_file_name() {
        assert_eq!(address("yard/slip-2_b.html"), "yard/slip-2_b.html");
        assert_eq!(address("Straße #1 50%.html"), "Stra%C3%9Fe%20%231%2050%25.html");
    }
}
