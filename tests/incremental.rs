//! An engine that keeps what it has worked: how little it works again, that it says what a new one says, and that what it
//! keeps does not grow.

use parbuckle::engine::Counts;
use parbuckle::{Engine, MemoryFiles, Outcome, SheetPath};
use std::collections::{BTreeMap, BTreeSet};

const SLIP: &str = "# Slip\n\nThe tide is low.\n\n```rig\nuse \"gear.md\" as locker\ntake pull = 900 N from \"tape\"\n```\n\nMore prose.\n\n```rig\nhalf = pull / 2\ncheck \"rope\": half <= locker.rope.rated\n```\n";
const QUAY: &str = "# Quay\n\n```rig\ntake reach = 4 m from \"tape\"\nlap = reach / 3\n```\n";
const GEAR: &str = "# Gear\n\nOn the wall.\n\n```rig\ngear rope \"12 mm\"\n    rated 2 kN  from \"tag\"\n```\n";

fn files(texts: &[(&str, &str)]) -> MemoryFiles {
    texts.iter().fold(MemoryFiles::new(), |files, (path, text)| files.with(path, text))
}

fn one(engine: &mut Engine, files: &MemoryFiles, path: &str) -> Outcome {
    engine.compile(files, &[SheetPath::new(path)]).outcomes.pop().expect("an outcome")
}

// How often each step is taken while `slip.md` and `quay.md` are compiled again with `texts`.
fn steps(engine: &mut Engine, texts: &[(&str, &str)]) -> Counts {
    let (before, files) = (engine.counts(), files(texts));
    for path in ["slip.md", "quay.md"] {
        let outcome = one(engine, &files, path);
        let fresh = one(&mut Engine::new(), &files, path);
        assert!(outcome.sheet == fresh.sheet && outcome.notices == fresh.notices, "{path}: kept and new differ");
        let page = engine.printed(&outcome, "page", parbuckle::output::html).expect("a page");
        assert_eq!(*page, *parbuckle::output::html(fresh.sheet.as_deref().expect("a sheet")));
    }
    let after = engine.counts();
    Counts {
        fences: after.fences - before.fences,
        files: after.files - before.files,
        programs: after.programs - before.programs,
        sheets: after.sheets - before.sheets,
        prints: after.prints - before.prints,
        held: 0,
    }
}

fn counts(fences: usize, files: usize, programs: usize, sheets: usize) -> Counts {
    Counts { fences, files, programs, sheets, prints: sheets, held: 0 }
}

#[test]
fn only_what_rests_on_a_change_is_worked_again() {
    let mut engine = Engine::keeping(8);
    let all = |slip: &str, gear: &str| {
        vec![("slip.md".to_string(), slip.to_string()), ("quay.md".into(), QUAY.into()), ("gear.md".into(), gear.into())]
    };
    let mut change = |slip: &str, gear: &str| {
        let texts = all(slip, gear);
        steps(&mut engine, &texts.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect::<Vec<_>>())
    };
    assert_eq!(change(SLIP, GEAR), counts(4, 3, 2, 2), "everything once; the shared file once");
    assert_eq!(change(SLIP, GEAR), counts(0, 0, 0, 0), "nothing has changed");
    let prose = SLIP.replace("The tide is low.", "The tide is high, and the wind is from the west.\n\nWait.");
    assert_eq!(change(&prose, GEAR), counts(0, 1, 0, 1), "prose: taken apart, set anew, nothing worked");
    assert_eq!(change(SLIP, GEAR), counts(0, 0, 0, 0), "undone");
    let number = SLIP.replace("900 N", "950 N");
    assert_eq!(change(&number, GEAR), counts(1, 1, 1, 1), "one number: one fence, one program");
    let moved = number.replace("# Slip\n", "# Slip\n\nA\n\nB\n");
    assert_eq!(change(&moved, GEAR), counts(0, 1, 0, 1), "a fence that moves down is not read again");
    assert_eq!(change(&moved, &GEAR.replace("On the wall.", "On the floor.")), counts(0, 1, 0, 1), "prose of a shared file");
    assert_eq!(change(&moved, &GEAR.replace("2 kN", "3 kN")), counts(1, 1, 1, 1), "a shared number: what uses it and nothing else");
    let unit = moved.replace("More prose.", "It is `rig half as lbf`.");
    assert_eq!(change(&unit, &GEAR.replace("2 kN", "3 kN")), counts(1, 1, 1, 1), "a value in prose is read and bound");
}

// Marsaglia's xorshift; any numbers that do not repeat soon would do.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % limit as u64) as usize
    }
}

const NAMES: usize = 5;

// One file, as what it is written from: which others it uses, and which of a few numbers, proses and mistakes it has.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Written {
    uses: BTreeSet<usize>,
    number: usize,
    prose: usize,
    fault: usize,
}

