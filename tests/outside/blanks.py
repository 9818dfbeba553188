"""Opens every blank of a package with ezdxf, measures it with shapely (both PyPI), and saws it again from its list of cuts.

    python3 tests/outside/blanks.py PACKAGE

An audit must find no error and make no fix. Every panel is its outline of panels.json, moved and turned by quarters, never
mirrored; panels lie inside the trim and a kerf apart. Rectangles are sawn again as nested cuts in whole nanometres, written anew
here; stock is summed up from the lists of panels.json.
"""

import collections
import json
import sys

import ezdxf
from shapely.affinity import rotate, scale, translate
from shapely.geometry import Polygon, box

from outlines import UNITS, facts_of, points_of
from package import Package

NEAR = 1e-6
TURNS = {"+y": 0, "-x": 90, "-y": 180, "+x": -90}


def nm(inches):
    return round(inches * 25_400_000)


def rect(at):
    return tuple(nm(value) for value in at)


def sawn(sheet, pieces):
    """A sentence when the cuts do not leave just the pieces and offcuts."""
    trim, kerf = nm(sheet["trim"]), nm(sheet["kerf"])
    whole = (trim, trim, nm(sheet["length"]) - trim, nm(sheet["width"]) - trim)
    parts = collections.Counter([whole])
    for cut in sheet["cuts"]:
        if cut.get("kind", "through") != "through":
            continue
        (ax, ay), (bx, by) = (tuple(map(nm, end)) for end in (cut["from"], cut["to"]))
        for part in parts:
            x0, y0, x1, y1 = part
            if ax == bx and (y0, y1) == tuple(sorted((ay, by))) and x0 <= ax <= x1:
                both = [(x0, y0, ax, y1), (ax + kerf, y0, x1, y1)]
                break
            if ay == by and (x0, x1) == tuple(sorted((ax, bx))) and y0 <= ay <= y1:
                both = [(x0, y0, x1, ay), (x0, ay + kerf, x1, y1)]
                break
        else:
            return f"cut {cut['number']} parts nothing from edge to edge"
        parts[part] -= 1
        parts += collections.Counter()
        parts.update(p for p in both if p[0] < p[2] and p[1] < p[3])
    listed = collections.Counter(map(rect, pieces)) + collections.Counter(
        rect(offcut["at"]) for offcut in sheet["offcuts"]
    )
    return None if listed == parts else f"sawing leaves {sum((parts - listed).values())} other rectangles"


def placed(panel, on):
    """The upper face of a panel as it must lie on its blank."""
    faces = [panel["outer_skin"], panel["inner_skin"]]
    shapes = [Polygon(face["outline"], face["holes"]) for face in faces]
    shape = shapes[panel["face_up"] == "inner"]
    if panel["face_up"] == "inner":
        shapes = [scale(it, -1, 1, origin=(0, 0)) for it in shapes]
        shape = scale(shape, -1, 1, origin=(0, 0))
    turn = TURNS[on["up"]]
    shape, both = rotate(shape, turn, origin=(0, 0)), [rotate(it, turn, origin=(0, 0)) for it in shapes]
    x = min(it.bounds[0] for it in both)
    y = min(it.bounds[1] for it in both)
    return translate(shape, on["at"][0] - x, on["at"][1] - y)


def pieces_of(blank):
    """Rectangles that the cuts must leave: a pair nose to tail is one."""
    found = {}
    for on in blank["panels"]:
        key = tuple(sorted([on["mark"], on["paired_with"] or on["mark"]]))
        at, other = on["at"], found.get(key)
        found[key] = at if other is None else [
            min(at[0], other[0]), min(at[1], other[1]), max(at[2], other[2]), max(at[3], other[3])
        ]
    return list(found.values())


