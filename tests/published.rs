//! Published worked examples the models are checked against, by topic (a table): each is a case of its own, in which the
//! source is named and its figures are compared. An example that no model covers belongs to `LEFT_OUT`, with its reason.

use crate::support::expect::Expect;
use crate::support::{case, folders};
use std::collections::{BTreeMap, BTreeSet};

/// Topic and the names of its examples.
const EXAMPLES: &[(&str, &[&str])] = &[
    ("belt", &["bevan-7-1", "sarkar-2-1", "sarkar-2-2", "sarkar-2-3", "tayal-7-1-open", "tayal-7-8", "tayal-7-9", "wz-14-1"]),
    ("capstan", &["bj-8-7-hawser", "bj-8-8-belt", "schaum-9-17", "schaum-9-19", "schaum-9-20", "tayal-7-4", "tayal-7-6"]),
    (
        "compound-tackle",
        &["bansal-9-20", "khurmi-11-19", "knight-luff-on-luff", "nich-compound-stagewise", "nich-compound-twofold-gun", "tayal-8-3"],
    ),
    (
        "differential",
        &["bansal-9-14", "bansal-9-21-weston", "khurmi-11-22-diffscrew", "khurmi-11-3", "khurmi-11-6-weston", "khurmi-11-7-weston"],
    ),
    (
        "efficiency",
        &["ball-crane-xxii", "bansal-9-5", "bansal-9-7", "bansal-9-8", "khurmi-10-2", "khurmi-10-9", "lineham-screw-jack-exp", "tayal-8-1"],
    ),
    (
        "friction",
        &[
            "bansal-8-3",
            "bansal-8-4",
            "bj-8-6-pulley-pin",
            "hib-8-2",
            "lev-6-7-rolling",
            "lev-6-8-collar",
            "os-up-crate-static-kinetic",
            "os-up-ladder",
            "os-up-push-cart-down-angle",
            "os-up-static-100kg",
            "tayal-6-1",
            "tayal-7-11-pivot",
            "tm-10-1",
        ],
    ),
    (
        "gear",
        &[
            "khurmi-11-10-worm",
            "khurmi-11-12-wormblock",
            "khurmi-11-13-crab",
            "khurmi-11-15-crab",
            "khurmi-11-23-wormjack",
            "khurmi-11-9-worm",
            "lineham-42-crab",
            "lineham-43-train",
            "navy-cable-winch",
            "shigley-worm-eff",
        ],
    ),
    ("hydraulic", &["os-cp-cork-jug", "os-cp-hydraulic-brake"]),
    (
        "lever",
        &[
            "navy-forearm",
            "nich-tilt-box",
            "os-cp-door-two-pushes",
            "os-cp-nail-puller-reaction",
            "os-cp-pole-two-hands",
            "os-cp-seesaw",
            "os-cp-seesaw-off-board",
            "os-cp-seesaw-selfweight",
            "os-cp-wheelbarrow-ex",
            "os-cp-wheelbarrow-prob",
            "os-up-forearm",
            "os-up-scaffold",
            "os-up-strut-cable",
        ],
    ),
    (
        "ramp",
        &[
            "bansal-8-11",
            "bj-8-1",
            "bm-min-force-20deg",
            "lev-6-1",
            "lev-6-2",
            "navy-barrel-ramp",
            "os-ap-block-25deg",
            "os-up-crate-horizontal-effort",
            "os-up-repose",
            "os-up-skier-mu",
            "schaum-9-4",
            "schaum-9-8",
        ],
    ),
    ("recovery", &["army-rail-grade", "ce-handbook-road", "ce-handbook-road-si", "fmtv-winch-kg"]),
    (
        "screw",
        &[
            "ab-square-2tpi",
            "asmw-jack-100k",
            "bansal-9-27",
            "bj-8-5-clamp",
            "hib-8-8-turnbuckle",
            "ji-16-1",
            "ji-16-2",
            "ji-16-3",
            "ji-16-4",
            "ji-16-5",
            "ji-16-6",
            "khurmi-11-20",
            "sadhu-9-5-vice",
            "schaum-9-16",
            "shigley-8-1",
            "tayal-7-10",
            "wz-18-1",
            "wz-18-3",
        ],
    ),
    ("sling", &["sling-bridle-ratios", "sling-load-factors"]),
    (
        "tackle",
        &[
            "api9b-16part-rig",
            "bansal-9-19",
            "bu-50lb-10lb",
            "bu-single-luff-600",
            "griff-600lb",
            "griff-tackle-powers",
            "khurmi-11-18",
            "n14043-fibre-line-size",
            "n14251-gun-inverted",
            "nich-fivefold-derrick",
            "nich-luff-adv",
            "nich-luff-disadv-15t",
            "nich-threefold-adv",
            "nich-threefold-disadv",
            "nich-twofold-disadv-lead",
            "os-cp-pulley-c",
            "os-hs-four-part-pulley",
            "prot-4part-journal",
            "prot-4part-roller",
            "rig-10line-400k",
            "rig-8line-300k",
            "sw2-twofold-1000lb",
            "wr5-27ton",
            "wr5-table",
        ],
    ),
    ("units", &["gum-h2", "os-cp-unc-box", "os-cp-unc-heart-rate", "os-cp-unc-room", "u-derived", "u-truncated"]),
    ("wedge", &["os-hs-wire-cutter", "schaum-9-5-wedge", "swag-1500kg-wedge", "tayal-6-9-wedge"]),
    ("wheel-axle", &["bansal-9-13", "khurmi-11-2", "lineham-44", "nich-capstan-bars", "os-cp-car-axle", "os-hs-faucet"]),
    ("work-power", &["asmw-brake", "navy-60pct-hoist", "navy-bricks", "navy-prony", "os-up-power-1", "os-up-power-3"]),
];

