"""A house modelled with `ifcopenshell` (PyPI) and cut by its geometry kernel: the plan must come back as it was modelled.

    python3 tests/outside/model_house.py target/release/panelwright

Walls and openings of fixed-seed houses (those of `arrangement.py`) are made as IFC elements (ISO 16739-1), metric; the kernel
subtracts the openings; a section 1.2 m above the floor is taken of its meshes and drawn in millimetres with ezdxf. What is compared
is read back from the model: the placement and sizes of its elements.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

import arrangement
import ezdxf
import ifcopenshell
import ifcopenshell.api.context
import ifcopenshell.api.feature
import ifcopenshell.api.geometry
import ifcopenshell.api.project
import ifcopenshell.api.root
import ifcopenshell.api.unit
import ifcopenshell.geom
import ifcopenshell.util.placement
import numpy
from shapely import unary_union
from shapely.geometry import LineString, Point
from shapely.ops import polygonize

HOUSES = 3
INCH = 0.0254
HEIGHT, CUT = 2.7, 1.2


def element(model, body, kind, start, along, length, thickness, height):
    """A box with its lower left end at a point, inches; x runs along it."""
    it = ifcopenshell.api.root.create_entity(model, ifc_class=kind)
    shape = ifcopenshell.api.geometry.add_wall_representation(
        model, context=body, length=length * INCH, height=height, thickness=thickness * INCH
    )
    ifcopenshell.api.geometry.assign_representation(model, product=it, representation=shape)
    matrix = numpy.eye(4)
    matrix[:2, 0], matrix[:2, 1] = along, (-along[1], along[0])
    corner = [p * INCH + n * thickness * INCH / 2 for p, n in zip(start, (along[1], -along[0]))]
    matrix[:2, 3] = corner
    ifcopenshell.api.geometry.edit_object_placement(model, product=it, matrix=matrix, is_si=True)
    return it


def modelled(house):
    model = ifcopenshell.api.project.create_file()
    ifcopenshell.api.root.create_entity(model, ifc_class="IfcProject")
    ifcopenshell.api.unit.assign_unit(model, length={"is_metric": True, "raw": "METERS"})
    whole = ifcopenshell.api.context.add_context(model, context_type="Model")
    body = ifcopenshell.api.context.add_context(
        model, context_type="Model", context_identifier="Body", target_view="MODEL_VIEW", parent=whole
    )
    doors = list(house.doors())
    for a, b, t in house.walls:
        length = math.dist(a, b)
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        # Outer walls close their corners; inner ones end in the middle of the walls they meet.
        out = t / 2 if t == arrangement.OUTER else 0.0
        start = tuple(p - out * k for p, k in zip(a, along))
        wall = element(model, body, "IfcWall", start, along, length + 2 * out, t, HEIGHT)
        for _, hinge, way, thick in doors:
            aside = abs((hinge[0] - a[0]) * along[1] - (hinge[1] - a[1]) * along[0])
            if way == along and thick == t and aside < 1e-6:
                hole = element(model, body, "IfcOpeningElement", hinge, along, arrangement.DOOR, t, 2.1)
                ifcopenshell.api.feature.add_feature(model, feature=hole, element=wall)
    return model


def section(model):
    """The cut bodies as polygons, metres."""
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    parts = []
    for wall in model.by_type("IfcWall"):
        shape = ifcopenshell.geom.create_shape(settings, wall)
        points = numpy.array(shape.geometry.verts).reshape(-1, 3)
        lines = []
        for face in numpy.array(shape.geometry.faces).reshape(-1, 3):
            corners = points[face]
            crossed = []
            for p, q in zip(corners, numpy.roll(corners, -1, axis=0)):
                if (p[2] - CUT) * (q[2] - CUT) < 0:
                    crossed.append(tuple(numpy.round((p + (q - p) * (CUT - p[2]) / (q[2] - p[2]))[:2], 7)))
            if len(crossed) == 2 and crossed[0] != crossed[1]:
                lines.append(LineString(crossed))
        parts += list(polygonize(unary_union(lines)))
    return unary_union(parts).simplify(1e-6)


def draw(cut, path):
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = 4
    for part in getattr(cut, "geoms", [cut]):
        for ring in (part.exterior, *part.interiors):
            points = [(x * 1000, y * 1000) for x, y in ring.coords]
            for p, q in zip(points, points[1:]):
                drawing.modelspace().add_line(p, q, dxfattribs={"layer": "A-WALL"})
    drawing.saveas(path)


def boxes(model, kind):
    """Middle, length and thickness of every element, inches, as the model has them."""
    for it in model.by_type(kind):
        matrix = ifcopenshell.util.placement.get_local_placement(it.ObjectPlacement)
        profile = it.Representation.Representations[0].Items[0].SweptArea
        given = profile.OuterCurve.Points
        given = given.CoordList if hasattr(given, "CoordList") else [p.Coordinates for p in given]
        points = numpy.array([p[:2] for p in given])
        low, high = points.min(axis=0), points.max(axis=0)
        middle = matrix @ numpy.array([*((low + high) / 2), 0, 1])
        yield middle[:2] / INCH, (high - low)[0] / INCH, (high - low)[1] / INCH


def compare(model, storey):
    wrong = []
    found = [(numpy.array(it["centre"]), it["width"]) for it in storey["openings"]]
    holes = list(boxes(model, "IfcOpeningElement"))
    for middle, width, _ in holes:
        if not any(math.dist(middle, at) < 1 / 64 and abs(width - own) < 1 / 64 for at, own in found):
            wrong.append(f"the opening at {middle.round(2)} is not found")
    if len(found) != len(holes):
        wrong.append(f"{len(found)} openings, the model has {len(holes)}")
    for middle, length, thickness in boxes(model, "IfcWall"):
        near = [it for it in storey["walls"] if abs(it["thickness"] - thickness) < 1 / 64]
        if not any(LineString([it["start"], it["end"]]).distance(Point(middle)) < 1 / 64 for it in near):
            wrong.append(f"the wall of {length:.1f} in at {middle.round(2)} is not found")
    return len(holes) + len(list(boxes(model, "IfcWall"))), wrong


def storey_of(program, model):
    """The one storey recovered from the section of a model; `None` when there is not just one."""
    with tempfile.TemporaryDirectory() as folder:
        path, out = pathlib.Path(folder) / "house.dxf", pathlib.Path(folder) / "out"
        draw(section(model), path)
        subprocess.run([str(program), "trace", str(path), "--quiet", "--out", str(out)], capture_output=True)
        storeys = json.loads((out / "plan.json").read_text())["storeys"] if (out / "plan.json").exists() else []
    return storeys[0] if len(storeys) == 1 else None


def check(program):
    """How many walls and openings were compared, and what is wrong."""
    n, wrong = 0, []
    for seed in range(HOUSES):
        model = modelled(arrangement.House(seed))
        storey = storey_of(program, model)
        if storey is None:
            wrong.append(f"house {seed}: not one storey")
            continue
        count, problems = compare(model, storey)
        n += count
        wrong += [f"house {seed}: {it}" for it in problems]
    return n, wrong


def sees_a_lost_opening(program):
    """The check on a plan that lacks one of the model's openings."""
    model = modelled(arrangement.House(0))
    storey = storey_of(program, model)
    if storey is None:
        return 1, ["not one storey"]
    storey["openings"].pop()
    return 1, [] if compare(model, storey)[1] else ["the check sees nothing wrong"]


if __name__ == "__main__":
    n_items, problems = check(pathlib.Path(sys.argv[1]))
    print("\n".join(problems) or f"{n_items} walls and openings compared")
    sys.exit(1 if problems or not n_items else 0)
