"""Least costs of layouts, by mixed-integer programming: the model written from docs/layout.md, solved by HiGHS (highspy, PyPI).

    python3 tests/outside/optimum.py walls|rings|issued|storeys|houses SEED COUNT SIXTEENTHS

`layout_problems.rs` prints random walls and what the program answers; nothing here knows how the program searches. Two models of the
same problem: on a coarse grid a flow through every panel between every two joints; on the finest, layer by layer with whole-number
places. Walls over each other are two flows, and for each joint of the upper one a column that is 1 where it stands over none. Money is
whole cents and must agree to the cent, the number of openings framed by need first; so must what the program calls proved.
"""

import json
import math
import pathlib
import subprocess
import sys
from fractions import Fraction

import highspy
import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
FOOT, INCH = 304_800_000, 25_400_000
# Unequal widths and legs count by whole steps of 6 in.
STEP = 6 * INCH
# Openings framed by need outweigh any money: a wall costs less than this many cents.
BY_NEED = 10_000_000
NOT_POSSIBLE = None
# Two edges nearer than a thousandth of an inch are the same edge.
SAME = INCH // 1000


def problems(kind, seed, count, sixteenths):
    """What the program prints, parsed."""
    command = ["cargo", "run", "--release", "--quiet", "--example", "layout_problems", "--"]
    run = subprocess.run(
        [*command, str(seed), str(count), str(sixteenths), kind], capture_output=True, text=True, cwd=ROOT
    )
    if run.returncode:
        raise RuntimeError(run.stderr[-400:])
    return [json.loads(line) for line in run.stdout.splitlines()]


def rounded(value, parts):
    """value / parts to the nearest whole, halves up."""
    return (2 * value + parts) // (2 * parts)


