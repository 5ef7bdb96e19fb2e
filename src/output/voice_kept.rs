//! How a voice is kept in the record of a build: as a few words.

use crate::source::Tag;
use crate::words::{DateForm, DecimalSign, Language, Voice};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serializer};

const LANGUAGES: [(&str, Language); 2] = [("en", Language::English), ("de", Language::German)];
const SIGNS: [(&str, DecimalSign); 2] = [("point", DecimalSign::Point), ("comma", DecimalSign::Comma)];
const DATES: [(&str, DateForm); 4] =
    [("iso", DateForm::Iso), ("dotted", DateForm::DottedFigures), ("day", DateForm::DayFirst), ("month", DateForm::MonthFirst)];

fn word_of<T: PartialEq>(known: &[(&'static str, T)], kept: &T) -> &'static str {
    known.iter().find(|(_, one)| one == kept).map_or("", |(word, _)| word)
}

/// Writes it.
pub fn serialize<S: Serializer>(voice: &Voice, out: S) -> Result<S::Ok, S::Error> {
    let words = [
        word_of(&LANGUAGES, &voice.language),
        word_of(&SIGNS, &voice.decimal_sign),
        word_of(&DATES, &voice.date_form),
        voice.author.as_str(),
    ];
    out.serialize_str(&words.join(" "))
}

/// Reads it.
pub fn deserialize<'de, D: Deserializer<'de>>(kept: D) -> Result<Voice, D::Error> {
    let words = String::deserialize(kept)?;
    read(&words).ok_or_else(|| D::Error::custom("no voice"))
}

fn read(words: &str) -> Option<Voice> {
    let mut words = words.split(' ');
    let language = words.next().and_then(|word| LANGUAGES.iter().find(|(known, _)| *known == word))?.1;
    let decimal_sign = words.next().and_then(|word| SIGNS.iter().find(|(known, _)| *known == word))?.1;
    let date_form = words.next().and_then(|word| DATES.iter().find(|(known, _)| *known == word))?.1;
    Some(Voice { language, decimal_sign, date_form, author: words.next().and_then(Tag::read)? })
}

#[cfg(test)]
mod tests {
    use super::{DATES, LANGUAGES, SIGNS, read};
    use crate::output::fixture::fullest;
    use crate::output::index::IndexEntry;
    use crate::source::Tag;
    use crate::words::Voice;

    #[test]
    fn every_voice_comes_back_as_it_was_kept() {
        for (_, language) in LANGUAGES {
            for ((_, decimal_sign), (_, date_form)) in SIGNS.iter().flat_map(|sign| DATES.iter().map(move |date| (*sign, *date))) {
                let voice = Voice { language, decimal_sign, date_form, author: Tag::read("pt-BR").expect("a tag") };
                let entry = IndexEntry { voice, ..IndexEntry::new(&fullest(), "a.html") };
                let kept = serde_json::to_string(&entry).expect("it can be kept");
                assert_eq!(serde_json::from_str::<IndexEntry>(&kept).expect("it can be read"), entry);
            }
        }
        assert_eq!(read("en comma"), None);
    }
}