impl Written {
    fn text(&self) -> String {
        let mut text = format!("# Sheet\n\n{}\n\n```rig\n", ["Fair.", "Foul, with rain.\n\n- a\n- b"][self.prose]);
        for other in &self.uses {
            text += &format!("use \"f{other}.md\" as f{other}\n");
        }
        text += &format!("take x = {} N from \"tape\"\n", self.number + 1);
        let sum: String = self.uses.iter().map(|other| format!(" + f{other}.y")).collect();
        text += &format!("y = x{sum}\n");
        text += ["", "z = y + 1 m\n", "z = = y\n"][self.fault];
        text += "```\n\nIt is `rig y`.\n";
        text
    }
}

type Yard = BTreeMap<usize, Written>;

// What `root` can see, with whoever it leads to.
fn seen(yard: &Yard, root: usize) -> Vec<(usize, Option<Written>)> {
    let (mut seen, mut waiting) = (BTreeSet::from([root]), vec![root]);
    while let Some(name) = waiting.pop() {
        for other in yard.get(&name).iter().flat_map(|written| &written.uses) {
            if seen.insert(*other) {
                waiting.push(*other);
            }
        }
    }
    seen.into_iter().map(|name| (name, yard.get(&name).cloned())).collect()
}

fn edit(yard: &Yard, dice: &mut Dice) -> Yard {
    let mut yard = yard.clone();
    let name = dice.below(NAMES);
    let Some(written) = yard.get_mut(&name) else {
        // One that is not there comes, as new or under another name.
        let from = dice.below(NAMES);
        let new = Written { uses: BTreeSet::from([dice.below(NAMES)]), number: dice.below(2), prose: 0, fault: 0 };
        let written = if dice.below(2) == 0 { yard.remove(&from).unwrap_or(new) } else { new };
        yard.insert(name, written);
        return yard;
    };
    match dice.below(12) {
        0..=2 => written.number = dice.below(2),
        3..=4 => written.prose = dice.below(2),
        5 => written.fault = dice.below(3),
        6 => written.fault = 0,
        7..=8 => {
            let other = dice.below(NAMES);
            if !written.uses.remove(&other) && written.uses.len() < 2 {
                written.uses.insert(other);
            }
        }
        9 => written.uses.clear(),
        10 => {
            yard.remove(&name);
        }
        _ => {
            let other = dice.below(NAMES);
            let (a, b) = (yard.remove(&name), yard.remove(&other));
            yard.extend(a.map(|written| (other, written)));
            yard.extend(b.filter(|_| other != name).map(|written| (name, written)));
        }
    }
    yard
}

fn on_disk(yard: &Yard) -> MemoryFiles {
    yard.iter().fold(MemoryFiles::new(), |files, (name, written)| files.with(&format!("f{name}.md"), &written.text()))
}

/// A sheet, and every file that it can see as it stands.
type State = (usize, Vec<(usize, Option<Written>)>);

// One engine follows `edits` edits; what it says of one sheet after each is what a new engine says. What a new one says is
// reckoned once for all that the sheet can see.
fn follow(seed: u64, edits: usize) -> (usize, usize, usize) {
    let mut dice = Dice(seed);
    let mut engine = Engine::keeping(NAMES);
    let mut fresh: BTreeMap<State, Outcome> = BTreeMap::new();
    let mut yards: Vec<Yard> =
        vec![(0..NAMES).map(|name| (name, Written { uses: BTreeSet::new(), number: 0, prose: 0, fault: 0 })).collect()];
    let (mut rings, mut most) = (0, 0);
    for number in 0..edits {
        let here = yards.last().cloned().unwrap_or_default();
        // One edit in five is undone, now and then several at once.
        let back = if dice.below(5) == 0 { 1 + dice.below(3) } else { 0 };
        if back > 0 && yards.len() > back {
            yards.truncate(yards.len() - back);
        } else {
            yards.push(edit(&here, &mut dice));
            if yards.len() > 40 {
                yards.remove(0);
            }
        }
        let yard = yards.last().expect("a yard");
        let files = on_disk(yard);
        let root = dice.below(NAMES);
        let path = format!("f{root}.md");
        let kept = one(&mut engine, &files, &path);
        let new = fresh.entry((root, seen(yard, root))).or_insert_with(|| one(&mut Engine::new(), &files, &path));
        rings += usize::from(new.notices.iter().any(|notice| notice.slug == "use-cycle"));
        assert!(
            kept.sheet == new.sheet && kept.notices == new.notices,
            "edit {number} of {seed}: {path} differs\n{}",
            yard.get(&root).map(Written::text).unwrap_or_default()
        );
        if number % 64 == 0
            && let Some(sheet) = new.sheet.as_deref()
        {
            assert_eq!(engine.printed(&kept, "page", parbuckle::output::html).as_deref(), Some(parbuckle::output::html(sheet).as_str()));
            assert_eq!(engine.printed(&kept, "json", parbuckle::output::json).as_deref(), Some(parbuckle::output::json(sheet).as_str()));
        }
        most = most.max(engine.counts().held);
    }
    (rings, engine.counts().programs, most)
}

