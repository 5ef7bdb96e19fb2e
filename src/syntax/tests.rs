//! What is read, where it stands, and what is said of each single mistake. The expectations are the language's own
//! definition, written out by hand; there is no outside source for it.

use crate::diagnostics::{Diagnostic, Sink};
use crate::source::{FileId, Home, LineIndex};
use crate::syntax::ast::{Ast, Expression, Form, Guard, KindItem, Meaning, Operator, Statement};
use crate::syntax::parser::{Grammar, Rule};
use crate::syntax::{inline, parse, stated};
use pest::Parser;
use proptest::prelude::proptest;

fn home() -> Home {
    Home::fragment(FileId(0), 0)
}

fn read(text: &str) -> (Ast, Vec<Diagnostic>) {
    let mut sink = Sink::new();
    let ast = parse(text, home(), &mut sink);
    (ast, sink.into_sorted())
}

fn clean(text: &str) -> Ast {
    let (ast, found) = read(text);
    assert!(found.is_empty(), "{text}\n{found:#?}");
    ast
}

fn value(text: &str) -> Expression {
    let mut sink = Sink::new();
    let read = inline(text, home(), &mut sink);
    assert!(sink.is_empty(), "{text}: {sink:?}");
    read.map(|stated| stated.value).unwrap()
}

// The tree as text, fully bracketed.
fn shown(expression: &Expression) -> String {
    match &expression.form {
        Form::Quantity(terms) => terms
            .iter()
            .map(|t| format!("{}{}", t.typed, t.unit.as_ref().map_or(String::new(), |u| format!("<{}>", u.text))))
            .collect::<Vec<_>>()
            .join(" "),
        Form::Name(path) => path.parts.iter().map(|p| p.text.as_str()).collect::<Vec<_>>().join("."),
        Form::Item { list, index } => {
            format!("{}[{}]", list.parts.iter().map(|p| p.text.as_str()).collect::<Vec<_>>().join("."), shown(index))
        }
        Form::List(items) => format!("[{}]", items.iter().map(shown).collect::<Vec<_>>().join(", ")),
        Form::Negative(inner) => format!("-({})", shown(inner)),
        Form::Binary { operator, left, right, .. } => {
            let sign = match operator {
                Operator::Add => "+",
                Operator::Subtract => "-",
                Operator::Multiply => "*",
                Operator::Divide => "/",
                Operator::Power => "^",
            };
            format!("({} {sign} {})", shown(left), shown(right))
        }
        Form::Call { function, arguments } => format!("{}({})", function.text, arguments.iter().map(shown).collect::<Vec<_>>().join(", ")),
        Form::Over { fold, body, running } => {
            format!("{fold:?}({} for {} from {} to {})", shown(body), running.index.text, shown(&running.from), shown(&running.to))
        }
    }
}

#[test]
fn expressions_group_as_arithmetic_does() {
    for (text, tree) in [
        ("1 + 2 * 3", "(1 + (2 * 3))"),
        ("a - b - c", "((a - b) - c)"),
        ("-2^2", "-((2 ^ 2))"),
        ("2^3^2", "(2 ^ (3 ^ 2))"),
        ("2^-x", "(2 ^ -(x))"),
        ("−x × 2 ÷ y", "((-(x) * 2) / y)"),
        ("6 kN / 2", "(6<kN> / 2)"),
        ("6 kN/m", "6<kN/m>"),
        ("6 kN/2", "(6<kN> / 2)"),
        ("9.81 m/s^2", "9.81<m/s^2>"),
        ("9.81m/s²", "9.81<m/s²>"),
        ("3 W/(m²·K) * a", "(3<W/(m²·K)> * a)"),
        ("5 ft 6 in", "5<ft> 6<in>"),
        ("30° 15′", "30<°> 15<′>"),
        ("2 h 15 min + t", "(2<h> 15<min> + t)"),
        ("30 ft-lb", "30<ft-lb>"),
        ("30 lb-ft + 2 in-lb", "(30<lb-ft> + 2<in-lb>)"),
        ("4 N-m", "4<N-m>"),
        ("4 foot-pounds", "4<foot-pounds>"),
        ("3 m-x", "(3<m> - x)"),
        ("12 %grade", "12<%grade>"),
        ("2 Δ°C", "2<Δ°C>"),
        ("5 mmH2O", "5<mmH2O>"),
        ("1_850 kg", "1_850<kg>"),
        ("1.5e3 N", "1.5e3<N>"),
        ("haul.falls.part[i + 1]", "haul.falls.part[(i + 1)]"),
        ("μ_s * N", "(mu_s * N)"),
        ("max(a, [1, 2])", "max(a, [1, 2])"),
        ("sum(part[i] for i from 1 to parts)", "Sum(part[i] for i from 1 to parts)"),
        ("product(2 for i from 1 to 3)", "Product(2 for i from 1 to 3)"),
        ("(a + b) * c", "((a + b) * c)"),
    ] {
        assert_eq!(shown(&value(text)), tree, "{text}");
    }
}

