// A reviewer's marks: drawn on the sheet, kept while the page is closed, saved as a marked SVG.
const NS = "http://www.w3.org/2000/svg";
const RED = "#a3241a";
const store = {
  get(key) { try { return JSON.parse(localStorage.getItem(facts.package + key)); } catch { return null; } },
  // False where the browser keeps nothing: what is put on is there until the page is closed.
  set(key, value) { try { localStorage.setItem(facts.package + key, JSON.stringify(value)); return true; } catch { return false; } },
};
let isKept = true;
window.addEventListener("beforeunload", (event) => { if (!isKept) event.preventDefault(); });
function keep(key, value) { isKept = store.set(key, value) && isKept; return isKept; }
const marks = {};
// What stands in the browser: another window of the same package may have put marks there since.
function reread() {
  const known = isKept && store.get("marks");
  if (!known) return;
  for (const name of Object.keys(marks)) delete marks[name];
  Object.assign(marks, known);
}
reread();
window.addEventListener("storage", (event) => {
  if (event.key !== null && !event.key.startsWith(facts.package)) return;
  reread();
  if (svg()) restoreMarks();
  listQuestions();
});
const own = () => (marks[facts.sheets[state.sheet].name] ||= []);
let draft = null;

function setTool(tool) {
  state.tool = tool;
  stage.classList.toggle("ui-drawing", tool !== "move");
  for (const button of document.querySelectorAll("[data-tool]")) {
    const is = button.dataset.tool === tool;
    button.setAttribute("aria-checked", String(is));
    button.tabIndex = is ? 0 : -1;
  }
  if (tool === "move") { state.cross = null; drawCross(); } else say("Draw: " + tool);
}
for (const button of document.querySelectorAll("[data-tool]")) {
  button.addEventListener("click", () => setTool(button.dataset.tool));
  button.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step) return;
    const all = [...document.querySelectorAll("[data-tool]")];
    const next = all[(all.indexOf(button) + step + all.length) % all.length];
    setTool(next.dataset.tool);
    next.focus();
    event.preventDefault();
  });
}

const num = (value) => String(Math.round(value * 1000) / 1000);
function el(name, attributes, words) {
  const element = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) if (value !== undefined && value !== "") element.setAttribute(key, value);
  if (words !== undefined) element.textContent = words;
  return element;
}
const line = { fill: "none", stroke: RED, "stroke-width": 0.7 };
// On a rim of paper, so that the words are read over lines.
const letters = (x, y, size, extra) => ({ x: num(x), y: num(y), "font-size": size, fill: RED,
  style: "fill:" + RED + ";stroke:#fff;stroke-width:0.9;stroke-linejoin:round;paint-order:stroke", ...extra });
// Words on as many lines as they need, none longer than so many letters.
function lines(words, most) {
  const all = [""];
  for (const word of words.split(" ")) {
    const last = all[all.length - 1];
    if (!last) all[all.length - 1] = word;
    else if (last.length + 1 + word.length <= most) all[all.length - 1] = last + " " + word;
    else all.push(word);
  }
  return all.flatMap((it) => it.match(new RegExp(".{1," + most + "}", "gu")) || []);
}
const LETTER = 0.6, LEADING = 1.35, EDGE = 8;
// A remark with its first line at y (or its last, where it stands above something), moved onto the paper where it would run off it.
function remark(group, sheet, words, [x, y], size, { isAbove, extra, most = 44 } = {}) {
  const all = lines(words, most);
  const wide = Math.max(...all.map((it) => it.length)) * size * LETTER, high = (all.length - 1) * size * LEADING;
  const left = Math.max(EDGE, Math.min(x, sheet.width - EDGE - wide));
  const top = Math.max(EDGE + size, Math.min(isAbove ? y - high : y, sheet.height - EDGE - high));
  all.forEach((it, i) => group.append(el("text", letters(left, top + i * size * LEADING, size, extra), it)));
}

function cloudPath([x0, y0], [x1, y1]) {
  const [l, r, t, b] = [Math.min(x0, x1), Math.max(x0, x1), Math.min(y0, y1), Math.max(y0, y1)];
  const side = (from, to) => {
    const d = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const n = Math.max(1, Math.round(d / 6));
    let path = "";
    for (let i = 1; i <= n; i += 1) {
      const x = from[0] + ((to[0] - from[0]) * i) / n, y = from[1] + ((to[1] - from[1]) * i) / n;
      path += "A" + num(d / n / 1.8) + " " + num(d / n / 1.8) + " 0 0 1 " + num(x) + " " + num(y);
    }
    return path;
  };
  return "M" + num(l) + " " + num(t) + side([l, t], [r, t]) + side([r, t], [r, b]) + side([r, b], [l, b]) + side([l, b], [l, t]) + "Z";
}
function arrowPath([x0, y0], [x1, y1]) {
  const d = Math.hypot(x1 - x0, y1 - y0) || 1, ux = (x1 - x0) / d, uy = (y1 - y0) / d, s = Math.min(6, d / 2);
  const wing = (k) => num(x1 - s * ux + k * s * 0.4 * uy) + " " + num(y1 - s * uy - k * s * 0.4 * ux);
  return "M" + num(x0) + " " + num(y0) + "L" + num(x1) + " " + num(y1) + "M" + wing(1) + "L" + num(x1) + " " + num(y1) + "L" + wing(-1);
}

