"""The plans whose truth is known, drawn another way: turned, mirrored, in broken and doubled lines, with loose ends, with the
edge of a roof round them.

    python3 tests/outside/redrawn.py target/release/panelwright ../shared

`ezdxf` (PyPI) redraws each plan of ../shared/corpus and its truth with it, `shapely` (PyPI) says where an edge lies; the score is that of `recovery.py`: the bounds are
the same, those of drafted plans where ends are loose, and no error is silent.
"""

import json
import math
import pathlib
import random
import sys
import tempfile

import ezdxf
import shapely
from ezdxf import transform
from ezdxf.math import Matrix44, Vec3

import recovery

ANGLE = math.radians(17.3)
# How far an end is off, inches.
LOOSE = 0.03
# How far off the walls an edge lies, inches.
EDGE = (2, 36)
# How far each piece of an edge that is drawn in free pieces stays off its corners, inches.
SHORT = (3, 12)
UNITS = {"mm": 25.4, "cm": 2.54, "m": 0.0254, "in": 1.0, "ft": 1 / 12}


def moved(truth, way):
    """Every pair of numbers of a truth, moved."""
    if isinstance(truth, dict):
        return {key: moved(value, way) for key, value in truth.items()}
    if isinstance(truth, list):
        is_point = len(truth) == 2 and all(isinstance(value, (int, float)) for value in truth)
        return way(*truth) if is_point else [moved(value, way) for value in truth]
    return truth


def turned(drawing, truth, _):
    transform.inplace(list(drawing.modelspace()), Matrix44.z_rotate(ANGLE))
    cosine, sine = math.cos(ANGLE), math.sin(ANGLE)
    return moved(truth, lambda x, y: [x * cosine - y * sine, x * sine + y * cosine])


def mirrored(drawing, truth, _):
    transform.inplace(list(drawing.modelspace()), Matrix44.scale(-1, 1, 1))
    return moved(truth, lambda x, y: [-x, y])


def broken(drawing, truth, chance):
    """Two lines in five come in two pieces, one in ten comes twice, the other way round."""
    space = drawing.modelspace()
    for line in list(space.query("LINE")):
        start, end, luck = line.dxf.start, line.dxf.end, chance.random()
        looks = {"layer": line.dxf.layer, "linetype": line.dxf.linetype}
        if luck < 0.4:
            middle = start.lerp(end, chance.uniform(0.2, 0.8))
            line.dxf.end = middle
            space.add_line(middle, end, dxfattribs=looks)
        elif luck < 0.5:
            space.add_line(end, start, dxfattribs=looks)
    return truth


def loose(drawing, truth, chance):
    """Each end of each line is off a little, each its own way."""
    reach = LOOSE * UNITS[truth["unit"]]
    off = lambda: Vec3(chance.uniform(-reach, reach), chance.uniform(-reach, reach))
    for line in drawing.modelspace().query("LINE"):
        line.dxf.start, line.dxf.end = line.dxf.start + off(), line.dxf.end + off()
    return {**truth, "jitter": max(truth.get("jitter", 0), 2 * LOOSE)}


def sides(truth, chance):
    """The sides of a ring round the outline, somewhere between a drip's width and wide eaves off it."""
    off = chance.uniform(*EDGE)
    ring = shapely.Polygon(truth["outline"]).buffer(off, join_style="mitre", mitre_limit=10)
    corners = [Vec3(x, y) * UNITS[truth["unit"]] for x, y in ring.exterior.coords]
    return zip(corners, corners[1:])


def edged(drawing, truth, chance):
    """Plain lines run all round the outline."""
    for start, end in sides(truth, chance):
        drawing.modelspace().add_line(start, end)
    return truth


def opened(drawing, truth, chance):
    """The same in free pieces: none meets another at a corner."""
    for start, end in sides(truth, chance):
        way = (end - start).normalize(UNITS[truth["unit"]])
        start, end = start + way * chance.uniform(*SHORT), end - way * chance.uniform(*SHORT)
        if (end - start).dot(way) > 0:
            drawing.modelspace().add_line(start, end)
    return truth


WAYS = {"turned": turned, "mirrored": mirrored, "broken": broken, "loose": loose, "edged": edged, "open": opened}


def redraw(shared, way, folder):
    """Every plan, redrawn into a folder of its own for each set: what `recovery.score` looks into."""
    tools = folder / "tools"
    tools.mkdir()
    (tools / "score_plans.py").write_bytes((shared / "tools" / "score_plans.py").read_bytes())
    for file in sorted((shared / "corpus").glob("[di]*/*.truth.json")):
        name = file.name.removesuffix(".truth.json")
        truth, drawing = json.loads(file.read_text()), ezdxf.readfile(file.with_name(f"{name}.dxf"))
        truth = WAYS[way](drawing, truth, random.Random(name))
        place = folder / "corpus" / file.parent.name
        place.mkdir(parents=True, exist_ok=True)
        drawing.saveas(place / f"{name}.dxf")
        (place / file.name).write_text(json.dumps(truth))


def check(program, shared, way):
    """How many plans were scored when drawn so, and what is wrong."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = pathlib.Path(temporary)
        redraw(shared, way, folder)
        exact = recovery.DRAFTED if way == "loose" else recovery.EXACT
        return recovery.check(program, folder, exact)


if __name__ == "__main__":
    for name in WAYS:
        n, problems = check(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]), name)
        print("\n".join(problems) or f"{n} plans scored, {name}")
