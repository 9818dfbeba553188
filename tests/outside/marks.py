"""Marks made by programs that are not ours come back: the page in Chromium, annotations by pymupdf.

What each mark says and where it stands is known from the program that made it; the review log must say the same.
"""

import json
import math
import pathlib
import shutil
import subprocess
import tempfile
import xml.etree.ElementTree as tree

import pymupdf

from browser import chromium
from page import answer, drag

MM = 25.4 / 72
SVG = "{http://www.w3.org/2000/svg}"


def run_marks(program, package, *files):
    run = subprocess.run([str(program), "marks", str(package), *map(str, files)], capture_output=True, text=True)
    log = package / "review" / "log.json"
    marks = json.loads(log.read_text())["marks"] if log.exists() else []
    return run.returncode, marks, (run.stdout + run.stderr).strip()


def copied(place, folder):
    package = pathlib.Path(folder) / "package"
    shutil.copytree(place, package)
    return package


def with_opening(package):
    """A panel with an opening: its mark, its sheet's path, the opening's id and rough rectangle."""
    for panel in json.loads((package / "panels.json").read_text())["panels"]:
        for opening in panel["openings"]:
            sheet = next((package / "sheets").glob(f"Z-4*-{panel['mark']}.svg"))
            x0, _, x1, _ = opening["rough"]
            if 0 < x0 and x1 < panel["width"] and f'data-opening="{opening["id"]}"' in sheet.read_text():
                return panel["mark"], sheet, opening
    raise ValueError("no panel has an opening")


def check_page(program, place):
    """Marks drawn and saved in Chromium are read back with their reviewer, panel and words."""
    problems = []
    with tempfile.TemporaryDirectory() as folder:
        package = copied(place, folder)
        mark, sheet, _ = with_opening(package)
        with chromium() as browser:
            context = browser.new_context(accept_downloads=True, viewport={"width": 1400, "height": 900})
            page = context.new_page()
            page.goto((package / "index.html").resolve().as_uri())
            page.wait_for_selector("#stage svg")
            page.fill("#find-mark", mark)
            page.press("#find-mark", "Enter")
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
            answer(page, {"stamp": "approved as noted", "reviewer": me})
            with page.expect_download() as saved:
                page.click("#save")
            marked = pathlib.Path(folder) / saved.value.suggested_filename
            saved.value.save_as(marked)
            context.close()
        code, marks, words = run_marks(program, package, marked)
        kinds = [it["kind"] for it in marks]
        if code != 0 or kinds != ["cloud", "arrow", "dimension", "stamp"]:
            return 1, [f"exit code {code}, {kinds}: {words[-400:]}"]
        for it in marks:
            if (it["panel"], it["reviewer"], it["sheet"]) != (mark, me, sheet.stem) or not it["time"]:
                problems.append(f"{it['id']}: {it['panel']}, {it['reviewer']}, {it['sheet']}, {it['time']}")
            if not (package / it["picture"]).exists():
                problems.append(f"{it['id']} has no picture")
        if marks[0]["text"] != "Move the joint <here> & now" or marks[3]["text"] != "approved as noted":
            problems.append(f"words are lost: {[it['text'] for it in marks]}")
        before = json.dumps(marks)
        code, again, _ = run_marks(program, package, marked)
        if json.dumps(again) != before:
            problems.append("the same file twice is not the same log")
    return len(marks), problems


def annotated(path, label, rough, rim, out):
    """Draws every kind of annotation on the page of a label; gives their kinds with where they are, mm.

    `rough` is a text of the page, `rim` a box over the panel's left edge where no text stands, points."""
    document = pymupdf.open(path)
    page = next(it for it in document if it.get_label() == label)
    made = []

    def put(annotation, kind, words, at=None):
        annotation.set_info(title="B. Checker", content=words)
        annotation.update()
        box = at or annotation.rect
        made.append((kind, words, [box[0] * MM, box[1] * MM, box[2] * MM, box[3] * MM]))

    put(page.add_freetext_annot(pymupdf.Rect(80, 640, 260, 660), "Who trims this?", fontsize=10), "text", "Who trims this?")
    put(page.add_text_annot((300, 640), "a note"), "text", "a note")
    put(page.add_ink_annot([[(100, 500), (110, 510), (120, 500), (130, 510)]]), "handwriting", "by hand")
    line = page.add_line_annot((400, 600), (300, 500))
    line.set_line_ends(pymupdf.PDF_ANNOT_LE_NONE, pymupdf.PDF_ANNOT_LE_OPEN_ARROW)
    put(line, "arrow", "here")
    cloud = page.add_polygon_annot([(150, 150), (250, 150), (250, 250), (150, 250)])
    cloud.update()
    document.xref_set_key(cloud.xref, "BE", "<</S/C/I 1>>")
    made.append(("cloud", "", [150 * MM, 150 * MM, 250 * MM, 250 * MM]))
    put(page.add_polyline_annot([(500, 600), (520, 620), (540, 600)]), "shape", "open")
    put(page.add_rect_annot(pymupdf.Rect(600, 600, 640, 630)), "shape", "square")
    put(page.add_circle_annot(pymupdf.Rect(650, 600, 690, 630)), "shape", "circle")
    put(page.add_stamp_annot(pymupdf.Rect(60, 680, 200, 720), stamp=0), "stamp", "as noted")
    found = page.search_for(rough)
    put(page.add_strikeout_annot(found[0]), "strike", "not this")
    put(page.add_highlight_annot(found[0]), "highlight", "look")
    # A text that only its appearance says; a redaction; a strike over a line alone; and one that is hidden.
    shown = page.add_freetext_annot(pymupdf.Rect(80, 660, 260, 680), "Said by letters alone", fontsize=10)
    shown.update()
    document.xref_set_key(shown.xref, "Contents", "null")
    document.xref_set_key(shown.xref, "RC", "null")
    made.append(("text", "", [value * MM for value in shown.rect]))
    put(page.add_redact_annot(found[0], text="see SK-4"), "strike", "")
    put(page.add_strikeout_annot(pymupdf.Rect(*rim)), "strike", "this edge")
    hidden = page.add_freetext_annot(pymupdf.Rect(80, 690, 260, 710), "withdrawn", fontsize=10)
    hidden.set_flags(pymupdf.PDF_ANNOT_IS_HIDDEN)
    page.add_file_annot((700, 100), b"#!/bin/sh\n", "run.sh")
    document.save(out)
    document.close()
    return made


