"""Adds a package up from its lists, outlines and blanks alone, with ezdxf and shapely (PyPI); panels.json and stock.json stay shut.

    python3 tests/outside/conservation.py PACKAGE

    boards  = pieces + offcuts + kerf + trim        each board sawn again from the places of its pieces
    pieces  = two skins of every blank              size for size
    skins   = panel skins + offcuts of the blank + kerf + trim + what is cut out and trimmed within a panel's rectangle
    billets = slabs + wire + skins of the billet + rest;  slabs = cores of blanks + wire + rests
    cores   = foam of the panels + offcuts of blanks + grindings

Count and size of panels and parts are the same in every list, outline, blank and on every panel's sheet. What the lists of waste
and of foam say is what the sums come to.
"""

import collections
import csv
import html
import json
import pathlib
import re
import sys
import tomllib

import ezdxf
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from blanks import TURNS
from outlines import UNITS, facts_of, points_of
from saw import File

EXACT = 1e-6
# Lists print square feet, cubic feet and inches to the third decimal.
PRINTED = 0.0006


def rows(folder, name):
    file = folder / "lists" / f"{name}.csv"
    return list(csv.DictReader(file.open(newline=""))) if file.exists() else []


def inches(words):
    """`0.4375`, or a tape length such as `3/16"`."""
    total = 0.0
    for part in words.strip().rstrip('"').split():
        over, _, under = part.partition("/")
        total += float(over) / (float(under) if under else 1)
    return total


class Blank:
    """One blank's file, in inches."""

    def __init__(self, path):
        space = ezdxf.readfile(path).modelspace()
        self.name, self.panels, self.offcuts, self.cuts = path.stem, {}, [], []
        notes = ""
        found = [(entity, facts_of(entity)) for entity in space]
        (_, whole), = [it for it in found if it[1].get("role") == "blank"]
        scale = UNITS[whole["unit"]][0]
        self.line = f"{whole['assembly']}, {whole['line']} line"
        at = lambda entity: [(x * scale, y * scale) for x, y in points_of(entity)]
        for entity, facts in found:
            role = facts.get("role")
            if role == "blank":
                self.shape = Polygon(at(entity))
            elif role == "offcut":
                self.offcuts.append((facts["name"], facts["kept"] == "yes", Polygon(at(entity))))
            elif role == "cut" and facts["kind"] == "through":
                ends = [(p.x * scale, p.y * scale) for p in (entity.dxf.start, entity.dxf.end)]
                self.cuts.append(sorted(ends))
            elif entity.dxftype() in ("POLYLINE", "LWPOLYLINE") and role == "outline":
                self.panels.setdefault(facts["mark"], []).append((Polygon(at(entity)), TURNS[facts["up"]]))
            elif entity.dxftype() == "TEXT":
                notes += entity.dxf.text + "\n"
        kerf, trim = re.search(r"KERF (.*?) RIGHT OF .* TRIM (.*)", notes).groups()
        millimetres = "UNITS MILLIMET" in notes.upper()
        self.kerf, self.trim = (inches(it.removesuffix(" mm")) / (25.4 if millimetres and "mm" in it else 1) for it in (kerf, trim))

    def inner(self):
        x0, y0, x1, y1 = self.shape.bounds
        return box(x0 + self.trim, y0 + self.trim, x1 - self.trim, y1 - self.trim)

    def sawn(self):
        """What the saw's kerf takes."""
        strips = []
        for (ax, ay), (bx, by) in self.cuts:
            across = ax == bx
            strips.append(box(ax, ay, bx + self.kerf, by) if across else box(ax, ay, bx, by + self.kerf))
        return shapely.union_all(strips).intersection(self.inner())


def skin(file, name):
    """A face of an outline file, or nothing where the panel has none."""
    outline, holes = file.skin(name)
    return Polygon(outline, holes)


def near(problems, words, a, b, tolerance=PRINTED):
    if abs(a - b) > tolerance:
        problems.append(f"{words}: {a:.6f} is not {b:.6f}")


