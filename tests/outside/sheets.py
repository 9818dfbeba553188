"""Sheets against the outside: pdftotext (poppler) finds every mark on its pages, pdfplumber measures the scale bar and the page,
pymupdf follows labels, bookmarks and links, xmllint finds no fault, dimension strings add up as printed."""

import fractions
import json
import math
import pathlib
import re
import subprocess
import xml.etree.ElementTree as tree

import pdfplumber
import pymupdf

SVG = "{http://www.w3.org/2000/svg}"
MM_TO_POINTS = 72 / 25.4


def sheets(folder):
    """Every sheet in the order of the PDF's pages: path and root."""
    paths = [*folder.glob("sheets/*.svg"), *folder.glob("trace*.svg")]
    found = [(path, tree.parse(path).getroot()) for path in paths]
    return {root.get("data-sheet"): (path, root) for path, root in found}


def text_of_pages(pdf):
    run = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True)
    return run.stdout.split("\f")[:-1]


def check_pdf(folder):
    """Pages, labels, sizes, marks, links, the same words as the SVG."""
    folder = pathlib.Path(folder)
    problems, n_cases = [], 0
    svgs = sheets(folder)
    panels = json.loads((folder / "panels.json").read_text())["panels"]
    pages = text_of_pages(folder / "sheets.pdf")
    with pdfplumber.open(folder / "sheets.pdf") as pdf:
        if len(pdf.pages) != len(svgs):
            problems.append(f"{len(pdf.pages)} pages for {len(svgs)} sheets")
        numbers = []
        for page, words in zip(pdf.pages, pages):
            number = next((n for n in svgs if re.search(rf"\b{n}\s+rev ", words)), None)
            numbers.append(number)
            if number is None:
                problems.append(f"page {page.page_number}: has no small print")
                continue
            root = svgs[number][1]
            size = [float(root.get(side)[:-2]) * MM_TO_POINTS for side in ("width", "height")]
            if abs(size[0] - float(page.width)) > 0.01 or abs(size[1] - float(page.height)) > 0.01:
                problems.append(f"{number}: page {page.width} x {page.height}, sheet {size}")
            n_cases += 1
            in_svg = sorted("".join(t.text.split()) for t in root.iter(f"{SVG}text") if t.text and t.text.strip())
            flat = "".join(sorted("".join(in_svg)))
            in_pdf = "".join(sorted("".join(words.split())))
            if flat != in_pdf:
                problems.append(f"{number}: {len(flat)} letters in the SVG, {len(in_pdf)} in the PDF")
            n_cases += 1
    for panel in panels:
        mark = panel["mark"]
        own = {n for n, (_, root) in svgs.items() if root.get("data-panel") == mark}
        found = {n for n, words in zip(numbers, pages) if n in own and re.search(rf"\b{mark}\b", words)}
        if not own or found != own:
            problems.append(f"{mark}: its pages {sorted(own)} name it only on {sorted(found)}")
        n_cases += 1
    return n_cases, problems


def check_ways(folder):
    """Labels of pages are sheet numbers, bookmarks lead to the sheet they name, a mark on plan or elevation to its panel's first page."""
    folder = pathlib.Path(folder)
    problems, n_cases = [], 0
    svgs, first = sheets(folder), {}
    for number, (_, root) in sorted(svgs.items(), key=lambda it: len(it[0])):
        first.setdefault(root.get("data-panel"), number)
    document = pymupdf.open(folder / "sheets.pdf")
    labels = [page.get_label() for page in document]
    if sorted(labels) != sorted(svgs):
        return len(labels), [f"pages are labelled {labels}"]
    named = [(words.split()[0], labels[page - 1]) for _, words, page in document.get_toc() if words.startswith("Z-")]
    problems += [f"the bookmark of {number} leads to {label}" for number, label in named if number != label]
    problems += [f"{label} has no bookmark" for label in set(labels) - {number for number, _ in named}]
    n_cases += len(labels) + len(named)
    for page, label in zip(document, labels):
        if not label.startswith(("Z-1", "Z-2")):
            continue
        words = page.get_text("words")
        led = set()
        for link in page.get_links():
            marks = {w[4] for w in words if w[4] in first and link["from"].contains(pymupdf.Point((w[0] + w[2]) / 2, (w[1] + w[3]) / 2))}
            led |= marks
            # A panel's outline and its openings lead to it too, and have no mark on them.
            if labels[link["page"]] not in ({first[mark] for mark in marks} or first.values()):
                problems.append(f"{label}: a link on {sorted(marks)} leads to {labels[link['page']]}")
            n_cases += 1
        if label.startswith("Z-10"):
            storey = svgs[label][1].get("data-storey")
            wanted = {p["mark"] for p in json.loads((folder / "panels.json").read_text())["panels"] if p["storey"] == storey}
            problems += [f"{label}: {mark} leads nowhere" for mark in sorted(wanted - led)]
    return n_cases, problems


