"""Reads outline files as the person at the saw does: with ezdxf (PyPI), nothing else at hand, and rebuilds the panel with shapely (PyPI).

    python3 tests/outside/saw.py PACKAGE

Every contour is closed, flat, straight-sided, crosses neither itself nor another of its layer, and is no copy. From the data on the
contours alone: the edges chain to the outer skin; the inner skin follows from the bevels and the thickness; the foam stands back from
every edge by its recess; slots and chases lie where their depth and diameter say, chases in foam. Every depth, bevel and treatment of
corners in the data stands in the notes too, and notes say no other. Nothing is over-cut: a contour has no vertex outside the panel's
own corners. No text is mirrored. The rebuilt panel is the one of panels.json.
"""

import collections
import itertools
import math
import re
import sys

import ezdxf
import shapely
from shapely import LineString, Point, Polygon, box

from outlines import APPLICATION, UNITS, area, points_of
from package import Package

NEAR = 1 / 64
TINY = 1e-6
BY_RULE = {
    "square": "square by the machine",
    "stop short": "stop short, finish by hand",
    "tool radius": "tool radius left standing, square by hand",
}
TREATMENTS = {
    "square by the machine": "inside corners: square by the machine",
    "stop short, finish by hand": "inside corners: stop short of the corner, finish by hand",
    "tool radius left standing, square by hand": "left standing in the opening, square by hand",
}


def facts_of(entity):
    """All values of each name on an entity, in the order of the file."""
    facts = collections.defaultdict(list)
    if entity.has_xdata(APPLICATION):
        for tag in entity.get_xdata(APPLICATION):
            if tag.code == 1000 and "=" in tag.value:
                name, value = tag.value.split("=", 1)
                facts[name].append(value)
    return facts


class File:
    """One outline file, in inches."""

    def __init__(self, path):
        space = ezdxf.readfile(path).modelspace()
        self.entities = [(entity, facts_of(entity)) for entity in space]
        (_, self.facts), *more = [it for it in self.entities if it[1]["role"] == ["outline"]]
        self.n_outlines = 1 + len(more)
        self.factor = UNITS[self.facts["unit"][0]][0]
        self.thickness = float(self.facts["thickness"][0]) * self.factor
        self.up = self.facts["face up"][0]
        self.texts = [entity for entity, _ in self.entities if entity.dxftype() == "TEXT"]

    def points(self, entity):
        return [(x * self.factor, y * self.factor) for x, y in points_of(entity)]

    def rings(self, role, **wanted):
        for entity, facts in self.entities:
            if facts["role"] == [role] and all(facts[name] == [value] for name, value in wanted.items()):
                yield self.points(entity), facts

    def edges(self, facts):
        for words in facts["edge"]:
            place, *rest = words.split("; ")
            values = [it.split("=", 1) for it in rest]
            numbers = [float(it) * self.factor for it in place.split()]
            edge = {"from": tuple(numbers[:2]), "to": tuple(numbers[2:]), "slots": []}
            for name, value in values:
                if name == "slot":
                    face, depth, width = value.split()
                    edge["slots"].append((face, float(depth) * self.factor, float(width) * self.factor))
                else:
                    edge[name] = value
            edge["recess"] = float(edge["recess"]) * self.factor
            edge["bevel"] = float(edge["bevel"])
            yield edge

    def face(self, up):
        """The rings of the face that lies up or down: outline, holes."""
        (outline, _), = self.rings("outline")
        holes = [ring for ring, _ in self.rings("opening")]
        if up:
            return outline, holes
        if self.facts["under outline"] == ["own"]:
            (outline, _), = self.rings("under", contour="outline")
        if self.facts["under holes"] == ["own"]:
            holes = [ring for ring, _ in self.rings("under", contour="hole")]
        return outline, holes

    def skin(self, name):
        return self.face(name == self.up)

    def foam(self):
        pieces = collections.defaultdict(lambda: [None, []])
        for ring, facts in self.rings("recess"):
            piece = pieces[facts["foam"][0]]
            if facts["contour"] == ["outline"]:
                piece[0] = ring
            else:
                piece[1].append(ring)
        return shapely.union_all([Polygon(shell, holes) for shell, holes in pieces.values()])

    def notes(self):
        """The notes from top to bottom, wrapped lines joined."""
        words = [text for text in self.texts if text.dxf.layer.endswith("NOTE")]
        words.sort(key=lambda text: -text.dxf.insert.y)
        lines = []
        for text in words:
            if text.dxf.text.startswith("    "):
                lines[-1] += " " + text.dxf.text.strip()
            else:
                lines.append(text.dxf.text)
        return lines


