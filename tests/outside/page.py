"""index.html in a real Chromium: opens from disk without the network, finds, leads, marks, saves, and axe-core finds nothing."""

import io
import json
import pathlib
import tomllib
import xml.etree.ElementTree as tree

import pdfplumber
from axe_playwright_python.sync_playwright import Axe

from browser import chromium

SVG = "{http://www.w3.org/2000/svg}"


def first_sheet(folder, mark):
    """The file of a panel's first sheet: `Z-4107-W107.svg`, not `Z-4107.2-W107.svg`."""
    return min(folder.glob(f"sheets/*-{mark}.svg"), key=lambda it: len(it.name))


def shown(page):
    return page.locator("#stage svg").get_attribute("data-sheet")


def drag(page, a, b):
    box = page.locator("#stage").bounding_box()
    at = lambda p: (box["x"] + box["width"] * p[0], box["y"] + box["height"] * p[1])
    page.mouse.move(*at(a))
    page.mouse.down()
    page.mouse.move(*at(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)), steps=4)
    page.mouse.move(*at(b), steps=4)
    page.mouse.up()


def answer(page, fields):
    page.locator("#ask[open]").wait_for()
    for name, words in fields.items():
        field = page.locator(f"#ask [name={name}]")
        if field.evaluate("it => it.tagName") == "SELECT":
            field.select_option(words)
        else:
            field.fill(words)
    page.locator("#ask-ok").click()
    page.locator("#ask[open]").wait_for(state="hidden")
    # A dialog tells that it closed after it is gone: what was answered is taken then.
    page.evaluate("() => new Promise((done) => setTimeout(done))")


class Tally:
    """What was looked at, and what went wrong."""

    def __init__(self):
        self.n_cases, self.problems = 0, []

    def expect(self, is_so, words):
        self.n_cases += 1
        if not is_so:
            self.problems.append(words)


def judge(page, name, tally):
    tally.n_cases += 1
    for violation in Axe().run(page).response["violations"]:
        where = [node["html"][:120] for node in violation["nodes"][:2]]
        tally.problems.append(f"axe, {name}: {violation['id']}: {violation['help']}: {where}")


def check_undo(page, mark, me, expect):
    """What was done with marks is taken back in turn, over all sheets and after a reload, and done again."""
    kinds = lambda: page.locator("#stage #review > g").evaluate_all("all => all.map(it => it.dataset.mark)")
    given = ["cloud", "arrow", "dimension", "stamp", "text"]
    page.fill("#find-mark", "Z-101")
    page.press("#find-mark", "Enter")
    page.keyboard.press("c")
    drag(page, (0.3, 0.3), (0.4, 0.4))
    answer(page, {"text": "here too", "reviewer": me})
    page.fill("#find-mark", mark)
    page.press("#find-mark", "Enter")
    page.click("#tab-marks")
    # The plan's cloud is the first card, the sheet's arrow the third.
    page.locator("#list-marks button", has_text="Remove mark 2").click()
    expect(kinds() == ["cloud", "dimension", "stamp", "text"], f"the arrow removed leaves {kinds()}")
    page.focus("#stage")
    page.keyboard.press("Control+z")
    expect(kinds() == given, f"a mark taken off comes back as {kinds()}")
    page.keyboard.press("Control+z")
    expect(shown(page) == "Z-101" and kinds() == [], f"undo leaves {kinds()} on {shown(page)}")
    for left in range(len(given) - 1, -1, -1):
        page.keyboard.press("Control+z")
        expect(page.locator("#stage svg").get_attribute("data-panel") == mark and kinds() == given[:left], f"undo leaves {kinds()}, not {left}")
    expect(page.locator("#undo").get_attribute("aria-disabled") == "true", "undo offers what is not there")
    for _ in range(6):
        page.click("#redo")
    expect(shown(page) == "Z-101" and kinds() == ["cloud"], f"redo brings {kinds()} on {shown(page)}")
    page.keyboard.press("Enter")
    expect(kinds() == ["cloud", "dimension", "stamp", "text"], f"redo of what was taken off leaves {kinds()}")
    expect(page.locator("#redo").get_attribute("aria-disabled") == "true", "redo offers what is not there")
    for _ in range(3):
        page.click("#undo")
    expect(shown(page) != "Z-101" and kinds() == given[:4], f"undo after redo leaves {kinds()}")


