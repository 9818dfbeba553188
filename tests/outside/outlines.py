"""Opens every DXF of a package with ezdxf (PyPI), audits it, and compares each outline with panels.json.

    python3 tests/outside/outlines.py PACKAGE

An audit must find no error and make no fix. Closed contours are counted by layer; their coordinates equal panels.json to 1e-6 in.
"""

import collections
import sys

import ezdxf

from package import Package

NEAR = 1e-6
APPLICATION = "PANELWRIGHT"
UNITS = {"inch": (1.0, 1), "mm": (1 / 25.4, 4)}


def points_of(entity):
    if entity.dxftype() == "LWPOLYLINE":
        return [(x, y) for x, y, *_ in entity.get_points()]
    return [(vertex.dxf.location.x, vertex.dxf.location.y) for vertex in entity.vertices]


def facts_of(entity):
    if not entity.has_xdata(APPLICATION):
        return {}
    texts = [tag.value for tag in entity.get_xdata(APPLICATION) if tag.code == 1000]
    return dict(text.split("=", 1) for text in reversed(texts) if "=" in text)


def area(points):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1])) / 2


def same(a, b):
    """The same ring from any start, to 1e-6 in."""
    if len(a) != len(b):
        return False
    return any(
        all(
            abs(p[i] - q[i]) <= NEAR for p, q in zip(a[start:] + a[:start], b) for i in range(2)
        )
        for start in range(len(a))
    )


def missing(found, expected):
    """Rings of `expected` that `found` lacks, and how many `found` has too many."""
    rest = list(found)
    lacking = 0
    for ring in expected:
        hit = next((other for other in rest if same(other, ring)), None)
        if hit is None:
            lacking += 1
        else:
            rest.remove(hit)
    return lacking, len(rest)


def of_panel(panel, file, document):
    """Sentences, one for each thing that is wrong with a panel's outline."""
    closed = [
        entity
        for entity in document.modelspace()
        if entity.dxftype() in ("POLYLINE", "LWPOLYLINE") and entity.is_closed
    ]
    others = [e for e in document.modelspace() if e.dxftype() not in ("POLYLINE", "LWPOLYLINE", "LINE", "TEXT")]
    if others:
        yield f"holds {others[0].dxftype()}"
    opened = [
        entity
        for entity in document.modelspace()
        if entity.dxftype() in ("POLYLINE", "LWPOLYLINE") and not entity.is_closed
    ]
    if opened:
        yield f"{len(opened)} contours are open"
    rings = collections.defaultdict(list)
    unit, mirrored = None, False
    for entity in closed:
        facts = facts_of(entity)
        rings[facts.get("role")].append(points_of(entity))
        if facts.get("role") == "outline":
            unit, mirrored = facts["unit"], facts["x mirrored"] == "yes"
            if (facts["mark"], facts["revision"]) != (panel["mark"], panel["revision"]):
                yield f"says it is {facts['mark']} {facts['revision']}"
            if facts["face up"] != panel["face_up"]:
                yield f"says its {facts['face up']} face lies up"
    if unit is None:
        yield "has no outer contour with its facts"
        return
    factor, units = UNITS[unit]
    if document.dxfversion >= "AC1015" and document.header.get("$INSUNITS") != units:
        yield f"$INSUNITS is {document.header.get('$INSUNITS')}, the data say {unit}"

    def expected(points):
        moved = [((panel["width"] - x if mirrored else x) / factor, y / factor) for x, y in points]
        return moved[::-1] if mirrored else moved

    up, down = panel["outer_skin"], panel["inner_skin"]
    if panel["face_up"] == "inner":
        up, down = down, up
    under = []
    if up["outline"] != down["outline"]:
        under.append(down["outline"])
    if up["holes"] != down["holes"]:
        under += down["holes"]
    foam = [face for face in [panel["core"], *panel["core_others"]] if face["outline"]]
    recess = [ring for face in foam for ring in [face["outline"], *face["holes"]]]
    n_expected = 1 + len(up["holes"]) + len(under) + len(recess)
    if len(closed) != n_expected:
        yield f"has {len(closed)} closed contours, panels.json gives {n_expected}"
    for role, theirs in (
        ("outline", [up["outline"]]),
        ("opening", up["holes"]),
        ("under", under),
        ("recess", recess),
    ):
        ours = [[(x * 1.0, y * 1.0) for x, y in ring] for ring in rings[role]]
        lacking, extra = missing(
            [[(x * factor, y * factor) for x, y in ring] for ring in ours],
            [[(x * factor, y * factor) for x, y in expected(ring)] for ring in theirs],
        )
        if lacking or extra:
            yield f"{role}: {lacking} contours of panels.json are not there, {extra} are more"
    if any(area(ring) <= 0 for ring in rings["outline"]) or any(area(ring) >= 0 for ring in rings["opening"]):
        yield "a contour turns the wrong way"
    held = {entity.dxf.layer.startswith("HOLD-") for entity in document.modelspace()}
    if held != {panel["hold"]}:
        yield f"hold is {panel['hold']}, layers say {sorted(held)}"


def check(folder):
    """How many files were read, and what is wrong."""
    package = Package(folder)
    wrong, documents = [], {}
    for file in sorted(package.folder.rglob("*.dxf")):
        name = file.relative_to(package.folder).as_posix()
        try:
            documents[name] = ezdxf.readfile(file)
        except Exception as error:  # any failure to read is the finding
            wrong.append(f"{name}: ezdxf cannot read it: {error}")
            continue
        audit = documents[name].audit()
        if audit.errors or audit.fixes:
            wrong.append(
                f"{name}: {len(audit.errors)} errors, {len(audit.fixes)} fixes: {(audit.errors + audit.fixes)[0].message}"
            )
    for panel in package.panels:
        suffix = f"-{panel['revision']}" if panel["revision"] else ""
        name = f"{'held' if panel['hold'] else 'outlines'}/{panel['mark']}{suffix}.dxf"
        if name in documents:
            wrong += [f"{name}: {sentence}" for sentence in of_panel(panel, name, documents[name])]
        elif not (package.folder / name).exists():
            wrong.append(f"{name}: is missing")
    return len(documents), wrong


if __name__ == "__main__":
    n, problems = check(sys.argv[1])
    print("\n".join(problems) or f"{n} files agree")
    sys.exit(1 if problems or not n else 0)