def rim_of(sheet):
    """A small box over the left edge of the panel's outline, three quarters up, points."""
    outline = tree.fromstring(sheet.read_bytes()).find(f".//{SVG}g[@id='outline-{sheet.stem.split('-')[-1]}']/{SVG}polygon")
    places = [[float(it) for it in place.split(",")] for place in outline.get("points").split()]
    left, top, low = min(x for x, _ in places), min(y for _, y in places), max(y for _, y in places)
    y = top + 0.27 * (low - top)
    return [value / MM for value in (left - 1.5, y - 1, left + 1.2, y + 1)]


def check_pdf(program, place):
    """Every kind of annotation that pymupdf makes is read with its kind, words, reviewer, sheet and place."""
    problems = []
    with tempfile.TemporaryDirectory() as folder:
        package = copied(place, folder)
        mark, sheet, opening = with_opening(package)
        marked = pathlib.Path(folder) / "marked.pdf"
        made = annotated(package / "sheets.pdf", "-".join(sheet.stem.split("-")[:2]), "OUTSIDE FACE", rim_of(sheet), marked)
        code, marks, words = run_marks(program, package, marked)
        if code != 0 or len(marks) != len(made):
            return 1, [f"exit code {code}, {len(marks)} of {len(made)} marks: {words[-600:]}"]
        for it, (kind, said, box) in zip(marks, made):
            if it["kind"] != kind or it["sheet"] != sheet.stem or it["panel"] != mark:
                problems.append(f"{kind} '{said}' became {it['kind']} on {it['sheet']}, {it['panel']}")
            if said and (said not in it["text"] or it["reviewer"] != "B. Checker"):
                problems.append(f"{kind} '{said}' says '{it['text']}' by {it['reviewer']}")
            x, y = it["at"]
            if kind != "text" and not (box[0] - 3 <= x <= box[2] + 3 and box[1] - 3 <= y <= box[3] + 3):
                problems.append(f"{kind} at {x:.1f}, {y:.1f} mm, not in {[round(v, 1) for v in box]}")
        tip = marks[3]["at"]
        if math.dist(tip, (300 * MM, 500 * MM)) > 0.2:
            problems.append(f"the arrow points to {tip}")
        if "OUTSIDE FACE" not in (marks[9]["touches"] or ""):
            problems.append(f"the strike touches {marks[9]['touches']}")
        if "attached" not in words or "1 hidden annotation" not in words:
            problems.append(f"the attached file or what was hidden is not said: {words[-400:]}")
        said, redacted, edge = marks[11:14]
        if said["text"] != "Said by letters alone" or "see SK-4" not in redacted["text"]:
            problems.append(f"an appearance says '{said['text']}', a redaction '{redacted['text']}'")
        if mark not in (edge["touches"] or ""):
            problems.append(f"the strike over the panel's edge touches {edge['touches']}")
        code, again, _ = run_marks(program, package, marked)
        if len(again) != len(marks):
            problems.append("the same file twice adds marks")
        # A page that a viewer turned and saved: annotations stay in the page's own axes (ISO 32000-1, 8.3.2.3).
        for turn in (90, 180, 270):
            document = pymupdf.open(marked)
            for page in document:
                page.set_rotation(turn)
            turned = pathlib.Path(folder) / f"turned-{turn}.pdf"
            document.save(turned)
            document.close()
            shutil.rmtree(package / "review")
            _, there, words = run_marks(program, package, turned)
            if [it["at"] for it in there] != [it["at"] for it in marks]:
                problems.append(f"marks of a page turned by {turn} stand elsewhere: {words[-300:]}")
    return len(made) * 4, problems
