//! The names inside a machine at work, a train, a law or readings, each found by its letters in a few steps.
//!
//! A kind has some fifty names, and each machine of it asks for them some hundreds of times, in each of its states: a table by a
//! digest of the letters answers sooner than comparing letters does. What is read off in order goes by the letters.

use crate::model::Member;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Names and what each stands for.
#[derive(Debug, Clone, Default)]
pub struct Members {
    // As they were put in.
    rows: Vec<(Arc<str>, Member)>,
    // Places among the rows, counted from 1, each where its digest says or behind that; nought where there is none. Of a length
    // that is a power of two, and never more than half full.
    places: Vec<u32>,
}

impl Members {
    /// No names yet, with room for some.
    pub(super) fn with_room(names: usize) -> Members {
        let mut members = Members { rows: Vec::with_capacity(names), places: Vec::new() };
        members.lay_out(2 * names);
        members
    }

    /// What `name` stands for.
    pub fn get(&self, name: &str) -> Option<&Member> {
        let (_, row) = self.find(name);
        self.rows.get(row?).map(|(_, member)| member)
    }

    /// Whether there is such a name.
    pub fn contains_key(&self, name: &str) -> bool {
        self.find(name).1.is_some()
    }

    /// Lets `name` stand for `member`, whatever it stood for.
    pub(super) fn insert(&mut self, name: impl AsRef<str> + Into<Arc<str>>, member: Member) {
        let (mut place, row) = self.find(name.as_ref());
        if let Some((_, known)) = row.and_then(|row| self.rows.get_mut(row)) {
            *known = member;
            return;
        }
        if self.places.len() < 2 * (self.rows.len() + 1) {
            self.lay_out(4 * (self.rows.len() + 1));
            place = self.find(name.as_ref()).0;
        }
        self.rows.push((name.into(), member));
        let row = u32::try_from(self.rows.len()).unwrap_or(u32::MAX);
        self.places.get_mut(place).into_iter().for_each(|place| *place = row);
    }

    /// Lets `name` stand for `member` where it stands for nothing yet.
    pub(super) fn insert_new(&mut self, name: impl AsRef<str> + Into<Arc<str>>, member: Member) {
        if !self.contains_key(name.as_ref()) {
            self.insert(name, member);
        }
    }

    /// The names with what they stand for, by their letters.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Member)> {
        let mut rows: Vec<(&str, &Member)> = self.rows.iter().map(|(name, member)| (&**name, member)).collect();
        rows.sort_unstable_by_key(|(name, _)| *name);
        rows.into_iter()
    }

    /// The names, by their letters.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.iter().map(|(name, _)| name)
    }

    /// What the names stand for, by the letters of the names.
    pub fn values(&self) -> impl Iterator<Item = &Member> {
        self.iter().map(|(_, member)| member)
    }

    // The place of `name`, or the one where it would go, and its row.
    fn find(&self, name: &str) -> (usize, Option<usize>) {
        let Some(mask) = self.places.len().checked_sub(1) else { return (0, None) };
        let mut place = digest(name) & mask;
        loop {
            let row = match self.places.get(place) {
                Some(row) if *row > 0 => *row as usize - 1,
                _ => return (place, None),
            };
            if self.rows.get(row).is_some_and(|(known, _)| **known == *name) {
                return (place, Some(row));
            }
            place = (place + 1) & mask;
        }
    }

    fn lay_out(&mut self, room: usize) {
        self.places = vec![0; room.next_power_of_two().max(16)];
        for row in 0..self.rows.len() {
            let Some((name, _)) = self.rows.get(row) else { continue };
            let (place, _) = self.find(&Arc::clone(name));
            let number = u32::try_from(row + 1).unwrap_or(u32::MAX);
            self.places.get_mut(place).into_iter().for_each(|place| *place = number);
        }
    }
}

/// Names that a path may ask for.
pub(super) trait Named {
    /// What `name` stands for.
    fn member(&self, name: &str) -> Option<&Member>;

    /// The names, by their letters.
    fn names(&self) -> Vec<&str>;
}

impl Named for Members {
    fn member(&self, name: &str) -> Option<&Member> {
        self.get(name)
    }

    fn names(&self) -> Vec<&str> {
        self.keys().collect()
    }
}

impl Named for BTreeMap<String, Member> {
    fn member(&self, name: &str) -> Option<&Member> {
        self.get(name)
    }

    fn names(&self) -> Vec<&str> {
        self.keys().map(String::as_str).collect()
    }
}

// Eight letters at a time, the same on every machine.
fn digest(name: &str) -> usize {
    let mix = |sum: u64, word: u64| (sum.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
    let mut words = name.as_bytes().chunks_exact(8);
    let mut sum = name.len() as u64;
    for word in words.by_ref() {
        sum = mix(sum, u64::from_le_bytes(word.try_into().unwrap_or_default()));
    }
    sum = mix(sum, words.remainder().iter().fold(0, |word, byte| word << 8 | u64::from(*byte)));
    (sum >> 32) as usize
}

impl PartialEq for Members {
    fn eq(&self, other: &Members) -> bool {
        self.rows.len() == other.rows.len() && self.rows.iter().all(|(name, member)| other.get(name) == Some(member))
    }
}

impl<N: AsRef<str> + Into<Arc<str>>> Extend<(N, Member)> for Members {
    fn extend<I: IntoIterator<Item = (N, Member)>>(&mut self, members: I) {
        members.into_iter().for_each(|(name, member)| self.insert(name, member));
    }
}

#[cfg(test)]
mod tests {
    use super::Members;
    use crate::model::Member;
    use crate::model::tree::EntryId;
    use proptest::prelude::{prop_assert_eq, proptest};
    use std::collections::BTreeMap;

    proptest! {
        // Held to the ordered map of the standard library.
        #[test]
        fn names_are_found_as_in_a_map(steps in proptest::collection::vec(("[a-z_]{1,20}|[a-c]{1,2}", 0_usize..9, proptest::bool::ANY), 0..300)) {
            let (mut members, mut known) = (Members::default(), BTreeMap::new());
            for (name, number, over) in steps {
                let member = Member::Value(EntryId(number));
                if over {
                    members.insert(name.as_str(), member.clone());
                    known.insert(name, member);
                } else {
                    members.insert_new(name.as_str(), member.clone());
                    known.entry(name).or_insert(member);
                }
            }
            let found: Vec<(String, Member)> = members.iter().map(|(name, member)| (name.to_string(), member.clone())).collect();
            prop_assert_eq!(&found, &known.iter().map(|(name, member)| (name.clone(), member.clone())).collect::<Vec<_>>());
            for (name, member) in &known {
                prop_assert_eq!(members.get(name), Some(member));
                prop_assert_eq!(members.contains_key(&format!("{name}!")), false);
            }
            let mut again = Members::with_room(known.len());
            again.extend(known.into_iter().rev());
            prop_assert_eq!(again, members);
        }
    }
}