def check(folder):
    """Every way a reader takes; returns how many and what went wrong."""
    folder = pathlib.Path(folder)
    tally = Tally()
    expect, problems = tally.expect, tally.problems

    panels = json.loads((folder / "panels.json").read_text())["panels"]
    mark = panels[len(panels) // 2]["mark"]
    with chromium() as browser:
        context = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
        page = context.new_page()
        asked = []
        page.on("request", lambda request: asked.append(request.url))
        page.on("pageerror", lambda error: problems.append(f"script: {error}"))
        page.goto((folder / "index.html").resolve().as_uri())
        page.wait_for_selector("#stage svg")
        strange = [url for url in asked if not url.startswith(("file:", "data:", "blob:"))]
        expect(not strange, f"asks the network for {strange[:3]}")
        expect(shown(page) == "Z-000", "does not open with the cover")

        page.fill("#find-mark", mark)
        page.press("#find-mark", "Enter")
        own = page.locator("#stage svg").get_attribute("data-panel")
        expect(own == mark, f"finding {mark} shows {own}")
        page.keyboard.press("PageUp")
        expect(page.locator("#stage svg").get_attribute("data-panel") != mark, "Page Up shows the same sheet")

        page.fill("#find-mark", "Z-101")
        page.press("#find-mark", "Enter")
        page.locator(f'#stage a[aria-label="Panel {mark}"]').first.dispatch_event("click")
        own = page.locator("#stage svg").get_attribute("data-panel")
        expect(own == mark, f"the plan leads from {mark} to {own}")

        before = page.locator("#stage svg").get_attribute("viewBox")
        page.focus("#stage")
        page.keyboard.press("+")
        expect(page.locator("#stage svg").get_attribute("viewBox") != before, "+ does not zoom")
        page.keyboard.press("0")
        expect(page.locator("#stage svg").get_attribute("viewBox") == before, "0 does not show the whole sheet")
        drag(page, (0.3, 0.3), (0.5, 0.5))
        expect(page.locator("#stage svg").get_attribute("viewBox") != before, "a drag does not move the sheet")
        expect(page.locator("#stage svg").get_attribute("data-panel") == mark, "a drag is taken for a click")
        page.click("#zoom-fit")

        me = "A. Reviewer"
        page.click("[data-tool=cloud]")
        drag(page, (0.3, 0.3), (0.45, 0.45))
        answer(page, {"text": "Move the joint <here> & now", "reviewer": me})
        page.click("[data-tool=arrow]")
        drag(page, (0.5, 0.2), (0.4, 0.3))
        answer(page, {"text": "this one", "reviewer": me})
        page.click("[data-tool=dimension]")
        drag(page, (0.3, 0.6), (0.5, 0.6))
        answer(page, {"was": '36"', "now": '40"', "reviewer": me})
        page.click("[data-tool=stamp]")
        drag(page, (0.2, 0.7), (0.2, 0.7))
        answer(page, {"stamp": "approved as noted", "reviewer": "B. Second"})
        # Text by keyboard alone.
        page.focus("#stage")
        page.keyboard.press("t")
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        answer(page, {"text": "Is this door right?", "reviewer": me})
        with page.expect_download() as saved:
            page.click("#save")
        name = saved.value.suggested_filename
        expect(name.endswith(f"-{mark}.marked.svg"), f"is saved as {name}")
        root = tree.fromstring(pathlib.Path(saved.value.path()).read_bytes())
        review = root.find(f".//{SVG}g[@id='review']")
        expect(review is not None, "the saved sheet has no group of marks")
        if review is not None:
            kinds = [g.get("data-mark") for g in review]
            expect(kinds == ["cloud", "arrow", "dimension", "stamp", "text"], f"marks saved: {kinds}")
            expect(review.get("data-reviewer") == me and review.get("data-time", "").endswith("Z"), "reviewer or time is lost")
            by = [g.get("data-reviewer") for g in review]
            expect(by == [me, me, me, "B. Second", me] and all(g.get("data-time") for g in review), f"the marks are by {by}")
            expect(review[0].get("data-text") == "Move the joint <here> & now", "the words of a mark are lost")
            expect(review[2].get("data-was") == '36"' and review[2].get("data-now") == '40"', "a corrected dimension is lost")
        source = first_sheet(folder, mark)
        was = tree.parse(source).getroot()
        expect({k: v for k, v in root.attrib.items()} == {k: v for k, v in was.attrib.items()}, "the root of the sheet changed")
        words = lambda it: [t.text for t in it.iter(f"{SVG}text")]
        kept = words(root)[: len(words(was))]
        expect(kept == words(was), "the sheet itself changed")

        page.reload()
        page.wait_for_selector("#stage svg")
        expect(page.locator("#stage #review > g").count() == 5, "marks are lost when the page is closed")
        check_undo(page, mark, me, expect)

        page.click("#tab-questions")
        boxes = page.locator("#list-questions textarea")
        if boxes.count():
            boxes.first.fill('Take 80" and "no" more')
            with page.expect_download() as saved:
                page.click("#save-answers")
            given = tomllib.loads(pathlib.Path(saved.value.path()).read_text())
            expect(given["question"][0]["answer"] == 'Take 80" and "no" more', "an answer is lost")
            expect(given["question"][0]["time"].endswith("Z"), "an answer does not say when it was given")
        page.click("#tab-findings")
        jumps = page.locator("#list-findings button")
        if jumps.count():
            jumps.first.click()
            expect(page.locator("#stage svg").count() == 1, "a finding leads nowhere")

        for scheme in ("dark", "light"):
            page.emulate_media(color_scheme=scheme)
            for tab in ("sheets", "findings", "questions", "marks"):
                page.click(f"#tab-{tab}")
                judge(page, f"{scheme}, {tab}", tally)
            page.focus("#stage")
            page.keyboard.press("s")
            page.keyboard.press("Enter")
            page.locator("#ask[open]").wait_for()
            judge(page, f"{scheme}, dialog", tally)
            page.keyboard.press("Escape")
            page.locator("#ask[open]").wait_for(state="hidden")
        # Words at the edge of the paper are set on several lines and moved onto it.
        page.focus("#stage")
        page.keyboard.press("0")
        page.click("[data-tool=arrow]")
        drag(page, (0.7, 0.8), (0.5, 0.5))
        answer(page, {"text": "a long remark at the edge " * 12, "reviewer": me})
        off = page.evaluate("""() => [...document.querySelectorAll("#stage #review text")].map((it) => it.getBBox())
            .filter((it) => it.x < 0 || it.y < 0 || it.x + it.width > state.full[2] || it.y + it.height > state.full[3]).length""")
        expect(off == 0, f"{off} lines of remarks run off the paper")
        # WCAG 2.1, 1.4.10 (level AA): at 320 CSS pixels nothing but the sheet itself is moved sideways.
        page.set_viewport_size({"width": 320, "height": 640})
        wide = page.evaluate("document.documentElement.scrollWidth")
        expect(wide <= 320, f"at 320 pixels the page is {wide} wide")
        page.set_viewport_size({"width": 820, "height": 1180})
        expect(page.locator("#stage").bounding_box()["height"] > 300, "a tablet leaves no room for the sheet")
        context.close()
    return tally.n_cases, problems


def fingers(client, kind, *points):
    places = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(points)]
    client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})


