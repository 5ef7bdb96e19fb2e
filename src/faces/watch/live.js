// Keeps an open page up to date: what has changed is put in place, and everything else is left as the reader has it.
(() => {
  "use strict";
  const own = document.currentScript;
  const { base, place } = own.dataset;
  const figures = ".q, .result b, .items li, .value, .verdict, td.num, td.share, mn, .answer dd, svg text";
  // What is told by the list: numbers in a place of their own, the verdict of a check before its numbers. The answer at the head
  // repeats them.
  const told = ".line[id], .check[id], tr[id], .defaults [id]";
  // What the changes of a page are told by, in the order of the page. `parts.rs` has the same list.
  const parts = ":is(article, details, div, dl, figure, footer, header, main, nav, ol, section, svg, table, ul):not(svg *)";
  const most = 40;
  const moment = 8000;
  const reach = 40;
  let held = Number(own.dataset.generation);
  let wanted = held;
  let busy = false;
  let stream = null;
  let silent = 0;
  let marked = [];
  let fading = 0;

  const isOurs = (node) => node.nodeType === 1 && node.hasAttribute("data-live");
  const idOf = (node) => (node.nodeType === 1 && node.id) || null;
  const isAlike = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && !idOf(a);
  const said = (node) => node.textContent.replace(/\s+/g, " ").trim();

  function unmark() {
    clearTimeout(fading);
    for (const { node, title } of marked) {
      node.classList.remove("live-changed");
      if (!node.getAttribute("class")) node.removeAttribute("class");
      if (title === null) node.removeAttribute("title");
      else node.setAttribute("title", title);
    }
    marked = [];
  }

  function mark(node, was) {
    marked.push({ node, title: node.getAttribute("title"), was });
    node.classList.add("live-changed");
    node.setAttribute("title", was ? "[[was {old}]]".replace("{old}", was) : "[[new]]");
  }

  const made = (name, words, inside = []) => {
    const node = Object.assign(document.createElement(name), words);
    node.append(...inside);
    return node;
  };

  // The same for those who point with no mouse, and for those who looked away: it stays until the next save.
  function list() {
    document.getElementById("live.changes")?.remove();
    const rows = new Map();
    for (const { node, was } of marked) {
      const row = node.closest("svg, math") ? null : node.closest(told);
      if (!row) continue;
      const found = rows.get(row) || rows.set(row, []).get(row);
      found[node.matches(".verdict") ? "unshift" : "push"]([was, said(node)]);
    }
    if (rows.size === 0) return;
    const items = [...rows].slice(0, most).map(([row, found]) => {
      const name = [":scope > .no", "h2, dt, var, .name"].map((part) => row.querySelector(part)?.firstChild?.textContent.trim());
      const link = made("a", { href: `#${row.id}`, textContent: name.filter(Boolean).join(" ") || row.id });
      const parts = found.slice(0, 2).flatMap(([was, now]) => [" ", made("s", { textContent: was }), ` → ${now}`]);
      return made("li", {}, [link, ...parts]);
    });
    if (rows.size > most) items.push(made("li", { textContent: "…" }));
    const words = rows.size === 1 ? "[[1 number has changed]]" : "[[{count} numbers have changed]]".replace("{count}", rows.size);
    const close = made("button", { type: "button", textContent: "[[close]]" });
    const box = made("aside", { id: "live.changes", className: "live changes" }, [
      made("details", {}, [made("summary", { textContent: words }), made("ul", {}, items)]),
      close,
    ]);
    close.addEventListener("click", () => box.remove());
    box.setAttribute("data-live", "");
    box.setAttribute("role", "status");
    document.body.append(box);
  }

  function settle(node, fresh) {
    if (node.nodeType !== 1) {
      node.nodeValue = fresh.nodeValue;
      return;
    }
    // Folds are the reader's own.
    const isFold = (name) => name === "open" && node.localName === "details";
    for (const { name, value } of [...fresh.attributes]) {
      if (!isFold(name) && node.getAttribute(name) !== value) node.setAttribute(name, value);
    }
    for (const { name } of [...node.attributes]) {
      if (!isFold(name) && !fresh.hasAttribute(name)) node.removeAttribute(name);
    }
    const was = node.matches(figures) ? said(node) : null;
    children(node, fresh);
    if (was !== null && was !== said(node) && !node.querySelector(".live-changed")) mark(node, was);
  }

  function children(parent, fresh) {
    const before = [...parent.childNodes].filter((node) => !isOurs(node));
    const after = [...fresh.childNodes].filter((node) => !isOurs(node));
    let start = 0;
    let end = before.length;
    let stop = after.length;
    while (start < end && start < stop && before[start].isEqualNode(after[start])) start++;
    while (end > start && stop > start && before[end - 1].isEqualNode(after[stop - 1])) {
      end--;
      stop--;
    }
    const beyond = end < before.length ? before[end] : [...parent.childNodes].find(isOurs) || null;
    const left = before.slice(start, end);
    const next = after.slice(start, stop);
    const named = new Map(left.filter(idOf).map((node) => [node.id, node]));
    const stays = new Set(next.map(idOf).filter(Boolean));
    const unused = new Set(left);
    let at = 0;
    const drop = (node) => {
      unused.delete(node);
      node.remove();
    };
    for (const [index, want] of next.entries()) {
      const id = idOf(want);
      let have = null;
      if (id) {
        have = named.get(id) || null;
        if (have && (have.nodeName !== want.nodeName || !unused.has(have))) have = null;
      } else {
        const near = left.slice(at, at + reach).filter((node) => unused.has(node) && !idOf(node));
        have = near.find((node) => node.isEqualNode(want)) || null;
        // One that is going to be met unchanged further on is left for that.
        const soon = next.slice(index + 1, index + 1 + reach);
        have ||= near.find((node) => isAlike(node, want) && !soon.some((later) => later.isEqualNode(node))) || null;
      }
      if (have) {
        // What stands before it and is not wanted under its own name has gone.
        const here = left.indexOf(have, at);
        if (here >= at) {
          for (const node of left.slice(at, here)) if (unused.has(node) && !stays.has(idOf(node))) drop(node);
        }
        unused.delete(have);
      }
      while (at < left.length && !unused.has(left[at]) && left[at] !== have) at++;
      const spot = at < left.length && left[at].parentNode === parent ? left[at] : beyond;
      if (!have) {
        parent.insertBefore(document.importNode(want, true), spot);
        continue;
      }
      if (have === spot) at++;
      else parent.insertBefore(have, spot);
      if (!have.isEqualNode(want)) settle(have, want);
    }
    for (const node of [...unused]) drop(node);
  }

  // What the reader looks at, so that it can be kept where it is.
  function anchors() {
    if (window.scrollY < 2) return [];
    const found = [];
    for (let y = 4; y < window.innerHeight / 2; y += 24) {
      const node = document.elementFromPoint(window.innerWidth / 2, y)?.closest(".line, tr, p, li, figure, section, .row, [id]");
      if (node && !node.closest(".live")) found.push([node, node.getBoundingClientRect().top]);
    }
    return found;
  }

  // The changes of a page, as what is to be done; null where the page is not the one that they were made for.
  function changes({ count, parts: told }) {
    const pages = [...document.body.children].filter((node) => !isOurs(node) && !node.matches(".trace"));
    const here = pages.flatMap((node) => [...(node.matches(parts) ? [node] : []), ...node.querySelectorAll(parts)]);
    const changed = told.map(([at, name, html]) => ({ node: here[at], name, html }));
    if (here.length !== count || changed.some(({ node, name }) => node?.localName !== name)) return null;
    return () => {
      for (const { node, html } of changed) settle(node, made("template", { innerHTML: html }).content.firstElementChild);
    };
  }

  function whole(text) {
    const fresh = new DOMParser().parseFromString(text, "text/html");
    return () => {
      children(document.head, fresh.head);
      children(document.body, fresh.body);
    };
  }

  function put(act) {
    const kept = anchors();
    const focus = document.activeElement;
    unmark();
    act();
    const still = kept.find(([node]) => node.isConnected);
    if (still) window.scrollBy({ top: still[0].getBoundingClientRect().top - still[1], behavior: "instant" });
    if (focus && focus !== document.body && document.activeElement !== focus) {
      const again = focus.isConnected ? focus : focus.id && document.getElementById(focus.id);
      if (again) again.focus({ preventScroll: true });
    }
    list();
    if (marked.length > 0) fading = setTimeout(unmark, moment);
  }

  function note(words) {
    const old = document.getElementById("live.note");
    if (!words) {
      old?.remove();
      return;
    }
    const box = old || document.createElement("aside");
    box.id = "live.note";
    box.className = "live note";
    box.setAttribute("data-live", "");
    box.setAttribute("role", "status");
    box.replaceChildren(Object.assign(document.createElement("p"), { textContent: words }));
    if (!old) document.body.append(box);
  }

  async function renew() {
    if (busy) return;
    busy = true;
    // Changes alone, while they can be put in place.
    let headers = { accept: "application/json, text/html" };
    try {
      while (held < wanted) {
        const answer = await fetch(`${base}/sheets/${place}?held=${held}`, { cache: "no-store", redirect: "error", headers });
        const generation = Number(answer.headers.get("parbuckle-generation"));
        if (answer.status === 404) {
          note("[[This sheet is no longer there. The page is as it was.]]");
        } else if (answer.ok) {
          const isPage = answer.headers.get("content-type").startsWith("text/html");
          const told = isPage ? await answer.text() : await answer.json();
          try {
            const act = isPage ? whole(told) : changes(told);
            if (!act) {
              headers = {};
              continue;
            }
            put(act);
          } catch {
            location.reload();
          }
          note("");
        } else {
          break;
        }
        held = Math.max(held, generation || wanted);
        document.documentElement.dataset.generation = String(held);
      }
    } catch {
      // The stream tells when there is an answer again.
    } finally {
      busy = false;
    }
  }

  function listen() {
    if (stream || document.hidden) return;
    stream = new EventSource(`${base}/news/${place}?held=${held}`);
    stream.onopen = () => {
      clearTimeout(silent);
      silent = 0;
      if (document.getElementById("live.note")?.dataset.silent) note("");
      renew();
    };
    stream.onmessage = (event) => {
      wanted = Math.max(wanted, JSON.parse(event.data).generation);
      renew();
    };
    stream.onerror = () => {
      // It tries again and again; what counts is how long it has been silent.
      silent ||= setTimeout(() => {
        note("[[Watching has ended; the page is as it was last. Start it again, and open the address it prints.]]");
        document.getElementById("live.note").dataset.silent = "yes";
      }, 1500);
    };
  }

  function leave() {
    stream?.close();
    stream = null;
  }

  // A browser keeps few connections to one place; pages that nobody sees need none.
  document.addEventListener("visibilitychange", () => (document.hidden ? leave() : listen()));
  window.addEventListener("pagehide", leave);
  window.addEventListener("pageshow", listen);
  document.documentElement.dataset.generation = String(held);
  listen();
})();
