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
      const held = table && at.dataset.r && { table: table.dataset.table, r: at.dataset.r, c: at.dataset.c, value: at.value, was: at.defaultValue };
      body.innerHTML = text;
      if (held) {
        const cell = body.querySelector(`table[data-table="${held.table}"] input[data-r="${held.r}"][data-c="${held.c}"]`);
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
    if (table && e.target.dataset.r) save(table.dataset.table, [[+e.target.dataset.r, +e.target.dataset.c, e.target.value]]);
  });
  body.addEventListener("paste", (e) => {
    const table = e.target.closest("table.grid");
    const text = e.clipboardData.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "");
    if (!table || !/[\t\n]/.test(text)) return;
    e.preventDefault();
    const width = table.tHead.querySelectorAll("th").length;
    const row = +e.target.dataset.r, column = +e.target.dataset.c;
    const cells = [];
    text.split("\n").forEach((line, i) => line.split("\t").forEach((value, k) => {
      if (column + k < width) cells.push([row + i, column + k, value]);
    }));
    save(table.dataset.table, cells);
  });
  body.addEventListener("click", (e) => {
    if (!e.target.classList.contains("drop")) return;
    save(e.target.closest("table.grid").dataset.table, [], e.target.dataset.r);
  });
  body.addEventListener("submit", (e) => {
    if (!e.target.classList.contains("fetch")) return;
    e.preventDefault();
    change(new URL(e.target.action).pathname, Object.fromEntries(new FormData(e.target)));
  });
}

const run = document.getElementById("run");
if (run) {
  const source = new EventSource(run.dataset.events);
  source.addEventListener("progress", (e) => { run.innerHTML = e.data; });
  source.addEventListener("done", () => { source.close(); location.reload(); });
}