def check_tablet(folder):
    """By fingers alone, on a tablet: a tap leads on, two fingers zoom, one draws; what is tapped is large enough; and it prints."""
    folder = pathlib.Path(folder)
    tally = Tally()
    expect, problems = tally.expect, tally.problems

    with chromium() as browser:
        context = browser.new_context(viewport={"width": 820, "height": 1180}, has_touch=True, accept_downloads=True)
        page = context.new_page()
        page.on("pageerror", lambda error: problems.append(f"script: {error}"))
        page.goto((folder / "index.html").resolve().as_uri())
        page.wait_for_selector("#stage svg")
        client = context.new_cdp_session(page)
        page.fill("#find-mark", "Z-101")
        page.press("#find-mark", "Enter")
        words = page.locator("css=#stage a[aria-label^='Panel '] text").first
        mark = words.text_content()
        place = words.bounding_box()
        page.touchscreen.tap(place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)
        page.locator(f"#stage svg[data-panel={mark}]").wait_for()
        own = page.locator("#stage svg").get_attribute("data-panel")
        expect(own == mark, f"a tap on {mark} shows {own}")

        box = page.locator("#stage").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        wide = lambda: float(page.locator("#stage svg").get_attribute("viewBox").split()[2])
        before = wide()
        fingers(client, "touchStart", (x - 40, y), (x + 40, y))
        for step in (60, 90, 120):
            fingers(client, "touchMove", (x - step, y), (x + step, y))
        fingers(client, "touchEnd")
        expect(wide() < 0.7 * before, f"two fingers zoom from {before} to {wide()}")
        page.click("#zoom-fit")

        for tool, fields in (("cloud", {"text": "Who trims this?"}), ("dimension", {"was": "36", "now": "40"})):
            page.click(f"[data-tool={tool}]")
            fingers(client, "touchStart", (x - 60, y - 40))
            for step in (-20, 20, 60):
                fingers(client, "touchMove", (x + step, y + step / 2))
            fingers(client, "touchEnd")
            answer(page, {**fields, "reviewer": "C. Shop"})
        kinds = page.locator("#stage #review > g").evaluate_all("all => all.map(it => it.dataset.mark)")
        expect(kinds == ["cloud", "dimension"], f"drawn by a finger: {kinds}")
        with page.expect_download() as saved:
            page.click("#save")
        expect(saved.value.suggested_filename.endswith(f"-{mark}.marked.svg"), "the sheet is not saved")

        # WCAG 2.2, 2.5.8 (level AA): what is tapped is at least 24 by 24 CSS pixels.
        for button in page.locator("button:visible, select:visible, input:visible").all():
            size = button.bounding_box()
            words = button.evaluate("it => it.textContent || it.id")
            expect(min(size["width"], size["height"]) >= 24, f"'{words}' is {size['width']:.0f} by {size['height']:.0f} pixels")

        root = tree.fromstring(first_sheet(folder, mark).read_bytes())
        with pdfplumber.open(io.BytesIO(page.pdf(prefer_css_page_size=True, print_background=True))) as pdf:
            sheet = [float(root.get(side)[:-2]) * 72 / 25.4 for side in ("width", "height")]
            printed = [[float(it.width), float(it.height)] for it in pdf.pages]
            off = max(abs(a - b) for a, b in zip(printed[0], sheet))
            expect(len(printed) == 1 and off < 1.5, f"prints as {printed}, the sheet is {sheet}")
            words = pdf.pages[0].extract_text()
            expect(mark in words and "Who trims this?" in words, "the print lacks the sheet or its marks")
        context.close()
    return tally.n_cases, problems