def parts(folder, problems):
    """Every mark with its length, the same in every list and on its panel's sheet."""
    lumber = {row["mark"]: row for row in rows(folder, "lumber")}
    plates = {row["mark"]: row for row in rows(folder, "plates")}
    held = {row["mark"] for row in rows(folder, "panels") if row["hold"] == "yes"}
    made = {**lumber, **plates}
    if len(made) != len(rows(folder, "lumber")) + len(rows(folder, "plates")):
        problems.append("a mark stands twice in lumber.csv and plates.csv")
    lengths = lambda all_rows: collections.Counter((row["mark"], row["section"], row["length (in)"]) for row in all_rows)
    both = lengths(made.values())
    for name in ("bundles",):
        differ = (lengths(rows(folder, name)) - both) + (both - lengths(rows(folder, name)))
        problems += [f"{name}.csv and lumber.csv, plates.csv differ in {it}" for it in differ]
    bars = collections.Counter((row["mark"], row["length (in)"]) for row in rows(folder, "bars"))
    wanted = collections.Counter((mark, row["length (in)"]) for mark, row in made.items() if row.get("panel") not in held)
    twice = [it for it, n in bars.items() if n > 1 or not wanted[it]]
    problems += [f"bars.csv has {it} twice, or no list has it" for it in twice]
    unplaced = {it for it in wanted if not bars[it]}
    sections = {row["section"] for row in rows(folder, "bars")}
    # What is ripped is bought as what it is sawn from.
    bought = lambda mark: re.split(" ripped to |, edges at ", made[mark]["section"])[0]
    problems += [f"{mark}, {length} in, comes from no bar" for mark, length in unplaced if bought(mark) in sections]
    framing = collections.Counter()
    for row in rows(folder, "framing"):
        own = re.findall(r"[^,;\s]+", row["marks"])
        if len(own) != int(row["quantity"]):
            problems.append(f"framing.csv: {row['quantity']} of {row['marks']}")
        framing.update((mark, row["length (in)"]) for mark in own)
    fitted = collections.Counter((mark, row["length (in)"]) for mark, row in lumber.items())
    missing = {it for it in (fitted - framing) if lumber[it[0]]["fitted"] == "plant"}
    problems += [f"framing.csv has not {it}" for it in missing]
    problems += [f"framing.csv has {it}, and lumber.csv has it not, or once less" for it in framing - fitted]
    return len(made)


def tape(value):
    """A length as sheets print it: whole and the least sixteenth fraction, or nothing when it lies on none."""
    whole, rest = divmod(round(value * 16), 16)
    if abs(value * 16 - round(value * 16)) > EXACT:
        return None
    fraction = ""
    if rest:
        over, under = rest, 16
        while over % 2 == 0:
            over, under = over // 2, under // 2
        fraction = f"{over}/{under}"
    return " ".join(it for it in (str(whole) if whole or not fraction else "", fraction) if it)


def sheets(folder, problems):
    """Each panel's sheet, or its ticket of two pages, names its size and every length of its lumber."""
    n = 0
    lumber = collections.defaultdict(set)
    for row in rows(folder, "lumber"):
        lumber[row["panel"]].add(float(row["length (in)"]))
    pages = collections.defaultdict(list)
    for file in (folder / "sheets").glob("*.svg"):
        pages[re.sub(r"^Z-[\d.]+-", "", file.stem)].append(file)
    for row in rows(folder, "panels"):
        shown = row["same as"] or row["mark"]
        page = pages.get(shown) or pages.get(row["mark"])
        if not page:
            problems.append(f"{row['mark']}: no sheet shows it")
            continue
        text = "".join(it.read_text() for it in page)
        words = [html.unescape(re.sub("<[^>]*>", "", it)).strip() for it in re.findall(r"<text[^>]*>(.*?)</text>", text, re.S)]
        size = [tape(float(row[key])) for key in ("width (in)", "height (in)")]
        if all(size) and " × ".join(size) not in words:
            problems.append(f"{row['mark']}: its sheet does not say {' × '.join(size)}")
        for length in sorted(lumber[row["mark"]]):
            said = tape(length)
            if said and said not in words:
                problems.append(f"{row['mark']}: its sheet lacks a piece {said} long")
        n += 1
    return n


