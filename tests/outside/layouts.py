"""Looks every joint of a package up against the shipped rules, from panels.json alone, and counts what a layout takes.

    python3 tests/outside/layouts.py PACKAGE...            checks, and one row of the table in docs/layout.md for each
    python3 tests/outside/layouts.py --table PROGRAM       makes the samples and the drawn corpus beside the project; the whole table

Checked: each wall's cost is its proved bound, or its gap is stated (LAY-22); no panel is narrower than 12 in (a pier beside a framed
opening: 3 in, and then it is solid lumber with no foam) or wider than the 8 ft blank; no joint lies in an opening or within 6 in of its
rough jambs; none lies under a jack of the storey above; panels, joints and openings tile the run. All are shipped defaults (common practice, no source). Counted beside it: a joint every 4 ft from the left, moved right where
an opening is in the way, as one would without thinking.
"""

import json
import pathlib
import shutil
import sys
import tempfile

from package import Package, in_wall, of_panel, pieces

GAP, LEAST, PIER, FROM_OPENING, NEAR = 0.125, 12.0, 3.0, 6.0, 1e-6
NARROW, WIDE = 48.0, 96.0


def openings(package, wall):
    """Rough openings of a wall: from, to, in run axes; those cut in panels and those framed between them."""
    starts = {name: start for kind, name, start, _ in pieces(wall) if kind == "panel"}
    found = [(start, end) for kind, _, start, end in pieces(wall) if kind == "opening"]
    for panel in package.panels:
        if panel["mark"] in starts:
            at = starts[panel["mark"]]
            found += [(at + o["rough"][0], at + o["rough"][2]) for o in panel["openings"]]
    return sorted(found)


def blank_area(width, height):
    """Square inches of blank that a panel uses up: shipped lines make blanks as long as the panel is high, without trim."""
    line = NARROW if width <= NARROW + NEAR else WIDE
    return line * height


def chopped(stretch, holes):
    """Widths of panels with a joint every 4 ft from the left; a joint that an opening forbids goes right, or left if it has to."""
    start, end = stretch
    widths, at = [], start
    while end - at > NARROW + NEAR:
        joint = at + NARROW
        zones = [(low - FROM_OPENING, high + FROM_OPENING + GAP) for low, high in holes]
        while True:
            over = [zone for zone in zones if zone[0] < joint < zone[1]]
            if not over:
                break
            joint = max(zone[1] for zone in over)
        if joint - at > WIDE:
            left = [zone[0] for zone in zones if at + LEAST <= zone[0] <= at + WIDE]
            joint = max(left, default=at + WIDE)
        if end - joint < LEAST:
            break
        widths.append(joint - at - GAP)
        at = joint
    widths.append(end - at)
    return widths


def is_module(width):
    return any(abs(width + more - module) < NEAR for more in (0, GAP) for module in (NARROW, WIDE))


def hollow(panel):
    """True where a strip has foam, or its lumber leaves a part of its width open at a quarter or half of its height."""
    if panel["core"]["outline"]:
        return True
    for y in (panel["height"] / 4, panel["height"] / 2):
        reached = 0.0
        for x0, _, x1, _ in sorted(piece["rect"] for piece in panel["lumber"] if piece["rect"][1] < y < piece["rect"][3]):
            if x0 <= reached + NEAR:
                reached = max(reached, x1)
        if reached < panel["width"] - NEAR:
            return True
    return False


def joints_under_jacks(package):
    """Each jack that stands over a joint of the storey below; and how many stand over a wall of it."""
    storeys = [storey["id"] for storey in package.storeys()]
    n_jacks, wrong = 0, []
    for panel in package.panels:
        level = storeys.index(panel["storey"])
        below = [wall for wall in package.walls if level and wall["storey"] == storeys[level - 1]]
        for jack in (piece for piece in panel["lumber"] if piece["use"] == "jack"):
            sides = [of_panel(panel, x, 0, -panel["thickness"] / 2) for x in (jack["rect"][0], jack["rect"][2])]
            for wall in below:
                (one, out), (other, out_too) = (in_wall(wall, side) for side in sides)
                start, end = min(one, other), max(one, other)
                # Only over a wall that runs the same way: its thickness is reached nowhere else at both sides of a jack.
                if not all(-wall["thickness"] < it < 0 for it in (out, out_too)) or abs(out - out_too) > NEAR:
                    continue
                n_jacks += 1
                hit = [at for kind, _, at, to in pieces(wall) if kind == "gap" and to > start + NEAR and at < end - NEAR]
                wrong += [f"{wall['id']}: the joint at {at} is under jack {jack['mark']}" for at in hit]
    return n_jacks, wrong


class Count:
    """Panels, specials (no whole module), joints, blank and panel area."""

    def __init__(self):
        self.panels = self.specials = self.joints = 0
        self.blank = self.panel = 0.0

    def add(self, widths, height):
        self.panels += len(widths)
        self.specials += sum(not is_module(width) for width in widths)
        self.joints += len(widths) - 1
        self.blank += sum(blank_area(width, height) for width in widths)
        self.panel += sum(width * height for width in widths)

    def words(self):
        waste = 100 * (1 - self.panel / self.blank) if self.blank else 0
        return f"{self.panels} | {self.specials} | {self.joints} | {waste:.0f} %"


