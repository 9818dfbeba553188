// The sheet on the stage: showing, moving, zooming, finding.
const facts = JSON.parse(document.getElementById("facts").textContent);
const $ = (id) => document.getElementById(id);
const stage = $("stage");
const state = { sheet: 0, box: null, full: null, tool: "move", pointers: new Map(), start: null, drawing: null, pen: false, cross: null };

const make = (name, attributes, ...inside) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (value !== null && value !== false) element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...inside);
  return element;
};
const say = (words) => { $("said").textContent = words; };
const svg = () => stage.querySelector("svg");
// All sheets that words may mean, the likeliest first.
const sheetsOf = (words) => {
  const wanted = words.trim().toLowerCase();
  if (!wanted) return [];
  const tries = [
    (it) => it.panel.toLowerCase() === wanted,
    (it) => it.number.toLowerCase() === wanted || it.name.toLowerCase() === wanted,
    (it) => it.wall.toLowerCase().split(" ").includes(wanted) && !it.panel,
    (it) => it.marks.some((mark) => mark.toLowerCase() === wanted),
    (it) => it.words.some((mark) => mark.toLowerCase() === wanted),
    (it) => it.panel.toLowerCase().startsWith(wanted),
    (it) => it.title.toLowerCase().includes(wanted),
  ];
  const found = tries.flatMap((test) => facts.sheets.map((it, i) => (test(it) ? i : -1)).filter((i) => i >= 0));
  return [...new Set(found)];
};
// What the address names; a damaged one names nothing.
const addressed = () => { try { return decodeURIComponent(location.hash.slice(1)); } catch { return ""; } };

function show(index, at) {
  const sheet = facts.sheets[index];
  if (!sheet) return;
  const isFirst = !svg(), hadFocus = stage.contains(document.activeElement);
  drawCancel();
  state.drawing = null;
  state.sheet = index;
  stage.innerHTML = $("sheet-" + index).textContent;
  const root = svg();
  state.full = [0, 0, sheet.width, sheet.height];
  root.removeAttribute("width");
  root.removeAttribute("height");
  root.setAttribute("preserveAspectRatio", "xMidYMid meet");
  root.setAttribute("role", "group");
  root.setAttribute("aria-label", sheet.number + " " + sheet.title);
  stage.setAttribute("aria-label", "Sheet " + sheet.number + ", " + sheet.title);
  state.cross = null;
  setBox(state.full);
  $("sheet-name").textContent = sheet.number + (sheet.panel ? " " + sheet.panel : sheet.wall ? " " + sheet.wall : "");
  for (const button of document.querySelectorAll("[data-sheet-button]")) {
    const is = Number(button.dataset.sheetButton) === index;
    if (is) button.setAttribute("aria-current", "true"); else button.removeAttribute("aria-current");
    if (is) button.scrollIntoView({ block: "nearest" });
  }
  // On a narrow screen the page itself scrolls, and the list stands below the sheet.
  if (!isFirst) stage.scrollIntoView({ block: "nearest" });
  if (hadFocus) stage.focus({ preventScroll: true });
  restoreMarks();
  if (at) zoomAt(at[0], at[1], Math.min(1, 120 / sheet.width));
  if (addressed() !== sheet.name) history[isFirst ? "replaceState" : "pushState"](null, "", "#" + encodeURIComponent(sheet.name));
}

// The middle of what is seen stays on the paper.
function setBox([x, y, w, h]) {
  const [, , width, height] = state.full, on = (from, size, end) => Math.min(end - size / 2, Math.max(-size / 2, from));
  const box = [on(x, w, width), on(y, h, height), w, h];
  state.box = box;
  svg().setAttribute("viewBox", box.join(" "));
}
function zoom(factor, x, y) {
  const [bx, by, bw, bh] = state.box;
  const w = Math.min(state.full[2] * 2, Math.max(12, bw * factor));
  const f = w / bw;
  setBox([x - (x - bx) * f, y - (y - by) * f, w, bh * f]);
}
function zoomAt(x, y, part) {
  const [, , w, h] = state.full;
  setBox([x - (w * part) / 2, y - (h * part) / 2, w * part, h * part]);
}
const middle = () => [state.box[0] + state.box[2] / 2, state.box[1] + state.box[3] / 2];
function place(event) {
  const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg().getScreenCTM().inverse());
  return [p.x, p.y];
}

