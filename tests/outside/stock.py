"""The stock solvers, judged from outside: published instances, HiGHS (highspy, PyPI), and a saw of our own.

    python3 tests/outside/stock.py [all]

`stock_problems.rs` cuts what is handed to it. Here every plan is sawn again from its list of cuts, its sheets are counted against the
best values known (Berkey and Wang 1987, Martello and Vigo 1998, and thirty classic cutting-stock instances, in ../shared/data), and on
small cases against the least cost that HiGHS finds over all patterns there are. `all`: every published instance, with more work.
"""

import itertools
import json
import pathlib
import random
import subprocess
import sys

import highspy
import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
DATA = ROOT.parent / "shared" / "data"


def answers(problems):
    """What the program cuts, problem by problem."""
    command = ["cargo", "run", "--release", "--quiet", "--example", "stock_problems"]
    lines = "".join(json.dumps(problem) + "\n" for problem in problems)
    run = subprocess.run(command, input=lines, capture_output=True, text=True, cwd=ROOT)
    if run.returncode:
        raise RuntimeError(run.stderr[-400:])
    return [json.loads(line) for line in run.stdout.splitlines()]


def area(rectangle):
    left, low, right, high = rectangle
    return (right - left) * (high - low)


def sawn(problem, cut):
    """Saws one sheet; what is wrong, or None. Rectangles are left, low, right, high."""
    kerf, trim = problem["kerf"], problem["trim"]
    width, height = problem["sheets"][cut["sheet"]][:2]
    lying = [(trim, trim, width - trim, height - trim)]
    dust, whole = 0, area(lying[0])
    for x, y, to_x, to_y, _ in cut["cuts"]:
        for place, (left, low, right, high) in enumerate(lying):
            if x == to_x and (y, to_y) == (low, high) and left < x < right:
                end = min(x + kerf, right)
                parts, lost = [(left, low, x, high), (end, low, right, high)], (x, low, end, high)
                break
            if y == to_y and (x, to_x) == (left, right) and low < y < high:
                end = min(y + kerf, high)
                parts, lost = [(left, low, right, y), (left, end, right, high)], (left, y, right, end)
                break
        else:
            return f"the cut {x, y, to_x, to_y} parts nothing"
        lying[place : place + 1] = [part for part in parts if area(part)]
        dust += area(lost)
    named = []
    for piece, x, y, turned in cut["pieces"]:
        w, h, _, may_turn, _ = problem["pieces"][piece]
        if turned and not may_turn:
            return f"piece {piece} may not be turned"
        if turned:
            w, h = h, w
        named.append((x, y, x + w, y + h))
    named += [(x, y, x + w, y + h) for x, y, w, h in cut["offcuts"]]
    if sorted(named) != sorted(lying):
        return "pieces and offcuts are not what the cuts leave"
    if sum(map(area, named)) + dust != whole:
        return "area is lost"
    batches = [problem["pieces"][piece][4] for piece, *_ in cut["pieces"]]
    window = problem["window"]
    if window is not None and max(batches) - min(batches) > window:
        return "batches are too far apart"
    return None


def plan_problems(problem, answer):
    """What is wrong with a plan of sheets."""
    if "error" in answer:
        return [answer["error"]]
    found = [why for why in (sawn(problem, cut) for cut in answer["sheets"]) if why]
    made = [piece for cut in answer["sheets"] for piece, *_ in cut["pieces"]]
    for index, (_, _, count, _, _) in enumerate(problem["pieces"]):
        if made.count(index) != count:
            found.append(f"piece {index}: {made.count(index)} made, {count} needed")
    for index, (_, _, on_hand, _) in enumerate(problem["sheets"]):
        used = sum(cut["sheet"] == index for cut in answer["sheets"])
        if on_hand is not None and used > on_hand:
            found.append(f"{used} sheets of kind {index}, {on_hand} on hand")
    if not answer["proved"]:
        found.append("the bound is not proved")
    if answer["bound"] > len(answer["sheets"]):
        found.append("the bound is above the plan")
    return found


