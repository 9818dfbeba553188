"""Rooms of recovered plans against the arrangement of the same wall lines by `shapely.ops.polygonize` (shapely, PyPI).

    python3 tests/outside/arrangement.py target/release/panelwright

Houses are parted by walls at fixed-seed places, some from side to side and some from wall to wall. Their bodies, less the doors, are
drawn as lines and swings with ezdxf; `trace` must find as many rooms as the centre lines enclose, each with the area of its own
face less the walls' bodies, and the outline of all bodies together.
"""

import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

import ezdxf
from shapely import Polygon, unary_union
from shapely.geometry import LineString, Point
from shapely.ops import polygonize

HOUSES = 12
OUTER, INNER = 6.0, 4.5
LEAST_ROOM = 66.0
DOOR = 32.0


class House:
    """Centre lines with thicknesses, and doors as (wall, distance along it)."""

    def __init__(self, seed):
        draw = random.Random(seed)
        self.width, self.depth = draw.randrange(360, 720, 12), draw.randrange(300, 480, 12)
        w, d = self.width, self.depth
        corners = [(0, 0), (w, 0), (w, d), (0, d)]
        self.walls = [(a, b, OUTER) for a, b in zip(corners, corners[1:] + corners[:1])]
        self.part(draw, (0, 0, w, d), draw.randint(2, 5))

    def part(self, draw, room, left):
        """Parts a room by a wall from side to side, then the larger part again."""
        x0, y0, x1, y1 = room
        is_wide = x1 - x0 > y1 - y0
        low, high = (x0, x1) if is_wide else (y0, y1)
        if not left or high - low < 2 * LEAST_ROOM:
            return
        at = draw.randrange(int(low + LEAST_ROOM), int(high - LEAST_ROOM) + 1, 3)
        ends = ((at, y0), (at, y1)) if is_wide else ((x0, at), (x1, at))
        self.walls.append((*ends, INNER))
        halves = [(x0, y0, at, y1), (at, y0, x1, y1)] if is_wide else [(x0, y0, x1, at), (x0, at, x1, y1)]
        halves.sort(key=lambda it: (it[2] - it[0]) * (it[3] - it[1]))
        self.part(draw, halves[1], left - 1)

    def bodies(self):
        return unary_union([LineString([a, b]).buffer(t / 2, cap_style="square") for a, b, t in self.walls])

    def doors(self):
        """Each wall's door: its box, hinge, direction along the wall and thickness. It stands clear of walls across."""
        for a, b, t in self.walls:
            length = math.dist(a, b)
            along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
            others = [LineString(it[:2]) for it in self.walls if it != (a, b, t)]
            for step in range(18, int(length - DOOR) - 17, 6):
                start, end = (tuple(p + s * k for p, k in zip(a, along)) for s in (step, step + DOOR))
                span = LineString([start, end])
                if all(span.distance(other) > 12 for other in others):
                    yield span.buffer(t / 2 + 0.01, cap_style="flat"), start, along, t
                    break

    def write(self, path):
        drawing = ezdxf.new("R2010")
        drawing.header["$INSUNITS"] = 1
        model = drawing.modelspace()
        doors = list(self.doors())
        body = self.bodies().difference(unary_union([it[0] for it in doors]))
        for part in getattr(body, "geoms", [body]):
            for ring in (part.exterior, *part.interiors):
                points = [(round(x, 6), round(y, 6)) for x, y in ring.simplify(0.02).coords]
                for p, q in zip(points, points[1:]):
                    model.add_line(p, q)
        for _, hinge, along, t in doors:
            centre = (hinge[0] - along[1] * t / 2, hinge[1] + along[0] * t / 2)
            start = math.degrees(math.atan2(along[1], along[0]))
            model.add_arc(centre, DOOR, start, start + 90)
        drawing.saveas(path)


def compare(house, storey):
    walls = house.bodies()
    faces = list(polygonize(unary_union([LineString(it[:2]) for it in house.walls])))
    rooms = [Polygon(room["outline"]) for room in storey["rooms"]]
    wrong = []
    if len(rooms) != len(faces):
        wrong.append(f"{len(rooms)} rooms, the centre lines enclose {len(faces)}")
    for face in faces:
        clear = face.difference(walls)
        own = [room for room in rooms if room.contains(Point(clear.representative_point()))]
        off = abs(own[0].area - clear.area) if own else math.inf
        if off > 1.0 or own[0].symmetric_difference(clear).area > 1.0:
            wrong.append(f"the room of {clear.area:.1f} sq in is off by {off:.1f}")
    stated = sum(room["area_sq_ft"] for room in storey["rooms"])
    if abs(stated - sum(room.area for room in rooms) / 144) > 0.01:
        wrong.append("the areas stated are not those of the outlines")
    outline = Polygon(storey["outline"])
    if outline.symmetric_difference(Polygon(walls.exterior)).area > 1.0:
        wrong.append("the outline is not that of all walls together")
    return wrong


def storey_of(program, house, folder):
    """The one storey recovered from a drawing of a house; `None` when there is not just one."""
    path, out = pathlib.Path(folder) / "house.dxf", pathlib.Path(folder) / "out"
    house.write(path)
    subprocess.run([str(program), "trace", str(path), "--quiet", "--out", str(out)], capture_output=True)
    storeys = json.loads((out / "plan.json").read_text())["storeys"] if (out / "plan.json").exists() else []
    return storeys[0] if len(storeys) == 1 else None


def check(program):
    """How many rooms were compared, and what is wrong."""
    n, wrong = 0, []
    for seed in range(HOUSES):
        house = House(seed)
        with tempfile.TemporaryDirectory() as folder:
            storey = storey_of(program, house, folder)
        if storey is None:
            wrong.append(f"house {seed}: not one storey")
            continue
        n += len(storey["rooms"])
        wrong += [f"house {seed}: {it}" for it in compare(house, storey)]
    return n, wrong


def sees_a_lost_wall(program):
    """The check on a house drawn without one of its walls."""
    whole, drawn = House(0), House(0)
    drawn.walls.pop()
    with tempfile.TemporaryDirectory() as folder:
        storey = storey_of(program, drawn, folder)
    return 1, [] if storey and compare(whole, storey) else ["the check sees nothing wrong"]


if __name__ == "__main__":
    n_rooms, problems = check(pathlib.Path(sys.argv[1]))
    print("\n".join(problems) or f"{n_rooms} rooms compared")
    sys.exit(1 if problems or not n_rooms else 0)
