// Shows what a number rests on and what rests on it, from the links that the page prints. The page is whole without it.
(() => {
  const PLACES = ".line[id], .check[id], tr[id], .defaults [id]";
  const MARKS = ["rests-on", "traced", "used-by"];
  const all = (within, what) => [...within.querySelectorAll(what)];
  const place = (within) => within.closest?.(PLACES);
  // The place that a link leads into: it names a number within, or the place itself.
  const at = (hash) => { const there = document.getElementById(decodeURIComponent(hash.slice(1))); return there && place(there); };
  const strip = document.createElement("aside");
  strip.className = "trace";
  strip.setAttribute("aria-label", "[[Trace]]");
  let shown = null;
  let held = false;

  // Both directions of every link: from a line to what it is from, from an input or a line to where it is used.
  function links() {
    const up = new Map(), down = new Map();
    const note = (map, from, to) => map.set(from, (map.get(from) || new Set()).add(to));
    for (const link of all(document, ".from a, .uses a")) {
      const here = place(link)?.id, there = at(link.hash)?.id;
      if (!here || !there) continue;
      const [user, used] = link.closest(".uses") ? [there, here] : [here, there];
      note(up, user, used);
      note(down, used, user);
    }
    return [up, down];
  }

  function reach(start, map) {
    const seen = new Set();
    const open = [start];
    while (open.length) {
      for (const next of map.get(open.pop()) || []) if (next !== start && !seen.has(next)) seen.add(next), open.push(next);
    }
    return all(document, PLACES).filter((each) => seen.has(each.id));
  }

  // A row cannot carry a mark of its own without another cell.
  const mark = (each, name) => (each.matches("tr") ? each.firstElementChild : each).classList.add(name);
  const called = (each) => (each.querySelector(".no, .tally") || each.firstElementChild).textContent.trim();

  function add(to, words, places) {
    if (!places.length) return;
    to.append(Object.assign(document.createElement("i"), { textContent: words + " " }));
    places.forEach((each, at) => {
      const link = document.createElement("a");
      link.href = "#" + each.id;
      link.textContent = called(each);
      to.append(at ? ", " : "", link);
    });
    to.append(" ");
  }

  function show(each) {
    if (each === shown && strip.isConnected) return;
    for (const name of MARKS) all(document, "." + name).forEach((marked) => marked.classList.remove(name));
    shown = each;
    strip.classList.toggle("shown", !!each);
    if (!each) return;
    const [up, down] = links();
    const before = reach(each.id, up), after = reach(each.id, down);
    before.forEach((other) => mark(other, MARKS[0]));
    mark(each, MARKS[1]);
    after.forEach((other) => mark(other, MARKS[2]));
    const words = document.createElement("p"), input = (other) => other.matches("tr:not(.verdicts *), .defaults *"), check = (other) => other.matches(".check, .verdicts *");
    add(words, "[[inputs]]", before.filter(input));
    add(words, "→ [[lines]]", before.filter((other) => !input(other)));
    words.append(before.length ? "→ " : "", Object.assign(document.createElement("b"), { textContent: called(each) }), " ");
    add(words, "→ [[used in]]", after.filter((other) => !check(other)));
    add(words, "→ [[checks]]", after.filter(check));
    strip.replaceChildren(words);
    if (!strip.isConnected) document.body.append(strip);
  }

  function hold(each) {
    held = !!each;
    show(each);
  }

  document.addEventListener("pointerover", (event) => {
    if (!held && event.pointerType === "mouse" && !strip.contains(event.target)) show(place(event.target) || null);
  });
  document.addEventListener("click", (event) => {
    if (event.target.closest("a, summary, .trace") || String(getSelection())) return;
    const each = place(event.target);
    hold(each && !(held && each === shown) ? each : null);
  });
  document.addEventListener("focusin", (event) => {
    if (!strip.contains(event.target)) hold(place(event.target) || null);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") hold(null);
  });
  addEventListener("hashchange", () => {
    const each = at(location.hash);
    if (!each || !strip.contains(document.activeElement)) return;
    each.querySelector("a")?.focus({ preventScroll: true });
    hold(each);
  });
})();