def scale_of(words):
    """Points on the page for a foot of the building, of an architect's scale or one of ISO 5455."""
    imperial = re.search(r'SCALE ((?:\d+ )?\d+(?:/\d+)?)" = 1\'-0"', words)
    if imperial:
        return float(sum(fractions.Fraction(part) for part in imperial.group(1).split())) * 72
    return 12 * 72 / int(re.search(r"SCALE 1:(\d+)", words).group(1))


def check_scale(folder):
    """A scale bar of so many feet is as long on the page as the scale of the sheet says."""
    folder = pathlib.Path(folder)
    problems, n_cases = [], 0
    with pdfplumber.open(folder / "sheets.pdf") as pdf:
        texts = text_of_pages(folder / "sheets.pdf")
        for page, words in zip(pdf.pages, texts):
            if "KEY PLAN," not in words or "SCALE" not in words:
                continue
            marks = [w for w in page.extract_words() if re.fullmatch(r"\d+'", w["text"])]
            feet = {}
            for w in marks:
                feet.setdefault(round(w["top"]), []).append((int(w["text"][:-1]), (w["x0"] + w["x1"]) / 2, w["bottom"]))
            (a, x0, under), (b, x1, _) = (f(max(feet.values(), key=len)) for f in (min, max))
            # The bar itself, not its numbers: the filled pieces below them and between the first and the last.
            bar = [r for r in page.rects if x0 - 4 <= r["x0"] and r["x1"] <= x1 + 4 and under - 4 < r["top"] < under + 12 and r["height"] < 6]
            if not bar:
                problems.append(f"page {page.page_number}: nothing is drawn below the numbers of the scale bar")
                continue
            drawn, wanted = max(r["x1"] for r in bar) - min(r["x0"] for r in bar), scale_of(words) * (b - a)
            if abs(drawn - wanted) > 0.05:
                problems.append(f"page {page.page_number}: {b - a} ft measure {drawn:.2f} pt, the scale says {wanted:.2f}")
            n_cases += 1
    return n_cases, problems


def check_xml(folder):
    """xmllint, which knows no stylesheet of ours, finds every SVG well formed."""
    paths = [str(path) for path in pathlib.Path(folder).rglob("*.svg")]
    run = subprocess.run(["xmllint", "--noout", "--nonet", *paths], capture_output=True, text=True)
    return len(paths), run.stderr.splitlines()


def printed_inches(value):
    """To the nearest 1/16 in, halves up, as a tape is read (rule from a US Navy builder's manual)."""
    return fractions.Fraction(math.floor(value * 16 + 0.5 + 1e-9), 16)


def inches(words):
    """A printed length as a fraction of an inch: 12'-6 1/2" or 11 3/4"."""
    match = re.fullmatch(r"(?:(\d+)'-)?(?:(\d+) )?(?:(\d+)(?:/(\d+))?)\"", words)
    if not match:
        return None
    feet, whole, number, under = match.groups()
    value = fractions.Fraction(int(number), int(under or 1))
    return value + int(whole or 0) + 12 * int(feet or 0)


def strings(root):
    """Strings of dimensions by name: the length that each of their texts begins with."""
    found = {}
    for group in root.iter(f"{SVG}g"):
        name = group.get("data-string")
        if name:
            words = [t.text for t in group.iter(f"{SVG}text") if t.text]
            lengths = [inches(re.match(r"[^\"]*\"", w).group(0)) for w in words if '"' in w]
            found[name] = lengths
    return found


def modules_wrong(overall, printed, total, exact):
    """What is wrong with modules and their overall as printed: each within 1/16 in."""
    problems = []
    if abs(float(overall) - total) > 1 / 16:
        problems.append(f"the run of {total} in is printed as {float(overall)}")
    printed, exact = sorted(printed), sorted(exact)
    apart = [(float(p), e) for p, e in zip(printed, exact) if abs(float(p) - e) > 1 / 16 + 1e-6]
    if len(printed) != len(exact) or apart:
        problems.append(f"modules are printed as {[float(p) for p in printed]}, panels.json has {exact}")
    return problems


