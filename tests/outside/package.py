"""A package's files as the checks see them, and points of panels and walls in the building. Knows plan.json and panels.json only."""

import json
import math
import pathlib


class Package:
    """`plan.json` and `panels.json` of a folder."""

    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        self.plan = json.loads((self.folder / "plan.json").read_text())
        file = json.loads((self.folder / "panels.json").read_text())
        self.walls, self.panels = file["walls"], file["panels"]
        self.thickness = {panel["wall"]: panel["thickness"] for panel in self.panels}

    def storeys(self):
        return self.plan["storeys"]

    def panel(self, mark):
        return next(panel for panel in self.panels if panel["mark"] == mark)


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def in_building(storey, point):
    """A point of the drawing in the building: turned about the origin, then moved."""
    to = storey["to_building"]
    turn = math.radians(to["turn_deg"])
    x, y = point
    return (
        x * math.cos(turn) - y * math.sin(turn) + to["move"][0],
        x * math.sin(turn) + y * math.cos(turn) + to["move"][1],
    )


def of_panel(panel, x, y=0.0, out=0.0):
    """A point of a panel in the building: along x, up y, out of its outer face."""
    placed = panel["placed"]
    normal = cross(placed["x"], placed["y"])
    return [
        placed["origin"][i] + placed["x"][i] * x + placed["y"][i] * y + normal[i] * out
        for i in range(3)
    ]


def of_wall(wall, along, out=0.0):
    """A point of a wall's run in the building, in plan; the outside is on the right of `along`."""
    (x, y, _), (dx, dy) = wall["origin"], wall["along"]
    return x + dx * along + dy * out, y + dy * along - dx * out


def in_wall(wall, point):
    """Where a point of the building lies along a wall's run, and how far out of its outer face, in plan."""
    (x, y, _), (dx, dy) = wall["origin"], wall["along"]
    x, y = point[0] - x, point[1] - y
    return x * dx + y * dy, x * dy - y * dx


def pieces(wall):
    """Kind, name, from and to of each piece of a wall's run."""
    reached = 0.0
    for piece in wall["run"]:
        if "gap" in piece:
            yield "gap", None, reached, reached + piece["gap"]
            reached += piece["gap"]
        else:
            kind = "panel" if "panel" in piece else "opening"
            yield kind, piece[kind], piece["from"], piece["to"]
            reached = piece["to"]