def panels(folder, problems):
    """Outlines against the lists of panels, skins and cores; skins and foam of each panel that may be cut."""
    shapes, n = {}, 0
    listed = {row["mark"]: row for row in rows(folder, "panels")}
    faces = {(row["panel"], row["face"]): row for row in rows(folder, "skins")}
    cores = collections.defaultdict(list)
    for row in rows(folder, "cores"):
        cores[row["panel"]].append(row)
    drawn = {path.stem for path in (folder / "outlines").glob("*.dxf")}
    wanted = {mark for mark, row in listed.items() if row["hold"] == "no"}
    if drawn != wanted:
        problems.append(f"outlines and panels.csv differ in {sorted(drawn ^ wanted)}")
    for mark in sorted(drawn & wanted):
        file, row = File(folder / "outlines" / f"{mark}.dxf"), listed[mark]
        own = {}
        for name in ("outer", "inner"):
            said = faces.get((mark, name))
            if said is None:
                continue
            own[name] = skin(file, name)
            near(problems, f"{mark}: net area of the {name} skin, skins.csv", float(said["net area (sq ft)"]), own[name].area / 144)
            x0, y0, x1, y1 = own[name].bounds
            near(problems, f"{mark}: width of the {name} skin", float(said["width (in)"]), x1 - x0)
            near(problems, f"{mark}: height of the {name} skin", float(said["height (in)"]), y1 - y0)
        foam = file.foam()
        near(problems, f"{mark}: net area of its foam, cores.csv", sum(float(it["net area (sq ft)"]) for it in cores[mark]), foam.area / 144, PRINTED * max(1, len(cores[mark])))
        if file.up in own:
            # First the face that lies up.
            own = {file.up: own[file.up], **own}
        shapes[mark] = (own, foam)
        n += 1 + len(own)
        if "outer" in own:
            near(problems, f"{mark}: net area, panels.csv", float(row["net area (sq ft)"]), own["outer"].area / 144)
    return shapes, n


def pieced(sheet, length, width):
    """A board or slab is filled by its pieces without overlap: square inches of pieces."""
    whole, seen = box(0, 0, length, width), []
    for row in sheet:
        x, y, along, across = (float(row[key]) for key in ("x (in)", "y (in)", "along x (in)", "along y (in)"))
        seen.append(box(x, y, x + along, y + across))
    union = shapely.union_all(seen)
    lost = sum(it.area for it in seen) - union.area + union.difference(whole).area
    return sum(it.area for it in seen), lost


def sheet_stock(folder, name, key, problems):
    """Boards or slabs of a list: pieces by name, and sums by material and thickness."""
    groups = collections.defaultdict(list)
    for row in rows(folder, name):
        groups[row[key]].append(row)
    pieces, sums = {}, collections.defaultdict(lambda: [0.0, 0.0, 0.0])
    for sheet, own in groups.items():
        length, width = float(own[0]["stock length (in)"]), float(own[0]["stock width (in)"])
        kept = [row for row in own if row["piece"] == "offcut"]
        whole, lost = pieced(own, length, width)
        area = whole - pieced(kept, length, width)[0]
        if lost > EXACT:
            problems.append(f"{name}.csv: pieces of {sheet} overlap or lie beside it by {lost:.6f} sq in")
        total = sums[own[0]["material"], float(own[0]["thickness (in)"])]
        total[0] += length * width / 144
        total[1] += area / 144
        # New stock: what comes from a billet.
        total[2] += 0 if own[0]["leftover used"] else length * width / 144
        for row in kept:
            rack = [(it["cut from"], float(it["length (in)"]), float(it["width (in)"])) for it in rows(folder, "leftovers") if it["kept as"] == row["kept as"]]
            if rack != [(sheet, float(row["along x (in)"]), float(row["along y (in)"]))]:
                problems.append(f"{name}.csv keeps {row['kept as']} of {sheet}, leftovers.csv has {rack}")
        for row in own:
            if row in kept:
                continue
            if row["piece"] in pieces:
                problems.append(f"{name}.csv: {row['piece']} stands twice")
            pieces[row["piece"]] = sorted((float(row["along x (in)"]), float(row["along y (in)"])))
    return pieces, sums


