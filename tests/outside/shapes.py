"""Recomputes areas and coverage with shapely (PyPI) from panels.json alone, and the walls' footprint against the plan.

    python3 tests/outside/shapes.py PACKAGE

Every face is a valid polygon with its holes inside; skins, openings, gaps and framed openings fill each wall's face and nothing
else; foam lies inside the skins and clear of lumber; no two panels overlap in plan; the walls' footprint is the plan's outline.
"""

import itertools
import sys

import shapely
import shapely.affinity
from shapely import Polygon, box

from package import Package, in_building, of_panel, of_wall, pieces

TINY = 1e-6  # sq in: coordinates have nine decimals
NEAR = 1 / 64


def polygon(face):
    return Polygon(face["outline"], face["holes"])


def check(folder):
    """How many shapes were looked at, and what is wrong."""
    package = Package(folder)
    wrong, checked = [], 0
    for panel in package.panels:
        checked += 1
        wrong += [f"{panel['mark']}: {sentence}" for sentence in of_one(package, panel)]
    for wall in package.walls:
        checked += 1
        sentence = coverage(package, wall)
        if sentence:
            wrong.append(f"wall {wall['id']}: {sentence}")
    bodies = [(panel, body(panel)) for panel in package.panels]
    for (a, p), (b, q) in itertools.combinations(bodies, 2):
        low = max(span(a)[0], span(b)[0])
        high = min(span(a)[1], span(b)[1])
        # A sliver as long as a wall and 1/64 in deep is a rounding of two angles, not an overlap.
        common = p.intersection(q).buffer(-NEAR / 2).area if high - low > NEAR else 0
        if common > 0:
            wrong.append(f"{a['mark']} and {b['mark']} overlap")
    for storey in package.storeys():
        if len(storey["outline"]) > 2:
            checked += 1
            wrong += footprint(package, storey)
    return checked, wrong


def of_one(package, panel):
    outer, inner = polygon(panel["outer_skin"]), polygon(panel["inner_skin"])
    for name, face in (("outer", outer), ("inner", inner)):
        if not face.is_valid or face.area <= 0:
            yield f"the {name} skin is no valid polygon"
        shell = Polygon(face.exterior)
        if any(not shell.contains_properly(Polygon(hole)) for hole in face.interiors):
            yield f"a hole of the {name} skin is not inside its outline"
    if not panel["outer_skin"]["outline"] or outer.bounds != (0, 0, panel["width"], panel["height"]):
        yield f"its outer skin is {outer.bounds}, not {panel['width']} x {panel['height']}"
    cut = shapely.union_all([box(*opening["skin_hole"]) for opening in panel["openings"]])
    wall = next(wall for wall in package.walls if wall["id"] == panel["wall"])
    along, up = place(wall, panel)
    here = box(along, up, along + panel["width"], up + panel["height"])
    whole = shapely.affinity.translate(face_of(wall).intersection(here), -along, -up)
    # Placed coordinates have nine decimals.
    if outer.symmetric_difference(whole.difference(cut)).area > 1e-4:
        yield "its outer skin is not its place in the wall less its openings"
    foam = [polygon(face) for face in [panel["core"], *panel["core_others"]] if face["outline"]]
    for piece in foam:
        if not piece.is_valid or piece.difference(shapely.union(outer, inner)).area > TINY:
            yield "foam reaches beyond the skins"
    core = shapely.union_all(foam)
    for lumber in panel["lumber"]:
        depth = lumber["depth"][1] - lumber["depth"][0]
        # What is fitted on site may stand where foam is cut away then; a piece that leaves half of the depth free has foam beside it.
        if lumber["fitted"] == "plant" and depth > panel["thickness"] / 2:
            x0, y0, x1, y1 = lumber["rect"]
            if lumber["section"].startswith("I-joist"):
                # Foam lies beside its web.
                x0, x1 = (x0 + x1) / 2 - 1 / 16, (x0 + x1) / 2 + 1 / 16
            common = box(x0, y0, x1, y1).intersection(core).area
            if common > TINY:
                yield f"{lumber['mark']} ({lumber['use']}) stands in {common:.3f} sq in of foam"


def face_of(wall):
    """A wall's face over the steps of its base and under its top, run axes."""
    steps, base = wall["base"], []
    for n, (x, y) in enumerate(steps):
        end = steps[n + 1][0] if n + 1 < len(steps) else wall["length"]
        base += [(x, y), (end, y)]
    return Polygon([*base, *[tuple(point) for point in reversed(wall["top"])]])