def of_blank(blank, panels, document):
    """Sentences, one for each thing that is wrong with a blank."""
    problem = sawn(blank, pieces_of(blank))
    if problem:
        yield problem
    trim = blank["trim"]
    inside = box(trim, trim, blank["length"] - trim, blank["width"] - trim).buffer(NEAR)
    by_role = collections.defaultdict(list)
    for entity in document.modelspace():
        by_role[facts_of(entity).get("role")].append(entity)
    if len(by_role["blank"]) != 1:
        yield "has no contour of its own"
        return
    factor, units = UNITS[facts_of(by_role["blank"][0])["unit"]]
    if document.dxfversion >= "AC1015" and document.header.get("$INSUNITS") != units:
        yield f"$INSUNITS is {document.header.get('$INSUNITS')}"

    def shape(entity):
        return Polygon([(x * factor, y * factor) for x, y in points_of(entity)])

    if not shape(by_role["blank"][0]).equals_exact(box(0, 0, blank["length"], blank["width"]), NEAR) and (
        shape(by_role["blank"][0]).symmetric_difference(box(0, 0, blank["length"], blank["width"])).area > NEAR
    ):
        yield "its contour is not the blank"
    drawn = {}
    for entity in by_role["outline"]:
        drawn[facts_of(entity)["mark"]] = shape(entity)
    holes = collections.defaultdict(list)
    for entity in by_role["opening"]:
        holes[facts_of(entity)["mark"]].append(shape(entity))
    if sorted(drawn) != sorted(on["mark"] for on in blank["panels"]):
        yield f"shows {sorted(drawn)}"
    for on in blank["panels"]:
        expected = placed(panels[on["mark"]], on)
        found = drawn.get(on["mark"], Polygon())
        for hole in holes[on["mark"]]:
            found = found.difference(hole)
        if found.symmetric_difference(expected).area > 1e-4:
            yield f"{on['mark']} is not where it lies"
        if not inside.contains(found):
            yield f"{on['mark']} lies outside the trim"
    names = sorted(drawn)
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            apart = drawn[a].distance(drawn[b])
            if apart < blank["kerf"] - NEAR:
                yield f"{a} and {b} lie {apart:.6f} in apart"
    cuts = sorted(int(facts_of(entity)["number"]) for entity in by_role["cut"])
    if cuts != [cut["number"] for cut in blank["cuts"]] or cuts != list(range(1, len(cuts) + 1)):
        yield "its cuts are not numbered in order"
    if len(by_role["offcut"]) != len(blank["offcuts"]):
        yield "shows other offcuts"


def of_stock(stock, package):
    """Sentences on what does not add up between stock and panels."""
    names = collections.Counter()
    for key in ("boards", "slabs"):
        for sheet in stock[key]:
            problem = sawn(sheet, [piece["at"] for piece in sheet["pieces"]])
            if problem:
                yield f"{sheet[key[:-1]]}: {problem}"
            for piece in sheet["pieces"]:
                x0, y0, x1, y1 = piece["at"]
                names[piece["name"].split(" core")[0]] += nm(x1 - x0) * nm(y1 - y0)
    for blank in stock["blanks"]:
        area = nm(blank["length"]) * nm(blank["width"])
        for name in (blank["blank"], f"{blank['blank']} outer", f"{blank['blank']} inner"):
            if any(it == name or it.startswith(f"{name} core") for it in stock["unplaced"]):
                names.pop(name, None)
            elif not blank["leftover"] and names.pop(name, 0) != area:
                yield f"{name} is not cut once, as large as the blank"
    if names:
        yield f"cut for nothing: {sorted(names)}"
    wanted = {
        part["mark"]: nm(part["length"]) for panel in package.panels if not panel["hold"] for part in panel["lumber"]
    }
    wanted |= {plate["mark"]: nm(plate["length"]) for wall in package.walls for plate in wall["plates"]}
    for name in stock["unplaced"]:
        wanted.pop(name, None)
    for bar in stock["lumber"]:
        left = nm(bar["length"]) - 2 * nm(bar["trim"])
        for piece in bar["pieces"]:
            if wanted.pop(piece["mark"], None) != nm(piece["length"]):
                yield f"{piece['mark']} is cut twice, to another length, or for nothing"
            left -= nm(piece["length"])
            if left < 0:
                yield f"{bar['bar']} is too short"
            left = max(left - nm(bar["kerf"]), 0)
        if left != nm(bar["offcut"]):
            yield f"{bar['bar']} leaves {left / 25.4e6} in"
    if wanted:
        yield f"cut from no bar: {sorted(wanted)[:5]}"
    for tally in stock["summary"]:
        if tally["bound"] > tally["count"]:
            yield f"{tally['what']}: the bound {tally['bound']} is above the count {tally['count']}"
    yield from of_waste(stock)