def check(folder):
    """Number of things added up, and problems."""
    folder = pathlib.Path(folder)
    problems = []
    n = parts(folder, problems) + sheets(folder, problems)
    shapes, more = panels(folder, problems)
    blanks = [Blank(path) for path in sorted((folder / "blanks").glob("*.dxf"))]
    boards, board_sums = sheet_stock(folder, "boards", "board", problems)
    slabs, slab_sums = sheet_stock(folder, "slabs", "slab", problems)
    laminated = {row["blank"]: row for row in rows(folder, "lamination")}
    fresh = {name for name, row in laminated.items() if row["lower skin"] or row["upper skin"]}
    n += more + len(blanks)

    placed = collections.Counter(mark for blank in blanks for mark in blank.panels)
    drawn = collections.Counter(shapes.keys())
    if placed != drawn:
        problems.append(f"blanks and outlines differ in {sorted((placed - drawn) + (drawn - placed))}")
    by_line = collections.defaultdict(lambda: [0.0, 0.0, 0.0])
    grind, offcut_foam, core_area = 0.0, 0.0, 0.0
    for blank in blanks:
        kerf, inner = blank.sawn(), blank.inner()
        rects = []
        for mark, rings in blank.panels.items():
            own, _ = shapes.get(mark, ({}, None))
            if not own:
                continue
            (upper, turn), = rings
            # The outline as it lies here, turned by quarters; its other face may reach farther.
            faces = [rotate(it, turn, origin=(0, 0)) for it in own.values()]
            if not matches(faces[0], upper):
                problems.append(f"{blank.name}: {mark} is no face of its outline")
                continue
            by = (upper.bounds[0] - faces[0].bounds[0], upper.bounds[1] - faces[0].bounds[1])
            rects.append(shapely.union_all([translate(it, *by) for it in faces]))
        offcuts = shapely.union_all([shape for _, _, shape in blank.offcuts])
        # Nothing of what is kept or thrown away lies in a panel, and nothing is left over.
        inside = shapely.union_all(rects)
        for words, shape in (("an offcut", offcuts), ("the kerf", kerf)):
            over = inside.intersection(shape).area
            if over > EXACT * 1e3:
                problems.append(f"{blank.name}: {words} takes {over:.6f} sq in of a panel")
        rest = inner.area - offcuts.area - kerf.area
        both = offcuts.intersection(kerf).area
        hulls = sum_of_rects(rects)
        near(problems, f"{blank.name}: trimmed blank less offcuts and kerf, and the rectangles of its panels, sq in", rest + both, hulls, EXACT * 1e3)
        total = by_line[blank.line]
        total[0] += blank.shape.area / 144
        total[1] += sum(max((it.area for it in shapes[mark][0].values()), default=0) if "outer" not in shapes[mark][0] else shapes[mark][0]["outer"].area for mark in blank.panels if mark in shapes) / 144
        total[2] += sum(shape.area for _, kept, shape in blank.offcuts if kept) / 144
        if blank.name not in fresh:
            continue
        ticket = laminated[blank.name]
        size = sorted((blank.shape.bounds[2], blank.shape.bounds[3]))
        for face in ("outer", "inner"):
            name = f"{blank.name} {face}"
            said = [it for it in (ticket["lower skin"], ticket["upper skin"]) if it.startswith(name + " (")]
            if not said:
                continue
            if boards.get(name) is None:
                problems.append(f"{blank.name}: no board has its {face} skin")
            elif any(abs(a - b) > PRINTED for a, b in zip(boards[name], size)):
                problems.append(f"{blank.name}: its {face} skin is cut {boards[name]}, the blank is {size}")
        pieces = [it for name, it in slabs.items() if name.startswith(f"{blank.name} core ")]
        near(problems, f"{blank.name}: pieces of its core, sq in", sum(a * b for a, b in pieces), blank.shape.area, EXACT * 1e3)
        thick = core_thickness(ticket, rows(folder, "slabs"), blank.name) / 1728
        core_area += blank.shape.area * thick
        offcut_foam += offcuts.area * thick
        own = sum(shapes[mark][1].area for mark in blank.panels if mark in shapes)
        grind += (blank.shape.area - offcuts.area - own) * thick

    wasted(folder, by_line, board_sums, slab_sums, problems)
    ground(folder, (core_area, offcut_foam, grind), slab_sums, problems)
    # A leftover is laminated already: it has no ticket.
    old = {it["blank"] for it in json.loads((folder / "stock.json").read_text())["blanks"] if it["leftover"]}
    differ = set(laminated) ^ ({it.name for it in blanks} - old)
    if differ:
        problems.append(f"lamination.csv and blanks differ in {sorted(differ)}")
    extra = [name for name in boards if name.rsplit(" ", 1)[0] not in fresh]
    problems += [f"boards.csv cuts {name}, and no ticket has it" for name in extra]
    return n + len(boards) + len(slabs), problems


