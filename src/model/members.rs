//! The names inside a machine at work, a train, a law or readings, each found by its letters in a few steps.
//!
//! A kind has some fifty names, and each machine of it asks for them some hundreds of times, in each of its states: a table by a
//! digest of the letters answers sooner than comparing letters does. What is read off in order goes by the letters.

use crate::model::Member;
use indexmap::IndexMap;
use rustc_hash::FxBuildHasher;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Names and what each stands for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Members {
    // As they were put in.
    rows: IndexMap<Arc<str>, Member, FxBuildHasher>,
}

impl Members {
    /// No names yet, with room for some.
    pub(super) fn with_room(names: usize) -> Members {
        Members { rows: IndexMap::with_capacity_and_hasher(names, FxBuildHasher) }
    }

    /// What `name` stands for.
    pub fn get(&self, name: &str) -> Option<&Member> {
        self.rows.get(name)
    }

    /// Whether there is such a name.
    pub fn contains_key(&self, name: &str) -> bool {
        self.rows.contains_key(name)
    }

    /// Lets `name` stand for `member`, whatever it stood for.
    pub(super) fn insert(&mut self, name: impl AsRef<str> + Into<Arc<str>>, member: Member) {
        match self.rows.get_mut(name.as_ref()) {
            Some(known) => *known = member,
            None => drop(self.rows.insert(name.into(), member)),
        }
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
