//! The one layout, shown on statements of every form; written by hand.

use crate::syntax::{laid_out, said};

fn formatted(text: &str) -> String {
    laid_out(text).into_iter().flatten().map(|line| line + "\n").collect()
}

#[test]
fn columns_stand_under_each_other() {
    let ragged = r#"sheet SL-07   "Slip"   # head
  revision B
  originator "M. T."

take boat="dinghy"
take boat "dinghy, dry" =  185 kg ±3 kg from "ticket"
take slope = 8.1 deg  from "level"
# how slippery
assume mu = 0.16   because "greased"
      effect "pull rises"
      confirm by "May"
      confirmed "trial, M. T."
      ref "table 2"


gear rope
  rated 2.4 kN from "tag"
  design factor 5 from "rule"
machine falls = tackle
  parts 4
  rove  to disadvantage
  sheave loss 5 %  from "maker"   # bronze
  load weight(boat)
load = weight( boat )
check "a": falls.effort<=2*boat_w ref "x"
check "longer": load <=3 kN"#;
    let tidy = r#"sheet SL-07 "Slip"  # head
    revision    B
    originator  "M. T."

take boat                = "dinghy"
take boat  "dinghy, dry" = 185 kg ± 3 kg  from "ticket"
take slope               = 8.1 deg        from "level"
# how slippery
assume mu = 0.16  because "greased"
    effect     "pull rises"
    confirm by "May"
    confirmed  "trial, M. T."
    ref        "table 2"

gear rope
    rated          2.4 kN  from "tag"
    design factor  5       from "rule"
machine falls = tackle
    parts        4
    rove         to disadvantage
    sheave loss  5 %  from "maker"  # bronze
    load         weight(boat)
load = weight( boat )
check "a":      falls.effort <= 2*boat_w  ref "x"
check "longer": load <= 3 kN
"#;
    assert_eq!(formatted(ragged), tidy, "\n{}", formatted(ragged));
    assert_eq!(formatted(tidy), tidy, "\n{}", formatted(tidy));
}

#[test]
fn what_is_said_is_told_from_how_it_is_laid_out() {
    let one = "sheet A \"T\"\n    revision B\ntake μ=3 kN ± 2 %  # note\n\nw = 2 * mu\n";
    for same in [
        "sheet   A \"T\"\n  revision C\n  date 2026-01-02\ntake mu = 3 kN±2 %\nw = 2*μ\n",
        "sheet A \"T\"\n# x\ntake mu  =  3 kN ± 2 %\n\n\nw = 2 *mu",
    ] {
        assert_eq!(said(one).statements, said(same).statements);
    }
    let assumed = "assume mu = 0.2  because \"told\"\n    effect \"more\"\n";
    for same in [
        "assume mu = 0.2  because \"told\" confirmed \"trial\"\n    effect \"more\"\n",
        "assume mu = 0.2  because \"told\"\n    confirm by \"May\"\n    effect \"more\"\n    confirmed \"trial\"\n",
    ] {
        assert_eq!(said(assumed).statements, said(same).statements);
        assert_ne!(said(assumed).who_and_when, said(same).who_and_when);
    }
    for other in ["sheet A \"T\"\ntake mu = 3 kN ± 3 %\nw = 2 * mu\n", "sheet A \"T\"\ntake mu = 3 kN ± 2 %\nw = 2 * nu\n"] {
        assert_ne!(said(one).statements, said(other).statements);
    }
    assert_ne!(said("x = 6 kN / m\n").statements, said("x = 6 kN/m\n").statements);
    assert_ne!(said("m = a\n    b 1\n").statements, said("m = a\nb 1\n").statements);
}
