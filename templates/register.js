// Filters and sorts the register of sheets. The page is whole without it: the box and the buttons are made here.
(() => {
  const table = document.querySelector(".index"), body = table?.tBodies[0];
  if (!body || body.rows.length < 2) return;
  const rows = [...body.rows];
  const label = document.createElement("label"), box = document.createElement("input"), told = document.createElement("output");
  box.type = "search";
  label.className = "filter row";
  label.append("[[Filter]] ", box, " ", told);
  table.before(label);
  table.classList.add("sortable");
  box.addEventListener("input", () => {
    const words = box.value.toLowerCase().split(/\s+/);
    let left = 0;
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      row.hidden = !words.every((word) => text.includes(word));
      left += !row.hidden;
    }
    told.textContent = left === rows.length ? "" : left + " [[of]] " + rows.length + " [[sheets]]";
  });
  const order = new Intl.Collator("en", { numeric: true });
  [...table.tHead.rows[0].cells].forEach((head, at) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const falling = head.getAttribute("aria-sort") === "ascending";
      for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", falling ? "descending" : "ascending");
      const key = (row) => row.cells[at].dataset.key ?? row.cells[at].textContent.trim();
      // What has no key stands last either way.
      const sorted = [...rows].sort((a, b) => !key(a) - !key(b) || order.compare(key(a), key(b)) * (falling ? -1 : 1));
      body.append(...sorted);
    });
  });
})();
