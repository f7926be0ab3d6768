"use strict";
// What a page does by itself: cells are saved as they are left, rows are pasted,
// and a search is watched. Everything else is a form.

const token = document.querySelector('meta[name="token"]').content;

async function send(path, fields) {
  const form = new URLSearchParams(fields);
  form.set("token", token);
  const answer = await fetch(path, { method: "POST", body: form });
  return answer.text();
}

// placeOf is where in its table a field stands.
const placeOf = (field) => ({ r: field.closest("tr").sectionRowIndex, c: field.closest("td").cellIndex });

const body = document.getElementById("body");
if (body) {
  const job = body.dataset.job;
  let queue = Promise.resolve();

  // The answer is the whole body anew; the place of the cursor is kept.
  const change = (path, fields) => {
    queue = queue.then(async () => {
      const text = await send(path, typeof fields === "function" ? fields() : fields);
      const at = document.activeElement;
      const table = at && at.closest("table.grid");
      const held = table && at.tagName === "INPUT" && { table: table.dataset.table, place: placeOf(at), value: at.value, was: at.defaultValue };
      body.innerHTML = text;
      if (held) {
        const row = body.querySelector(`table[data-table="${held.table}"] tbody tr:nth-child(${held.place.r + 1})`);
        const cell = row && row.cells[held.place.c] && row.cells[held.place.c].querySelector("input");
        if (cell) {
          if (held.value !== held.was) cell.value = held.value;
          cell.focus();
        }
      }
    }).catch((e) => {
      const p = document.createElement("p");
      p.className = "refused";
      p.setAttribute("role", "alert");
      p.textContent = "Not saved: the program does not answer (" + e.message + ").";
      body.prepend(p);
    });
  };
  const save = (name, cells, drop) => change("/job/cells", () => {
    const fields = { f: job, table: name, version: body.querySelector(`table[data-table="${name}"]`).dataset.version, cells: JSON.stringify(cells) };
    if (drop !== undefined) fields.drop = drop;
    return fields;
  });

  body.addEventListener("change", (e) => {
    const table = e.target.closest("table.grid");
    if (!table || e.target.tagName !== "INPUT") return;
    const at = placeOf(e.target);
    save(table.dataset.table, [[at.r, at.c, e.target.value]]);
  });
  body.addEventListener("paste", (e) => {
    const table = e.target.closest("table.grid");
    const text = e.clipboardData.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "");
    if (!table || !/[\t\n]/.test(text)) return;
    e.preventDefault();
    const width = table.tHead.querySelectorAll("th").length;
    const { r: row, c: column } = placeOf(e.target);
    const cells = [];
    text.split("\n").forEach((line, i) => line.split("\t").forEach((value, k) => {
      if (column + k < width) cells.push([row + i, column + k, value]);
    }));
    save(table.dataset.table, cells);
  });
  // Up, down and Enter go through a column, as in a spreadsheet.
  body.addEventListener("keydown", (e) => {
    const step = { ArrowUp: -1, ArrowDown: 1, Enter: 1 }[e.key];
    if (!step || !e.target.closest("table.grid") || e.target.tagName !== "INPUT") return;
    e.preventDefault();
    const at = placeOf(e.target), rows = e.target.closest("tbody").rows;
    const row = rows[at.r + step];
    if (row && row.cells[at.c]) row.cells[at.c].querySelector("input").focus();
  });
  body.addEventListener("click", (e) => {
    if (!e.target.matches("table.grid button")) return;
    save(e.target.closest("table.grid").dataset.table, [], placeOf(e.target).r);
  });
  body.addEventListener("submit", (e) => {
    if (!e.target.classList.contains("fetch")) return;
    e.preventDefault();
    change(new URL(e.target.action).pathname, Object.fromEntries(new FormData(e.target)));
  });
}

// A search is watched.
const run = document.getElementById("run");
if (run) {
  const source = new EventSource(run.dataset.events);
  source.addEventListener("progress", (e) => { run.innerHTML = e.data; });
  source.addEventListener("done", () => { source.close(); location.reload(); });
}

// Drawings are drawn into the page once they come near, and tell what is pointed at.
const near = new IntersectionObserver((seen) => seen.forEach((e) => {
  if (!e.isIntersecting) return;
  near.unobserve(e.target);
  draw(e.target);
}), { rootMargin: "600px" });
document.querySelectorAll("figure.drawing").forEach((figure) => near.observe(figure));

async function draw(figure) {
  const answer = await fetch(figure.dataset.source);
  if (!answer.ok) return;
  const read = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
  if (read.nodeName !== "svg") return;
  const svg = document.importNode(read, true);
  const link = figure.querySelector("a");
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  svg.querySelector("title").remove();
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", link.querySelector("img").alt);
  const pieces = [...svg.querySelectorAll("title")].map((t) => {
    const piece = t.parentNode;
    piece.dataset.about = t.textContent;
    t.remove();
    return piece;
  });
  const caption = document.createElement("figcaption");
  const told = document.createElement("p");
  told.setAttribute("role", "status");
  const button = (text, label, by) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = text;
    b.setAttribute("aria-label", label);
    b.addEventListener("click", () => {
      wide = Math.min(8, Math.max(1, wide * by));
      svg.style.width = wide * 100 + "%";
    });
    return b;
  };
  let wide = 1, at = -1;
  const tell = (i) => {
    if (i < 0) return;
    if (at >= 0) pieces[at].classList.remove("told");
    at = i;
    pieces[at].classList.add("told");
    told.textContent = pieces[at].dataset.about;
  };
  ["pointerover", "click"].forEach((event) => svg.addEventListener(event, (e) => tell(pieces.indexOf(e.target))));
  if (pieces.length) {
    svg.setAttribute("tabindex", "0");
    svg.setAttribute("aria-label", link.querySelector("img").alt + "; arrow keys go from piece to piece");
    svg.addEventListener("keydown", (e) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
      if (!step) return;
      e.preventDefault();
      tell((at + step + pieces.length) % pieces.length);
    });
  }
  link.replaceWith(svg);
  link.textContent = "alone";
  link.setAttribute("aria-label", svg.getAttribute("aria-label").split(";")[0] + ", alone");
  caption.append(told, button("+", "Larger", 2), button("−", "Smaller", 0.5), link);
  figure.append(caption);
}

// What a link within the page leads to is opened.
const opened = () => {
  const target = location.hash && document.getElementById(location.hash.slice(1));
  if (target && target.tagName === "DETAILS") target.open = true;
};
addEventListener("hashchange", opened);
opened();

// A list dropped anywhere on its field begins a job.
const dropped = document.querySelector(".drophere");
if (dropped) {
  const over = (e, on) => { e.preventDefault(); dropped.classList.toggle("over", on); };
  dropped.addEventListener("dragover", (e) => over(e, true));
  dropped.addEventListener("dragleave", (e) => over(e, false));
  dropped.addEventListener("drop", (e) => {
    over(e, false);
    if (!e.dataTransfer.files.length) return;
    dropped.querySelector("input[type=file]").files = e.dataTransfer.files;
    dropped.requestSubmit();
  });
}