stage.addEventListener("wheel", (event) => {
  event.preventDefault();
  zoom(event.deltaY > 0 ? 1.2 : 1 / 1.2, ...place(event));
}, { passive: false });

// With a tool, mouse, pen or one finger draws. Once a pen was seen, fingers only move and zoom, and while the pen is down a hand that
// rests on the sheet does nothing.
const isPenDown = () => state.drawing !== null && state.pen;
const draws = (event) => state.tool !== "move" && (event.pointerType !== "touch" || !state.pen);
stage.addEventListener("pointerdown", (event) => {
  if (event.button > 0) return;
  const isPen = event.pointerType === "pen";
  if (isPen) { state.pen = true; if (state.tool !== "move") { drawCancel(); state.pointers.clear(); } }
  else if (isPenDown()) return;
  state.pointers.set(event.pointerId, [event.clientX, event.clientY]);
  const at = place(event);
  state.start = { moved: false, apart: null };
  if (draws(event) && state.pointers.size === 1) {
    state.drawing = event.pointerId;
    stage.setPointerCapture(event.pointerId);
    drawStart(at);
    event.preventDefault();
  } else if (state.drawing !== null) { state.drawing = null; drawCancel(); }
});
stage.addEventListener("pointermove", (event) => {
  if (!state.pointers.has(event.pointerId) || !state.start) return;
  const before = state.pointers.get(event.pointerId);
  const now = [event.clientX, event.clientY];
  if (Math.hypot(now[0] - before[0], now[1] - before[1]) > 3 && !state.start.moved) {
    state.start.moved = true;
    stage.setPointerCapture(event.pointerId);
  }
  if (state.pointers.size === 2) {
    state.pointers.set(event.pointerId, now);
    const [a, b] = [...state.pointers.values()];
    const apart = Math.hypot(a[0] - b[0], a[1] - b[1]);
    if (state.start.apart) zoom(state.start.apart / apart, ...place({ clientX: (a[0] + b[0]) / 2, clientY: (a[1] + b[1]) / 2 }));
    state.start.apart = apart;
    return;
  }
  if (!state.start.moved) return;
  if (event.pointerId === state.drawing) drawMove(place(event));
  else if (state.tool === "move" || state.pen) {
    const scale = svg().getScreenCTM().a;
    const [x, y, w, h] = state.box;
    setBox([x - (now[0] - before[0]) / scale, y - (now[1] - before[1]) / scale, w, h]);
    state.pointers.set(event.pointerId, now);
  }
});
const pointerEnd = (event) => {
  if (!state.pointers.delete(event.pointerId) || !state.start) return;
  const { moved } = state.start;
  if (event.pointerId === state.drawing) {
    state.drawing = null;
    if (event.type === "pointerup") drawEnd(place(event)); else drawCancel();
  }
  if (moved) {
    // A drag is no click on a link.
    stage.addEventListener("click", (click) => { click.preventDefault(); click.stopPropagation(); }, { capture: true, once: true });
    setTimeout(() => stage.dispatchEvent(new Event("click")), 0);
  }
  if (!state.pointers.size) state.start = null;
};
stage.addEventListener("pointerup", pointerEnd);
stage.addEventListener("pointercancel", pointerEnd);

stage.addEventListener("click", (event) => {
  const link = event.target.closest && event.target.closest("a[href]");
  if (!link || state.tool !== "move") { if (link) event.preventDefault(); return; }
  const name = link.getAttribute("href").split("/").pop().replace(/\.svg$/, "");
  const index = facts.sheets.findIndex((it) => it.name === name);
  if (index >= 0) { event.preventDefault(); show(index); stage.focus(); }
});