def matches(face, drawn):
    """The same outline, moved."""
    moved = translate(face, drawn.bounds[0] - face.bounds[0], drawn.bounds[1] - face.bounds[1])
    return Polygon(moved.exterior).symmetric_difference(Polygon(drawn.exterior)).area < EXACT * 1e3


def written(length):
    """A length of leftovers.toml: inches, or words in millimetres."""
    return float(length.removesuffix(" mm")) / 25.4 if isinstance(length, str) else length


def sum_of_rects(shapes):
    """Square inches of the rectangles that panels take: two that lie nose to tail share one."""
    rects = []
    for shape in shapes:
        rect = box(*shape.bounds)
        hit = [it for it in rects if it.intersection(rect).area > EXACT * 1e3]
        for it in hit:
            rects.remove(it)
        rects.append(box(*shapely.union_all([rect, *hit]).bounds))
    return sum(it.area for it in rects)


def core_thickness(ticket, slabs, blank):
    return next((float(row["thickness (in)"]) for row in slabs if row["piece"].startswith(f"{blank} core ")), 0.0)


def wasted(folder, by_line, board_sums, slab_sums, problems):
    """waste.csv says what the sums come to."""
    tally = {(row["station"], row["stock"]): row for row in rows(folder, "waste")}
    for line, sums in by_line.items():
        row = tally.get(("saw", line))
        if row is None:
            problems.append(f"waste.csv has no row for blanks {line}")
            continue
        for key, value in zip(("used (unit)", "cut (unit)", "kept (unit)"), sums):
            near(problems, f"waste.csv: {key} of blanks {line}", float(row[key]), value)
        near(problems, f"waste.csv: blanks {line} in all", float(row["used (unit)"]), sum(float(row[key]) for key in ("cut (unit)", "kept (unit)", "waste (unit)")), 2 * PRINTED)
    leftovers = tomllib.loads((folder / "leftovers.toml").read_text()) if (folder / "leftovers.toml").exists() else {}
    old = {row["kept as"] for row in rows(folder, "leftovers") if row["cut from"] == "an earlier job"}
    leftovers = {kind: [it for it in all if it["name"] not in old] for kind, all in leftovers.items()}
    kept = collections.Counter()
    for it in leftovers.get("boards", []):
        kept[it["material"], written(it["thickness"])] += written(it["length"]) * written(it["width"]) / 144
    shelved = sum(written(it["length"]) * written(it["width"]) / 144 for it in leftovers.get("blanks", []))
    near(problems, "offcuts of blanks kept, and leftovers.toml", sum(it[2] for it in by_line.values()), shelved)
    for station, sums in (("skins", board_sums), ("cores", slab_sums)):
        own = [row for row in rows(folder, "waste") if row["station"] == station]
        used = sum(it[0] for it in sums.values())
        cut = sum(it[1] for it in sums.values())
        near(problems, f"waste.csv: stock used, {station}", sum(float(row["used (unit)"]) for row in own), used, PRINTED * max(1, len(own)))
        near(problems, f"waste.csv: cut, {station}", sum(float(row["cut (unit)"]) for row in own), cut, PRINTED * max(1, len(own)))
        if station == "skins":
            near(problems, "waste.csv: boards kept, and leftovers.toml", sum(float(row["kept (unit)"]) for row in own), sum(kept.values()), PRINTED * max(1, len(own)))


