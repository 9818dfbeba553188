"""Labels against the outside: zxing-cpp (PyPI), a reader of codes, reads every label of labels.pdf; pdfplumber measures pages."""

import collections
import json
import pathlib
import subprocess

import pdfplumber
import zxingcpp

POINTS = 72.0
# Dots per inch of the picture given to the reader: that of common label printers.
DOTS = 203
# Six labels on a letter page: what a page with gaps and margins needs.
SHEET = """[labels]
page_width = "8-1/2"
page_height = "11"
width = "4"
height = "3-1/4"
columns = 2
rows = 3
left = "5/32"
top = "1/2"
gap = "3/16"
"""


def codes(page):
    """What the reader sees on a page: text, and the middle of the code in inches from the upper left."""
    picture = page.to_image(resolution=DOTS).original.convert("L")
    found = []
    for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
        at = code.position
        corners = [at.top_left, at.top_right, at.bottom_left, at.bottom_right]
        middle = [sum(getattr(corner, axis) for corner in corners) / 4 / DOTS for axis in "xy"]
        found.append((code.text, middle))
    return found


def names(folder):
    """Every panel with its revision and every bundle, as the data files have them."""
    panels = json.loads((folder / "panels.json").read_text())["panels"]
    bundles = json.loads((folder / "loads.json").read_text())["bundles"]
    found = [(panel["mark"], panel["revision"]) for panel in panels]
    return panels, collections.Counter(found + [(bundle["bundle"], "") for bundle in bundles])


def check(folder):
    """One label to a page of 6 in x 4 in: each is read, once, and says in letters what its code says."""
    folder = pathlib.Path(folder)
    problems, seen, jobs = [], collections.Counter(), set()
    panels, wanted = names(folder)
    panels = {panel["mark"]: panel for panel in panels}
    with pdfplumber.open(folder / "labels.pdf") as pdf:
        for page in pdf.pages:
            if abs(float(page.width) - 6 * POINTS) > 0.01 or abs(float(page.height) - 4 * POINTS) > 0.01:
                problems.append(f"page {page.page_number}: {page.width} x {page.height} points")
            found = codes(page)
            if len(found) != 1:
                problems.append(f"page {page.page_number}: {len(found)} codes are read")
                continue
            job, name, revision = found[0][0].split(";")
            seen[(name, revision)] += 1
            jobs.add(job)
            words = page.extract_text()
            said = [name, job]
            if name in panels:
                panel = panels[name]
                said += ["UP", f"{panel['weight_lb']:.0f} lb", f"{panel['erection']}{panel.get('erection_letter', '')}"]
                said += [f"{panel['face_up'].upper()}SIDE FACE".replace("OUTER", "OUT").replace("INNER", "IN")]
                said += ["HOLD"] if panel["hold"] else []
            missing = [word for word in said if word not in words]
            if missing:
                problems.append(f"{name}: the label lacks {missing}")
    if seen != wanted:
        problems.append(f"too many {list(seen - wanted)[:5]}, missing {list(wanted - seen)[:5]}")
    if len(jobs) > 1:
        problems.append(f"more than one job: {jobs}")
    return sum(seen.values()), problems


def check_sheet(program, arguments, folder):
    """Six labels on a letter page stand 4 3/16 in apart across and 3 7/16 in down, and all are read."""
    folder = pathlib.Path(folder)
    rules, out = folder / "labels.toml", folder / "label-sheet"
    rules.write_text(SHEET)
    run = [str(program), "make", *map(str, arguments), "--rules", str(rules), "--quiet", "--out", str(out)]
    subprocess.run(run, check=True, capture_output=True)
    problems, n_read = [], 0
    _, wanted = names(out)
    with pdfplumber.open(out / "labels.pdf") as pdf:
        for page in pdf.pages:
            found = sorted(codes(page), key=lambda it: (round(it[1][1]), it[1][0]))
            n_read += len(found)
            middles = [middle for _, middle in found]
            for (x, y), (u, v) in zip(middles, middles[1:]):
                steps = [(u - x) / 4.1875, (v - y) / (3.25 + 0.1875)]
                if any(abs(step - round(step)) > 0.01 for step in steps):
                    problems.append(f"page {page.page_number}: codes {u - x:.3f} in and {v - y:.3f} in apart")
    if n_read != sum(wanted.values()):
        problems.append(f"{n_read} labels are read of {sum(wanted.values())}")
    return n_read, problems