def of_waste(stock):
    """Used, kept and wasted area, volume and length, added up again from the sheets, billets and bars themselves."""
    area = lambda at: (at[2] - at[0]) * (at[3] - at[1]) / 144
    sums = collections.defaultdict(lambda: [0.0, 0.0, 0.0])

    def add(kind, used, cut, kept):
        for index, value in enumerate((used, cut, kept)):
            sums[kind][index] += value

    for kind in ("boards", "slabs"):
        for sheet in stock[kind]:
            kept = sum(area(it["at"]) for it in sheet["offcuts"] if it["kept"])
            add(kind, sheet["length"] * sheet["width"] / 144, sum(area(it["at"]) for it in sheet["pieces"]), kept)
    for it in stock["billets"]:
        face = it["length"] * it["width"] / 1728
        add("billets", face * it["height"], face * sum(slab["to"] - slab["from"] for slab in it["slabs"]), face * (it["rest"] + it["skin"]) if it["kept"] else 0)
    for bar in stock["lumber"]:
        add("lumber", bar["length"] / 12, sum(it["length"] for it in bar["pieces"]) / 12, bar["offcut"] / 12 if bar["kept"] else 0)
    for kind, own in sums.items():
        tallies = [it for it in stock["summary"] if it["kind"] == kind]
        for index, key in enumerate(("used", "cut", "kept")):
            if abs(sum(it[key] for it in tallies) - own[index]) > 1e-5:
                yield f"{kind}: {key} is not what the sheets and bars come to"
        if abs(sum(it["waste"] for it in tallies) - (own[0] - own[1] - own[2])) > 1e-5:
            yield f"{kind}: the waste is not what is left"


def check(folder):
    """How many blanks were measured, and what is wrong."""
    package = Package(folder)
    stock = json.loads((package.folder / "stock.json").read_text())
    panels = {panel["mark"]: panel for panel in package.panels}
    wrong = [f"stock.json: {sentence}" for sentence in of_stock(stock, package)]
    on = collections.Counter(it["mark"] for blank in stock["blanks"] for it in blank["panels"])
    free = {mark for mark, panel in panels.items() if not panel["hold"]}
    if on != collections.Counter(free - set(stock["unplaced"])):
        wrong.append("stock.json: the panels on blanks are not those that may be cut, each once")
    files = {file.stem for file in (package.folder / "blanks").glob("*.dxf")}
    if files != {blank["blank"] for blank in stock["blanks"]}:
        wrong.append("blanks/: not one file for each blank")
    for blank in stock["blanks"]:
        file = package.folder / "blanks" / f"{blank['blank']}.dxf"
        if not file.exists():
            continue
        document = ezdxf.readfile(file)
        audit = document.audit()
        if audit.errors or audit.fixes:
            wrong.append(f"{file.name}: the audit finds {len(audit.errors)} errors, {len(audit.fixes)} fixes")
        wrong += [f"{file.name}: {sentence}" for sentence in of_blank(blank, panels, document)]
    # A package made for review holds all panels: then there is no blank to measure, but the lists were summed up.
    return max(len(stock["blanks"]), 1), wrong


if __name__ == "__main__":
    count, problems = check(sys.argv[1])
    print(*problems, sep="\n")
    print(f"{count} blanks")
    sys.exit(bool(problems) or not count)