def inches(words):
    """A length as notes write it: on a tape, or in millimetres."""
    words = words.strip().lstrip("~")
    if words.endswith("mm"):
        return float(words[:-2]) / 25.4
    whole, _, part = words.rstrip('"').rpartition(" ")
    if "/" not in part:
        return float(part)
    over, under = part.split("/")
    return (float(whole) if whole else 0.0) + float(over) / float(under)


def sound(file):
    """Contours as a controller wants them."""
    if file.n_outlines != 1:
        yield f"has {file.n_outlines} outer contours"
    layers = collections.defaultdict(list)
    for entity, facts in file.entities:
        if entity.dxftype() == "TEXT":
            if entity.dxf.get("text_generation_flag", 0) or tuple(entity.dxf.extrusion) != (0, 0, 1):
                yield f"the text '{entity.dxf.text}' is mirrored"
            continue
        if entity.dxftype() == "LINE":
            if entity.dxf.start.z or entity.dxf.end.z or entity.dxf.start.isclose(entity.dxf.end):
                yield "a line is not flat, or has no length"
            continue
        flat = tuple(entity.dxf.extrusion) == (0, 0, 1)
        if entity.dxftype() == "LWPOLYLINE":
            flat = flat and not entity.dxf.elevation
            bulges = [bulge for *_, bulge in entity.get_points()]
        else:
            flat = flat and not any(vertex.dxf.location.z for vertex in entity.vertices)
            bulges = [vertex.dxf.get("bulge", 0) for vertex in entity.vertices]
        if not flat or any(bulges):
            yield f"a contour of {entity.dxf.layer} is not flat or not straight-sided"
        ring = file.points(entity)
        if any(math.dist(a, b) < NEAR / 4 for a, b in zip(ring, ring[1:] + ring[:1])):
            yield f"a contour of {entity.dxf.layer} has a side of no length"
        if not Polygon(ring).is_valid:
            yield f"a contour of {entity.dxf.layer} crosses itself"
        layers[entity.dxf.layer].append(ring)
    for layer, rings in layers.items():
        for a, b in itertools.combinations(rings, 2):
            if set(a) == set(b):
                yield f"{layer} has a contour twice"
            elif LineString(a + a[:1]).crosses(LineString(b + b[:1])):
                yield f"two contours of {layer} cross"


def moved_in(ring, shifts):
    """A ring turning left with each side moved to its left by its own distance."""
    lines = []
    for (a, b), shift in zip(zip(ring, ring[1:] + ring[:1]), shifts):
        length = math.dist(a, b)
        dx, dy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        lines.append(((a[0] - dy * shift, a[1] + dx * shift), (dx, dy)))
    found = []
    for ((px, py), (ax, ay)), ((qx, qy), (bx, by)) in zip(lines[-1:] + lines[:-1], lines):
        cross = ax * by - ay * bx
        along = ((qx - px) * by - (qy - py) * bx) / cross
        found.append((px + ax * along, py + ay * along))
    return found


def far(ring, other):
    """How far apart two rings lie, vertex by vertex."""
    if len(ring) != len(other):
        return math.inf
    starts = range(len(other))
    return min(max(math.dist(a, b) for a, b in zip(ring, other[n:] + other[:n])) for n in starts)


def stands_back(foam, a, b, recess):
    """True when no foam lies nearer to a side, on its left, than its recess, and some of it no farther."""
    length = math.dist(a, b)
    left = -(b[1] - a[1]) / length, (b[0] - a[0]) / length

    def strip(depth):
        beyond = [(x + left[0] * depth, y + left[1] * depth) for x, y in (b, a)]
        return foam.intersection(Polygon([a, b, *beyond])).area

    return recess <= NEAR or strip(recess - NEAR) < TINY