def published(name, every, steps):
    """Instances of a published set with the best value known, as problems."""
    best_at, items_at = {"bmv500": (4, 8), "csp2d_30": (6, 12)}[name]
    lines = (DATA / f"{name}.tsv").read_text().splitlines()[1:]
    for line in lines[every // 2 :: every]:
        fields = line.split("\t")
        pieces = [[int(n) for n in item.split("x")] for item in fields[items_at].split(";") if item.strip()]
        problem = {
            "sheets": [[int(fields[1]), int(fields[2]), None, 1]],
            "pieces": [[p[0], p[1], p[2] if len(p) > 2 else 1, False, 0] for p in pieces],
            "kerf": 0,
            "trim": 0,
            "first_cut": "either",
            "window": None,
            "steps": steps,
        }
        yield fields[0], problem, int(fields[best_at])


def check_published(name, every, steps, at_best):
    """Cases and problems: plans that replay, none more than one over, bounds within one and never above, and `at_best` of all met."""
    cases = list(published(name, every, steps))
    found, met = [], 0
    for (case, problem, best), answer in zip(cases, answers([problem for _, problem, _ in cases]), strict=True):
        wrong = plan_problems(problem, answer)
        found += [f"{case}: {why}" for why in wrong]
        if wrong:
            continue
        used, bound = len(answer["sheets"]), answer["bound"]
        met += used <= best
        if used > best + 1:
            found.append(f"{case}: {used} sheets, {best} are known to do")
        if not best - 1 <= bound <= best:
            found.append(f"{case}: bound {bound} with {best} known to do")
    if met < at_best * len(cases):
        found.append(f"{met} of {len(cases)} at the best known, wanted {at_best:.0%}")
    return len(cases), found


def least_cost(patterns, demand, limits):
    """Least cost of patterns that cover a demand, by HiGHS. A pattern: cost, kind, counts. Limits: kind -> how many there are."""
    model = highspy.Highs()
    model.silent()
    n = len(patterns)
    model.addVars(n, np.zeros(n), np.full(n, float(sum(demand))))
    model.changeColsCost(n, np.arange(n, dtype=np.int32), np.array([float(cost) for cost, _, _ in patterns]))
    model.changeColsIntegrality(n, np.arange(n, dtype=np.int32), np.full(n, highspy.HighsVarType.kInteger))
    rows = [(float(need), highspy.kHighsInf, [counts[of] for _, _, counts in patterns]) for of, need in enumerate(demand)]
    rows += [(-highspy.kHighsInf, float(have), [int(kind == it) for _, kind, _ in patterns]) for it, have in limits.items()]
    for low, high, row in rows:
        at = np.flatnonzero(row).astype(np.int32)
        model.addRow(low, high, len(at), at, np.array(row, dtype=float)[at])
    model.setOptionValue("mip_rel_gap", 0.0)
    model.run()
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise RuntimeError(f"HiGHS: {model.getModelStatus()}")
    return round(model.getInfo().objective_function_value)


def bar_patterns(problem):
    """All ways to fill each kind of bar."""
    kerf, trim = problem["kerf"], problem["trim"]
    counts = [range(count + 1) for _, count in problem["lengths"]]
    lengths = [length + kerf for length, _ in problem["lengths"]]
    for counts in itertools.product(*counts):
        taken = sum(n * length for n, length in zip(counts, lengths))
        for kind, (length, _, cost) in enumerate(problem["bars"]):
            if 0 < taken <= length - 2 * trim + kerf:
                yield cost, kind, counts


def check_bars(seed, count):
    """Bars of several lengths, some on hand: costs equal those of HiGHS, bounds at most that."""
    chance = random.Random(seed)
    problems = []
    for _ in range(count):
        bars = [[192 * 16, None, 1700], [chance.choice([120, 144, 168]) * 16, None, chance.randint(900, 1500)]]
        bars.append([chance.randint(40, 100) * 16, 2, 10])
        lengths = [[chance.randint(14 * 16, 130 * 16), chance.randint(1, 4)] for _ in range(6)]
        lengths = [[min(length, 190 * 16), n] for length, n in lengths]
        problems.append({"bars": bars, "lengths": lengths, "kerf": 2, "trim": 4, "steps": 3_000_000})
    found = []
    for case, (problem, answer) in enumerate(zip(problems, answers(problems), strict=True)):
        if "error" in answer:
            found.append(f"case {case}: {answer['error']}")
            continue
        found += [f"case {case}: {why}" for why in bar_problems(problem, answer)]
        demand = [n for _, n in problem["lengths"]]
        limits = {kind: have for kind, (_, have, _) in enumerate(problem["bars"]) if have is not None}
        least = least_cost(list(bar_patterns(problem)), demand, limits)
        cost = sum(problem["bars"][cut["bar"]][2] for cut in answer["bars"])
        if cost != least or answer["cost_bound"] > least:
            found.append(f"case {case}: cost {cost}, bound {answer['cost_bound']}, HiGHS {least}")
    return count, found


def bar_problems(problem, answer):
    """Cuts every bar again and counts."""
    kerf, trim = problem["kerf"], problem["trim"]
    found = [] if answer["proved"] else ["the bound is not proved"]
    made = [piece for cut in answer["bars"] for piece in cut["pieces"]]
    for cut in answer["bars"]:
        length = problem["bars"][cut["bar"]][0] - 2 * trim
        taken = sum(problem["lengths"][piece][0] for piece in cut["pieces"]) + kerf * (len(cut["pieces"]) - 1)
        if taken > length or cut["offcut"] != max(0, length - taken - kerf):
            found.append(f"a bar of {length} holds {taken} and leaves {cut['offcut']}")
    for index, (_, count) in enumerate(problem["lengths"]):
        if made.count(index) != count:
            found.append(f"length {index}: {made.count(index)} made, {count} needed")
    return found


def three_stage_patterns(sizes, demand, width, height):
    """All that one sheet can hold in three stages, first cuts upright: counts of each size. Rows, strips of rows, strips."""

    def stacked(parts, whole):
        """All sums of parts (length, counts) within a length and the demand."""
        reached = [set() for _ in range(whole + 1)]
        reached[0].add((0,) * len(demand))
        for at in range(whole + 1):
            for counts in list(reached[at]):
                for length, more in parts:
                    total = tuple(map(sum, zip(counts, more)))
                    if at + length <= whole and all(n <= most for n, most in zip(total, demand)):
                        reached[at + length].add(total)
        return set().union(*reached)

    one = [tuple(int(i == j) for j in range(len(sizes))) for i in range(len(sizes))]
    strips = []
    for strip_width in range(1, width + 1):
        rows = []
        for row_height in sorted({h for _, h in sizes}):
            parts = [(w, unit) for (w, h), unit in zip(sizes, one) if h <= row_height]
            rows += [(row_height, counts) for counts in stacked(parts, strip_width) if any(counts)]
        strips += [(strip_width, counts) for counts in stacked(rows, height) if any(counts)]
    narrowest = {}
    for strip_width, counts in strips:
        narrowest[counts] = min(strip_width, narrowest.get(counts, width))
    return stacked([(w, counts) for counts, w in narrowest.items()], width)


def check_sheets(seed, count):
    """Small sheets: as few as HiGHS finds over all patterns of three stages in that direction; the bound is at most that."""
    chance = random.Random(seed)
    problems = []
    for case in range(count):
        width, height = chance.randint(10, 14), chance.randint(10, 14)
        pieces = [[chance.randint(3, 9), chance.randint(3, 9), chance.randint(1, 3), False, 0] for _ in range(4)]
        problems.append(
            {"sheets": [[width, height, None, 1]], "pieces": pieces, "kerf": case % 2, "trim": 0}
            | {"first_cut": ["height", "width"][case // 2 % 2], "window": None, "steps": 300_000}
        )
    found = []
    for case, (problem, answer) in enumerate(zip(problems, answers(problems), strict=True)):
        wrong = plan_problems(problem, answer)
        found += [f"case {case}: {why}" for why in wrong]
        if wrong:
            continue
        kerf = problem["kerf"]
        demand = [count for _, _, count, _, _ in problem["pieces"]]
        sizes = [(w + kerf, h + kerf) for w, h, *_ in problem["pieces"]]
        width, height = (side + kerf for side in problem["sheets"][0][:2])
        if problem["first_cut"] == "width":
            sizes, width, height = [(h, w) for w, h in sizes], height, width
        patterns = [(1, 0, counts) for counts in three_stage_patterns(sizes, demand, width, height) if any(counts)]
        least = least_cost(patterns, demand, {})
        if len(answer["sheets"]) != least or answer["bound"] > least:
            found.append(f"case {case}: {len(answer['sheets'])} sheets, bound {answer['bound']}, HiGHS {least}")
    return count, found


def check_jobs(seed, count):
    """Invented jobs in blanks with kerf, trim, turns, batches and leftovers: every plan is sawn again."""
    chance = random.Random(seed)
    problems = []
    for case in range(count):
        pieces = [
            [chance.randint(12 * 16, 90 * 16), chance.randint(12 * 16, 150 * 16), chance.randint(1, 3), case % 2 == 0, n // 5]
            for n in range(15)
        ]
        problems.append(
            {"sheets": [[96 * 16, 288 * 16, None, 400], [48 * 16, 96 * 16, 2, 20]], "pieces": pieces, "kerf": 3, "trim": 4}
            | {"first_cut": "either", "window": [None, 0, 1][case % 3], "steps": 300_000}
        )
    found = []
    for case, (problem, answer) in enumerate(zip(problems, answers(problems), strict=True)):
        found += [f"case {case}: {why}" for why in plan_problems(problem, answer)]
    return count, found


def sees_harm():
    """The saw here on plans broken so that it has to object, and HiGHS on a plan with one sheet more."""
    _, problem, _ = next(published("csp2d_30", 1, 100_000)) if DATA.is_dir() else (0, example(), 0)
    (whole,) = answers([problem])
    harms = {
        "a cut moved": lambda cut: cut["cuts"][0].__setitem__(0, cut["cuts"][0][0] + 1),
        "a cut missing": lambda cut: cut["cuts"].pop(),
        "a piece missing": lambda cut: cut["pieces"].pop(),
        "a piece turned": lambda cut: cut["pieces"][0].__setitem__(3, True),
        "an offcut grown": lambda cut: cut["offcuts"].append([0, 0, 1, 1]),
    }
    found = [] if not plan_problems(problem, whole) else ["the whole plan is refused"]
    for name, harm in harms.items():
        broken = json.loads(json.dumps(whole))
        harm(broken["sheets"][0])
        if not plan_problems(problem, broken):
            found.append(f"{name} is not seen")
    patterns = [(1, 0, counts) for counts in three_stage_patterns([(5, 5)], [5], 10, 10) if any(counts)]
    if least_cost(patterns, [5], {}) != 2:
        found.append("five squares of half a sheet's side do not take two sheets")
    return len(harms) + 1, found


def example():
    """A problem for where the published ones are not."""
    pieces = [[33, 20, 7, False, 0], [48, 31, 4, False, 0], [10, 50, 2, False, 0]]
    return {
        "sheets": [[100, 70, None, 1]], "pieces": pieces, "kerf": 1, "trim": 2, "first_cut": "either", "window": None, "steps": 50_000
    }


def check(results, full=False):
    """All checks; `full`: every published instance."""
    more = 10 if full else 1
    results.add("bars cost what HiGHS finds", *check_bars(1, 40 * more))
    results.add("sheets are as few as HiGHS finds in three stages", *check_sheets(2, 24 * more))
    results.add("cut plans of invented jobs are sawn again", *check_jobs(3, 12 * more))
    results.add("seen: broken cut plans, and a sheet too many", *sees_harm())
    if DATA.is_dir():
        every, steps = (1, 15_000_000) if full else (20, 5_000_000)
        results.add("bmv500 against the best known", *check_published("bmv500", every, steps, 0.89))
        results.add("csp2d_30 against the best published", *check_published("csp2d_30", 1, steps, 1.0))
    else:
        print("!!!!!!! NOT SCORED: ../shared/data is not here; stock was not measured against published values")


if __name__ == "__main__":
    import run

    results = run.Results()
    check(results, "all" in sys.argv)
    results.close()