class Wall:
    """One wall between two ends: prices, places of joints, boundaries. Nanometres from the wall's left corner.

    Its last panel is left long by `joints.make_up` where it is asked to be and ends square.
    """

    def __init__(self, rules, walls, wall, roles, is_left_long):
        self.rules, self.wall = rules, wall
        self.height = wall["height"]
        self.skin_height = self.height + wall["skin_drop"]
        assembly = rules["assemblies"][wall["assembly"]]
        thickness = lambda w: sum(rules["assemblies"][w["assembly"]][key] for key in ("core", "outer_skin", "inner_skin"))
        skins = sum(assembly[f"{face}_skin"] / INCH * assembly[f"{face}_density"] for face in ("outer", "inner"))
        self.psf = (skins + assembly["core"] / INCH * assembly["core_density"]) / 12
        self.ends = []
        for side, role in zip(("left", "right"), roles):
            corner = wall[side]
            end = {"short": 0, "cover": 0, "longer_outer": 0, "extra": 0, "cents": 0}
            if corner["with"] is not None:
                own, other = thickness(wall), thickness(walls[corner["with"]])
                if corner["kind"] == "Odd":
                    bevel = math.radians(corner["turn_deg"] / 2)
                    inner_shorter = round(own * math.tan(bevel))
                    end["longer_outer"], end["extra"] = max(inner_shorter, 0), max(-inner_shorter, 0)
                    end["cents"] = rules["special"]
                elif role == "through":
                    end["cover"] = other
                    end["short"] = 0 if corner["kind"] == "Outside" else -other
                else:
                    end["short"] = other if corner["kind"] == "Outside" else 0
            end["leg"] = max(rules["least_leg"] + end["longer_outer"], end["cover"])
            end["strip"] = max(rules["least_panel"] + end["longer_outer"], end["cover"])
            end["least"] = max(end["strip"], end["cover"] + rules["from_tee"] if end["cover"] else 0)
            end["pier"] = max(rules["least_pier"], end["cover"]) if corner["with"] is None or corner["kind"] != "Odd" else None
            if side == "right" and is_left_long and not (corner["with"] is not None and corner["kind"] == "Odd"):
                end["extra"] = rules["make_up"]
            self.ends.append(end)
        self.left, self.right = self.ends[0]["short"], wall["length"] - self.ends[1]["short"]
        self.holes = wall["openings"]
        # For each line the rooms of its blank, axis upright first: whether a panel's height runs along it, its width and height.
        self.rooms = []
        for line in rules["lines"]:
            across, along = line["width"] - 2 * line["trim"], line["length"] - 2 * line["trim"]
            ways = [line["is_long"], not line["is_long"]] if line["is_either"] else [line["is_long"]]
            self.rooms.append([(stands, across, along) if stands else (stands, along, across) for stands in ways])
        self.widest = max([w for rooms in self.rooms for _, w, h in rooms if self.skin_height <= h], default=0)
        n_equal = -(-(self.right - self.left + rules["gap"]) // (self.widest + rules["gap"])) if self.widest else 0
        self.share = (self.right - self.left + rules["gap"]) // n_equal if n_equal > 0 else 0
        self.prices = {}

    def price(self, width, cut_out):
        """Cents of a panel this wide over its longer skin, less openings in square feet; None where no line makes it."""
        key = (width, cut_out)
        if key not in self.prices:
            self.prices[key] = self._price(width, cut_out)
        return self.prices[key]

    def _price(self, width, cut_out):
        rules = self.rules
        fits = [[room for room in rooms if width <= room[1] and self.skin_height <= room[2]] for rooms in self.rooms]
        line, ways = next(((line, ways) for line, ways in zip(rules["lines"], fits) if ways), (None, []))
        if line is None:
            return NOT_POSSIBLE
        pounds = (width * self.skin_height / FOOT**2 - cut_out) * self.psf
        if pounds > rules["greatest_weight"]:
            return NOT_POSSIBLE
        # The way that uses less of the blank; the first, upright, of equals.
        length, room = min(((self.blank_length(line, stands, width), room) for stands, *room in ways), key=lambda way: way[0])
        cents = line["panel_cents"]
        rate = line["blank_sq_ft_cents"][self.wall["assembly"]]
        cents += rounded(rate * line["width"] * length, FOOT**2)
        cents += rules["unequal"] * (abs(width + rules["gap"] - self.share) // STEP)
        cents += rules["rip"] if width < room[0] - rules["gap"] else 0
        cents += rules["narrow"] if width < rules["preferred_panel"] else 0
        cents += rules["machine_lift"] if pounds > rules["hand_limit"] else 0
        return cents

    def blank_length(self, line, stands, width):
        """How much of the length of a blank a panel uses, an exact fraction."""
        along, trim = self.skin_height if stands else width, 2 * line["trim"]
        if line["is_made_to_length"]:
            return Fraction(along + trim if stands else -(-(along + trim) // FOOT) * FOOT)
        kerf = self.rules["kerf"]
        return Fraction(line["length"], max((line["length"] - trim + kerf) // (along + kerf), 1))

    def is_free(self, joint):
        """True where a joint may lie whose right panel starts at `joint`."""
        rules = self.rules
        left = joint - rules["gap"]
        keep = max(rules["from_opening"], rules["least_leg"])
        zones = [(hole["from"] - keep, hole["to"] + keep) for hole in self.holes]
        zones += [(tee[0] - rules["from_tee"], tee[1] + rules["from_tee"]) for tee in self.wall["tees"]]
        around = lambda step: ((-rules["from_step"] + step, step - rules["gap"]), (step, step), (step + rules["gap"], step + rules["from_step"]))
        zones += [zone for step in self.wall["steps"] for zone in around(step) if zone[0] <= zone[1]] + [tuple(zone) for zone in self.wall["keep_clear"]]
        zones += [tuple(pack) for pack in self.wall["jacks"] if rules["is_clear_under_jacks"]]
        return all(joint <= low or left >= high for low, high in zones)

    def fixed(self):
        """Joints the drafter wishes and may have, and how many he may not."""
        step, gap, (first, last) = self.rules["grid"], self.rules["gap"], self.ends
        # A strip to the run's end with no opening in it is one panel.
        is_panel = lambda a, b, end: b - a >= end["least"] or any(hole["from"] < b and hole["to"] > a for hole in self.holes)
        is_wide = lambda j: is_panel(self.left, j - gap, first) and is_panel(j, self.right, last)
        is_in = lambda j: self.left < j - gap and j < self.right and (j - self.left) % step == 0
        may = lambda j: is_in(j) and self.is_free(j) and is_wide(j)
        wished = self.wall["joints"]
        return sorted({j for j in wished if may(j)}), sum(not may(j) for j in wished)

    def joint_cents(self, joint):
        rules = self.rules
        near, left = rules["from_opening_preferred"], joint - rules["gap"]
        is_near = any(joint > hole["from"] - near and left < hole["to"] + near for hole in self.holes)
        return rounded(rules["joint_ft"][self.wall["assembly"]] * self.height, FOOT) + (rules["near_opening"] if is_near else 0)

    def issued_cents(self, panel):
        return self.rules["locked_panel" if panel["is_locked"] else "issued_panel"]

    def kept(self, a, b, held):
        """Cents of the issued panel that the panel between two boundaries is again, as it was."""
        near = lambda ours, theirs: all(abs(x - y) <= SAME for x, y in zip(ours, theirs))
        for panel in self.wall["issued"]:
            holes = [(hole["from"], hole["sill"], hole["to"], hole["head"]) for hole in held]
            is_same = near((a[2], -self.wall["skin_drop"], b[1], self.height), panel["rect"]) and [a[0], b[0]] == panel["edges"]
            is_same &= panel["is_same_assembly"] and len(holes) == len(panel["openings"])
            if is_same and all(near(hole, before) for hole, before in zip(holes, panel["openings"])):
                return self.issued_cents(panel)
        return 0

    def jamb_cents(self, i):
        by_need = self.holes[i]["to"] - self.holes[i]["from"] <= self.rules["whole_up_to"]
        return self.rules["framed_opening"] + (BY_NEED if by_need else 0)

    def held(self, from_x, to_x):
        """Openings between two boundaries; None when one is cut by a boundary or too wide to be held."""
        held = []
        for hole in self.holes:
            if hole["to"] <= from_x or hole["from"] >= to_x:
                continue
            if hole["from"] < from_x or hole["to"] > to_x or hole["to"] - hole["from"] > self.rules["whole_up_to"]:
                return None
            held.append(hole)
        return held

    def panel(self, a, b):
        """Cents of the panel between two boundaries, or None. A boundary is (kind, right edge before it, left edge after it)."""
        rules = self.rules
        from_x, to_x = a[2], b[1]
        width, held = to_x - from_x, self.held(a[2], b[1])
        if held is None or width <= 0:
            return NOT_POSSIBLE
        least, extra, piers = rules["least_panel"], 0, []
        by = "least" if "joint" in (a[0], b[0]) else "strip"  # A corner asks for more only where a joint stands beside it.
        for boundary, end in ((a, self.ends[0]), (b, self.ends[1])):
            if boundary[0] == "end":
                least, extra = max(least, end[by]), extra + end["extra"]
            piers.append(end["pier"] if boundary[0] == "end" else rules["least_pier"] if boundary[0] == "jamb" else None)
        if width < least:
            # A strip beside a framed opening, with no joint and no opening in it, may be a pier of solid lumber.
            if held or None in piers or "jamb" not in (a[0], b[0]) or width < max(piers):
                return NOT_POSSIBLE
            cents = self.price(width, 0.0)
            return NOT_POSSIBLE if cents is None else cents + rules["pier"] - self.kept(a, b, held)
        if held:
            leg = lambda boundary, end: end["leg"] if boundary[0] == "end" else rules["least_leg"]
            if held[0]["from"] - from_x < leg(a, self.ends[0]) or to_x - held[-1]["to"] < leg(b, self.ends[1]):
                return NOT_POSSIBLE
        soft = 0
        module = min(line["width"] for line in rules["lines"]) // 2
        touches_end = "end" in (a[0], b[0])
        if (width + rules["gap"]) % module and not (touches_end and width % module == 0):
            soft += rules["off_module"]
        if held:
            soft += rules["uneven_legs"] * (abs((held[0]["from"] - from_x) - (to_x - held[-1]["to"])) // STEP)
        area = 0.0
        for hole in held:
            high = min(hole["head"], self.height) - max(hole["sill"], 0)
            area += (hole["to"] - hole["from"]) * high / FOOT**2
        cents = self.price(width + extra, area)
        return NOT_POSSIBLE if cents is None else cents + soft - self.kept(a, b, held)

    def fixed_cents(self):
        """Bevels, and every issued panel: those that are kept are given back."""
        issued = sum(self.issued_cents(panel) for panel in self.wall["issued"])
        return self.ends[0]["cents"] + self.ends[1]["cents"] + issued

    def boundaries(self):
        """The fixed ones: both ends and every opening that may be framed."""
        jambs = [("jamb", hole["from"], hole["to"], self.jamb_cents(i)) for i, hole in enumerate(self.holes)]
        return ("end", self.left, self.left, 0), jambs, ("end", self.right, self.right, 0)

    def passes(self, a, b, fixed):
        """True when a panel from a to b would run over a joint that must be."""
        return any(a[2] < joint and b[1] > joint - self.rules["gap"] for joint in fixed)


def solve_milp(costs, rows, lower, upper, column_bounds):
    """The least objective of a model in triplet form, as a whole number; None when there is no solution."""
    model = highspy.HighsLp()
    n_columns = len(costs)
    model.num_col_, model.num_row_ = n_columns, len(lower)
    model.col_cost_ = np.array(costs, dtype=float)
    model.col_lower_ = np.array([low for low, _ in column_bounds], dtype=float)
    model.col_upper_ = np.array([high for _, high in column_bounds], dtype=float)
    model.row_lower_, model.row_upper_ = np.array(lower, dtype=float), np.array(upper, dtype=float)
    starts, indices, values = [0], [], []
    for row in rows:
        indices += [column for column, _ in row]
        values += [value for _, value in row]
        starts.append(len(indices))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(indices)
    model.a_matrix_.value_ = np.array(values, dtype=float)
    model.integrality_ = [highspy.HighsVarType.kInteger] * n_columns
    highs = highspy.Highs()
    highs.silent()
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.25)
    highs.passModel(model)
    highs.run()
    status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kOptimal:
        return round(highs.getInfo().objective_function_value)
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return NOT_POSSIBLE
    raise RuntimeError(f"HiGHS ends with {status}")


class Flow:
    """A flow of one from the left end of a wall to the right: a column for every panel that can be."""

    def __init__(self, wall):
        step, gap = wall.rules["grid"], wall.rules["gap"]
        start, jambs, end = wall.boundaries()
        fixed, _ = wall.fixed()
        joints = []
        at = wall.left + step
        while at < wall.right:
            if wall.is_free(at):
                joints.append(("joint", at - gap, at, wall.joint_cents(at)))
            at += step
        nodes = sorted([start, *joints, *jambs, end], key=lambda node: (node[2], node[1]))
        self.costs, self.balance = [], [[] for _ in nodes]
        # Columns that end at a joint, by its place.
        self.into = {}
        for i, a in enumerate(nodes):
            for j, b in enumerate(nodes):
                if b[1] - a[2] > wall.widest or b[2] <= a[2] or a is end or b is start or wall.passes(a, b, fixed):
                    continue
                cents = wall.panel(a, b)
                if cents is not None:
                    column = len(self.costs)
                    self.balance[i].append((column, 1))
                    self.balance[j].append((column, -1))
                    self.costs.append(cents + b[3])
                    if b[0] == "joint":
                        self.into.setdefault(b[2], []).append(column)
        self.sides = [1 if node is start else -1 if node is end else 0 for node in nodes]


def by_flow(wall):
    """Least cost of one wall as a flow."""
    flow = Flow(wall)
    if not flow.costs:
        return NOT_POSSIBLE
    least = solve_milp(flow.costs, flow.balance, flow.sides, flow.sides, [(0, 1)] * len(flow.costs))
    return NOT_POSSIBLE if least is None else least + wall.fixed_cents()


def by_two_flows(lower, upper, start):
    """Least cost of a wall and the one over it; 0 of the lower lies at `start` along the upper."""
    low, high = Flow(lower), Flow(upper)
    if not low.costs or not high.costs:
        return NOT_POSSIBLE
    shift, rules = len(low.costs), lower.rules
    places = sorted(high.into)
    rows = low.balance + [[(column + shift, sign) for column, sign in row] for row in high.balance]
    least = [*low.sides, *high.sides]
    most = list(least)
    first = shift + len(high.costs)
    for i, place in enumerate(places):
        # Joints above, less joints near enough below, less the column that says it stands over none: not above 0.
        below = [at for at in low.into if abs(at + start - place) <= rules["within"]]
        row = [(column + shift, 1) for column in high.into[place]] + [(first + i, -1)]
        row += [(column, -1) for at in below for column in low.into[at]]
        rows.append(row)
        least.append(-math.inf)
        most.append(0)
    costs = low.costs + high.costs + [rules["unaligned"]] * len(places)
    found = solve_milp(costs, rows, least, most, [(0, 1)] * len(costs))
    return NOT_POSSIBLE if found is None else found + lower.fixed_cents() + upper.fixed_cents()


def stations(wall):
    """Stretches of steps in which a joint may lie at one price: (first step, last step, cents)."""
    step, found = wall.rules["grid"], []
    k = 1
    while wall.left + k * step < wall.right:
        at = wall.left + k * step
        if wall.is_free(at):
            cents = wall.joint_cents(at)
            # A stretch must not reach from one opening to beyond the next: which openings a panel holds is then clear.
            between = sum(hole["to"] <= at for hole in wall.holes)
            if found and found[-1][1] == k - 1 and found[-1][2:] == (cents, between):
                found[-1] = (found[-1][0], k, cents, between)
            else:
                found.append((k, k, cents, between))
        k += 1
    return found


def by_layers(wall, most):
    """Least cost with at most so many panels: in each layer one boundary, its place a whole number of steps.

    The place of a fixed boundary is 0; `low` and `high` of an arc bound place after less place before.
    """
    step, gap = wall.rules["grid"], wall.rules["gap"]
    start, jambs, end = wall.boundaries()
    nodes = [start, end, *jambs, *stations(wall)]
    is_station = [len(node) == 4 and not isinstance(node[0], str) for node in nodes]

    def boundary(n, k):
        if not is_station[n]:
            return nodes[n]
        at = wall.left + k * step
        return ("joint", at - gap, at, nodes[n][2])

    arcs = []
    bands = {}
    for a in range(len(nodes)):
        for b in range(len(nodes)):
            if a == 1 or b == 0:
                continue
            for low, high, cents in spans(wall, boundary, nodes, is_station, a, b, bands):
                enter = nodes[b][2] if is_station[b] else nodes[b][3]
                arcs.append((a, b, low, high, cents + enter))
    arcs.append((1, 1, 0, 0, 0))
    n_arcs, n_layers = len(arcs), most
    places = n_arcs * n_layers
    costs = [arc[4] for _ in range(n_layers) for arc in arcs] + [0] * (n_layers + 1)
    n_steps = (wall.right - wall.left) // step + 1
    bounds = [(0, 1)] * places + [(0, n_steps)] * (n_layers + 1)
    rows, lower, upper = [], [], []

    def row(entries, low, high):
        rows.append(entries)
        lower.append(low)
        upper.append(high)

    for layer in range(n_layers):
        base = layer * n_arcs
        row([(base + i, 1) for i in range(n_arcs)], 1, 1)
        after, before = places + layer + 1, places + layer
        row([(after, 1), (before, -1)] + [(base + i, -arc[2]) for i, arc in enumerate(arcs) if arc[2]], 0, math.inf)
        row([(after, 1), (before, -1)] + [(base + i, -arc[3]) for i, arc in enumerate(arcs) if arc[3]], -math.inf, 0)
        # The place lies in the stretch that was entered; of a fixed boundary it is 0.
        enters = [(base + i, nodes[arc[1]]) for i, arc in enumerate(arcs) if is_station[arc[1]]]
        row([(after, 1)] + [(i, -node[0]) for i, node in enters], 0, math.inf)
        row([(after, 1)] + [(i, -node[1]) for i, node in enters], -math.inf, 0)
        for n in range(len(nodes)):
            leaves = [(base + i, 1) for i, arc in enumerate(arcs) if arc[0] == n]
            if layer == 0:
                row(leaves, int(n == 0), int(n == 0))
            else:
                come = [(base - n_arcs + i, -1) for i, arc in enumerate(arcs) if arc[1] == n]
                row(leaves + come, 0, 0)
    row([((n_layers - 1) * n_arcs + i, 1) for i, arc in enumerate(arcs) if arc[1] == 1], 1, 1)
    row([(places, 1)], 0, 0)
    least = solve_milp(costs, rows, lower, upper, bounds)
    return NOT_POSSIBLE if least is None else least + wall.fixed_cents()


def spans(wall, boundary, nodes, is_station, a, b, known):
    """Flat stretches of the price between two boundaries: (low, high, cents), in steps of place after less place before."""
    station_a, station_b = is_station[a], is_station[b]
    if not station_a and not station_b:
        cents = wall.panel(nodes[a], nodes[b]) if nodes[b][1] > nodes[a][2] else None
        return [] if cents is None else [(0, 0, cents)]
    if station_a and station_b:
        key = (nodes[a][3], nodes[b][3])
        # Between two stretches the price depends on the number of steps alone: the openings held are those between them.
        low, high = nodes[b][0] - nodes[a][1], nodes[b][1] - nodes[a][0]
        pairs = []
        for steps in range(max(low, 1), high + 1):
            if steps * wall.rules["grid"] > wall.widest + wall.rules["gap"]:
                break
            if (key, steps) not in known:
                k = max(nodes[a][0], nodes[b][0] - steps)
                known[key, steps] = wall.panel(boundary(a, k), boundary(b, k + steps))
            pairs.append((steps, known[key, steps]))
    elif station_b:
        pairs = [(k, wall.panel(nodes[a], boundary(b, k))) for k in range(nodes[b][0], nodes[b][1] + 1)]
    else:
        pairs = [(-k, wall.panel(boundary(a, k), nodes[b])) for k in range(nodes[a][1], nodes[a][0] - 1, -1)]
    found = []
    for place, cents in pairs:
        if cents is None:
            continue
        if found and found[-1][1] == place - 1 and found[-1][2] == cents:
            found[-1] = (found[-1][0], place, cents)
        else:
            found.append((place, place, cents))
    return found


def by_enough_layers(wall):
    """More panels than a layout's cost pays for cannot be in the best: layers are added until that is sure."""
    cheapest = min(line["panel_cents"] for line in wall.rules["lines"]) + rounded(
        wall.rules["joint_ft"][wall.wall["assembly"]] * wall.height, FOOT
    )
    most = (wall.right - wall.left) // wall.widest + 2 + len(wall.holes) if wall.widest else 1
    while True:
        least = by_layers(wall, most)
        ceiling = (wall.right - wall.left) // wall.rules["least_panel"] + 1
        enough = ceiling if least is None else min(ceiling, (least % BY_NEED) // cheapest + 1)
        if most >= enough or (least is not None and least >= BY_NEED and most >= ceiling):
            return least
        most = min(max(enough, most + 1), ceiling)


def judge_wall(rules, walls, index, roles, method):
    """The wall and its least cost; its last panel is left long where any layout of it can be."""
    wall = Wall(rules, walls, walls[index], roles, True)
    least = method(wall)
    if least is NOT_POSSIBLE and rules["make_up"]:
        wall = Wall(rules, walls, walls[index], roles, False)
        least = method(wall)
    return wall, least


def answer(rules, wall):
    """The program's own answer as the judge counts it; None where it found no layout."""
    own = wall["answer"]
    if not own["panels"]:
        return NOT_POSSIBLE
    edges = {(edge_a[1], edge_b[0]) for edge_a, edge_b in zip(own["panels"], own["panels"][1:])}
    by_need = sum(
        (hole["from"], hole["to"]) in edges and hole["to"] - hole["from"] <= rules["whole_up_to"]
        for hole in wall["openings"]
    )
    return own["cents"] + BY_NEED * by_need


def words(cost):
    return "no layout" if cost is None else f"{cost // BY_NEED} framed by need and {cost % BY_NEED} cents"


def judge(problem, method):
    """What is wrong with the program's answer to one building."""
    rules, walls = problem["rules"], problem["walls"]
    if len(walls) == 1:
        wall, least = judge_wall(rules, walls, 0, ("free", "free"), method)
        refused = wall.fixed()[1]
        if least is NOT_POSSIBLE and (walls[0]["joints"] or walls[0]["keep_clear"]):
            # Wishes that cannot be kept together are refused together, and the wall is laid out without them.
            bare = dict(walls[0], joints=[], keep_clear=[])
            _, least = judge_wall(rules, [bare], 0, ("free", "free"), method)
            refused = refused if least is NOT_POSSIBLE else 1
        found, own = answer(rules, walls[0]), walls[0]["answer"]
        wrong = [] if found == least else [f"the program says {words(found)}, HiGHS {words(least)}: {json.dumps(walls[0])}"]
        if refused != own["refused"]:
            wrong.append(f"{own['refused']} wishes are refused and {refused} break a rule: {json.dumps(walls[0])}")
        if own["cents"] != own["bound"]:
            wrong.append(f"cost {own['cents']} and bound {own['bound']} differ")
        return wrong
    n = len(walls)
    square = [i for i in range(n) if walls[i]["right"]["kind"] in ("Outside", "Inside")]
    lowers = [i for i in range(n) if walls[i]["storey"] == 0]
    over = {i: i + len(lowers) for i in lowers if i + len(lowers) < n}
    known = {}

    def cost(i, roles):
        if (i, roles) not in known:
            known[i, roles] = judge_wall(rules, walls, i, roles, method)
        return known[i, roles][1]

    def both(i, roles, roles_above):
        """The wall and the one over it."""
        key = (i, roles, roles_above)
        if key not in known:
            lower, upper = known[i, roles][0], known[over[i], roles_above][0]
            known[key] = by_two_flows(lower, upper, offset(walls[i], walls[over[i]]))
        return known[key]

    best = None
    for choice in range(2 ** len(square)):
        before_runs = {corner: bool(choice >> bit & 1) for bit, corner in enumerate(square)}
        left_of = {wall["right"]["with"]: i for i, wall in enumerate(walls) if wall["right"]["with"] is not None}
        roles = []
        for i in range(n):
            left = "through" if not before_runs.get(left_of.get(i), True) else "butt"
            roles.append((left, "through" if before_runs.get(i, True) else "butt"))
        # A pair costs no less than both alone: where that is no better already, it is not asked for.
        alone = [cost(i, roles[i]) for i in range(n)]
        total = [sum(it is None for it in alone), sum(it or 0 for it in alone)]
        if over and not total[0]:
            for i in over:
                if best is not None and total >= best:
                    break
                total[1] += both(i, roles[i], roles[over[i]]) - alone[i] - alone[over[i]]
        best = total if best is None or total < best else best
    if over and best[0]:
        return []
    found = [answer(rules, wall) for wall in walls]
    own = [sum(it is None for it in found), sum(it or 0 for it in found)]
    gap = sum(wall["answer"]["cents"] - wall["answer"]["bound"] for wall in walls)
    if over and [own[0], own[1] - gap] <= best <= own and gap:
        return [f"not proved: the program says no less than {own[1] - gap} and {own[1]}, the least is {best[1]}"]
    return [] if own == best and not gap else [f"the program says {own}, proved but for {gap}, the least is {best}: {json.dumps(problem)}"]


def offset(lower, upper):
    """Where 0 of the lower wall lies along the upper one, which runs the same way."""
    dx, dy = (lower["origin"][axis] - upper["origin"][axis] for axis in (0, 1))
    return round(math.hypot(dx, dy) * INCH) * (-1 if dx < -1e-6 or dy < -1e-6 else 1)


def check(kind, seed, count, sixteenths):
    """How many buildings were judged, and what is wrong."""
    method = by_flow if sixteenths >= 16 else by_enough_layers
    wrong, laid = [], 0
    for problem in problems(kind, seed, count, sixteenths):
        wrong += judge(problem, method)
        laid += all(wall["answer"]["panels"] for wall in problem["walls"])
    if laid * 4 < count:
        wrong.append(f"only {laid} of {count} can be laid out at all: the problems say little")
    return count, wrong


def sees_a_cent():
    """The judge itself: a true answer made a cent dearer, its layout taken away, or one not proved, has to be seen."""
    [problem] = problems("walls", 1, 1, 32)
    problem["walls"][0]["answer"]["cents"] += 1
    problem["walls"][0]["answer"]["bound"] += 1
    dearer = judge(problem, by_flow)
    problem["walls"][0]["answer"]["panels"] = []
    missing = judge(problem, by_flow)
    pairs = problems("storeys", 5, 8, 32)
    pair = next(it for it in pairs if all(wall["answer"]["panels"] for wall in it["walls"]))
    pair["walls"][1]["answer"]["bound"] -= 1
    unproved = judge(pair, by_flow)
    return 3, [] if dearer and missing and unproved else ["a wrong cost or a gap was not seen"]


if __name__ == "__main__":
    _, seed, count, sixteenths = sys.argv[1:5]
    n_cases, problems_found = check(sys.argv[1], int(seed), int(count), int(sixteenths))
    print(f"{n_cases} judged, {len(problems_found)} wrong, by HiGHS {highspy.Highs().version()}")
    for line in problems_found[:5]:
        print(line[:3000])
    sys.exit(bool(problems_found))