#[test]
fn twenty_thousand_random_edits_come_to_what_a_new_engine_says() {
    const EDITS: usize = 10_000;
    let ran: Vec<_> = std::thread::scope(|scope| {
        let both = [0x9E37_79B9_7F4A_7C15, 0xD1B5_4A32_D192_ED03].map(|seed| scope.spawn(move || follow(seed, EDITS)));
        both.into_iter().map(|one| one.join().expect("the edits are followed")).collect()
    });
    for (rings, programs, most) in ran {
        assert!(rings > EDITS / 50, "too few rings to matter: {rings}");
        assert!(programs < EDITS * 3 / 4, "hardly anything was remembered: {programs} programs were run");
        // For each of two compilations of each sheet: its program, its sheet, and for every file itself, a fence and a value,
        // and what was printed of it.
        assert!(most <= NAMES * 2 * (2 + 3 * NAMES + 2), "{most} results were held at once");
    }
}

#[test]
fn what_is_kept_does_not_grow_over_a_hundred_thousand_edits() {
    let mut engine = Engine::keeping(4);
    let mut most = 0;
    for number in 0..100_000_usize {
        let path = SheetPath::new(&format!("f{}.md", number % 9));
        // What is read of a file at every edit; at every fortieth all that comes of it.
        let files = MemoryFiles::new().with(path.as_str(), &format!("```rig\ntake x = {number} N from \"tape\"\n```\n"));
        if number % 40 == 0 {
            let outcome = one(&mut engine, &files, path.as_str());
            assert!(engine.printed(&outcome, "text", parbuckle::output::text).is_some());
        } else {
            assert!(engine.gather(&files, &path).is_ok());
        }
        most = most.max(engine.counts().held);
    }
    assert!(most <= 4 * 2 * 6, "{most} results were held at once");
    assert_eq!(engine.counts().files, 100_000, "every edit was one");
}

#[test]
fn files_that_use_each_other_come_to_the_same_whichever_is_asked_for_first_and_however_they_are_written() {
    let rig = |uses: &[&str], lines: &str| {
        format!("```rig\n{}{lines}```\n", uses.iter().map(|path| format!("use \"{path}\" as {}\n", &path[..1])).collect::<String>())
    };
    let yard = |turned: bool| {
        let both: Vec<&str> = if turned { vec!["c.md", "b.md"] } else { vec!["b.md", "c.md"] };
        files(&[
            ("a.md", &rig(&both, "sum = b.y + c.z\n")),
            ("b.md", &rig(&["c.md"], "take y = 1 N from \"tape\"\nboth = y + c.z\n")),
            ("c.md", &rig(&["b.md"], "take z = 2 N from \"tape\"\n")),
        ])
    };
    let roots = ["a.md", "b.md", "c.md"].map(SheetPath::new);
    let values = |outcome: &Outcome| {
        let sheet = outcome.sheet.as_deref().expect("a sheet");
        sheet
            .values
            .iter()
            .map(|value| (value.name.clone(), value.figure.as_ref().map(|figure| figure.text.clone())))
            .collect::<BTreeMap<_, _>>()
    };
    let straight = Engine::new().compile(&yard(false), &roots).outcomes;
    let mut backwards = Engine::keeping(8).compile(&yard(false), &[roots[2].clone(), roots[1].clone(), roots[0].clone()]).outcomes;
    backwards.reverse();
    for (one, other) in straight.iter().zip(&backwards) {
        assert!(one.sheet == other.sheet && one.notices == other.notices, "{}", one.path);
    }
    for (one, turned) in straight.iter().zip(Engine::new().compile(&yard(true), &roots).outcomes) {
        assert_eq!(values(one), values(&turned), "{}", one.path);
    }
    // Every member of the ring hears of the same ring; who only uses it is told where it is.
    let told: Vec<(String, String)> = straight
        .iter()
        .flat_map(|outcome| outcome.notices.iter().filter(|notice| notice.slug == "use-cycle"))
        .map(|notice| (notice.place.path.clone(), notice.place.label.clone()))
        .collect();
    let ring = |from: &str, to: &str| (from.to_string(), format!("`{from}` uses `{to}` uses `{from}`"));
    assert_eq!(told, [ring("b.md", "c.md"), ring("b.md", "c.md"), ring("c.md", "b.md")]);
    let a = values(&straight[0]);
    assert_eq!(a.get("sum").cloned().flatten().as_deref(), Some("3\u{a0}N"), "what does not rest on the ring is worked: {a:?}");
}
