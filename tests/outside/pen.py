"""A pen on a tablet: it draws while fingers only move and zoom, a hand that rests beside it does nothing, and by keys alone every list
is reached. Chromium is driven by its own protocol: Playwright knows no pen."""

import json
import pathlib

from browser import chromium
from page import Tally, answer, fingers


def pen(client, kind, point, **more):
    client.send("Input.dispatchMouseEvent", {
        "type": kind, "x": point[0], "y": point[1], "button": "left", "buttons": int(kind != "mouseReleased"),
        "clickCount": 1, "pointerType": "pen", **more})


def stroke(client, *points):
    pen(client, "mousePressed", points[0])
    for point in points[1:]:
        pen(client, "mouseMoved", point)
    pen(client, "mouseReleased", points[-1])


def check(folder):
    folder = pathlib.Path(folder)
    tally = Tally()
    expect = tally.expect
    mark = json.loads((folder / "panels.json").read_text())["panels"][0]["mark"]
    with chromium() as browser:
        context = browser.new_context(viewport={"width": 820, "height": 1180}, has_touch=True)
        page = context.new_page()
        page.on("pageerror", lambda error: tally.problems.append(f"script: {error}"))
        page.goto((folder / "index.html").resolve().as_uri())
        page.wait_for_selector("#stage svg")
        page.fill("#find-mark", mark)
        page.press("#find-mark", "Enter")
        client = context.new_cdp_session(page)
        seen = page.evaluate("""() => { window.kinds = new Set();
            document.querySelector("#stage").addEventListener("pointerdown", (it) => window.kinds.add(it.pointerType), true); return true; }""")
        expect(seen, "the stage is not there")
        box = page.locator("#stage").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        view = lambda: page.locator("#stage svg").get_attribute("viewBox")
        kinds = lambda: page.locator("#stage #review > g").evaluate_all("all => all.map(it => it.dataset.mark)")

        page.click("[data-tool=cloud]")
        stroke(client, (x - 60, y - 40), (x - 20, y - 10), (x + 20, y + 10), (x + 60, y + 40))
        answer(page, {"text": "by pen", "reviewer": "P. Pen"})
        expect(page.evaluate("[...window.kinds]") == ["pen"], f"the pen came as {page.evaluate('[...window.kinds]')}")
        expect(kinds() == ["cloud"], f"the pen drew {kinds()}")

        # The tool is still a cloud: a finger moves the sheet and draws nothing, two zoom.
        before = view()
        fingers(client, "touchStart", (x, y))
        for step in (20, 40, 60):
            fingers(client, "touchMove", (x + step, y + step))
        fingers(client, "touchEnd")
        expect(view() != before and not page.locator("#ask[open]").count(), "a finger beside a pen does not move the sheet")
        expect(kinds() == ["cloud"], f"a finger beside a pen drew {kinds()}")
        before = float(view().split()[2])
        fingers(client, "touchStart", (x - 40, y), (x + 40, y))
        for step in (60, 90, 120):
            fingers(client, "touchMove", (x - step, y), (x + step, y))
        fingers(client, "touchEnd")
        expect(float(view().split()[2]) < 0.7 * before, "two fingers beside a pen do not zoom")

        # A hand rests on the glass while the pen draws: before it and after it.
        page.click("#zoom-fit")
        before = view()
        fingers(client, "touchStart", (x + 200, y + 60))
        pen(client, "mousePressed", (x - 80, y))
        pen(client, "mouseMoved", (x - 50, y + 10))
        fingers(client, "touchMove", (x + 205, y + 72))
        fingers(client, "touchMove", (x + 215, y + 92))
        pen(client, "mouseMoved", (x - 10, y + 30))
        pen(client, "mouseReleased", (x, y + 40))
        answer(page, {"text": "hand at rest", "reviewer": "P. Pen"})
        fingers(client, "touchEnd")
        expect(kinds() == ["cloud", "cloud"], f"with a hand on the glass: {kinds()}")
        expect(view() == before, "a hand at rest moves the sheet under the pen")

        # A touch that the system takes away leaves nothing half drawn.
        page.evaluate("state.pen = false")
        fingers(client, "touchStart", (x - 60, y - 40))
        fingers(client, "touchMove", (x, y))
        client.send("Input.dispatchTouchEvent", {"type": "touchCancel", "touchPoints": []})
        left = page.locator("#stage #draft").count() + page.locator("#ask[open]").count()
        expect(left == 0 and len(kinds()) == 2, "a touch taken away leaves a draft")
        context.close()
        keys(browser, folder, tally)
    return tally.n_cases, tally.problems


def keys(browser, folder, tally):
    """By Tab alone: every button, field and list comes to the focus, in turn, and none holds it."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto((folder / "index.html").resolve().as_uri())
    page.wait_for_selector("#stage svg")
    wanted = {"find-mark", "tab-sheets", "list-sheets", "previous", "next", "zoom-out", "zoom-fit", "zoom-in", "undo", "redo", "save", "print", "stage"}
    met = []
    for _ in range(400):
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.id || document.activeElement.dataset?.tool || document.activeElement.tagName")
        met.append(at)
        if wanted <= set(met) and "move" in met and at == "BODY":
            break
    tally.expect(wanted <= set(met) and "move" in met, f"Tab never reaches {sorted(wanted - set(met))}")
    # By the keys of the toolbar every tool, and by those of the tabs every list.
    page.focus("[data-tool=move]")
    tools = []
    for _ in range(6):
        page.keyboard.press("ArrowRight")
        tools.append(page.evaluate("document.activeElement.dataset.tool"))
    tally.expect(tools == ["cloud", "arrow", "text", "dimension", "stamp", "move"], f"the tools by arrow keys: {tools}")
    page.focus("#tab-sheets")
    lists = []
    for _ in range(4):
        page.keyboard.press("ArrowRight")
        lists.append(page.evaluate("document.activeElement.id"))
    tally.expect(lists == ["tab-findings", "tab-questions", "tab-marks", "tab-sheets"], f"the lists by arrow keys: {lists}")
    # A dimension by keys alone, with words that no file may hold; then taken off again without losing the place.
    page.focus("#stage")
    for key in ("d", "ArrowRight", "Enter", "Shift+ArrowRight", "Shift+ArrowRight", "Enter"):
        page.keyboard.press(key)
    answer(page, {"was": "36", "now": "4\u202e0\u0001", "reviewer": "R" * 200})
    given = page.locator("#stage #review > g").first
    now, by = given.get_attribute("data-now"), given.get_attribute("data-reviewer")
    tally.expect(now == "40" and by == "R" * 80, f"words come as {now!r} by {len(by)} letters")
    page.focus("#tab-marks")
    page.keyboard.press("Enter")
    page.locator("#list-marks button", has_text="Remove mark 1").press("Enter")
    at = page.evaluate("document.activeElement.id")
    tally.expect(at == "list-marks" and page.locator("#stage #review > g").count() == 0, f"after a mark is taken off the focus is at {at}")
    context.close()
