"""Finds each opening's jambs in the world from plan.json and panels.json alone.

    python3 tests/outside/jambs.py PACKAGE

For every opening of a panelled wall: both jambs stand where centre, drawn width and the allowance of its kind put them, within
1/64 in, the left one (seen from outside) first. For every panel: x × y points out of the building, or of an interior wall both sides
lie in it.

Allowances, rough less unit width: door 36 in → 38 in (trade sources agree on + 2 in); window + 1/2 in, plain opening and garage
door as drawn: common practice, no source. They are the shipped defaults; a job that states sizes is checked by centre only.
"""

import math
import sys

import shapely

from package import Package, cross, in_building, of_panel, of_wall, pieces

NEAR = 1 / 64 + 1e-9
ALLOWANCE = {"door": 2.0, "window": 0.5, "opening": 0.0, "garage_door": 0.0}


def jambs_of(package):
    """Per opening its pairs of jambs in the building, left one first as seen from outside."""
    found = {}
    for panel in package.panels:
        for opening in panel["openings"]:
            x0, _, x1, _ = opening["rough"]
            pair = [of_panel(panel, x)[:2] for x in (x0, x1)]
            found.setdefault(opening["id"], []).append(pair)
    for wall in package.walls:
        for kind, name, start, end in pieces(wall):
            if kind == "opening":
                pair = [of_wall(wall, x) for x in (start, end)]
                found.setdefault(name, []).append(pair)
    return found


def check(folder, allowance=ALLOWANCE):
    """How many openings and panels were looked at, and what is wrong."""
    package = Package(folder)
    wrong, checked = [], 0
    found = jambs_of(package)
    panelled = {wall["id"] for wall in package.walls}
    for storey in package.storeys():
        walls = {wall["id"]: wall for wall in storey["walls"]}
        for opening in storey["openings"]:
            if opening["wall"] not in panelled:
                continue
            checked += 1
            name, wall = opening["id"], walls[opening["wall"]]
            pairs = found.pop(name, [])
            if len(pairs) != 1:
                wrong.append(f"{name}: found {len(pairs)} times")
                continue
            start, end, centre = (
                in_building(storey, point)
                for point in (wall["start"], wall["end"], opening["centre"])
            )
            length = math.dist(start, end)
            unit = [(end[i] - start[i]) / length for i in range(2)]
            width = opening["width"] + allowance.get(opening["kind"], 0.0)
            if opening["rough"]:
                width = opening["rough"][0]
            left, right = (
                sum((jamb[i] - centre[i]) * unit[i] for i in range(2)) for jamb in pairs[0]
            )
            if allowance is ALLOWANCE:
                if abs(left + width / 2) > NEAR or abs(right - width / 2) > NEAR:
                    wrong.append(
                        f"{name}: jambs at {left:.4f} and {right:.4f} from the centre, expected ±{width / 2:.4f}"
                    )
            elif abs(left + right) / 2 > NEAR or left >= right:
                wrong.append(f"{name}: jambs at {left:.4f} and {right:.4f} from the centre")
    wrong += [f"{name}: cut, and not in the plan" for name in found]
    outlines = {
        storey["id"]: shapely.Polygon([in_building(storey, p) for p in storey["outline"]])
        for storey in package.storeys()
        if len(storey["outline"]) > 2
    }
    plan = {wall["id"]: wall for storey in package.storeys() for wall in storey["walls"]}
    for panel in package.panels:
        checked += 1
        normal = cross(panel["placed"]["x"], panel["placed"]["y"])
        middle = panel["width"] / 2
        outline = outlines[panel["storey"]]
        if not plan[panel["wall"]]["exterior"]:
            sides = (of_panel(panel, middle, 0, out) for out in (1, -panel["thickness"] - 1))
            if not all(outline.contains(shapely.Point(side[:2])) for side in sides):
                wrong.append(f"{panel['mark']}: of an interior wall, and not inside")
            continue
        outside = of_panel(panel, middle, 0, plan[panel["wall"]]["thickness"] + 1)
        inside = of_panel(panel, middle, 0, -panel["thickness"] / 2)
        if (
            abs(normal[2]) > 1e-7
            or outline.contains(shapely.Point(outside[:2]))
            or not outline.contains(shapely.Point(inside[:2]))
        ):
            wrong.append(f"{panel['mark']}: x × y does not point out of the building")
    return checked, wrong


if __name__ == "__main__":
    n, problems = check(sys.argv[1])
    print("\n".join(problems) or f"{n} openings and panels stand where the plan has them")
    sys.exit(1 if problems or not n else 0)
