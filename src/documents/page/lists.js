// The lists at the side: sheets, findings and HOLDs, open questions, marks.
const jump = (index, at) => { show(index, at); stage.focus(); };
const indexOfPanel = (mark) => facts.sheets.findIndex((it) => it.panel === mark);

function listSheets() {
  const parts = [];
  let series = null, list = null;
  facts.sheets.forEach((sheet, index) => {
    if (sheet.series !== series) {
      series = sheet.series;
      list = make("ul", {});
      parts.push(make("h2", {}, series), list);
    }
    const inside = [sheet.number + " " + (sheet.panel || sheet.title.replace(sheet.number, "").split(", ")[0].trim())];
    if (sheet.held) inside.push(" ", make("span", { class: "ui-sign" }, "HOLD"));
    list.append(make("li", {}, make("button", { "data-sheet-button": index, onclick: () => jump(index) }, ...inside)));
  });
  $("list-sheets").replaceChildren(...parts);
  $("known-marks").replaceChildren(...facts.sheets.filter((it) => it.panel).map((it) => make("option", { value: it.panel })));
}

function listFindings() {
  const parts = [];
  const held = facts.held;
  parts.push(make("h2", {}, held.length ? "On HOLD: do not cut" : "No panel is on HOLD"));
  for (const it of held) {
    const card = make("div", { class: "ui-card" }, make("p", {}, make("span", { class: "ui-sign" }, "HOLD"), it.panels.join(", ") + ": " + it.reason));
    for (const panel of it.panels) {
      const index = indexOfPanel(panel);
      card.append(make("button", { onclick: () => jump(index) }, "Show " + panel));
    }
    parts.push(card);
  }
  parts.push(make("h2", {}, "Findings: " + facts.findings.length));
  for (const it of facts.findings) {
    const card = make("div", { class: "ui-card" },
      make("p", {}, make("span", { class: "ui-sign" + (it.severity === "fault" ? "" : " ui-calm") }, it.severity), it.code, " ", it.about),
      make("p", {}, it.message), it.hint ? make("p", { class: "ui-quiet" }, it.hint) : "");
    if (it.sheet !== null) card.append(make("button", { onclick: () => jump(it.sheet, it.at) }, "Show on " + facts.sheets[it.sheet].number));
    parts.push(card);
  }
  $("list-findings").replaceChildren(...parts);
}

function listQuestions() {
  // What is being typed is not drawn anew under the hand.
  if ($("list-questions").contains(document.activeElement)) return;
  const answers = store.get("answers") || {}, times = store.get("times") || {};
  const parts = [make("h2", {}, facts.questions.length ? "Open questions" : "No open question")];
  for (const it of facts.questions) {
    const box = make("textarea", { id: "answer-" + it.key, oninput: (event) => {
      // Another window may have answered others since.
      Object.assign(answers, isKept && store.get("answers"), { [it.key]: event.target.value });
      Object.assign(times, isKept && store.get("times"), { [it.key]: new Date().toISOString().slice(0, 19) + "Z" });
      keep("times", times);
      if (!keep("answers", answers)) say("This browser keeps no answers: save answers.toml before you close the page");
    } });
    box.value = answers[it.key] || "";
    const card = make("div", { class: "ui-card" },
      make("p", {}, make("span", { class: "ui-sign" + (it.fault ? "" : " ui-calm") }, it.number), it.code, " ", it.about),
      make("p", {}, it.seen), it.taken ? make("p", { class: "ui-quiet" }, it.taken) : "", it.holds ? make("p", {}, "Holds up: " + it.holds) : "",
      make("label", { for: "answer-" + it.key }, "Answer to " + it.number), box);
    if (it.sheet !== null) card.append(make("button", { onclick: () => jump(it.sheet, it.at) }, "Show on " + facts.sheets[it.sheet].number));
    parts.push(card);
  }
  if (facts.questions.length) parts.push(make("p", {}, make("button", { id: "save-answers", class: "ui-save", onclick: () => saveAnswers(answers, times) }, "Save answers.toml")));
  $("list-questions").replaceChildren(...parts);
}
const quoted = (words) => JSON.stringify(words).replace(/\u007f/g, "\\u007f");
function saveAnswers(answers, times) {
  let text = "# Answers to the open questions of " + facts.title.replace(/\s+/g, " ") + "\npackage = " + quoted(facts.package) + "\nrevision = " + quoted(facts.revision) + "\n";
  for (const it of facts.questions) {
    const answer = plain(answers[it.key] || "");
    if (!answer) continue;
    text += "\n[[question]]\nnumber = " + quoted(it.number) + "\ncode = " + quoted(it.code) + "\nabout = " + quoted(it.about) + "\nasked = " + quoted(it.seen) + "\nanswer = " + quoted(answer) + "\n";
    if (times[it.key]) text += "time = " + quoted(times[it.key]) + "\n";
  }
  download("answers.toml", text, "application/toml");
  say("Saved as answers.toml");
}

function listMarks() {
  const parts = [];
  facts.sheets.forEach((sheet, index) => {
    const list = marks[sheet.name] || [];
    if (!list.length) return;
    parts.push(make("h2", {}, sheet.number + " " + (sheet.panel || "")));
    list.forEach((mark, i) => parts.push(make("div", { class: "ui-card" },
      make("p", {}, (i + 1) + " " + mark.kind + ": " + (mark.stamp || mark.now || mark.text || "")),
      make("p", { class: "ui-row" },
        make("button", { onclick: () => jump(index, mark.from) }, "Show"),
        make("button", { onclick: () => { step(sheet.name, mark, false); $("list-marks").focus(); } }, "Remove mark " + (i + 1) + " of " + sheet.number)))));
    parts.push(make("button", { class: "ui-save", onclick: () => save(index) }, "Save " + sheet.number));
  });
  if (!parts.length) parts.push(make("p", {}, "No marks yet. Take a tool above the sheet."));
  $("list-marks").replaceChildren(...parts);
}

const tabs = [...document.querySelectorAll("[role=tab]")];
function openTab(tab) {
  for (const it of tabs) {
    it.setAttribute("aria-selected", String(it === tab));
    it.tabIndex = it === tab ? 0 : -1;
    $(it.getAttribute("aria-controls")).hidden = it !== tab;
  }
}
tabs.forEach((tab, i) => {
  tab.addEventListener("click", () => openTab(tab));
  tab.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    const next = tabs[(i + step + tabs.length) % tabs.length];
    openTab(next);
    next.focus();
  });
});

listSheets();
listFindings();
listQuestions();
if (!fromAddress() || !svg()) show(Math.max(0, facts.sheets.findIndex((it) => it.name === addressed())));
