"""A second issue of the bunkhouse after ezdxf drew its plan again: in millimetres, turned by a quarter, far away, every handle new, every
layer called otherwise, and one window moved by six inches.

Judged from the two folders alone: which panels may differ is known from where the window was and is, not from what the program says.
"""

import csv
import json
import math
import pathlib
import subprocess

import ezdxf
from ezdxf.addons import Importer
from ezdxf.math import Matrix44, Vec3

import outlines
import pictures
from package import Package

# The window of the west wall moves this far north, to the left as seen from outside, inches.
MOVED = 6.0
# What lies farther from the window, as it was and as it is, than a joint may be is not touched by it, inches.
REACH = 12.0


def stretched(document, box, by):
    """As a drafter stretches: every end of a line in the box moves, and every block whose insertion lies in it."""
    n, (x0, y0, x1, y1) = 0, box
    inside = lambda p: x0 <= p[0] <= x1 and y0 <= p[1] <= y1
    for entity in document.modelspace():
        names = {"LINE": ("start", "end"), "INSERT": ("insert",), "TEXT": ("insert", "align_point")}.get(entity.dxftype(), ())
        at = [name for name in names if entity.dxf.hasattr(name) and inside(entity.dxf.get(name))]
        for name in at:
            entity.dxf.set(name, Vec3(entity.dxf.get(name)) + Vec3(*by))
            n += 1
    return n


def drawn_again(source, target, box, by):
    """Copies what is drawn to a new file after it was stretched; dimensions of the place that moved are left out."""
    old = ezdxf.readfile(source)
    for dimension in old.modelspace().query("DIMENSION"):
        old.modelspace().delete_entity(dimension)
    assert stretched(old, box, by) >= 6, "nothing was moved"
    new = ezdxf.new("R2010")
    new.header["$INSUNITS"], new.header["$MEASUREMENT"] = 4, 1
    for _ in range(500):
        new.entitydb.next_handle()
    importer = Importer(old, new)
    importer.import_modelspace()
    importer.finalize()
    turn = Matrix44.chain(Matrix44.scale(25.4), Matrix44.z_rotate(math.pi / 2), Matrix44.translate(1e6, 2e6, 0))
    for entity in list(new.modelspace()):
        entity.transform(turn)
        entity.dxf.layer = f"OTHER-{entity.dxf.layer}"
    new.saveas(target)


def run(program, *arguments):
    made = subprocess.run([str(program), *map(str, arguments)], capture_output=True, text=True)
    return made.returncode, made.stdout, made.stderr


def touched(package, wall, spans):
    """Marks of a wall's panels that one of the spans comes near to."""
    panels = {piece["panel"]: (piece["from"], piece["to"]) for piece in wall["run"] if "panel" in piece}
    near = lambda panel, span: panel[0] < span[1] + REACH and panel[1] > span[0] - REACH
    return {mark for mark, panel in panels.items() if any(near(panel, span) for span in spans)}


def check(program, first, sample, folder, results):
    plan, second = folder / "plan-again.dxf", folder / "bunkhouse-revised"
    package = Package(first)
    # The west wall runs from north to south as seen from outside; its window stands before its door, which parts the sole plate.
    wall = next(it for it in package.walls if it["along"][1] < -0.99)
    hole = min(wall["openings"])
    top = wall["origin"][1]
    low, high = top - hole[2], top - hole[0]
    drawn_again(sample / "plan.dxf", plan, (-20, low - 2, 8, high + 2), (0, MOVED, 0))
    # North goes with it.
    job = folder / "job-again.toml"
    text = (sample / "job.toml").read_text()
    assert 'north = "up"' in text, "north is another"
    job.write_text(text.replace('north = "up"', 'north = "left"'))
    code, _, words = run(program, "make", plan, "--job", job, "--revise", first, "--out", second, "--no-pdf", "--quiet")
    results.add("make bunkhouse, drawn again", 1, [] if code == 0 else [f"exit code {code}: {words[-400:]}"])
    if not (second / "panels.json").exists():
        return
    may = touched(package, wall, [(hole[0], hole[2]), (hole[0] - MOVED, hole[2] - MOVED)])
    later = {panel["mark"]: panel for panel in Package(second).panels}
    problems, n_cases = [], 0
    for panel in package.panels:
        mark = panel["mark"]
        if mark in may:
            continue
        files = [f"outlines/{mark}.dxf", *(str(path.relative_to(first)) for path in first.glob(f"sheets/Z-4*-{mark}.svg"))]
        for name in files:
            n_cases += 1
            if not (second / name).exists() or (second / name).read_bytes() != (first / name).read_bytes():
                problems.append(f"{name} is not byte for byte what it was")
        if mark not in later or later[mark]["revision"]:
            problems.append(f"{mark} was not touched, and its mark or revision is another")
    revised = {mark for mark, panel in later.items() if panel["revision"]}
    # A panel may be new or retired there, but one at least goes on.
    if not revised or not revised <= may:
        problems.append(f"revised are {sorted(revised)}, the window touches {sorted(may)}")
    results.add("a window moved in a plan drawn again touches its own panels alone", n_cases, problems)
    results.add("ezdxf reads and audits bunkhouse, drawn again", *outlines.check(second))
    sheet = " ".join("".join(it.itertext()) for it in pictures.tree.parse(second / "sheets/Z-091-revised-panels.svg").iter(pictures.SVG_TEXT))
    named = [mark for mark in revised if mark not in sheet]
    said = [] if 'is 6" farther' in sheet else ["the sheet of changes does not name the window's way"]
    results.add("the sheet of changes names panel and window", 2, said + [f"{mark} is not named" for mark in named])
    overlay = folder / "overlay"
    run(program, "compare", first, second, "--out", overlay)
    results.add("parts of two issues add up", *parts_add_up(overlay / "parts.csv", package.panels, later, revised))
    results.add("sheets of a revision by resvg and Chromium", *pictures.check_all([*overlay.glob("*.svg"), *second.glob("sheets/Z-09*.svg"), *(next(second.glob(f"sheets/*-{mark}.svg")) for mark in sorted(revised)[:1])]))


def parts_add_up(path, before, later, revised):
    """Every stick of a panel that is not the same stands in parts.csv once on either side; nothing becomes longer than it was."""
    rows = list(csv.DictReader(path.open(newline="")))
    old = {panel["mark"]: panel for panel in before}
    is_other = lambda mark: mark in revised or mark not in later or mark not in old
    sticks = lambda panels: sorted(f"{part['mark']} {part['use']}" for panel in panels if is_other(panel["mark"]) for part in panel["lumber"])
    lumber = [row for row in rows if row["there (in)"] or row["wanted (in)"]]
    problems = []
    for side, panels in (("there", before), ("becomes", later.values())):
        found, wanted = sorted(row[side] for row in lumber if row[side]), sticks(panels)
        if found != wanted:
            problems.append(f"{side}: {len(found)} sticks are listed, {len(wanted)} are in the panels")
    for row in lumber:
        there, wanted = (float(row[name] or 0) for name in ("there (in)", "wanted (in)"))
        fits = {"reuse": abs(there - wanted) < 0.002, "recut": there > wanted > 0, "scrap": there and not wanted, "cut new": wanted and not there}
        if not fits[row["what to do"]]:
            problems.append(f"{row}: {row['what to do']} does not fit")
    return len(rows), problems
