//! Names by number: found in one step by their letters, of which many have the same in front.

/// Texts, each with a number from nought on in the order in which they came.
#[derive(Debug, Default)]
pub struct Numbered<'a> {
    known: Vec<&'a str>,
    /// The number of a text and one, at the place that its letters lead to or behind it; nought where there is none.
    places: Vec<u32>,
}

/// Places to begin with; as many more are made whenever half of them are taken.
const FIRST: usize = 64;

impl<'a> Numbered<'a> {
    /// The number of `text`, where it has one.
    pub fn find(&self, text: &str) -> Option<usize> {
        self.seek(text).ok()
    }

    /// The number of `text`, perhaps a new one.
    pub fn number(&mut self, text: &'a str) -> usize {
        if 2 * self.known.len() >= self.places.len() {
            self.widen();
        }
        match self.seek(text) {
            Ok(number) => number,
            Err(place) => {
                self.known.push(text);
                self.take(place, self.known.len());
                self.known.len() - 1
            }
        }
    }

    /// The text of that number.
    pub fn text(&self, number: usize) -> &'a str {
        self.known.get(number).copied().unwrap_or("")
    }

    // Its number, or else the free place where it would stand.
    fn seek(&self, text: &str) -> Result<usize, usize> {
        let mut place = self.first(text);
        loop {
            let Some(number) = self.places.get(place).and_then(|taken| taken.checked_sub(1)) else { return Err(place) };
            if self.text(number as usize) == text {
                return Ok(number as usize);
            }
            place = (place + 1) % self.places.len();
        }
    }

    // Where the search begins: the same on every machine and in every run.
    fn first(&self, text: &str) -> usize {
        let mixed = text.as_bytes().chunks(8).fold(0_u64, |mixed, part| {
            let mut eight = [0; 8];
            eight.iter_mut().zip(part).for_each(|(to, from)| *to = *from);
            (mixed.rotate_left(5) ^ u64::from_le_bytes(eight)).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        });
        // There are as many places as a power of two; the upper bits are the well mixed ones.
        (mixed >> 32) as usize & self.places.len().saturating_sub(1)
    }

    fn take(&mut self, place: usize, count: usize) {
        if let (Some(free), Ok(count)) = (self.places.get_mut(place), u32::try_from(count)) {
            *free = count;
        }
    }

    fn widen(&mut self) {
        self.places = vec![0; (2 * self.places.len()).max(FIRST)];
        for number in 0..self.known.len() {
            if let Err(place) = self.seek(self.text(number)) {
                self.take(place, number + 1);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Numbered;
    use std::collections::BTreeMap;

    #[test]
    fn every_text_keeps_its_number_however_many_there_are() {
        let texts: Vec<String> = (0..3000).map(|at| format!("v-machine-{}-effort{}", at % 70, "x".repeat(at % 9))).collect();
        let (mut numbered, mut by_order) = (Numbered::default(), BTreeMap::new());
        assert_eq!(numbered.find("v-machine-0-effort"), None);
        for text in &texts {
            let next = by_order.len();
            let number = *by_order.entry(text.as_str()).or_insert(next);
            assert_eq!(numbered.number(text), number, "{text}");
        }
        assert_eq!(by_order.len(), 630);
        for (text, number) in by_order {
            assert_eq!((numbered.find(text), numbered.text(number)), (Some(number), text));
        }
        assert_eq!((numbered.find(""), numbered.find("v-machine-70-effort")), (None, None));
    }
}
