//! The panels of trains: over some hundreds of trains and windows no word of a chain lies on another, on an arrow, on a frame
//! or on a drawing that is not its own, and nothing runs out of the window.

use super::{address, build, none, texts};
use crate::support::browser::{Screen, browser};
use std::fmt::Write;
use std::path::Path;

/// What lies where it should not, and how many chains and words were looked at. Of a word the middle of its height counts, where
/// its letters stand; a pixel is left for rounding.
const LOOK: &str = r#"(() => {
  const faults = [], meets = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
  let words = 0;
  const chains = [...document.querySelectorAll('.chain')];
  for (const chain of chains) {
    const name = chain.closest('.train').id, found = [], lines = [];
    const walk = document.createTreeWalker(chain, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      if (!node.data.trim() || node.parentElement.closest('svg')) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const owner = node.parentElement.closest('.station, .force, .carried > *');
      for (const box of range.getClientRects()) {
        const off = box.height * .18;
        if (box.width > 1) found.push({ words: node.data.trim(), owner, left: box.left, right: box.right, top: box.top + off, bottom: box.bottom - off });
      }
    }
    for (const joint of chain.querySelectorAll('.joint')) {
      const pass = joint.querySelector('.pass').getBoundingClientRect(), box = joint.getBoundingClientRect();
      // The arrow runs to the right in the middle of its strip, 6 px high at its head; or down beside the words.
      if (pass.height > 0) lines.push({ what: 'an arrow', left: pass.left, right: pass.right, top: pass.top + 1, bottom: pass.bottom - 1 });
      else lines.push({ what: 'an arrow', left: box.left - 2, right: box.left + 5, top: box.top, bottom: box.bottom });
    }
    for (const station of chain.querySelectorAll('.station')) {
      const box = station.getBoundingClientRect();
      lines.push({ what: 'a frame', of: station, left: box.left, right: box.right, top: box.top, bottom: box.bottom });
      for (const drawn of station.querySelectorAll('.again')) {
        const again = drawn.getBoundingClientRect();
        lines.push({ what: 'a drawing', left: again.left, right: again.right, top: again.top, bottom: again.bottom });
        if (again.left < box.left || again.right > box.right || again.top < box.top || again.bottom > box.bottom) faults.push(name + ': a drawing leaves its frame');
      }
      for (const word of found.filter((word) => word.owner === station))
        if (word.left < box.left || word.right > box.right || word.top < box.top || word.bottom > box.bottom) faults.push(name + ': "' + word.words + '" leaves its frame');
    }
    lines.forEach((line, at) => { for (const other of lines.slice(at + 1)) if (line.what === other.what && meets(line, other)) faults.push(name + ': ' + line.what + ' lies on another'); });
    found.forEach((word, at) => {
      if (word.left < 0 || word.right > document.documentElement.clientWidth) faults.push(name + ': "' + word.words + '" leaves the window');
      for (const other of found.slice(at + 1)) if (other.owner !== word.owner && meets(word, other)) faults.push(name + ': "' + word.words + '" lies on "' + other.words + '"');
      for (const line of lines) if (line.of !== word.owner && meets(word, line)) faults.push(name + ': "' + word.words + '" lies on ' + line.what);
    });
    words += found.length;
  }
  return { faults, chains: chains.length, words };
})()"#;

/// Trains of one machine to five, of forces from a few newtons to half a meganewton, in units and names short and long.
fn trains() -> String {
    let mut out = "# Chains\n\n```rig\nsheet C-01 \"Chains\"\n\n".to_owned();
    let mut told = |line: String| writeln!(out, "{line}").expect("text");
    for (at, (force, unit)) in [("3", "N"), ("48.25", "kN"), ("123456.7", "lbf")].into_iter().enumerate() {
        for machines in 1..=5 {
            for (kind, name) in ["t", "the_tackle_at_the_foot_of_the_mast"].into_iter().enumerate() {
                let own = |machine: usize| format!("{name}_{at}_{machines}_{machine}");
                told(format!("take pull_{kind}_{at}_{machines} = {force} {unit} \u{b1} 4 % from \"made up\""));
                for machine in 0..machines {
                    let parts = 2 + (machine + machines) % 4;
                    told(format!("machine {} = tackle\n    parts {parts}\n    rove to disadvantage\n    sheave loss 6 %", own(machine)));
                }
                let row: Vec<String> = (0..machines).map(own).collect();
                let load = format!("pull_{kind}_{at}_{machines}");
                told(format!("train chain_{kind}_{at}_{machines}: hand -> {} -> {load}\n    load travel 1.234 m\n", row.join(" -> ")));
            }
        }
    }
    out + "```\n"
}

#[test]
fn words_of_a_chain_keep_off_each_other_and_off_its_lines() {
    let Some(mut browser) = browser() else { return };
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("chains");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("chains.md"), trains()).expect("written");
    let out = folder.join("out");
    build(&folder, &out);
    let page = out.join("chains.html");
    let (mut faults, mut chains, mut words) = (Vec::new(), 0, 0);
    browser.open(&address(&page), Screen { width: 1440, dark: false });
    for (medium, width) in
        [("screen", 1440), ("screen", 1100), ("screen", 820), ("screen", 600), ("screen", 390), ("screen", 320), ("print", 680)]
    {
        browser.media(medium, &[]);
        browser.show_as(Screen { width, dark: false });
        let seen = browser.evaluate(LOOK);
        faults.extend(texts(&seen["faults"]).into_iter().map(|fault| format!("{medium}, {width} px, {fault}")));
        chains += seen["chains"].as_u64().unwrap_or(0);
        words += seen["words"].as_u64().unwrap_or(0);
    }
    none(&faults);
    assert!(chains == 30 * 7 && words > 3000, "{chains} chains, {words} words");
}
