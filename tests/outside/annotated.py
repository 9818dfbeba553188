"""Annotations by a second writer of PDF: every kind put on `sheets.pdf` by pypdf is read back by `panelwright marks`.

pypdf writes the annotations as bare dictionaries, most without an appearance, and saves them after the file's end, as viewers do
(ISO 32000-1, 7.5.6); pymupdf in `marks.py` writes appearances and the file anew. What was put is known; the log must say the same.
"""

import pathlib
import shutil
import subprocess
import tempfile

import pypdf
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, NumberObject, TextStringObject

from marks import MM, run_marks, with_opening

WHO = "C. Writer"
# Kind by pypdf, its keys besides, and the kind the log must say. Boxes are points from the lower left, x0 y0 x1 y1.
KINDS = (
    ("Text", {}, "text"),
    ("FreeText", {"DA": "/Helv 10 Tf 0 g"}, "text"),
    ("Caret", {}, "text"),
    ("Ink", {"InkList": "ink"}, "handwriting"),
    ("Line", {"L": "line", "LE": "arrow"}, "arrow"),
    ("Polygon", {"Vertices": "box"}, "shape"),
    ("Polygon", {"Vertices": "box", "BE": "cloudy"}, "cloud"),
    ("Square", {"BE": "cloudy"}, "cloud"),
    ("Square", {}, "shape"),
    ("Circle", {}, "shape"),
    ("PolyLine", {"Vertices": "zigzag"}, "shape"),
    ("Stamp", {"Name": "Approved"}, "stamp"),
    ("StrikeOut", {"QuadPoints": "quad"}, "strike"),
    ("Highlight", {"QuadPoints": "quad"}, "highlight"),
)


def numbers(values):
    return ArrayObject([FloatObject(it) for it in values])


def value_of(word, x0, y0, x1, y1):
    middle = (y0 + y1) / 2
    return {
        "ink": ArrayObject([numbers([x0, y0, x0 + 5, y1, x0 + 10, y0, x0 + 15, y1, x1, y0])]),
        "line": numbers([x0, y0, x1, y1]),
        "arrow": ArrayObject([NameObject("/None"), NameObject("/OpenArrow")]),
        "box": numbers([x0, y0, x1, y0, x1, y1, x0, y1]),
        "zigzag": numbers([x0, y0, (x0 + x1) / 2, y1, x1, middle]),
        "quad": numbers([x0, y1, x1, y1, x0, y0, x1, y0]),
        "cloudy": DictionaryObject({NameObject("/S"): NameObject("/C"), NameObject("/I"): NumberObject(1)}),
        "Approved": NameObject("/Approved"),
    }.get(word, TextStringObject(word))


def annotation(number, subtype, keys, box):
    """One annotation; the third of each three has no author."""
    made = DictionaryObject({
        NameObject("/Type"): NameObject("/Annot"),
        NameObject("/Subtype"): NameObject(f"/{subtype}"),
        NameObject("/Rect"): numbers(box),
        NameObject("/Contents"): TextStringObject(f"remark {number}"),
        NameObject("/F"): NumberObject(4),
        NameObject("/C"): numbers([1, 0, 0]),
    })
    if number % 3:
        made[NameObject("/T")] = TextStringObject(WHO)
    for name, word in keys.items():
        made[NameObject(f"/{name}")] = value_of(word, *box)
    return made