// One mark as SVG, in the format of docs/review.md.
function markElement(mark, number, sheet) {
  const group = el("g", { "data-mark": mark.kind, id: "mark-" + number, "data-text": mark.text, "data-was": mark.was, "data-now": mark.now, "data-stamp": mark.stamp,
    "data-reviewer": mark.reviewer, "data-time": mark.time });
  const [a, b] = [mark.from, mark.to || mark.from];
  const beside = (x, y, isAbove) => mark.text && remark(group, sheet, mark.text, [x, y], 4.2, { isAbove });
  if (mark.kind === "cloud") {
    group.append(el("path", { d: cloudPath(a, b), ...line }));
    beside(Math.min(a[0], b[0]), Math.max(a[1], b[1]) + 8);
  } else if (mark.kind === "arrow") {
    group.append(el("path", { d: arrowPath(a, b), ...line }));
    beside(a[0], a[1] < b[1] ? a[1] - 2 : a[1] + 6, a[1] < b[1]);
  } else if (mark.kind === "text") {
    remark(group, sheet, mark.text, a, 4.9, { extra: { class: "b" } });
  } else if (mark.kind === "dimension") {
    group.append(el("path", { d: "M" + num(a[0]) + " " + num(a[1]) + "L" + num(b[0]) + " " + num(b[1]), ...line }));
    group.append(el("text", letters((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 2, 4.9, { class: "b", "text-anchor": "middle" }), mark.now));
    beside((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + 6);
  } else if (mark.kind === "stamp") {
    const n = mark.text ? lines(mark.text, 28).length : 0, high = 22 + n * 5.7 + (n ? 2.3 : 0);
    const [x, y] = [[a[0], 76, sheet.width], [a[1], high, sheet.height]].map(([at, size, side]) => Math.max(EDGE, Math.min(at, side - EDGE - size)));
    group.append(el("rect", { x: num(x), y: num(y), width: 76, height: num(high), ...line, fill: "#fff" }));
    group.append(el("text", letters(x + 38, y + 8.5, 5.6, { class: "b", "text-anchor": "middle" }), mark.stamp.toUpperCase()));
    group.append(el("text", letters(x + 38, y + 17, 4, { "text-anchor": "middle" }), [shortened(mark.reviewer, 20), mark.time.slice(0, 10)].filter(Boolean).join(", ")));
    if (n) remark(group, sheet, mark.text, [x + 3, y + 26], 4.2, { most: 28 });
  }
  return group;
}

function restoreMarks() {
  const root = svg();
  root.querySelector("#review")?.remove();
  const list = own();
  if (list.length) {
    const group = el("g", { id: "review", "data-reviewer": store.get("reviewer") || "", "data-time": list[list.length - 1].time,
      "data-package": facts.package, "data-sheet": facts.sheets[state.sheet].number, "data-revision": facts.sheets[state.sheet].revision });
    list.forEach((mark, i) => group.append(markElement(mark, i + 1, facts.sheets[state.sheet])));
    root.append(group);
  }
  drawCross();
  drawHistory();
  listMarks();
}

function drawStart(at) { draft = { kind: state.tool, from: at, to: at }; }
function drawMove(at) {
  if (!draft) return;
  draft.to = at;
  svg().querySelector("#draft")?.remove();
  const shape = { cloud: cloudPath, arrow: arrowPath, dimension: (a, b) => "M" + a.map(num).join(" ") + "L" + b.map(num).join(" ") }[draft.kind];
  if (shape) svg().append(el("path", { id: "draft", d: shape(draft.from, draft.to), ...line }));
}
function drawCancel() { draft = null; svg()?.querySelector("#draft")?.remove(); }
async function drawEnd(at) {
  if (!draft) return;
  const done = { ...draft, to: at };
  drawCancel();
  const needsTwo = ["cloud", "arrow", "dimension"].includes(done.kind);
  if (needsTwo && Math.hypot(done.to[0] - done.from[0], done.to[1] - done.from[1]) < 2) { say("Drag from one point to another"); return; }
  const given = await ask(done.kind);
  if (!given) return;
  if (given.reviewer) store.set("reviewer", given.reviewer);
  step(facts.sheets[state.sheet].name, { ...done, ...given, time: new Date().toISOString().slice(0, 19) + "Z" }, true);
  say("Mark " + own().length + " put on the sheet; " + (isKept ? "not saved yet" : "this browser keeps no marks: save the sheet before you close the page"));
  stage.focus();
}

const fieldsOf = {
  cloud: [["text", "What is it about?", "area"]],
  arrow: [["text", "What is it about?", "area"]],
  text: [["text", "Text", "line", true]],
  dimension: [["was", "As drawn", "line"], ["now", "It should be", "line", true], ["text", "Remark", "line"]],
  stamp: [["stamp", "Stamp", ["approved", "approved as noted", "revise and resubmit"]], ["text", "Remark", "line"]],
};
const longest = { text: 2000, reviewer: 80, was: 80, now: 80 };
// Without characters that no file of a sheet can hold, or that turn the direction of what stands beside them.
const plain = (words) => (words.toWellFormed ? words.toWellFormed() : words).replace(/\s+/g, " ")
  .replace(/[\p{Cc}\u061c\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufffe\uffff]/gu, "").trim();
const shortened = (words, most) => (words.length > most ? words.slice(0, most - 1) + "…" : words);
function ask(kind) {
  $("ask-title").textContent = { cloud: "Cloud", arrow: "Arrow", text: "Text", dimension: "Correct a dimension", stamp: "Stamp" }[kind];
  const fields = [...fieldsOf[kind], ["reviewer", "Your name", "line", true]];
  $("ask-fields").replaceChildren(...fields.map(([name, label, form, required]) => {
    const input = Array.isArray(form)
      ? make("select", { name }, ...form.map((it) => make("option", {}, it)))
      : make(form === "area" ? "textarea" : "input", { name, required: required || false, maxlength: longest[name] });
    if (name === "reviewer") input.value = store.get("reviewer") || "";
    // Blanks, and letters that nobody sees, say nothing.
    const judge = () => input.setCustomValidity(required && input.value && !plain(input.value) ? "Write something here" : "");
    input.addEventListener("input", judge);
    judge();
    return make("label", {}, label, input);
  }));
  const dialog = $("ask");
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((resolve) => dialog.addEventListener("close", () => {
    const given = Object.fromEntries(new FormData($("ask-form")));
    for (const key of Object.keys(given)) given[key] = plain(given[key]);
    resolve(dialog.returnValue === "ok" ? given : null);
  }, { once: true }));
}

// By keyboard: a cross that arrow keys move and Enter sets.
function moveCross([dx, dy], step) {
  state.cross ||= middle();
  const on = (at, end) => Math.min(end, Math.max(0, at));
  state.cross = [on(state.cross[0] + dx * step, state.full[2]), on(state.cross[1] + dy * step, state.full[3])];
  const [x, y, w, h] = state.box, [cx, cy] = state.cross;
  if (cx < x || cx > x + w || cy < y || cy > y + h) setBox([cx - w / 2, cy - h / 2, w, h]);
  if (draft) drawMove(state.cross);
  drawCross();
}
function setCross() {
  state.cross ||= middle();
  if (draft || ["text", "stamp"].includes(state.tool)) { if (!draft) drawStart(state.cross); drawEnd(state.cross); }
  else { drawStart(state.cross); say("First point set; move the cross and press Enter"); }
  drawCross();
}
function drawCross() {
  const root = svg();
  root?.querySelector("#cross")?.remove();
  if (!root || !state.cross) return;
  const [x, y] = state.cross, s = state.box[2] / 60;
  root.append(el("path", { id: "cross", d: `M${num(x - s)} ${num(y)}H${num(x + s)}M${num(x)} ${num(y - s)}V${num(y + s)}`, fill: "none", stroke: RED, "stroke-width": num(state.box[2] / 600) }));
}

// The sheet as it stands in the package, with the marks: style and size put back, nothing of the page left in it.
function markedSvg(index) {
  const sheet = facts.sheets[index];
  const text = $("sheet-" + index).textContent;
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const style = document.createElementNS(NS, "style");
  style.textContent = $("sheet-style").textContent;
  root.querySelector("desc").after(style);
  const group = el("g", { id: "review", "data-reviewer": store.get("reviewer") || "", "data-time": marks[sheet.name].at(-1).time,
    "data-package": facts.package, "data-sheet": sheet.number, "data-revision": sheet.revision });
  marks[sheet.name].forEach((mark, i) => group.append("\n", markElement(mark, i + 1, sheet)));
  root.append(group, "\n");
  return '<?xml version="1.0" encoding="UTF-8"?>\n' + new XMLSerializer().serializeToString(root) + "\n";
}
function download(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = make("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
function save(index) {
  const sheet = facts.sheets[index];
  if (!(marks[sheet.name] || []).length) { say("There is no mark on this sheet yet"); return; }
  download(sheet.name + ".marked.svg", markedSvg(index), "image/svg+xml");
  say("Saved as " + sheet.name + ".marked.svg");
}
$("save").addEventListener("click", () => save(state.sheet));