def place(wall, panel):
    """A panel's lower left corner in its wall's run axes."""
    x, y, z = panel["placed"]["origin"]
    (dx, dy), (x0, y0, z0) = wall["along"], wall["origin"]
    return (x - x0) * dx + (y - y0) * dy, z - z0


def coverage(package, wall):
    """Pieces of the run in wall axes against the wall's face."""
    parts = []
    face = face_of(wall)
    _, base, _, top = face.bounds
    for kind, name, start, end in pieces(wall):
        if kind == "panel":
            panel = package.panel(name)
            skin = polygon(panel["outer_skin"])
            holes = [box(*opening["skin_hole"]) for opening in panel["openings"]]
            filled = shapely.union_all([skin, *holes])
            if any(skin.intersection(hole).area > TINY for hole in holes):
                return f"an opening of {name} is not cut"
            parts.append(shapely.affinity.translate(filled, *place(wall, panel)))
        else:
            parts.append(box(start, base, end, top).intersection(face))
    total = sum(part.area for part in parts)
    differs = shapely.union_all(parts).symmetric_difference(face).area
    # Placed coordinates have nine decimals: along a wall of 100 ft that is below a thousandth of a square inch.
    if differs > 1e-3 or abs(total - face.area) > 1e-3:
        return f"its pieces cover {total:.6f} sq in, its face is {face.area:.6f}, {differs:.6f} differ"
    return None


def body(panel):
    (x0, _, x1, _), (u0, _, u1, _) = (
        polygon(panel[face]).bounds for face in ("outer_skin", "inner_skin")
    )
    depth = -panel["thickness"]
    corners = [(x0, 0), (x1, 0), (u1, depth), (u0, depth)]
    return Polygon([of_panel(panel, x, 0, out)[:2] for x, out in corners])


def span(panel):
    bottom = panel["placed"]["origin"][2]
    return bottom, bottom + panel["height"]


def wedge(panel, lumber):
    """A wedge beside a square end, in plan: as wide as its rectangle at one face, nothing at the other."""
    x0, _, x1, _ = lumber["rect"]
    end, tip = (0, x0) if x0 < 0 else (panel["width"], x1)
    wide = 0 if "outside" in lumber["section"] else -panel["thickness"]
    points = [(end, 0), (tip, wide), (end, -panel["thickness"])]
    return Polygon([of_panel(panel, x, 0, out)[:2] for x, out in points])


def run_in_plan(package, wall):
    """A wall's run from above: its ends are cut as the inner skins of its end panels are, square or bevelled."""
    shifts = [0.0, 0.0]
    for panel in package.panels:
        if panel["wall"] != wall["id"] or panel["kind"] in ("header", "sill"):
            continue
        outer, inner = (polygon(panel[face]).bounds for face in ("outer_skin", "inner_skin"))
        along, _ = place(wall, panel)
        if abs(along) < NEAR:
            shifts[0] = inner[0] - outer[0]
        if abs(along + panel["width"] - wall["length"]) < NEAR:
            shifts[1] = inner[2] - outer[2]
    depth = -wall["thickness"]
    corners = [(0, 0), (wall["length"], 0), (wall["length"] + shifts[1], depth), (shifts[0], depth)]
    return Polygon([of_wall(wall, x, out) for x, out in corners])


def footprint(package, storey):
    """The outer edge of all walls' runs together is the plan's outline, where the outside face is held."""
    runs = []
    for wall in package.walls:
        if wall["storey"] != storey["id"]:
            continue
        runs.append(run_in_plan(package, wall).buffer(NEAR))
    if not runs:
        return []
    for panel in package.panels:
        if panel["storey"] == storey["id"]:
            runs += [wedge(panel, it).buffer(NEAR) for it in panel["lumber"] if it["use"] == "corner filler"]
    walls = shapely.union_all(runs)
    outline = Polygon([in_building(storey, point) for point in storey["outline"]])
    if walls.geom_type != "Polygon":
        return ["the walls do not close round the building"]
    shell = Polygon(walls.exterior)
    beyond = shell.difference(outline.buffer(2 * NEAR, join_style="mitre")).area
    missing = outline.buffer(-2 * NEAR, join_style="mitre").difference(shell).area
    if beyond > TINY or missing > TINY:
        return [f"storey {storey['id']}: walls stand {beyond:.3f} sq in beyond the plan's outline, {missing:.3f} are missing"]
    return []


if __name__ == "__main__":
    n, problems = check(sys.argv[1])
    print("\n".join(problems) or f"{n} shapes agree")
    sys.exit(1 if problems or not n else 0)
