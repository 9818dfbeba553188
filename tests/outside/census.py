"""Compares `panelwright survey` with ezdxf (PyPI): entity counts by space, layer states, the length and extent of
all lines, and what all areas enclose.

    python3 tests/outside/census.py target/release/panelwright FILE_OR_FOLDER...

ezdxf unfolds blocks and flattens curves with code of its own, so equal lengths mean equal geometry. Files that ezdxf cannot
read, or that hold no lines at all, are named and passed over. Exit code 1 when anything differs.
"""

import collections
import json
import logging
import math
import pathlib
import subprocess
import sys

import ezdxf
import shapely
from ezdxf import path as ezpath
from ezdxf import recover
from ezdxf.xclip import XClip

# Kinds whose lines ezdxf and panelwright agree to call lines: the rest is counted only.
DRAWN = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE"}
INCHES = {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "cm": 1 / 2.54, "m": 1 / 0.0254}


def read(file):
    """The document by the strict reader, else by the forgiving one; None when neither can."""
    try:
        return ezdxf.readfile(file)
    except (ezdxf.DXFError, ValueError, AttributeError):
        try:
            return recover.readfile(file)[0]
        except Exception:
            return None


def unfolded(entities, depth=0):
    """Entities with all insertions unfolded."""
    return (entity for entity, _ in clipped(entities, None, depth))


def clipped(entities, border, depth=0):
    """Entities with all insertions unfolded, each with the polygon that the insertion around it shows; None shows all."""
    for entity in entities:
        if entity.dxftype() != "INSERT":
            yield entity, border
        elif depth < 32:
            clip = XClip(entity)
            own = border
            if clip.has_clipping_path and clip.is_clipping_enabled:
                own = shapely.Polygon([(p.x, p.y) for p in clip.get_wcs_clipping_path().vertices])
            cells = entity.multi_insert() if entity.mcount > 1 else [entity]
            for cell in cells:
                yield from clipped(cell.virtual_entities(), own, depth + 1)


def is_wide(entity):
    """True for polylines that draw faces instead of a line."""
    if entity.dxftype() == "LWPOLYLINE":
        widths = [entity.dxf.get("const_width", 0.0)]
        widths += [width for point in entity.get_points("se") for width in point]
    elif entity.dxftype() == "POLYLINE" and entity.is_2d_polyline:
        names = ("default_start_width", "default_end_width")
        widths = [entity.dxf.get(name, 0.0) for name in names]
        for vertex in entity.vertices:
            widths += [vertex.dxf.get("start_width", 0.0), vertex.dxf.get("end_width", 0.0)]
    else:
        return False
    return any(width > 0 for width in widths)


def lines_of(entity):
    """Points along an entity, seen from above; None when it has no line of its own."""
    kind = entity.dxftype()
    if kind not in DRAWN or is_wide(entity):
        return None
    if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        return "mesh"
    if kind in ("ARC", "CIRCLE"):
        # Its own flattening: the path goes through cubic curves, which are too short by a ten-thousandth.
        radius = entity.dxf.radius
        return [(p.x, p.y) for p in entity.flattening(radius * 1e-6)] if radius > 0 else None
    drawn = ezpath.make_path(entity)
    reach = max(((p - drawn.start).magnitude for p in drawn.control_vertices()), default=0.0)
    return [(p.x, p.y) for p in drawn.flattening(max(reach, 1e-9) * 1e-6, segments=32)]


def measure(modelspace):
    """Length and extent of all lines in drawing units; None when there are meshes, which are counted only."""
    total, bent, xs, ys = 0.0, 0, [], []
    for entity, border in clipped(modelspace, None):
        points = lines_of(entity)
        if points == "mesh":
            return None
        if not points:
            continue
        length = sum(math.dist(a, b) for a, b in zip(points, points[1:]))
        if border is not None and length > 0:
            shown = shapely.LineString(points).intersection(border)
            length = shown.length
            points = list(shapely.get_coordinates(shown))
        if length > 0:
            total += length
            bent += entity.dxftype() in ("ELLIPSE", "SPLINE")
            xs += [x for x, _ in points]
            ys += [y for _, y in points]
    return total, bent, xs, ys