def check_narrow(folder):
    """On a screen 320 px wide (the width of reflow, WCAG 2.2, 1.4.10) nothing lies over anything, and the sheet has room."""
    tally = Tally()
    with chromium() as browser:
        page = browser.new_context(viewport={"width": 320, "height": 640}, has_touch=True).new_page()
        page.goto((pathlib.Path(folder) / "index.html").resolve().as_uri())
        page.wait_for_selector("#stage svg")
        judge(page, "320 px wide", tally)
        tally.expect(page.evaluate("document.documentElement.scrollWidth") <= 320, "the page is wider than 320 px")
        boxes = [page.locator(it).bounding_box() for it in (".ui-head", ".ui-tools", "#stage", ".ui-side")]
        for above, below in zip(boxes, boxes[1:]):
            tally.expect(above["y"] + above["height"] <= below["y"] + 1, f"{above} lies over {below}")
        inside = page.evaluate("""[...document.querySelectorAll('.ui-head *, .ui-tools *')].filter(it => it.offsetParent).every(it => {
            const box = it.getBoundingClientRect(), room = it.closest('.ui-head, .ui-tools').getBoundingClientRect();
            return box.top >= room.top - 1 && box.bottom <= room.bottom + 1 && box.right <= 321; })""")
        tally.expect(inside, "something of the head or the tools stands outside them")
        tally.expect(boxes[2]["height"] >= 300, f"the sheet has {boxes[2]['height']} px")
        page.locator("[data-sheet-button]").last.click()
        there = page.evaluate("(it => it.top > -1 && it.bottom < innerHeight + 1)(document.querySelector('#stage').getBoundingClientRect())")
        tally.expect(there, "a sheet chosen in the list is not in sight")
    return tally.n_cases, tally.problems
