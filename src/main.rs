use parbuckle::*;
fn main() {
    let p = std::env::args().nth(1).unwrap();
    let t = std::fs::read_to_string(&p).unwrap();
    let files = MemoryFiles::new().with("a.md", &t);
    let r = Engine::new().compile(&files, &[SheetPath::new("a.md")]);
    for o in r.outcomes {
        for n in &o.notices { println!("{}[{}] {}:{}:{} {} | {} | {} | {}", n.severity, n.slug, n.place.path, n.place.line, n.place.column, n.headline, n.place.label, n.why, n.help); println!("    {}", n.place.excerpt); }
        if let Some(s) = o.sheet { for v in &s.values { println!("{} [{}] = {} {:?}", v.name, v.quantity, v.figure.as_ref().map(|f| f.text.clone()).unwrap_or("-".into()), v.items.iter().map(|f| f.text.clone()).collect::<Vec<_>>()); }
        for c in &s.checks { println!("{} {} {} {:?} gov={}", c.number, c.title, c.verdict, c.utilisation.as_ref().map(|u| u.text.clone()), c.governing); }
        for t in &s.trains { println!("{:?} {}", t.stations, t.balance_words); }
        for a in &s.answer { println!("{}: {}", a.label, a.text); }
        for m in &s.machines { println!("{} {}", m.name, m.sustains); }
        }
    }
}