def check_dimensions(folder):
    """Strings of elevations add up as printed to their overall; modules lie within the printed 1/16 in of panels.json."""
    folder = pathlib.Path(folder)
    file = json.loads((folder / "panels.json").read_text())
    problems, n_cases, parts = [], 0, {}
    for _, (path, root) in sorted(sheets(folder).items()):
        if not root.get("data-elevation"):
            continue
        layer = next(g for g in root.iter(f"{SVG}g") if g.get("id") == "dimensions")
        for group in layer.findall(f"{SVG}g"):
            name = f"{path.name} {group.get('id')}"
            wall = next(w for w in file["walls"] if w["id"] == group.get("data-wall"))
            found = strings(group)
            overall = found["overall"][0]
            run = wall["run"]
            total = max(piece.get("to", 0) for piece in run)
            edges = sorted([p["from"] for p in run if "panel" in p or "opening" in p] + [total])
            exact = [b - a for a, b in zip(edges, edges[1:])]
            if "data-part" in group.attrib:
                parts.setdefault(wall["id"], []).append((overall, found["modules"], total, exact))
            else:
                n_cases += 2
                problems += [f"{name}: {it}" for it in modules_wrong(overall, found["modules"], total, exact)]
            for string in ("openings", "modules"):
                if sum(found[string]) != overall:
                    problems.append(f"{name}: {string} as printed add up to {float(sum(found[string]))}, the run to {float(overall)}")
                n_cases += 1
            if "height-overall" in found and sum(found["heights"]) != sum(found["height-overall"]):
                problems.append(f"{name}: heights as printed do not add up")
    for wall, shown in parts.items():
        modules = [module for it in shown for module in it[1]]
        n_cases += 2
        problems += [f"{wall} in parts: {it}" for it in modules_wrong(sum(it[0] for it in shown), modules, *shown[0][2:])]
    return n_cases, problems


def check_ordinates(folder):
    """Every ordinate a saw needs stands on the panel's first page as panels.json has it, to the printed 1/16 in."""
    folder = pathlib.Path(folder)
    panels = {p["mark"]: p for p in json.loads((folder / "panels.json").read_text())["panels"]}
    problems, n_cases, drawn = [], 0, dict.fromkeys(panels, 0)
    for _, (path, root) in sorted(sheets(folder).items()):
        panel = panels.get(root.get("data-panel"))
        layer = next((g for g in root.iter(f"{SVG}g") if g.get("id") == "ordinates"), None)
        if panel is None or layer is None:
            # The second page of a ticket has lists and nothing to saw from.
            continue
        drawn[panel["mark"]] += 1
        words = [t.text for t in layer.iter(f"{SVG}text") if t.text]
        printed = {inches(re.match(r"(\d+ )?\d+(/\d+)?", w).group(0).strip() + '"') for w in words if re.match(r"\d", w)}
        wanted = [panel["width"], panel["height"]]
        for opening in panel["openings"]:
            wanted += opening["skin_hole"]
        for cut in panel["inner_cuts"]:
            wanted += cut["rect"]
        missing = [v for v in wanted if printed_inches(v) not in printed]
        if missing:
            problems.append(f"{path.name}: {missing} are not among the ordinates")
        n_cases += len(wanted)
    problems += [f"{mark}: {times} sheets have ordinates" for mark, times in drawn.items() if times != 1]
    return n_cases, problems


DRAFTERS = re.compile(r"\[\[|\.toml|`|\b(?:DRAW|PLAN|RULE|BLDG|LAY|FAB|STOCK|LOAD|EST|REV|PROOF)-\d+|\b[a-z]+_[a-z_]+\b|\([a-z]+\.[a-z_.]+\)")


def check_architect(folder):
    """The sheets for the architect speak no keys and no codes."""
    problems, n_cases = [], 0
    for number, (path, root) in sorted(sheets(pathlib.Path(folder)).items()):
        if not path.stem.endswith("-architect"):
            continue
        for layer in root.findall(f"{SVG}g"):
            # What stands in the architect's own drawing is not ours.
            if layer.get("id") not in ("lists", "numbers", "strip"):
                continue
            words = [text.text for text in layer.iter(f"{SVG}text") if text.text]
            n_cases += len(words)
            problems += [f"{path.name}: '{it}'" for it in words if DRAFTERS.search(it)]
    return n_cases, problems