const SHEET: &str = "\
sheet SL-07 \"Hauling\"   # the head
    revision B
    gravity 9.81 m/s^2 from \"survey # 2\"  # local

take boat \"the boat ⚓\" = 1850 kg ± 30 kg
    from \"ticket\"   # on a line of its own
assume μ = (12 ± 2) % because \"ways\" effect \"pull\"
take pull = 4 kN ± 0.4 kN (k=2) as lbf measured \"site\"
gear rope \"12 mm\"
    rated 2.4 kN from \"tag\"
load = weight(boat) as kN ref \"BS\"
t[i] = load / i for i from 1 to 4
machine falls = tackle
    sheave loss 5 %
    rove to disadvantage
train haul \"hauling\": crew -> falls → \"the load\"
    raising
check \"crew\": haul.effort <= 2 * pull ref \"x\"
use \"gear/ropes.md\" as locker
kind whip \"a whip\"
    field parts count \"rope parts\" default 1 from \"book\"
    field loss ratio each parts \"loss\" optional
    option rove \"how\": to advantage | to disadvantage default to disadvantage
    from load : force to effort : force
    relation K = 1 + loss
        when raising and rove is not to advantage or parts = 1
        ref \"book\"
    node part[i] = load for i from 1 to parts
    limit parts >= 1 \"at least one\" when loss is given
    question K <= 2 \"much\"
    sustains K >= 1 \"holds\"
    caution \"mind\" when lowering
";

#[test]
fn studies_are_read_in_all_their_forms() {
    use crate::syntax::ast::{Demand, Goal, Step, Trials};
    let text = "\
vary falls.parts over 2 .. 8 showing haul.effort \"pull\" as lbf, haul.effort_travel
vary slope over 4 deg .. 16 deg by 2 deg
    showing haul.effort
vary bar over 2 in .. 8 in in 6 steps showing a
vary mu over [0.10, 0.16] showing a as %
size falls.parts over 2..8, least for haul.effort <= 2 * person and \"rope\"
size load, greatest for every check
";
    let ast = clean(text);
    let cut = |at: crate::source::Extent| &text[at.range()];
    let between = |trials: &Trials| match trials {
        Trials::Between { from, to, step } => (shown(from), shown(to), step.clone()),
        Trials::Listed(list) => (shown(list), String::new(), None),
    };
    let [Statement::Vary(a), Statement::Vary(b), Statement::Vary(c), Statement::Vary(d), Statement::Size(e), Statement::Size(f)] =
        ast.statements.as_slice()
    else {
        panic!("{ast:?}")
    };
    assert_eq!(between(&a.trials), ("2".into(), "8".into(), None));
    assert_eq!((a.showing.len(), cut(a.name.at), cut(a.at)), (2, "falls.parts", text.lines().next().unwrap()));
    assert_eq!(a.showing[0].label.as_ref().unwrap().text, "pull");
    assert_eq!(a.showing[0].shown_in.as_ref().unwrap().text, "lbf");
    let (from, to, step) = between(&b.trials);
    assert_eq!((from.as_str(), to.as_str()), ("4<deg>", "16<deg>"));
    assert!(matches!(step, Some(Step::By(by)) if shown(&by) == "2<deg>"));
    let (from, to, step) = between(&c.trials);
    assert_eq!((from.as_str(), to.as_str()), ("2<in>", "8<in>"));
    assert!(matches!(step, Some(Step::In { count, .. }) if count == 6.0));
    assert_eq!(between(&d.trials).0, "[0.10, 0.16]");
    assert_eq!(e.goal, Goal::Least);
    assert!(matches!(e.demands.as_slice(), [Demand::Holds(_), Demand::Titled(title)] if title.text == "rope"), "{e:?}");
    assert!(f.trials.is_none() && matches!(f.demands.as_slice(), [Demand::Every(at)] if cut(*at) == "every check"));
    assert_eq!(f.goal, Goal::Greatest);
}

