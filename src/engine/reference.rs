//! The reference page of a kind: its own document, compiled like any other, its worked cases included.

use crate::engine::Engine;
use crate::engine::files::MemoryFiles;
use crate::house::FILE;
use crate::sheet::parts::{Cell, Sheet};
use crate::source::SheetPath;
use crate::words::{DecimalSign, Language, Voice, say, speaking};
use std::sync::Arc;

/// The words of the kinds that come with the program and that a machine may name, in their listed order.
pub fn kind_words() -> impl Iterator<Item = &'static str> {
    crate::kinds::words()
}

/// The document of the kind `word` as a sheet: its prose, the report of the kind with the sketch of its first worked case,
/// and the cases worked. None for a word that comes with no document.
pub fn reference(word: &str) -> Option<Sheet> {
    reference_in(word, Voice::default())
}

/// The same as a house with that voice has it: in its language and with its decimal sign.
pub fn reference_in(word: &str, voice: Voice) -> Option<Sheet> {
    let path = format!("kinds/{word}/kind.md");
    let german = (voice.language == Language::German).then(|| crate::kinds::german_document(word)).flatten();
    let document = german.as_deref().or(crate::kinds::document(word))?;
    let language = if german.is_some() { Language::German } else { Language::English };
    let mut files = MemoryFiles::new().with(&path, document);
    let sign = if voice.decimal_sign == DecimalSign::Comma { "comma" } else { "point" };
    if language != Language::English || voice.decimal_sign != DecimalSign::Point {
        files = files.with(FILE, &format!("language = \"{}\"\ndecimal_sign = \"{sign}\"\n", language.tag().as_str()));
    }
    let mut sheet = Arc::unwrap_or_clone(Engine::new().compile(&files, &[SheetPath::new(&path)]).outcomes.pop()?.sheet?);
    arrange(&mut sheet, word);
    let voice = sheet.house.voice;
    if let Some(set) = sheet.as_set.as_deref_mut() {
        speaking(voice, || arrange(set, word));
    }
    Some(sheet)
}

// Makes a page of reference of what came of a document.
fn arrange(sheet: &mut Sheet, word: &str) {
    sheet.status = say!("reference¦status").into();
    // A page of reference asks no question, so it has no answer to put first; and what its limits ask of a published case,
    // its prose has answered.
    sheet.answer.clear();
    sheet.notices.retain(|notice| notice.slug != "question");
    if sheet.title_block.cells.is_empty() && crate::kinds::words().any(|known| known == word) {
        sheet.title_block.cells.push(Cell { label: say!("Kind").into(), value: word.into() });
        let is_load = sheet.kinds.iter().any(|kind| kind.name == word && kind.is_load);
        let written = if is_load { format!("load NAME = {word}") } else { format!("machine NAME = {word}") };
        sheet.title_block.cells.push(Cell { label: say!("Written in a sheet as").into(), value: written });
    }
    for kind in &mut sheet.kinds {
        let first = sheet.machines.iter().find(|machine| machine.kind == kind.name && machine.sketch.is_some());
        if let Some(machine) = first {
            kind.sketch = machine.sketch.clone();
            kind.free_body = machine.free_body.clone();
            kind.sketch_of = machine.name.clone();
        }
    }
}