// What the keyboard comes to is seen.
stage.addEventListener("focusin", (event) => {
  const link = event.target.closest("svg a");
  if (!link || !link.matches(":focus-visible")) return;
  const own = link.getBoundingClientRect(), all = stage.getBoundingClientRect();
  const isSeen = own.left >= all.left && own.right <= all.right && own.top >= all.top && own.bottom <= all.bottom;
  if (isSeen) return;
  const [x, y, w, h] = state.box, scale = Math.max(w / all.width, h / all.height);
  const off = (from, size, start, whole) => (from + size / 2 - start - whole / 2) * scale;
  setBox([x + off(own.left, own.width, all.left, all.width), y + off(own.top, own.height, all.top, all.height), w, h]);
});

const keys = {
  PageDown: () => show(Math.min(state.sheet + 1, facts.sheets.length - 1)),
  PageUp: () => show(Math.max(state.sheet - 1, 0)),
  "+": () => zoom(1 / 1.3, ...middle()), "=": () => zoom(1 / 1.3, ...middle()),
  "-": () => zoom(1.3, ...middle()), 0: () => setBox(state.full),
  "/": () => $("find-mark").focus(),
  h: () => setTool("move"), c: () => setTool("cloud"), a: () => setTool("arrow"),
  t: () => setTool("text"), d: () => setTool("dimension"), s: () => setTool("stamp"),
  Escape: () => { drawCancel(); setTool("move"); },
};
const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
// Letters act only while the stage has the focus: nothing is triggered by typing elsewhere.
stage.addEventListener("keydown", (event) => {
  const letter = (event.ctrlKey || event.metaKey) && event.key.toLowerCase();
  if (letter === "z" || letter === "y") { (letter === "y" || event.shiftKey ? redo : undo)(); event.preventDefault(); return; }
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const arrow = arrows[event.key];
  if (arrow && state.tool === "move") {
    const [x, y, w, h] = state.box;
    setBox([x + arrow[0] * w * 0.1, y + arrow[1] * h * 0.1, w, h]);
  } else if (arrow) moveCross(arrow, event.shiftKey ? 10 : 1);
  else if (event.key === "Enter" && state.tool !== "move") setCross();
  else if (keys[event.key] && (event.target === stage || event.key.length > 1)) keys[event.key]();
  else return;
  event.preventDefault();
});

// The same words again lead on to the next sheet.
let sought = { words: "", at: -1 };
function find(words) {
  const found = sheetsOf(words);
  if (!found.length) { say("Nothing here is named " + words); return; }
  sought = { words, at: words === sought.words ? (sought.at + 1) % found.length : 0 };
  const index = found[sought.at];
  show(index);
  say((found.length > 1 ? sought.at + 1 + " of " + found.length + ": " : "") + "Sheet " + facts.sheets[index].number);
  stage.focus();
}
$("find").addEventListener("submit", (event) => { event.preventDefault(); find($("find-mark").value); });
$("previous").addEventListener("click", keys.PageUp);
$("next").addEventListener("click", keys.PageDown);
$("zoom-in").addEventListener("click", keys["+"]);
$("zoom-out").addEventListener("click", keys["-"]);
$("zoom-fit").addEventListener("click", keys[0]);
$("print").addEventListener("click", () => window.print());
const printSize = make("style");
document.head.append(printSize);
window.addEventListener("beforeprint", () => {
  const [, , w, h] = state.full;
  printSize.textContent = "@page{size:" + w + "mm " + h + "mm;margin:0}";
  state.before = state.box;
  setBox(state.full);
});
window.addEventListener("afterprint", () => { if (state.before) setBox(state.before); });
window.addEventListener("popstate", fromAddress);
function fromAddress() {
  const name = addressed();
  const index = facts.sheets.findIndex((it) => it.name === name || it.panel === name);
  if (index >= 0 && index !== state.sheet) show(index);
  return index >= 0;
}