def check(program, place):
    problems, turns = [], (0, 90)
    with tempfile.TemporaryDirectory() as folder:
        package = pathlib.Path(folder) / "package"
        shutil.copytree(place, package)
        mark, sheet, _ = with_opening(package)
        label = "-".join(sheet.stem.split("-")[:2])
        for turn in turns:
            writer = pypdf.PdfWriter(package / "sheets.pdf", incremental=True)
            page = writer.pages[pypdf.PdfReader(package / "sheets.pdf").page_labels.index(label)]
            if turn:
                page.rotate(turn)
            high = float(page.mediabox.height)
            boxes = [(120 + 40 * (n % 7), 300 + 60 * (n // 7), 150 + 40 * (n % 7), 325 + 60 * (n // 7)) for n in range(len(KINDS))]
            for number, ((subtype, keys, _), box) in enumerate(zip(KINDS, boxes)):
                writer.add_annotation(page_number=page.page_number, annotation=annotation(number, subtype, keys, box))
            marked = pathlib.Path(folder) / f"marked-{turn}.pdf"
            writer.write(marked)
            if not marked.read_bytes().startswith((package / "sheets.pdf").read_bytes()):
                problems.append("pypdf did not save after the file's end: the check is not what it says")
            shutil.rmtree(package / "review", ignore_errors=True)
            code, marks, words = run_marks(program, package, marked)
            if code != 0 or len(marks) != len(KINDS):
                problems.append(f"turned {turn}: exit code {code}, {len(marks)} of {len(KINDS)} marks: {words[-400:]}")
                continue
            for number, (it, (subtype, keys, kind), (x0, y0, x1, y1)) in enumerate(zip(marks, KINDS, boxes)):
                what = f"turned {turn}, {subtype} {sorted(keys)}"
                who = WHO if number % 3 else None
                if (it["kind"], it["sheet"], it["panel"], it["reviewer"]) != (kind, sheet.stem, mark, who):
                    problems.append(f"{what} became {it['kind']} on {it['sheet']}, {it['panel']}, by {it['reviewer']}")
                if f"remark {number}" not in it["text"]:
                    problems.append(f"{what} says '{it['text']}'")
                x, y = it["at"][0] / MM, high - it["at"][1] / MM
                if not (x0 - 15 <= x <= x1 + 15 and y0 - 15 <= y <= y1 + 15):
                    problems.append(f"{what} at {x:.0f}, {y:.0f} points, not in {x0, y0, x1, y1}")
        problems += check_pages(program, package, marked, label)
    return len(KINDS) * len(turns) + 3, problems


def check_pages(program, package, marked, label):
    """A marked page is known with a blank one before the set, alone, and when a mark is printed into it that is said."""
    problems, folder = [], marked.parent
    index = pypdf.PdfReader(package / "sheets.pdf").page_labels.index(label)
    before = pypdf.PdfWriter(clone_from=marked)
    before.insert_blank_page(1224, 792, 0)
    alone = pypdf.PdfWriter()
    alone.append(marked, pages=(index, index + 1))
    for name, writer in (("a page before the set", before), ("the page alone", alone)):
        sent = folder / "sent.pdf"
        writer.write(sent)
        shutil.rmtree(package / "review", ignore_errors=True)
        code, marks, words = run_marks(program, package, sent)
        sheets = {it["sheet"] for it in marks}
        if code != 0 or len(marks) != len(KINDS) or any(not (it or "").startswith(label) for it in sheets):
            problems.append(f"{name}: exit code {code}, {len(marks)} marks on {sheets}: {words[-300:]}")
    printed = pypdf.PdfWriter(clone_from=package / "sheets.pdf")
    printed.pages[index].merge_page(pypdf.PdfReader(package / "sheets.pdf").pages[index + 1])
    printed.write(folder / "sent.pdf")
    shutil.rmtree(package / "review", ignore_errors=True)
    _, marks, words = run_marks(program, package, folder / "sent.pdf")
    if marks or "REV-09" not in words:
        problems.append(f"a page that another is printed into: {len(marks)} marks, {words[-300:]}")
    return problems


def check_four_up(program, place):
    """Four panel sheets on one page, which poppler wrote anew with fonts of its own: a mark on each is on its sheet and at its place."""
    problems, size, at = [], 0.5, (300.0, 500.0)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        package = folder / "package"
        shutil.copytree(place, package)
        issued = pypdf.PdfReader(package / "sheets.pdf")
        of_panels = [page for page, label in zip(issued.pages, issued.page_labels) if label.startswith("Z-4")][:4]
        wide, high = (float(it) for it in of_panels[0].mediabox.upper_right)
        four = pypdf.PageObject.create_blank_page(width=wide, height=high)
        corners = [(0, high / 2), (wide / 2, high / 2), (0, 0), (wide / 2, 0)]
        for page, (x, y) in zip(of_panels, corners):
            four.merge_transformed_page(page, pypdf.Transformation().scale(size).translate(x, y))
        merged, anew, marked = (folder / name for name in ("merged.pdf", "anew.pdf", "marked.pdf"))
        writer = pypdf.PdfWriter()
        writer.add_page(four)
        writer.write(merged)
        subprocess.run(["pdftocairo", "-pdf", merged, anew], check=True)
        writer = pypdf.PdfWriter(clone_from=anew)
        for number, (x, y) in enumerate(corners):
            left, low = x + at[0] * size, y + at[1] * size
            box = (left - 5, low - 5, left + 5, low + 5)
            writer.add_annotation(page_number=0, annotation=annotation(number, "Square", {}, box))
        writer.write(marked)
        code, marks, words = run_marks(program, package, marked)
        wanted = [label for label in issued.page_labels if label.startswith("Z-4")][:4]
        found = ["-".join((it["sheet"] or "").split("-")[:2]) for it in marks]
        if code != 0 or sorted(found) != sorted(wanted):
            problems.append(f"exit code {code}, marks on {found}, not {wanted}: {words[-300:]}")
        for it in marks:
            x, y = it["at"] or (0, 0)
            if abs(x - at[0] * MM) > 0.2 or abs(y - (high - at[1]) * MM) > 0.2:
                problems.append(f"{it['sheet']}: at {x:.1f}, {y:.1f} mm")
    return len(wanted), problems