def rebuilt(file):
    """The panel from the data alone, against its own contours."""
    outer, _ = file.skin("outer")
    inner, _ = file.skin("inner")
    edges = list(file.edges(file.facts))
    sides = list(zip(outer, outer[1:] + outer[:1]))
    by_place = {(edge["from"], edge["to"]): edge for edge in edges}
    if len(edges) != len(sides) or any(side not in by_place for side in sides):
        yield "its edges do not chain to the outer skin"
        return
    edges = [by_place[side] for side in sides]
    tans = [math.tan(math.radians(edge["bevel"])) for edge in edges]
    expected = moved_in(outer, [file.thickness * it for it in tans])
    if far(inner, expected) > NEAR:
        yield f"thickness and bevels give an inner skin {far(inner, expected):.4f} in off the one drawn"
    foam = file.foam()
    middle = moved_in(outer, [file.thickness / 2 * it for it in tans])
    if not foam.is_empty:
        for edge, a, b in zip(edges, middle, middle[1:] + middle[:1]):
            if not stands_back(foam, a, b, edge["recess"]):
                yield f"foam lies nearer to a {edge['joint']} edge than its recess {edge['recess']:.3f}"
    for ring, facts in file.rings("opening"):
        if facts["cut"]:
            continue
        around = list(file.edges(facts))
        if {(edge["from"], edge["to"]) for edge in around} != set(zip(ring, ring[1:] + ring[:1])):
            yield "the edges of a hole do not chain to it"
        for edge in around:
            if not stands_back(foam, edge["from"], edge["to"], edge["recess"]):
                yield f"the foam stands nearer to {edge.get('with')} than its recess {edge['recess']:.3f}"
    slots = {(edge["from"], edge["to"], it) for edge in edges for it in edge["slots"]}
    found = set()
    for entity, facts in file.entities:
        if facts["role"] == ["slot"]:
            line = [tuple(c * file.factor for c in (p.x, p.y)) for p in (entity.dxf.start, entity.dxf.end)]
            for words in facts["slot"]:
                face, depth, width = words.split("; ")
                depth, width = (float(it.split("=")[1]) * file.factor for it in (depth, width))
                for side in slots:
                    a, b, (name, deep, wide) = side
                    beside = LineString([a, b]).distance(LineString(line))
                    if (name, deep, wide) == (face, depth, width) and abs(beside - width / 2) < NEAR:
                        found.add(side)
        if facts["role"] == ["chase"]:
            line = LineString([[c * file.factor for c in (p.x, p.y)] for p in (entity.dxf.start, entity.dxf.end)])
            radius = float(facts["chase diameter"][0]) * file.factor / 2
            body = line.buffer(radius, cap_style="flat")
            if body.difference(foam.buffer(NEAR)).area > NEAR:
                yield f"a chase {list(line.coords)} leaves the foam"
    if found != slots:
        yield f"{len(slots - found)} slots of its edges have no centre line"


def turns_in(ring, is_hole):
    """How many corners of a contour lie inside the skin, where a blade would cut too far."""
    corners = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1])
    turns = [(b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) for a, b, c in corners]
    return len(turns) if is_hole else sum(turn < -TINY for turn in turns)