def enclosed(modelspace):
    """Sum of what the rings of all areas enclose, in square drawing units, and the length of their curves."""
    total, curved = 0.0, 0.0
    for entity in unfolded(modelspace):
        kind = entity.dxftype()
        if kind in ("HATCH", "MPOLYGON"):
            rings = [[(p.x, p.y) for p in ring.flattening(1e-3)] for ring in ezpath.from_hatch(entity)]
            if any(ring.has_curves for ring in ezpath.from_hatch(entity)):
                curved += sum(math.dist(a, b) for ring in rings for a, b in zip(ring, ring[1:]))
        elif kind in ("SOLID", "TRACE"):
            rings = [[(p.x, p.y) for p in entity.wcs_vertices()]]
        elif kind == "WIPEOUT":
            rings = [[(p.x, p.y) for p in entity.boundary_path_wcs()]]
        else:
            continue
        for ring in rings:
            x0, y0 = ring[0] if ring else (0, 0)
            doubled = sum(
                (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)
                for (xa, ya), (xb, yb) in zip(ring, ring[1:] + ring[:1])
            )
            total += abs(doubled) / 2
    return total, curved


def count(entities):
    return dict(collections.Counter(entity.dxftype() for entity in entities))


def differences(survey, document):
    """Sentences, one for each thing that differs."""
    found = []
    model = count(document.modelspace())
    if model != survey["counts"]["model"]:
        found.append(f"model space: ezdxf {model}, survey {survey['counts']['model']}")
    paper = sum(len(layout) for layout in document.layouts if layout.name != "Model")
    if paper != sum(survey["counts"]["paper"].values()):
        found.append(f"paper space: ezdxf {paper}, survey {survey['counts']['paper']}")
    states = {layer["name"].lower(): layer for layer in survey["layers"]}
    for layer in document.layers:
        own = states.get(layer.dxf.name.lower())
        theirs = (layer.is_off(), layer.is_frozen(), layer.is_locked())
        if own and theirs != (own["off"], own["frozen"], own["locked"]):
            found.append(f"layer {layer.dxf.name}: ezdxf {theirs}, survey {own}")
    kinds = {entity.dxftype() for entity in unfolded(document.modelspace())}
    if "ACAD_TABLE" in kinds:
        # Its picture is a block, which panelwright unfolds and ezdxf keeps closed.
        return found
    factor = INCHES[survey["unit"]]
    area, curved = enclosed(document.modelspace())
    if any(border is not None for _, border in clipped(document.modelspace(), None)):
        # Areas are shown or left out as wholes.
        area, curved = survey["areas"]["enclosed"] / factor**2, 0.0
    # Curves are drawn by chords within 1/128 in on both sides.
    slack = 1e-6 * max(1.0, area * factor**2) + curved * factor / 64
    if abs(survey["areas"]["enclosed"] - area * factor**2) > slack:
        ours = survey["areas"]["enclosed"]
        found.append(f"areas: ezdxf {area * factor**2:.3f} sq in, survey {ours:.3f} sq in")
    measured = measure(document.modelspace())
    if measured is None or kinds & {"3DFACE", "HELIX", "MESH", "MLINE", "TRACE"}:
        return found
    length, bent, xs, ys = measured
    own = survey["lines"]
    # Ellipses and splines are drawn by arcs within 1/128 in.
    slack = 1e-4 * max(1.0, length * factor) + bent / 64
    if abs(own["length"] - length * factor) > slack:
        found.append(f"length of lines: ezdxf {length * factor:.6f} in, survey {own['length']:.6f} in")
    if own["bounds"] and xs:
        theirs = [min(xs) * factor, min(ys) * factor, max(xs) * factor, max(ys) * factor]
        ours = own["bounds"][0] + own["bounds"][1]
        slack = 1e-4 * max(1.0, theirs[2] - theirs[0], theirs[3] - theirs[1])
        if any(abs(a - b) > slack for a, b in zip(theirs, ours)):
            found.append(f"extent: ezdxf {theirs}, survey {ours}")
    return found


def main():
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    program, *places = sys.argv[1:]
    files = []
    for place in map(pathlib.Path, places):
        files += sorted(place.rglob("*.dxf")) if place.is_dir() else [place]
    compared, failed = 0, 0
    for file in files:
        run = subprocess.run(
            [program, "survey", str(file), "--format", "json"], capture_output=True, text=True
        )
        document = read(file)
        if run.returncode == 2:
            drawn = document is not None and any(
                lines_of(entity) for entity in unfolded(document.modelspace())
            )
            print(f"{'REFUSED' if drawn else 'refused'} {file.name}: {run.stderr.strip()}")
            continue
        if document is None:
            print(f"not read by ezdxf: {file.name}")
            continue
        compared += 1
        found = differences(json.loads(run.stdout), document)
        failed += bool(found)
        for sentence in found:
            print(f"DIFFERS {file.name}: {sentence}")
    print(f"{compared} drawings compared, {failed} differ")
    sys.exit(1 if failed or not compared else 0)


if __name__ == "__main__":
    main()
