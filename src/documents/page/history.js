// What was put on and taken off, in turn, over all sheets: undo and redo show the sheet on which they act.
// Marks of before the page was opened count as put on in the order of their times.
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const steps = {
  done: facts.sheets
    .flatMap((sheet) => (marks[sheet.name] || []).map((mark, at) => ({ sheet: sheet.name, mark, at, isOn: true })))
    .sort((a, b) => (a.mark.time < b.mark.time ? -1 : a.mark.time > b.mark.time ? 1 : 0)),
  undone: [],
};

function putOn(name, mark, at) { (marks[name] ||= []).splice(at ?? marks[name].length, 0, mark); }
// Where it stood; -1 where another window has taken it off meanwhile.
function takeOff(name, mark) {
  const at = (marks[name] || []).findIndex((it) => same(it, mark));
  if (at < 0) return -1;
  marks[name].splice(at, 1);
  return at;
}

// A new step: what had been taken back before it cannot be brought again.
function step(sheet, mark, isOn) {
  reread();
  let at = (marks[sheet] || []).length;
  if (isOn) putOn(sheet, mark);
  else at = takeOff(sheet, mark);
  if (at >= 0) steps.done.push({ sheet, mark, at, isOn });
  steps.undone = [];
  keep("marks", marks);
  restoreMarks();
}

function turn(from, to, isBack, words) {
  reread();
  for (let it = from.pop(); it; it = from.pop()) {
    const index = facts.sheets.findIndex((sheet) => sheet.name === it.sheet);
    const isOn = it.isOn !== isBack;
    if (isOn ? (marks[it.sheet] || []).some((mark) => same(mark, it.mark)) : takeOff(it.sheet, it.mark) < 0) continue;
    if (isOn) putOn(it.sheet, it.mark, it.at);
    to.push(it);
    keep("marks", marks);
    if (index !== state.sheet) show(index); else restoreMarks();
    say("The " + it.mark.kind + (isOn ? " is on " : " is off ") + facts.sheets[index].number + " again");
    return;
  }
  restoreMarks();
  say("Nothing to " + words);
}
const undo = () => turn(steps.done, steps.undone, true, "undo");
const redo = () => turn(steps.undone, steps.done, false, "redo");
// Not `disabled`: a button that has the keyboard's focus would drop it.
function drawHistory() {
  $("undo").setAttribute("aria-disabled", String(!steps.done.length));
  $("redo").setAttribute("aria-disabled", String(!steps.undone.length));
}
$("undo").addEventListener("click", undo);
$("redo").addEventListener("click", redo);
drawHistory();