#[test]
fn every_form_is_read_and_stands_where_it_says() {
    let ast = clean(SHEET);
    assert_eq!(ast.statements.len(), 12);
    let cut = |at: crate::source::Extent| &SHEET[at.range()];
    let Statement::Sheet(head) = &ast.statements[0] else { panic!() };
    assert_eq!(cut(head.at), "sheet SL-07 \"Hauling\"");
    assert_eq!(head.settings[1].text, "gravity 9.81 m/s^2 from \"survey # 2\"");
    assert_eq!(cut(head.settings[1].at), head.settings[1].text);
    assert_eq!(head.settings[0].words.len(), 2);
    let Statement::Take(boat) = &ast.statements[1] else { panic!() };
    assert_eq!(boat.label.as_ref().unwrap().text, "the boat ⚓");
    assert_eq!(cut(boat.stated.evidence[0].at), "from \"ticket\"");
    assert_eq!(cut(boat.stated.doubt.as_ref().unwrap().at), "± 30 kg");
    let Statement::Assume(mu) = &ast.statements[2] else { panic!() };
    assert_eq!((mu.name.text.as_str(), cut(mu.name.at)), ("mu", "μ"));
    assert_eq!(shown(&mu.stated.value), "12<%>");
    assert_eq!(shown(&mu.stated.doubt.as_ref().unwrap().amount), "2<%>");
    let Statement::Take(pull) = &ast.statements[3] else { panic!() };
    assert_eq!(pull.stated.doubt.as_ref().unwrap().meaning, Meaning::Expanded(2.0));
    assert_eq!(pull.stated.shown_in.as_ref().unwrap().text, "lbf");
    let Statement::Definition(load) = &ast.statements[5] else { panic!() };
    assert_eq!(cut(load.value.at), "weight(boat)");
    assert_eq!(cut(load.at), "load = weight(boat) as kN ref \"BS\"");
    let Statement::Machine(falls) = &ast.statements[7] else { panic!() };
    assert_eq!(falls.settings[0].words.iter().map(|w| cut(w.at)).collect::<Vec<_>>(), ["sheave", "loss"]);
    let Statement::Train(haul) = &ast.statements[8] else { panic!() };
    assert_eq!((haul.stations.len(), haul.settings.len()), (3, 1));
    let Statement::Kind(whip) = &ast.statements[11] else { panic!() };
    assert_eq!(whip.items.len(), 10);
    let KindItem::Choice(rove) = &whip.items[2] else { panic!() };
    assert_eq!(rove.choices.iter().map(|c| c.text.as_str()).collect::<Vec<_>>(), ["to advantage", "to disadvantage"]);
    let KindItem::Relation(k) = &whip.items[4] else { panic!() };
    let Some(Guard::Any(either)) = &k.when else { panic!() };
    assert!(
        matches!(&either[0], Guard::All(both) if matches!(&both[1], Guard::Is { negated: true, choice, .. } if choice.text == "to advantage"))
    );
    assert_eq!(k.evidence.len(), 1);
}

