//! Pages as tests read them: one way of writing, whatever marks were left out.

/// `page` with marks around the value of every attribute, which HTML lets be left out where the value is plain.
pub fn quoted(page: &str) -> String {
    let mut all = String::with_capacity(page.len());
    let (mut in_tag, mut in_marks, mut plain) = (false, false, false);
    let mut before = ' ';
    for letter in page.chars() {
        if plain && (letter.is_whitespace() || letter == '>') {
            all.push('"');
            plain = false;
        }
        if in_tag && !in_marks && !plain && before == '=' && letter != '"' {
            all.push('"');
            plain = true;
        }
        match letter {
            '"' if in_tag && !plain => in_marks = !in_marks,
            '<' => in_tag = true,
            '>' if !in_marks => in_tag = false,
            _ => {}
        }
        all.push(letter);
        before = letter;
    }
    all
}

#[test]
fn marks_are_put_where_they_were_left_out() {
    let page = "<p class=eq id=\"a=b\">1 = 2</p><a href=#x><td rowspan=2 class=\"n o\">";
    assert_eq!(quoted(page), "<p class=\"eq\" id=\"a=b\">1 = 2</p><a href=\"#x\"><td rowspan=\"2\" class=\"n o\">");
}
