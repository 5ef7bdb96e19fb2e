//! JSON with two spaces a level, as `serde_json` prints it to the byte, in a third of its steps: what leads to a field goes out
//! as one piece, and a text is looked through once for what has to be spelt out.

use serde::Serialize;
use serde::ser::{self, Serializer};
use serde_json::ser::{CompactFormatter, Formatter};
use std::fmt;

/// `value` as JSON; none where it is no value that a sheet or a report holds, such as a map whose keys are no texts.
pub(super) fn printed<T: Serialize>(value: &T, room: usize) -> Option<String> {
    let mut pretty = Pretty { out: String::with_capacity(room), depth: 0, leads: vec![lead(0)], number: Vec::with_capacity(32) };
    value.serialize(&mut pretty).ok()?;
    Some(pretty.out)
}

struct Pretty {
    out: String,
    depth: usize,
    /// What leads to a key of each level: the comma behind what stands before, the end of its line, blanks and a quotation mark.
    leads: Vec<String>,
    /// Room for the figures of one number.
    number: Vec<u8>,
}

fn lead(depth: usize) -> String {
    format!(",\n{}\"", "  ".repeat(depth))
}

/// Of each byte, whether it has to be spelt out within quotation marks.
static SPELT_OUT: [bool; 256] = {
    let mut table = [false; 256];
    let mut at = 0;
    while at < table.len() {
        table[at] = at < 0x20 || matches!(at as u8, b'"' | b'\\');
        at += 1;
    }
    table
};

impl Pretty {
    /// On to the next line, behind a comma where an item stands before; and the mark that opens a `key`.
    fn line(&mut self, comma: bool, key: bool) {
        let lead = self.leads.get(self.depth).map_or("", String::as_str);
        let end = if key { lead.len() } else { lead.len().saturating_sub(1) };
        self.out.push_str(lead.get(usize::from(!comma)..end).unwrap_or(""));
    }

    fn text(&mut self, text: &str) -> Result<(), fmt::Error> {
        if text.is_empty() {
            self.out.push_str("\"\"");
        } else if text.bytes().fold(false, |found, byte| found | SPELT_OUT.get(usize::from(byte)).copied().unwrap_or(true)) {
            self.out.push_str(&serde_json::to_string(text).map_err(|_| fmt::Error)?);
        } else {
            self.out.push('"');
            self.out.push_str(text);
            self.out.push('"');
        }
        Ok(())
    }

    fn number(&mut self, write: impl FnOnce(&mut CompactFormatter, &mut Vec<u8>) -> std::io::Result<()>) -> Result<(), fmt::Error> {
        self.number.clear();
        write(&mut CompactFormatter, &mut self.number).map_err(|_| fmt::Error)?;
        self.out.push_str(std::str::from_utf8(&self.number).map_err(|_| fmt::Error)?);
        Ok(())
    }

    fn open(&mut self, mark: char, close: &'static str) -> Level<'_> {
        self.out.push(mark);
        self.depth += 1;
        if self.leads.len() <= self.depth {
            self.leads.push(lead(self.depth));
        }
        Level { pretty: self, empty: true, close }
    }
}

/// A list or an object that is open.
struct Level<'p> {
    pretty: &'p mut Pretty,
    empty: bool,
    close: &'static str,
}

impl Level<'_> {
    fn next(&mut self, key: bool) {
        self.pretty.line(!std::mem::replace(&mut self.empty, false), key);
    }

    fn item<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), fmt::Error> {
        self.next(false);
        value.serialize(&mut *self.pretty)
    }

    // Keys are names of fields: nothing in them has to be spelt out.
    fn field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), fmt::Error> {
        self.next(true);
        self.pretty.out.push_str(key);
        self.pretty.out.push_str("\": ");
        value.serialize(&mut *self.pretty)
    }

    fn shut(self) -> Result<(), fmt::Error> {
        self.pretty.depth -= 1;
        if !self.empty {
            self.pretty.line(false, false);
        }
        self.pretty.out.push_str(self.close);
        Ok(())
    }
}

macro_rules! numbers {
    ($($method:ident $writes:ident $type:ty),+ $(,)?) => {
        $(fn $method(self, value: $type) -> Result<(), fmt::Error> {
            self.number(|formatter, out| formatter.$writes(out, value))
        })+
    };
}

impl<'p> Serializer for &'p mut Pretty {
    type Ok = ();
    type Error = fmt::Error;
    type SerializeSeq = Level<'p>;
    type SerializeTuple = Level<'p>;
    type SerializeTupleStruct = Level<'p>;
    type SerializeTupleVariant = ser::Impossible<(), fmt::Error>;
    type SerializeMap = Level<'p>;
    type SerializeStruct = Level<'p>;
    type SerializeStructVariant = ser::Impossible<(), fmt::Error>;

    numbers! {
        serialize_i8 write_i8 i8, serialize_i16 write_i16 i16, serialize_i32 write_i32 i32, serialize_i64 write_i64 i64,
        serialize_u8 write_u8 u8, serialize_u16 write_u16 u16, serialize_u32 write_u32 u32, serialize_u64 write_u64 u64,
    }