#[test]
fn a_stated_value_is_placed_where_its_line_stands() {
    let mut sink = Sink::new();
    let read = stated("5 % ± 1 % of value (u) from \"bench\"", 40, home(), &mut sink).unwrap();
    assert_eq!(read.value.at, crate::source::Extent::new(40, 43));
    let doubt = read.doubt.unwrap();
    assert!(doubt.of_value && doubt.meaning == Meaning::Standard);
    assert!(stated("5 % %", 40, home(), &mut sink).is_none());
    assert_eq!(sink.into_sorted()[0].primary.span.start, 44);
}

// A statement with one mistake: the slug, line and column that are to be told.
const MISTAKES: &[(&str, &str, usize, usize)] = &[
    ("tke boat = 3 kg", "unknown-statement", 1, 1),
    ("hoisting boat = 3 kg", "unknown-statement", 1, 1),
    ("chek \"a\": b <= c", "unknown-statement", 1, 1),
    ("take boat 3 kg", "missing-equals", 1, 11),
    ("load weight(boat)", "missing-equals", 1, 6),
    ("take boat =", "missing-value", 1, 12),
    ("take boat = from \"x\"", "missing-value", 1, 13),
    ("x =", "missing-value", 1, 4),
    ("x = 2 +", "missing-value", 1, 8),
    ("take = 3 kg", "reserved-name", 1, 1),
    ("take \"a\" = 3 kg", "missing-name", 1, 1),
    ("x = (1 + 2", "unclosed-bracket", 1, 5),
    ("x = [1, 2", "unclosed-bracket", 1, 5),
    ("x = 1 + 2)", "stray-bracket", 1, 10),
    ("x = (1 + 2]", "wrong-bracket", 1, 11),
    ("take a = 3 kg from \"ticket", "unclosed-quote", 1, 20),
    ("take a = 3 kg from “ticket”", "curly-quote", 1, 20),
    ("take a = 2,5 kN", "decimal-comma", 1, 10),
    ("a == 3", "doubled-equals", 1, 3),
    ("a := 3", "doubled-equals", 1, 3),
    ("take 2nd = 3 kg", "name-with-digit", 1, 6),
    ("2nd = 3 kg", "name-with-digit", 1, 1),
    ("take from = 3 kg", "reserved-name", 1, 6),
    ("each = 3 kg", "reserved-name", 1, 1),
    ("vary", "study-incomplete", 1, 5),
    ("vary over 2 .. 8 showing pull", "study-incomplete", 1, 11),
    ("vary parts", "study-incomplete", 1, 11),
    ("vary parts 2 .. 8 showing pull", "study-incomplete", 1, 12),
    ("vary parts over 2 .. 8", "study-incomplete", 1, 23),
    ("vary parts over 2 .. 8 pull", "study-incomplete", 1, 28),
    ("vary parts over 2 to 8 showing pull", "study-incomplete", 1, 19),
    ("vary parts over 2 .. 8 showing", "study-incomplete", 1, 31),
    ("vary parts over 2 .. showing pull", "unexpected-text", 1, 22),
    ("vary parts over 2 .. 8 by showing pull", "unexpected-text", 1, 27),
    ("vary parts over 2 .. 8 showing pull as", "missing-unit", 1, 39),
    ("vary parts over 2 .. 8 showing pull,", "missing-value", 1, 37),
    ("size", "study-incomplete", 1, 5),
    ("size parts", "study-incomplete", 1, 11),
    ("size parts over 2 .. 8", "study-incomplete", 1, 23),
    ("size parts over 2 .. 8 least for pull <= hands", "study-incomplete", 1, 24),
    ("size parts over 2 .. 8, for pull <= hands", "study-incomplete", 1, 25),
    ("size parts over 2 .. 8, least", "study-incomplete", 1, 30),
    ("size parts over 2 .. 8, least for", "study-incomplete", 1, 34),
    ("size parts over 2 .. 8, least for pull", "missing-comparison", 1, 39),
    ("size parts over 2 .. 8, least for pull = hands", "equals-in-comparison", 1, 40),
    ("size parts over 2 .. 8, least for every rope", "missing-comparison", 1, 41),
    ("size parts, least for \"rope\" and", "study-incomplete", 1, 33),
    ("exercise bench of falls", "block-not-read", 1, 1),
    ("take a = 2 kN*m", "star-in-unit", 1, 12),
    ("x = 3 * 2 kN*m", "star-in-unit", 1, 11),
    ("x = from + 1", "missing-value", 1, 5),
    ("x = 2 + * 3", "two-operators", 1, 9),
    ("x = 2 3", "operator-missing", 1, 7),
    ("take a = 3 kg ticket", "other-word", 1, 15),
    ("take a = 3 kg from ticket", "missing-quoted-text", 1, 20),
    ("take a = 3 kg from", "missing-quoted-text", 1, 19),
    ("take a = 3 kg ±", "doubt-without-amount", 1, 16),
    ("take a = 3 kg ± from \"x\"", "doubt-without-amount", 1, 17),
    ("take a = 3 kg ± 1 kg (j=2)", "unread-doubt-meaning", 1, 23),
    ("take a = 3 kg ± 1 kg (0 %)", "bad-level", 1, 23),
    ("take a = 3 kg ± 1 kg (95 %, 0 degrees of freedom)", "bad-degrees-of-freedom", 1, 29),
    ("take a = 3 kg ± 1 kg (95 %, 12 degrees)", "unexpected-text", 1, 39),
    ("take a = 3 kg ± 1 kg (trapezoidal -0.1)", "bad-trapezoid", 1, 35),
    ("take a = 3 kg ± 1 kg (trapezoidal)", "unexpected-text", 1, 34),
    ("take a = 3 kg resolution", "missing-value", 1, 25),
    ("take a = 3 kg ± 1 kg (k=0)", "bad-coverage-factor", 1, 25),
    ("take a = (b ± 2) %", "doubt-needs-plain-numbers", 1, 11),
    ("take a = 1e400 N", "number-too-large", 1, 10),
    ("take a = .5 N", "number-without-leading-digit", 1, 10),
    ("take a = 3 kg as", "missing-unit", 1, 17),
    ("machine m =", "missing-kind-word", 1, 12),
    ("machine m\n    parts 4", "missing-equals", 1, 10),
    ("train t: crew falls -> load", "missing-arrow", 1, 15),
    ("train t: crew", "short-train", 1, 14),
    ("train t crew -> load", "missing-colon", 1, 9),
    ("check a <= b", "check-without-title", 1, 7),
    ("check \"a\" a <= b", "missing-colon", 1, 11),
    ("check \"a\": b", "missing-comparison", 1, 13),
    ("check \"a\": b = c", "equals-in-comparison", 1, 14),
    ("check \"a\": b < c < d", "chained-comparison", 1, 18),
    ("x = a < b", "stray-comparison", 1, 7),
    ("x = sqrt (2)", "space-before-bracket", 1, 10),
    ("x[i] = 2 for i", "loop-without-bounds", 1, 15),
    ("x[i] = 2 for i from 1", "loop-without-bounds", 1, 22),
    ("x[i] = 2", "index-without-loop", 1, 2),
    ("x[i] = 2 for j from 1 to 3", "index-mismatch", 1, 14),
    ("x = 2 when raising", "when-outside-kind", 1, 7),
    ("@ = 3", "strange-character", 1, 1),
    ("kind k\n    feild a force", "unknown-kind-line", 2, 5),
    ("kind k\n    field a", "field-without-quantity", 2, 12),
    ("kind k\n    field a \"label\"", "field-without-quantity", 2, 13),
    ("kind k\n    option o", "option-without-choices", 2, 13),
    ("kind k\n    option o:", "option-without-choices", 2, 14),
    ("kind k\n    relation a = 2 when", "when-without-guard", 2, 24),
    ("kind k\n    limit a = 2 \"x\"", "equals-in-comparison", 2, 13),
    ("kind k\n    limit a >= 2", "missing-quoted-text", 2, 17),
    ("kind k\n    relation a = 2 when raising when moving", "clause-twice", 2, 33),
    ("kind k\n    caution", "missing-quoted-text", 2, 12),
    ("use gear.md", "missing-quoted-text", 1, 5),
    ("take a = 3 kg\n    wrong", "runs-on", 2, 5),
];

