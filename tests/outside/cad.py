"""cad/*.dxf against ezdxf: audited without a fault, the architect's lines where the drawing has them, panels where panels.json has them."""

import json
import pathlib
import re

import ezdxf

from package import Package, of_panel

# Inches in one of $INSUNITS.
UNITS = {1: 1.0, 2: 12.0, 4: 1 / 25.4, 5: 1 / 2.54, 6: 100 / 2.54}


def without_reference(layer):
    """A layer's name without that of the drawing it was bound from, as `docs/drawing.md` says it is read: `site$0$A-WALL`."""
    return re.sub(r"^.+\$\d+\$(?=.)", "", layer)


def points(line):
    ends = [(line.dxf.start.x, line.dxf.start.y), (line.dxf.end.x, line.dxf.end.y)]
    return tuple(sorted((round(x, 5), round(y, 5)) for x, y in ends))


def check(folder, source=None):
    """Every file; `source` is the plan it was made from, where that is a drawing."""
    folder = pathlib.Path(folder)
    package = Package(folder)
    problems, n_cases = [], 0
    for path in sorted(folder.glob("cad/*.dxf")):
        document = ezdxf.readfile(path)
        audit = document.audit()
        for fault in [*audit.errors, *audit.fixes]:
            problems.append(f"{path.name}: {fault.message}")
        if document.dxfversion != "AC1015":
            problems.append(f"{path.name}: is {document.dxfversion}")
        n_cases += 1
    plans = sorted(folder.glob("cad/*-key-plan.dxf"))
    for path, storey in zip(plans, package.storeys()):
        document = ezdxf.readfile(path)
        model = document.modelspace()
        inches = package.plan["drawing"]["inches_per_unit"]
        given = None if source is None else ezdxf.readfile(source)
        if given is not None and given.units:
            # Laid into the architect's drawing it is scaled by the ratio of the two headers, whatever the lines really measure.
            if document.units != given.units:
                problems.append(f"{path.name}: unit {document.units}, the drawing's header says {given.units}")
        elif abs(UNITS.get(document.units, 0) - inches) > 1e-6 * inches:
            problems.append(f"{path.name}: unit {document.units}, the plan has {inches} inches in one")
        if given is not None:
            hidden = {layer.dxf.name for layer in given.layers if layer.is_off() or layer.is_frozen()}
            lines = [line for line in given.modelspace().query("LINE") if line.dxf.layer not in hidden and len(set(points(line))) == 2]
            have = {(line.dxf.layer.removeprefix(f"{pathlib.Path(source).stem}$0$"), points(line)) for line in model.query("LINE")}
            lost = [line for line in lines if (without_reference(line.dxf.layer), points(line)) not in have]
            for line in lost[:5]:
                problems.append(f"{path.name}: line {line.dxf.handle} on {line.dxf.layer} is not where the drawing has it")
            n_cases += len(lines)
        to = storey["to_building"]
        if abs(to["turn_deg"]) < 1e-9 and package.plan["storeys"][0]["id"] == storey["id"]:
            words = {text.dxf.text.split()[0] for text in model.query("TEXT") if text.dxf.layer == "Z-WALL-IDEN"}
            corners = {
                (round(x * inches, 3), round(y * inches, 3))
                for ring in model.query("LWPOLYLINE")
                if ring.dxf.layer == "Z-WALL-OTLN"
                for x, y in ring.get_points("xy")
            }
            for panel in package.panels:
                if panel["storey"] != storey["id"] or panel["kind"] != "wall":
                    continue
                x, y, _ = of_panel(panel, 0)
                wanted = (x - to["move"][0], y - to["move"][1])
                if panel["mark"] not in words:
                    problems.append(f"{path.name}: {panel['mark']} is not written")
                if not any(abs(a - wanted[0]) < 2e-3 and abs(b - wanted[1]) < 2e-3 for a, b in corners):
                    problems.append(f"{path.name}: {panel['mark']} does not stand at {wanted}")
                n_cases += 1
    return n_cases, problems