    fn serialize_bool(self, value: bool) -> Result<(), fmt::Error> {
        self.out.push_str(if value { "true" } else { "false" });
        Ok(())
    }

    fn serialize_f32(self, value: f32) -> Result<(), fmt::Error> {
        if value.is_finite() { self.number(|formatter, out| formatter.write_f32(out, value)) } else { self.serialize_unit() }
    }

    fn serialize_f64(self, value: f64) -> Result<(), fmt::Error> {
        if value.is_finite() { self.number(|formatter, out| formatter.write_f64(out, value)) } else { self.serialize_unit() }
    }

    fn serialize_char(self, value: char) -> Result<(), fmt::Error> {
        self.text(value.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(self, value: &str) -> Result<(), fmt::Error> {
        self.text(value)
    }

    fn serialize_bytes(self, value: &[u8]) -> Result<(), fmt::Error> {
        self.collect_seq(value)
    }

    fn serialize_none(self) -> Result<(), fmt::Error> {
        self.serialize_unit()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), fmt::Error> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), fmt::Error> {
        self.out.push_str("null");
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), fmt::Error> {
        self.serialize_unit()
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Result<(), fmt::Error> {
        self.text(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<(), fmt::Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), fmt::Error> {
        let mut level = self.open('{', "}");
        level.field(variant, value)?;
        level.shut()
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Level<'p>, fmt::Error> {
        Ok(self.open('[', "]"))
    }

    fn serialize_tuple(self, _: usize) -> Result<Level<'p>, fmt::Error> {
        Ok(self.open('[', "]"))
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Level<'p>, fmt::Error> {
        Ok(self.open('[', "]"))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Level<'p>, fmt::Error> {
        Ok(self.open('{', "}"))
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Level<'p>, fmt::Error> {
        Ok(self.open('{', "}"))
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, fmt::Error> {
        Err(fmt::Error)
    }
}

impl ser::SerializeSeq for Level<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), fmt::Error> {
        self.item(value)
    }

    fn end(self) -> Result<(), fmt::Error> {
        self.shut()
    }
}

impl ser::SerializeTuple for Level<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), fmt::Error> {
        self.item(value)
    }

    fn end(self) -> Result<(), fmt::Error> {
        self.shut()
    }
}

impl ser::SerializeTupleStruct for Level<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), fmt::Error> {
        self.item(value)
    }

    fn end(self) -> Result<(), fmt::Error> {
        self.shut()
    }
}

impl ser::SerializeMap for Level<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), fmt::Error> {
        self.next(false);
        let from = self.pretty.out.len();
        key.serialize(&mut *self.pretty)?;
        // A key that is no text is not for this printer.
        self.pretty.out.get(from..).filter(|key| key.starts_with('"')).map(drop).ok_or(fmt::Error)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), fmt::Error> {
        self.pretty.out.push_str(": ");
        value.serialize(&mut *self.pretty)
    }

    fn end(self) -> Result<(), fmt::Error> {
        self.shut()
    }
}

impl ser::SerializeStruct for Level<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), fmt::Error> {
        self.field(key, value)
    }

    fn end(self) -> Result<(), fmt::Error> {
        self.shut()
    }
}

#[cfg(test)]
mod tests {
    use super::printed;
    use crate::output::fixture::{emptiest, fullest, hostile};
    use serde::Serialize;
    use std::collections::BTreeMap;

    #[test]
    fn every_byte_is_that_of_the_library() {
        for sheet in [fullest(), emptiest(), hostile()] {
            let of_library = serde_json::to_string_pretty(&sheet).expect("a sheet");
            assert_eq!(printed(&sheet, 0), Some(of_library));
        }
    }

    #[test]
    fn so_is_that_of_whatever_else_may_be_printed() {
        #[derive(Serialize)]
        enum Word {
            Plain,
            Of(u8),
        }
        #[derive(Serialize)]
        struct Everything {
            numbers: (i8, u64, f32, f64, f64, f64),
            texts: [&'static str; 4],
            maps: BTreeMap<String, Vec<Option<char>>>,
            words: Vec<Word>,
            nothing: (),
            none: BTreeMap<String, ()>,
        }
        let numbers = (-7, u64::MAX, 0.1, 1e300, f64::NAN, -0.0);
        let texts = ["a \"b\" \\ c", "\u{1}\n\t\u{7f}", "ü – \u{1F600}", ""];
        let maps = BTreeMap::from([("a\"".to_owned(), vec![Some('x'), None]), (String::new(), Vec::new())]);
        let value = Everything { numbers, texts, maps, words: vec![Word::Plain, Word::Of(3)], nothing: (), none: BTreeMap::new() };
        let mut deep = serde_json::json!([]);
        for _ in 0..60 {
            deep = serde_json::json!([deep]);
        }
        assert_eq!(printed(&value, 0), serde_json::to_string_pretty(&value).ok());
        assert_eq!(printed(&deep, 0), serde_json::to_string_pretty(&deep).ok());
        // What it does not print is left to the library.
        assert_eq!(printed(&BTreeMap::from([(1, 2)]), 0), None);
    }
}