#[test]
fn each_mistake_is_told_once_at_its_place_and_spoils_nothing_after_it() {
    let mut wrong = Vec::new();
    for (text, slug, line, column) in MISTAKES {
        let whole = format!("{text}\ntake after = 1 kg from \"x\"\nlast = after\n");
        let (ast, found) = read(&whole);
        let index = LineIndex::new(&whole);
        let told: Vec<_> = found.iter().map(|f| (f.slug, index.position(&whole, f.primary.span.start as usize))).collect();
        let right = matches!(told.as_slice(), [(s, p)] if s == slug && (p.line, p.column) == (*line, *column));
        let intact = matches!(ast.statements.as_slice(), [_, Statement::Take(_), Statement::Definition(_)]);
        if !right || !intact {
            wrong.push(format!("{text:?}: expected {slug} at {line}:{column}, got {told:?}, the rest intact: {intact}"));
        }
        for finding in &found {
            let words = format!("{} {} {:?} {:?}", finding.headline, finding.primary.text, finding.why, finding.help).to_lowercase();
            for banned in ["token", "rule", "ast", "pest"] {
                assert!(!words.split(|c: char| !c.is_alphabetic()).any(|word| word == banned), "{words}");
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn words_and_marks_may_stand_close_or_far() {
    for text in [
        "t=2 kN",
        "train haul:crew->falls->load",
        "x =\n    max(a,\n        b)  # why\n    ref \"book\"",
        "take a = 3 kg +/- 2 % of value",
        "take a = 3 kg from \"a \\\"b\\\" # c\"",
        "size_of = 3",
        "fromage = takeaway + asx",
        "\ttake_up = 3",
        "sheet \"only a title\"",
        "use \"a.md\"",
        "min = 3 * of * value",
        "check \"a\":\n    b <=\n    c",
    ] {
        let text = text.trim_start();
        assert_eq!(clean(text).statements.len(), 1, "{text}");
    }
}

#[test]
fn one_bad_line_of_a_kind_spoils_only_itself() {
    let (ast, found) = read("kind k\n    relation a = 2 +\n    relation b = (1\n        + 2\n    relation c = 3\nx = 1\n");
    assert_eq!(found.iter().map(|f| f.slug).collect::<Vec<_>>(), ["missing-value", "unclosed-bracket"]);
    let Statement::Kind(kind) = &ast.statements[0] else { panic!() };
    let names: Vec<_> = kind
        .items
        .iter()
        .map(|item| match item {
            KindItem::Broken(broken) => ("broken", broken.name.as_ref().map(|n| n.text.as_str())),
            KindItem::Relation(relation) => ("read", Some(relation.name.text.as_str())),
            _ => ("other", None),
        })
        .collect();
    assert_eq!(names, [("broken", Some("a")), ("broken", Some("b")), ("read", Some("c"))]);
    assert_eq!(ast.statements.len(), 2);
}

#[test]
fn an_indented_line_with_nothing_above_it_is_told_once() {
    let (ast, found) = read("    parts 4\n    rove\ntake a = 3 kg from \"x\"\n");
    assert_eq!(found.iter().map(|f| f.slug).collect::<Vec<_>>(), ["line-without-statement"]);
    assert!(matches!(ast.statements.as_slice(), [Statement::Broken(_), Statement::Take(_)]));
}

#[test]
fn a_broken_statement_keeps_the_name_it_would_have_given() {
    for text in ["take boat = 3 kg kg", "boat = 2 +", "machine boat =", "tke boat = 3 kg", "boat == 3"] {
        let (ast, _) = read(text);
        let Statement::Broken(broken) = &ast.statements[0] else { panic!("{text}") };
        assert_eq!(broken.name.as_ref().map(|n| n.text.as_str()), Some("boat"), "{text}");
    }
}

#[test]
fn very_deep_and_very_long_lines_get_one_finding() {
    for (text, slug) in [
        (format!("x = {}1{}", "(".repeat(100_000), ")".repeat(100_000)), "nested-too-deep"),
        (format!("x = 1{}", " + 1".repeat(100_000)), "expression-too-long"),
        (format!("x = {}1", "-".repeat(100_000)), "expression-too-long"),
        (format!("x = 1{}", "^1".repeat(100_000)), "expression-too-long"),
    ] {
        let (_, found) = read(&text);
        assert_eq!(found.iter().map(|f| f.slug).collect::<Vec<_>>(), [slug]);
    }
    clean(&format!("x = {}1{}", "sum(".repeat(50), ")".repeat(50)));
    clean(&format!("x = {}1{}", "a[2^(".repeat(30), ")]".repeat(30)));
    clean(&format!("x = 1{}", " + 1".repeat(190)));
    clean(&"take a = 3.5 kN ± 2 % of value from \"x\"\nb = (a + 2 N) * 3\n".repeat(500));
}

fn extents_hold(text: &str) {
    let (ast, found) = read(text);
    for finding in &found {
        let span = finding.primary.span;
        assert!(text.get(span.start as usize..span.end as usize).is_some(), "{text:?} {finding:?}");
    }
    for statement in &ast.statements {
        let at = match statement {
            Statement::Take(input) | Statement::Assume(input) => input.at.to(input.stated.value.at),
            Statement::Definition(definition) => definition.at.to(definition.value.at),
            Statement::Broken(broken) => broken.at,
            Statement::Sheet(head) => head.at,
            Statement::Gear(gear) => gear.at,
            Statement::Instrument(instrument) => instrument.at,
            Statement::Correlation(correlation) => correlation.at,
            Statement::Machine(machine) => machine.at,
            Statement::Train(train) => train.at,
            Statement::Check(check) => check.at,
            Statement::Law(law) => law.at,
            Statement::Agreement(agreement) => agreement.at,
            Statement::Vary(vary) => vary.at,
            Statement::Size(size) => size.at,
            Statement::Propagate(propagate) => propagate.at,
            Statement::Kind(kind) => kind.at,
            Statement::Use(used) => used.at,
            Statement::Readings(readings) => readings.at,
        };
        assert!(text.get(at.range()).is_some(), "{text:?} {at:?}");
    }
}

proptest! {
    #[test]
    fn any_text_is_read_without_a_crash(text in "\\PC{0,80}(\n[ \t]{0,4}\\PC{0,40}){0,4}") {
        extents_hold(&text);
    }

    #[test]
    fn a_damaged_sheet_is_read_without_a_crash(at in 0usize..1500, gone in 0usize..12, put in "[=()\\[\\]\"±*/^+ \n<>a-z0-9μ⚓“,.:-]{0,4}") {
        let letters: Vec<char> = SHEET.chars().collect();
        let at = at.min(letters.len());
        let end = (at + gone).min(letters.len());
        let text: String = letters[..at].iter().copied().chain(put.chars()).chain(letters[end..].iter().copied()).collect();
        extents_hold(&text);
    }
}

// The list of reserved words stands in the grammar as plain text; here it is held against the words' own rules.
#[test]
fn every_word_with_a_rule_is_reserved_or_known_to_be_free() {
    const FREE: [&str; 33] = [
        "pinned",
        "of",
        "value",
        "field",
        "option",
        "relation",
        "node",
        "limit",
        "question",
        "sustains",
        "caution",
        "gives",
        "load",
        "state",
        "by",
        "confirm",
        "in",
        "steps",
        "over",
        "least",
        "greatest",
        "every",
        "inverted",
        "rectangular",
        "triangular",
        "arcsine",
        "trapezoidal",
        "degrees",
        "freedom",
        "resolution",
        "repeats",
        "against",
        "with",
    ];
    for rule in Rule::all_rules() {
        let name = format!("{rule:?}");
        let Some(word) = name.strip_prefix("word_") else { continue };
        assert_eq!(Grammar::parse(Rule::name, word).is_ok(), FREE.contains(&word), "{word}");
        assert!(Grammar::parse(Rule::name, &format!("{word}s")).is_ok(), "{word}s");
    }
}
