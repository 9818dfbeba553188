"""A house drawn by an object of another program against the same lines as ezdxf (PyPI) reads them from that object's picture.

    python3 tests/outside/proxies.py PROGRAM

The picture is bytes: polylines, light and heavy, an arc and a circle, part of it in a frame that is turned and moved. ezdxf decodes
them into entities; the plan of those must be the plan of the object.
"""

import io
import json
import math
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf
from ezdxf.proxygraphic import ProxyGraphic

# A house in inches, 30 by 20 ft, walls of 6 in: a door of 36 in below, a window of 48 in above, a partition.
WALLS = [
    [(0, 0), (100, 0), (100, 6), (6, 6), (6, 234), (100, 234), (100, 240), (0, 240), (0, 0)],
    [(136, 0), (360, 0), (360, 240), (148, 240), (148, 234), (354, 234), (354, 6), (136, 6), (136, 0)],
    [(200, 6), (200, 234)],
    [(204.5, 6), (204.5, 234)],
    [(100, 6), (100, 42)],
]
WINDOW = [[(0, 0), (48, 0)], [(0, 3), (48, 3)], [(0, 6), (48, 6)]]


def record(kind, data):
    return struct.pack("<ii", len(data) + 8, kind) + data


def polyline(points):
    return record(6, struct.pack("<i", len(points)) + b"".join(struct.pack("<3d", *p, 0) for p in points))


def arc(centre, radius, start, sweep):
    way = (math.cos(start), math.sin(start), 0)
    return record(4, struct.pack("<3dd3d3ddi", *centre, 0, radius, 0, 0, 1, *way, sweep, 0))


def framed(records, x, y, turn):
    """Records in a frame. Frames within frames are left to the program's own tests: ezdxf 1.4 takes the inner one alone."""
    c, s = math.cos(turn), math.sin(turn)
    rows = [c, -s, 0, x, s, c, 0, y, 0, 0, 1, 0, 0, 0, 0, 1]
    return [record(29, struct.pack("<16d", *rows)), *records, record(31, b"")]


def picture(turn):
    x, y = 5000, -300
    house = [*map(polyline, WALLS), arc((100, 6), 36, 0, math.pi / 2)]
    c, s = math.cos(turn), math.sin(turn)
    window = framed(map(polyline, WINDOW), x + c * 148 - s * 240, y + s * 148 + c * 240, turn + math.pi)
    records = [*framed(house, x, y, turn), *window]
    body = b"".join(records)
    return struct.pack("<ii", len(body) + 8, len(records)) + body


def with_object(data):
    """A drawing of one object, which carries a picture."""
    lines = ["  0", "ACAD_PROXY_ENTITY", "  5", "ABC", "100", "AcDbEntity", "  8", "0", "100", "AcDbProxyEntity", " 90", "498"]
    lines += [" 91", "500", " 92", str(len(data))]
    for i in range(0, len(data), 127):
        lines += ["310", data[i : i + 127].hex().upper()]
    text = written(ezdxf.new("R2000", units=1))
    head, tail = text.split("ENTITIES\n", 1)
    return head + "ENTITIES\n" + "\n".join(lines) + "\n" + tail


def decoded(data):
    """A drawing of what ezdxf reads from the picture."""
    doc = ezdxf.new("R2000", units=1)
    n = 0
    for entity in ProxyGraphic(data, doc).virtual_entities():
        doc.modelspace().add_entity(entity)
        n += 1
    return written(doc), n


def written(doc):
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue()


def plan(program, text, folder):
    drawing = folder / "plan.dxf"
    drawing.write_text(text)
    out = folder / "out"
    subprocess.run([program, "trace", drawing, "--out", out, "--replace"], capture_output=True, check=False)
    storey = json.loads((out / "plan.json").read_text())["storeys"][0]
    walls = sorted(shape(wall["start"], wall["end"], wall["thickness"], wall["exterior"]) for wall in storey["walls"])
    openings = sorted(shape(it["centre"], it["width"], it["kind"]) for it in storey["openings"])
    return walls, openings


def shape(*parts):
    def rounded(it):
        return [rounded(v) for v in it] if isinstance(it, list) else round(it, 4) + 0.0 if isinstance(it, float) else it

    return json.dumps([rounded(it) for it in parts])


def check(program):
    """How many walls and openings were compared, and what differs."""
    wrong, checked = [], 0
    with tempfile.TemporaryDirectory() as folder:
        for turn in (0, math.pi / 2, 0.4):
            data = picture(turn)
            text, n = decoded(data)
            own = plan(program, with_object(data), Path(folder))
            other = plan(program, text, Path(folder))
            checked += len(other[0]) + len(other[1])
            if n < 9 or (len(other[0]), len(other[1])) != (5, 2):
                wrong.append(f"turned by {turn:.2f}: ezdxf's lines give {len(other[0])} walls and {len(other[1])} openings")
            if own != other:
                wrong.append(f"turned by {turn:.2f}: {own} of the object, {other} of ezdxf's entities")
    return checked, wrong


if __name__ == "__main__":
    count, problems = check(sys.argv[1])
    print(f"{count} walls and openings compared", *problems, sep="\n")
    sys.exit(bool(problems))