def said(file):
    """Notes and data say the same."""
    lines = file.notes()
    words = "\n".join(lines)
    edges = [edge for _, facts in file.rings("outline") for edge in file.edges(facts)]
    edges += [edge for _, facts in file.rings("opening") for edge in file.edges(facts)]
    for name in ("mark", "face up", "unit", "assembly"):
        if file.facts[name][0] not in words:
            yield f"no note says its {name} {file.facts[name][0]}"
    depths = {round(edge["recess"], 6) for edge in edges if edge["recess"] > 0}
    # Notes are to 1/64 in: two depths nearer than that are one number there.
    written = {inches(it) for it in re.findall(r"foam (.+?) back from", words)}
    ways = ((depths, written), (written, depths))
    if any(min((abs(a - b) for b in others), default=1) > 1 / 128 for these, others in ways for a in these):
        yield f"recesses are {sorted(depths)} in the data and {sorted(written)} in the notes"
    bevels = sorted(round(abs(edge["bevel"]), 3) for edge in edges if edge["bevel"])
    written = sorted(float(it) for it in re.findall(r"([\d.]+) degrees from square", words))
    if bevels != written:
        yield f"bevels are {bevels} in the data and {written} in the notes"
    longer = collections.Counter("outer" if edge["bevel"] > 0 else "inner" for edge in edges if edge["bevel"])
    if longer != collections.Counter(re.findall(r"(outer|inner) skin longer", words)):
        yield "data and notes do not agree which skin is longer"
    slots = {(face, round(d, 4), round(w, 4)) for edge in edges for face, d, w in edge["slots"]}
    written = re.findall(r"slot behind the (\w+) skin: (.+?) deep, (.+?) wide", words)
    if len(slots) != len(written) or any(
        min(abs(d - inches(dd)) + abs(w - inches(ww)) for f, dd, ww in written if f == face) > 1 / 64
        for face, d, w in slots
    ):
        yield f"slots are {sorted(slots)} in the data and {written} in the notes"
    cuts = [facts for role in ("under", "opening") for _, facts in file.rings(role) if facts["cut"]]
    own = sorted((it["cut"][0], round(float(it["depth"][0]) * file.factor, 2)) for it in cuts)
    written = re.findall(r"cut from the inner face, for (.+?): .+? x .+?, (.+?) deep", words)
    if own != sorted((what, round(inches(depth), 2)) for what, depth in written):
        yield f"cuts from the inner face are {own} in the data and {written} in the notes"
    # How inside corners are made stands on every contour that has one.
    treatments = set()
    for role in ("outline", "opening", "under"):
        for ring, facts in file.rings(role):
            inside = turns_in(ring, area(ring) < 0)
            if inside and len(facts["corners"]) != 1:
                yield f"{inside} inside corners of a contour of {role} are not treated"
            treatments |= set(facts["corners"])
    if len(treatments) > 1:
        yield f"inside corners are treated in several ways: {sorted(treatments)}"
    for treatment, sentence in TREATMENTS.items():
        if (treatment in treatments) != (sentence in words):
            yield f"data and notes do not agree on '{treatment}'"
    outline, holes = file.face(True)
    width = max(x for x, _ in outline)
    for text in file.texts:
        x, y = text.dxf.insert.x * file.factor, text.dxf.insert.y * file.factor
        if text.dxf.layer.endswith("NOTE") and x <= width:
            yield f"the note '{text.dxf.text}' lies on the panel"
        if text.dxf.layer.endswith("MARK") and not Polygon(outline, holes).covers(Point(x, y)):
            yield "its mark is inked beyond the skin"


def of_panel(file, panel):
    """The rebuilt panel against panels.json: areas and sizes of skins and foam."""
    for name in ("outer", "inner"):
        outline, holes = file.skin(name)
        ours = Polygon(outline, holes)
        theirs = Polygon(panel[f"{name}_skin"]["outline"], panel[f"{name}_skin"]["holes"])
        if file.facts["x mirrored"] == ["yes"]:
            theirs = shapely.transform(theirs, lambda xy: xy * [-1.0, 1.0] + [panel["width"], 0.0])
        if ours.symmetric_difference(theirs).area > NEAR**2:
            yield f"its {name} skin is not that of panels.json"
    foam = [panel["core"], *panel["core_others"]]
    theirs = sum(Polygon(it["outline"], it["holes"]).area for it in foam if it["outline"])
    if abs(file.foam().area - theirs) > NEAR:
        yield "its foam is not that of panels.json"
    x0, y0, x1, y1 = Polygon(file.skin("outer")[0]).bounds
    if max(abs(x0), abs(y0), abs(x1 - panel["width"]), abs(y1 - panel["height"])) > TINY:
        yield "its outer skin does not begin at the datum corner"


def check(folder, corners=None):
    """How many files were read, and what is wrong. `corners`: the treatment that all of them have to state."""
    package, n, wrong = Package(folder), 0, []
    stated = set()
    for panel in package.panels:
        suffix = f"-{panel['revision']}" if panel["revision"] else ""
        path = package.folder / ("held" if panel["hold"] else "outlines") / f"{panel['mark']}{suffix}.dxf"
        if not path.exists():
            wrong.append(f"{panel['mark']}: has no file")
            continue
        n += 1
        file = File(path)
        for judge in (sound, rebuilt, said):
            wrong += [f"{panel['mark']}: {sentence}" for sentence in judge(file)]
        wrong += [f"{panel['mark']}: {sentence}" for sentence in of_panel(file, panel)]
        stated |= {it for _, facts in file.entities for it in facts["corners"]}
    if corners and stated - {corners}:
        wrong.append(f"inside corners are {sorted(stated)}, the rule says {corners}")
    return n, wrong


if __name__ == "__main__":
    n, problems = check(*sys.argv[1:])
    print("\n".join(problems) or f"{n} files agree")
    sys.exit(1 if problems or not n else 0)