def look(folder):
    """How many walls were looked at, what is wrong, and the two counts."""
    package = Package(folder)
    findings = json.loads((package.folder / "findings.json").read_text())
    wrong, n_walls, own, naive = joints_under_jacks(package)[1], 0, Count(), Count()
    for wall in package.walls:
        if not wall["run"]:
            continue
        n_walls += 1
        name, holes = wall["id"], openings(package, wall)
        height = max(y for _, y in wall["top"]) - min(y for _, y in wall["base"])
        is_said = any(finding["code"] == "LAY-22" for finding in findings)
        if not (wall["cost_cents"] == wall["bound_cents"] or wall["cost_cents"] > wall["bound_cents"] and is_said) or wall["cost_cents"] <= 0:
            wrong.append(f"{name}: costs {wall['cost_cents']}, bound {wall['bound_cents']}")
        stretch, widths = 0.0, []
        run = list(pieces(wall))
        for place, (kind, mark, start, end) in enumerate(run):
            if kind == "panel":
                widths.append(end - start)
                beside = [run[at][0] for at in (place - 1, place + 1) if 0 <= at < len(run)]
                least = PIER if "opening" in beside and "gap" not in beside else LEAST
                if not least - NEAR <= end - start <= WIDE + NEAR:
                    wrong.append(f"{mark} is {end - start} wide")
                if end - start < LEAST - NEAR and hollow(package.panel(mark)):
                    wrong.append(f"{mark} is {end - start} wide and not solid lumber")
            elif kind == "gap":
                for low, high in holes:
                    if end > low - FROM_OPENING + NEAR and start < high + FROM_OPENING - NEAR:
                        wrong.append(f"{name}: the joint at {start} is too near the opening from {low} to {high}")
            if kind == "opening" or end > wall["length"] - NEAR:
                last = start if kind == "opening" else end
                own.add(widths, height)
                inner = [hole for hole in holes if stretch - NEAR < hole[0] and hole[1] < last + NEAR]
                naive.add(chopped((stretch, last), inner), height)
                stretch, widths = end, []
    return n_walls, wrong, own, naive


def check(folder):
    """How many walls were looked at, and what is wrong."""
    n_walls, wrong, _, _ = look(folder)
    return n_walls, wrong


def piers(folder):
    """The checks on a package with a pier, and that a pier without one of its studs is seen."""
    n_walls, wrong = check(folder)
    narrow = [panel["mark"] for panel in Package(folder).panels if panel["kind"] == "wall" and panel["width"] < LEAST - NEAR]
    if not narrow:
        wrong.append("no panel of the package is a pier")
    with tempfile.TemporaryDirectory() as temporary:
        copy = pathlib.Path(temporary) / "copy"
        shutil.copytree(folder, copy)
        file = json.loads((copy / "panels.json").read_text())
        for panel in file["panels"]:
            if panel["mark"] in narrow:
                panel["lumber"] = [piece for piece in panel["lumber"] if piece["use"] != "king stud"]
        (copy / "panels.json").write_text(json.dumps(file))
        if narrow and not check(copy)[1]:
            wrong.append("a pier without king studs is not seen")
    return n_walls, wrong


def stacked(folder):
    """Jacks of a package that stand over a wall, and that one moved over a joint is seen."""
    n_jacks, wrong = joints_under_jacks(Package(folder))
    moved = Package(folder)
    wall = next(it for it in moved.walls if any(kind == "gap" for kind, *_ in pieces(it)))
    first = next(start for kind, _, start, _ in pieces(wall) if kind == "gap")
    for panel in moved.panels:
        for jack in (piece for piece in panel["lumber"] if piece["use"] == "jack"):
            start, out = in_wall(wall, of_panel(panel, jack["rect"][0], 0, -panel["thickness"] / 2))
            if panel["storey"] != wall["storey"] and panel["placed"]["x"][:2] == wall["along"] and -wall["thickness"] < out < 0:
                jack["rect"][0] += first - start
                jack["rect"][2] += first - start
    if not joints_under_jacks(moved)[1]:
        wrong.append("a jack over a joint is not seen")
    return n_jacks, wrong


def row(name, folder):
    """Prints a row of the table and what is wrong; True where nothing is."""
    _, wrong, own, naive = look(folder)
    print(f"| {name} | {own.words()} | {naive.words()} |", flush=True)
    for line in wrong:
        print(f"    {line}")
    return not wrong


def table(program):
    """One row for each sample and each plan of the drawn corpus in which the program finds no fault; True where no rule is broken."""
    import run

    plans = sorted((run.SHARED / "corpus" / "drawn").glob("*.dxf"))
    if not plans:
        print("!!!!!!! ../shared/corpus/drawn is not here: samples only")
    print("| plan | panels | specials | joints | waste | chop: panels | specials | joints | waste |")
    print("|---|---|---|---|---|---|---|---|---|")
    sound = True
    for name, inputs in [*run.sources(), *((plan.stem, [plan]) for plan in plans)]:
        with tempfile.TemporaryDirectory() as temporary:
            code, _ = run.make(program, inputs, temporary, ["--no-pdf"])
            if code == 2:
                print(f"| {name} | refused | | | | | | | |")
                continue
            sound &= row(name, temporary)
    return sound


if __name__ == "__main__":
    if sys.argv[1:2] == ["--table"]:
        sys.exit(not table(pathlib.Path(sys.argv[2]).resolve()))
    # A list, so that every package is looked at.
    sys.exit(not all([row(place.rstrip("/").rsplit("/", 1)[-1], place) for place in sys.argv[1:]]))