/// Examples without a case, and why.
const LEFT_OUT: &[(&str, &str)] = &[];

// The names that head a case, and for each of its cases whether a value or a verdict is compared in it.
fn headed() -> BTreeMap<String, Vec<bool>> {
    let mut found: BTreeMap<String, Vec<bool>> = BTreeMap::new();
    for path in folders::files_under(&folders::project().join("tests/cases"), "md") {
        let file = case::read(&path);
        for one in &file.cases {
            let name = one.title.split(':').next().unwrap_or("").trim().to_string();
            let compares = |what: &Expect| matches!(what, Expect::Value(_) | Expect::Verdict { .. });
            found.entry(name).or_default().push(one.expected.iter().any(|expected| compares(&expected.what)));
        }
    }
    found
}

#[test]
fn every_published_example_has_a_case_or_a_reason() {
    let headed = headed();
    let left_out: BTreeMap<&str, &str> = LEFT_OUT.iter().copied().collect();
    let mut faults = Vec::new();
    let mut names = BTreeSet::new();
    for (topic, examples) in EXAMPLES {
        for name in *examples {
            assert!(names.insert(*name), "{name} is listed twice");
            let places = headed.get(*name).map_or(&[][..], Vec::as_slice);
            match (places.len(), left_out.get(name)) {
                (0, None) => faults.push(format!("{topic}: {name} has no case")),
                (0, Some(why)) => assert!(why.len() > 10, "{name}: say why"),
                (_, Some(why)) => faults.push(format!("{topic}: {name} has a case and is left out: {why}")),
                (_, None) => {
                    // What is only named in a heading is not compared.
                    let compared = places.iter().any(|compared| *compared);
                    if !compared {
                        faults.push(format!("{topic}: {name} heads a case that compares nothing"));
                    }
                }
            }
        }
    }
    faults.extend(left_out.keys().filter(|name| !names.contains(*name)).map(|name| format!("{name} is left out but not listed")));
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(names.len(), 155);
}