def ground(folder, blanks, slab_sums, problems):
    """foam.csv: billets to slabs to cores to panels."""
    core, offcuts, grind = blanks
    billets = collections.defaultdict(list)
    for row in rows(folder, "billets"):
        billets[row["billet"]].append(row)
    total = layers = 0.0
    for own in billets.values():
        length, width, height = (float(own[0][f"billet {it} (in)"]) for it in ("length", "width", "height"))
        total += length * width * height / 1728
        layers += sum(length * width * float(row["thickness (in)"]) for row in own if not row["kept as"]) / 1728
        kerf = float(own[0]["kerf (in)"])
        ends = sorted((float(row["from (in)"]), float(row["to (in)"])) for row in own)
        for (_, below), (above, _) in zip(ends, ends[1:]):
            near(problems, f"billets.csv: {own[0]['billet']}, wire between slabs", above - below, kerf)
        if ends[-1][1] > height:
            problems.append(f"billets.csv: slabs reach beyond {own[0]['billet']}")
    near(problems, "slabs of billets.csv and of slabs.csv, cu ft", layers, sum(new * thick / 12 for (_, thick), (_, _, new) in slab_sums.items()), PRINTED)
    near(problems, "pieces of slabs.csv and cores of blanks, cu ft", sum(cut * thick / 12 for (_, thick), (_, cut, _) in slab_sums.items()), core, PRINTED)
    said = rows(folder, "foam")
    if not said and not total:
        return
    column = lambda name: sum(float(row[next(key for key in row if key.startswith(name))]) for row in said)
    near(problems, "foam.csv: billets", column("billets"), total)
    old = sum((used - new) * thick / 12 for (_, thick), (used, _, new) in slab_sums.items())
    near(problems, "foam.csv: leftover slabs", column("leftover slabs"), old)
    shelf = [row for row in rows(folder, "leftovers") if row["kind"] in ("slab", "billet") and row["cut from"] != "an earlier job"]
    kept = sum(float(row["length (in)"]) * float(row["width (in)"]) * float(row["thickness (in)"]) for row in shelf) / 1728
    near(problems, "foam.csv: kept, and leftovers.csv", column("kept"), kept, 2 * PRINTED)
    near(problems, "foam.csv: offcuts of blanks", column("offcuts of blanks"), offcuts)
    near(problems, "foam.csv: ground, sawn, trimmed", column("ground"), grind)
    near(problems, "foam.csv: in panels", column("in panels"), core - offcuts - grind)
    near(problems, "foam.csv: rests and wire", column("rests") + column("wire") + column("kept"), total + old - core, 3 * PRINTED)


if __name__ == "__main__":
    count, wrong = check(sys.argv[1])
    print("\n".join(wrong[:40]))
    print(count, "things added up,", len(wrong), "wrong")
    # A folder without lists adds up to nothing, and proves nothing.
    sys.exit(1 if wrong or not count else 0)
