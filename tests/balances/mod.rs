//! Every machine against free bodies: forces and moments of each body, written here anew, must vanish with the forces
//! the sheet gives, in every direction; without friction the effort is the load over the velocity ratio.

mod belt;
mod capstan;
mod differential_windlass;
mod drawings;
mod gears;
mod hoist;
mod lead_block;
mod lever;
mod loads;
mod parbuckle;
mod press;
mod pulleys;
mod rack;
mod ramp;
mod screw;
mod sling;
mod tackle;
mod toggle;
mod wedge;
mod windlass;
mod worm;

use crate::support::compare::figure;
use crate::support::compile::compile_text;
use ::parbuckle::Sheet;
use std::fmt::Write;

/// Directions as a sheet says them, each with the sense of friction: 1 where the effort moves the load.
pub const WAYS: [(&str, f64); 3] = [("raising", 1.0), ("holding", -1.0), ("lowering", -1.0)];

/// Numbers by chance, the same in every run (Steele and others, SplitMix64, OOPSLA 2014).
pub struct Chance(u64);

impl Chance {
    /// A row of numbers that `seed` begins.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        low + (high - low) * ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// One of some things.
    pub fn one<T: Copy>(&mut self, things: &[T]) -> T {
        let at = self.between(0.0, things.len() as f64) as usize;
        things[at.min(things.len() - 1)]
    }
}

/// A sheet of many machines, so that one compilation serves them all.
#[derive(Default)]
pub struct Machines {
    text: String,
    count: usize,
}

impl Machines {
    /// Adds a machine with its settings and gives its name.
    pub fn add(&mut self, kind: &str, settings: &[String]) -> String {
        self.put("machine", kind, settings)
    }

    /// Adds a load that is only moved, with its settings, and gives its name.
    pub fn load(&mut self, kind: &str, settings: &[String]) -> String {
        self.put("load", kind, settings)
    }

    fn put(&mut self, word: &str, kind: &str, settings: &[String]) -> String {
        let name = format!("m{}", self.count);
        self.count += 1;
        let _ = writeln!(self.text, "{word} {name} = {kind}");
        for setting in settings {
            let _ = writeln!(self.text, "    {setting}");
        }
        name
    }

    /// Compiles the sheet. Questions are allowed, for chance makes odd machines; anything else is a fault.
    pub fn compiled(&self) -> Worked {
        let text = format!("# Sheet\n\n```rig\n{}```\n", self.text);
        let seen = compile_text(&text);
        let said: Vec<_> = seen.notices.iter().filter(|notice| notice.slug != "question").map(|notice| &notice.headline).collect();
        assert!(said.is_empty(), "{said:?} in\n{text}");
        let sheet = seen.sheet.expect("a sheet came of it");
        drawings::are_sound(&sheet);
        Worked(sheet)
    }
}

/// A compiled sheet.
pub struct Worked(Sheet);

impl Worked {
    /// A value of a machine in SI units.
    pub fn of(&self, machine: &str, name: &str) -> f64 {
        figure(&self.0, &format!("{machine}.{name}"), None).unwrap_or_else(|why| panic!("{machine}.{name}: {why}")).si
    }

    /// An item of a list of a machine, counted from 1, in SI units.
    pub fn item(&self, machine: &str, name: &str, at: usize) -> f64 {
        figure(&self.0, &format!("{machine}.{name}"), Some(at)).unwrap_or_else(|why| panic!("{machine}.{name}[{at}]: {why}")).si
    }

    /// Work in is work out and loss, the loss reckoned a second way.
    pub fn balances(&self, machine: &str) {
        let scale = self.of(machine, "work_in").abs() + self.of(machine, "work_out").abs();
        let off = self.of(machine, "work_difference");
        assert!(off.abs() <= 1e-9 * scale, "{machine}: the work is off by {off} J of {scale} J");
    }
}

/// A sum that must vanish beside `scale`.
pub fn vanishes(sum: f64, scale: f64, what: &str) {
    assert!(sum.abs() <= 1e-9 * scale.abs().max(1e-12), "{what}: {sum} is left, beside {scale}");
}

/// Two values that must agree.
pub fn agree(one: f64, other: f64, what: &str) {
    vanishes(one - other, one.abs().max(other.abs()), what);
}
