#!/usr/bin/env python3
"""Draws the sample plans, as three architects with three habits would. Invented buildings, invented place.

usage: draw.py [FOLDER]     needs ezdxf; writes bunkhouse, cottage, workshop and lookout, each plan.dxf

Each opening is given by its distance from the left end of its wall as seen from outside, along the outside face.
"""
import math, os, sys
import ezdxf
from ezdxf.enums import TextEntityAlignment as Align

ezdxf.options.write_fixed_meta_data_for_testing = True
HERE = sys.argv[1] if len(sys.argv) > 1 else os.path.dirname(os.path.abspath(__file__))


def along(a, b, s, out=0.0):
    """The point `s` along a to b and `out` to the right of it."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    return (a[0] + ux * s + uy * out, a[1] + uy * s - ux * out)


def feet_inches(inches):
    """12'-6 1/2", to the sixteenth."""
    sixteenths = round(inches * 16)
    whole, part = divmod(sixteenths, 16)
    over = math.gcd(part, 16)
    fraction = f" {part // over}/{16 // over}" if part else ""
    return f"{whole // 12}'-{whole % 12}{fraction}\""


def inset(ring, t):
    """The ring moved inwards by t, mitred (ring counter-clockwise)."""
    out = []
    n = len(ring)
    for i in range(n):
        a, b, c = ring[i - 1], ring[i], ring[(i + 1) % n]
        p, q = along(a, b, 0, -t), along(a, b, 1, -t)
        r, s = along(b, c, 0, -t), along(b, c, 1, -t)
        d = (q[0] - p[0]) * (s[1] - r[1]) - (q[1] - p[1]) * (s[0] - r[0])
        k = ((r[0] - p[0]) * (s[1] - r[1]) - (r[1] - p[1]) * (s[0] - r[0])) / d
        out.append((p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1])))
    return out


class Plan:
    """One sheet in one architect's habit: names of layers, how walls are drawn, how openings are drawn."""

    def __init__(self, version, insunits, layers, style, unit=1.0, block_openings=True):
        self.doc = ezdxf.new(version, setup=True)
        self.doc.header["$INSUNITS"] = insunits
        self.msp = self.doc.modelspace()
        self.layers, self.style, self.k, self.blocks = layers, style, unit, block_openings
        for name in sorted(set(layers.values())):
            if name != "0":
                self.doc.layers.add(name)

    def at(self, what):
        return {"layer": self.layers[what]}

    def line(self, a, b, what):
        if math.dist(a, b) > 1e-9:
            self.msp.add_line(a, b, dxfattribs=self.at(what))

    def text(self, words, at, height, what="text", align=Align.MIDDLE_CENTER, turn=0):
        self.msp.add_text(words, height=height, rotation=turn, dxfattribs=self.at(what)).set_placement(at, align=align)

    # ---- walls -------------------------------------------------------------------------------------------------------
    def walls(self, ring, t, openings, tees=()):
        """Exterior walls: `openings` {edge: [(from, width), …]}, `tees` {edge: [(from, width), …]} break the inside face."""
        inner = inset(ring, t)
        n = len(ring)
        for i in range(n):
            a, b, p, q = ring[i], ring[(i + 1) % n], inner[i], inner[(i + 1) % n]
            length = math.dist(a, b)
            gaps = sorted((o[0], o[0] + o[1]) for o in openings.get(i, []))
            lead = (p[0] - a[0]) * (b[0] - a[0]) / length + (p[1] - a[1]) * (b[1] - a[1]) / length
            tail = length - ((b[0] - q[0]) * (b[0] - a[0]) / length + (b[1] - q[1]) * (b[1] - a[1]) / length)
            stops = [None] + gaps + [None]
            for left, right in zip(stops, stops[1:]):
                o0, o1 = (left[1] if left else 0.0), (right[0] if right else length)
                i0, i1 = (left[1] if left else lead), (right[0] if right else tail)
                corners = [along(a, b, o0), along(a, b, o1), along(a, b, i1, -t), along(a, b, i0, -t)]
                if self.style == "polylines":
                    self.msp.add_lwpolyline(corners, close=True, dxfattribs=self.at("wall"))
                    continue
                self.line(corners[0], corners[1], "wall")
                breaks = sorted((s, s + w) for s, w in dict(tees).get(i, []) if i0 < s < i1)
                s0 = i0
                for s, e in breaks + [(i1, i1)]:
                    self.line(along(a, b, s0, -t), along(a, b, s, -t), "wall")
                    s0 = e
                if self.style == "hatched":
                    hatch = self.msp.add_hatch(dxfattribs=self.at("hatch"))
                    hatch.set_pattern_fill("ANSI31", scale=4 * self.k)
                    hatch.paths.add_polyline_path(corners, is_closed=True)
                if right:
                    self.line(corners[1], corners[2], "wall")
                if left:
                    self.line(corners[0], corners[3], "wall")

    def partition(self, a, b, t, openings=()):
        """An interior wall from face to face along its centre line."""
        gaps = sorted((s, s + w) for s, w in openings)
        stops = [None] + gaps + [None]
        length = math.dist(a, b)
        for left, right in zip(stops, stops[1:]):
            s0, s1 = (left[1] if left else 0.0), (right[0] if right else length)
            corners = [along(a, b, s0, t / 2), along(a, b, s1, t / 2), along(a, b, s1, -t / 2), along(a, b, s0, -t / 2)]
            if self.style == "polylines":
                self.msp.add_lwpolyline(corners, close=True, dxfattribs=self.at("wall"))
                continue
            self.line(corners[0], corners[1], "wall")
            self.line(corners[2], corners[3], "wall")
            if right:
                self.line(corners[1], corners[2], "wall")
            if left:
                self.line(corners[0], corners[3], "wall")

    # ---- openings ----------------------------------------------------------------------------------------------------
    def door(self, a, b, s, w, t, hinge="left", swing="in", tag=None, out=0.0):
        """A hinged door in the wall a → b whose faces lie at `out` (outside) and `out` - t. Leaf drawn open 90 degrees."""
        k = self.k
        if self.blocks:
            name = f"DOOR-{round(w / k)}"
            if name not in self.doc.blocks:
                blk = self.doc.blocks.new(name)
                # Hinge at the origin, closed leaf along +x, opening towards +y.
                blk.add_lwpolyline([(0, 0), (0, w), (1.5 * k, w), (1.5 * k, 0)], close=True)
                blk.add_arc((0, 0), w, 0, 90)
            mirrored = (hinge == "right") != (swing == "out")
            h = s if hinge == "left" else s + w
            at = along(a, b, h, out if swing == "out" else out - t)
            turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) + (180 if hinge == "right" else 0)
            self.msp.add_blockref(name, at, dxfattribs={**self.at("door"), "rotation": turn, "yscale": -1 if mirrored else 1})
        else:
            h, l = (s, s + w) if hinge == "left" else (s + w, s)
            face, tip = (out, out + w) if swing == "out" else (out - t, out - t - w)
            hp, lp, op = along(a, b, h, face), along(a, b, l, face), along(a, b, h, tip)
            self.line(hp, op, "door")
            a0 = math.degrees(math.atan2(lp[1] - hp[1], lp[0] - hp[0]))
            a1 = math.degrees(math.atan2(op[1] - hp[1], op[0] - hp[0]))
            start, end = (a0, a1) if (a1 - a0) % 360 < 180 else (a1, a0)
            self.msp.add_arc(hp, w, start, end, dxfattribs=self.at("door"))
        self.tag(a, b, s + w / 2, out - t / 2, tag, 18)

    def window(self, a, b, s, w, t, tag=None, panes=2, out=0.0):
        if self.blocks:
            name = f"WINDOW-{round(w / self.k)}"
            if name not in self.doc.blocks:
                blk = self.doc.blocks.new(name)
                for y in [0.0, t] + [t * (i + 1) / (panes + 1) for i in range(panes)]:
                    blk.add_line((0, y), (w, y))
            turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
            self.msp.add_blockref(name, along(a, b, s, out), dxfattribs={**self.at("glass"), "rotation": turn})
        else:
            for y in [0.0, t] + [t * (i + 1) / (panes + 1) for i in range(panes)]:
                self.line(along(a, b, s, out - y), along(a, b, s + w, out - y), "glass")
        self.tag(a, b, s + w / 2, out - t / 2, tag, 14)

    def garage(self, a, b, s, w, t, tag=None, out=0.0):
        for y in (t * 0.35, t * 0.55):
            self.line(along(a, b, s, out - y), along(a, b, s + w, out - y), "door")
        over = [along(a, b, s, out - t), along(a, b, s + w, out - t)]
        over += [along(a, b, s + w, out - t - w * 0.7), along(a, b, s, out - t - w * 0.7)]
        for p, q in zip(over, over[1:] + over[:1]):
            self.msp.add_line(p, q, dxfattribs={**self.at("door"), "linetype": "DASHED"})
        self.tag(a, b, s + w / 2, out - t / 2, tag, 16)

    def tag(self, a, b, s, out, words, far):
        if words:
            self.text(words, along(a, b, s, out + far * self.k), 4.5 * self.k)

    # ---- the rest of the sheet ---------------------------------------------------------------------------------------
    def chain(self, a, b, stops, far):
        """A dimension chain along a → b, `far` outside, between the distances in `stops`."""
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180
        for s, e in zip(stops, stops[1:]):
            base = along(a, b, s, far)
            words = feet_inches(e - s) if self.k == 1.0 else "<>"
            dim = self.msp.add_linear_dim(base=base, p1=along(a, b, s), p2=along(a, b, e), angle=turn, text=words,
                                          dimstyle=self.dimstyle(), dxfattribs=self.at("dims"))
            dim.render()

    def grid(self, name, bubble, end, radius):
        """A line of the grid: a bubble with its name, and a chain line from it to its end."""
        a = along(bubble, end, radius)
        self.msp.add_circle(bubble, radius, dxfattribs=self.at("grid"))
        self.msp.add_line(a, end, dxfattribs={**self.at("grid"), "linetype": "CENTER"})
        self.text(name, bubble, radius, "grid")

    def dimstyle(self):
        name = "ARCH" if self.k == 1.0 else "METRIC"
        if name not in self.doc.dimstyles:
            style = self.doc.dimstyles.duplicate_entry("Standard", name)
            d = style.dxf
            d.dimtxt, d.dimexo, d.dimexe, d.dimgap, d.dimasz, d.dimtsz = (4.5 * self.k, 3 * self.k, 3 * self.k, 2 * self.k, 3 * self.k, 3 * self.k)
            if self.k == 1.0:
                d.dimlunit, d.dimdec, d.dimzin = 4, 4, 1
            else:
                d.dimdec, d.dimzin = 0, 8
        return name

    def box(self, x0, y0, x1, y1, what="furniture"):
        self.msp.add_lwpolyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], close=True, dxfattribs=self.at(what))

    def title(self, x0, y0, x1, y1, lines):
        k = self.k
        self.box(x0, y0, x1, y1, "title")
        self.line((x1 - 200 * k, y0), (x1 - 200 * k, y1), "title")
        for i, words in enumerate(lines):
            self.text(words, (x1 - 192 * k, y0 + (12 + 14 * i) * k), 6 * k, "title", Align.MIDDLE_LEFT)

    def save(self, folder):
        os.makedirs(os.path.join(HERE, folder), exist_ok=True)
        self.doc.saveas(os.path.join(HERE, folder, "plan.dxf"))


NCS = dict(wall="A-WALL", door="A-DOOR", glass="A-GLAZ", furniture="A-FURN", dims="A-ANNO-DIMS", text="A-ANNO-TEXT",
           title="A-ANNO-TTLB", hatch="A-WALL-PATT", roof="A-ROOF-OTLN")


def bunkhouse():
    """44'-0" x 28'-0", feet and inches, wall faces as lines, doors and windows as blocks."""
    p = Plan("R2010", 1, NCS, "lines")
    w, d, t, ti = 528.0, 336.0, 6.5, 4.5
    ring = [(0, 0), (w, 0), (w, d), (0, d)]
    south = [("w", 30, 36, "3040"), ("d", 300, 36, "3068"), ("w", 396, 72, "6040")]
    east = [("w", 30, 36, "3040"), ("w", 216, 36, "3040")]
    north = [("w", 42, 36, "3040"), ("w", 234, 24, "2020"), ("w", 384, 36, "3040"), ("w", 450, 36, "3040")]
    west = [("w", 60, 36, "3040"), ("d", 264, 36, "3068")]
    sides = [south, east, north, west]
    x1, x2 = 156.0, 372.0
    y1, y2, y3 = 120.0, 140.0, 240.0
    tees = {0: [(x1 - ti / 2, ti), (x2 - ti / 2, ti)], 1: [(y2 - ti / 2, ti)],
            2: [(w - x2 - ti / 2, ti), (w - x1 - ti / 2, ti), (w - 252 - ti / 2, ti)], 3: [(d - y1 - ti / 2, ti)]}
    p.walls(ring, t, {i: [(s, wd) for _, s, wd, _ in side] for i, side in enumerate(sides)}, tees)
    for i, side in enumerate(sides):
        a, b = ring[i], ring[(i + 1) % 4]
        for kind, s, wd, tag in side:
            if kind == "w":
                p.window(a, b, s, wd, t, tag)
            else:
                p.door(a, b, s, wd, t, "left", "in", tag)
    # Partitions, each from inside face to inside face, with their doors.
    for a, b, doors in [((x1, t), (x1, d - t), [(40, 30, "right"), (160, 30, "left")]),
                        ((x2, t), (x2, d - t), [(30, 30, "left"), (215, 30, "right")]),
                        ((t, y1), (x1 - ti / 2, y1), []), ((x2 + ti / 2, y2), (w - t, y2), []),
                        ((x1 + ti / 2, y3), (252 - ti / 2, y3), [(30, 30, "left")]), ((252, y3 - ti / 2), (252, d - t), [])]:
        p.partition(a, b, ti, [(s, wd) for s, wd, _ in doors])
        for s, wd, hinge in doors:
            p.door(a, b, s, wd, ti, hinge, "in", "2668", out=ti / 2)
    p.line((252 - ti / 2, y3 - ti / 2), (252 + ti / 2, y3 - ti / 2), "wall")
    for words, at in [("GEAR ROOM", (78, 60)), ("BUNK ROOM 1", (100, 238)), ("WASHROOM", (204, 276)), ("COMMON ROOM", (270, 170)),
                      ("BUNK ROOM 2", (430, 110)), ("BUNK ROOM 3", (430, 200))]:
        p.text(words, at, 7)
    for x, y in [(14, 240), (14, 150), (480, 20), (480, 248)]:
        p.box(x, y, x + 38, y + 76)
        p.box(x + 4, y + 62, x + 34, y + 73)
    p.box(230, 84, 330, 120)
    for x in (240, 270, 300):
        p.box(x, 64, x + 18, 80)
        p.box(x, 124, x + 18, 140)
    p.msp.add_circle((180, 318), 7, dxfattribs=p.at("furniture"))
    p.msp.add_ellipse((230, 300), (0, 10), 0.7, dxfattribs=p.at("furniture"))
    eave = [(-24, -24), (w + 24, -24), (w + 24, d + 24), (-24, d + 24)]
    for a, b in zip(eave, eave[1:] + eave[:1]):
        p.msp.add_line(a, b, dxfattribs={**p.at("roof"), "linetype": "DASHED"})
    for i, side in enumerate(sides):
        a, b = ring[i], ring[(i + 1) % 4]
        length = math.dist(a, b)
        p.chain(a, b, [0] + [s + wd / 2 for _, s, wd, _ in side] + [length], 48)
        p.chain(a, b, [0, length], 72)
    p.text("FIRST FLOOR PLAN", (w / 2, -110), 12)
    p.text("1/4\" = 1'-0\"", (w / 2, -128), 6)
    p.title(-160, -190, 790, 470, ["SHEET A-101", "JOB J-2607", "BUNKHOUSE", "LARKSEDGE FEN RESERVE FIELD STATION"])
    p.save("bunkhouse")


def cottage():
    """L-shaped warden's cottage with a 45 degree bay; hatched walls, doors as loose leaf and arc, everything named otherwise."""
    layers = dict(wall="WALLS", door="DOORS", glass="WINDOWS", furniture="FURNITURE", dims="DIM", text="NOTES", title="BORDER",
                  hatch="POCHE", roof="OVERHANG")
    p = Plan("R2000", 1, layers, "hatched", block_openings=False)
    t, ti = 6.5, 4.5
    # Counter-clockwise from the lower left. The bay leaves the south wall at 45 degrees.
    ring = [(0, 0), (120, 0), (156, -36), (228, -36), (264, 0), (384, 0), (384, 204), (216, 204), (216, 360), (0, 360)]
    side = math.hypot(36, 36)
    openings = {
        0: [("w", 42, 36, "3040")],
        1: [("w", (side - 26) / 2, 26, "2240")],
        2: [("w", 12, 48, "4040")],
        3: [("w", (side - 26) / 2, 26, "2240")],
        4: [("w", 42, 36, "3040")],
        5: [("d", 30, 36, "3068"), ("w", 114, 48, "4030")],
        6: [("w", 66, 36, "3040")],
        7: [("d", 36, 36, "3068"), ("w", 102, 30, "2640")],
        8: [("w", 90, 36, "3040")],
        9: [("w", 48, 36, "3040"), ("w", 186, 24, "2020"), ("w", 264, 60, "5040")],
    }
    n = len(ring)
    tees = {9: [(360 - 204 - ti / 2, ti)]}
    p.walls(ring, t, {i: [(s, wd) for _, s, wd, _ in side_] for i, side_ in openings.items()}, tees)
    for i, side_ in openings.items():
        a, b = ring[i], ring[(i + 1) % n]
        for kind, s, wd, tag in side_:
            if kind == "w":
                p.window(a, b, s, wd, t, tag, panes=1)
            else:
                p.door(a, b, s, wd, t, "right", "in", tag)
    p.partition((t, 204), (216 - t, 204), ti, [(120, 30)])
    p.door((t, 204), (216 - t, 204), 120, 30, ti, "left", "in", "2668", out=ti / 2)
    for words, at in [("LIVING ROOM", (190, 110)), ("BED ROOM", (150, 290)), ("BAY", (192, -10))]:
        p.text(words, at, 7)
    p.box(40, 40, 76, 112)
    p.box(290, 120, 350, 190)
    p.box(20, 260, 80, 340)
    p.msp.add_circle((120, 60), 18, dxfattribs=p.at("furniture"))
    for a, b, stops in [(ring[0], (384, 0), [0, 120, 264, 384]), (ring[9], ring[0], [0, 156, 360]), (ring[5], ring[6], [0, 48, 138, 204]),
                        (ring[6], (0, 204), [0, 168])]:
        p.chain(a, b, stops, 84 if a == ring[0] else 48)
    p.chain(ring[0], (384, 0), [0, 384], 108)
    p.text("WARDEN'S COTTAGE  FLOOR PLAN", (192, -160), 10)
    p.title(-150, -230, 640, 480, ["SHEET 1", "JOB J-2608", "WARDEN'S COTTAGE", "LARKSEDGE FEN RESERVE"])
    p.save("cottage")


def workshop():
    """Boat workshop, 12.0 x 7.2 m, drawn in millimetres under a header that says inches; closed polylines, two garage doors, a grid."""
    layers = dict(wall="Wand", door="Tuer", glass="Fenster", furniture="Moebel", dims="Bemassung", text="Text", title="Rahmen",
                  hatch="Schraffur", roof="Dach", grid="Achsen")
    k = 25.0
    p = Plan("R2004", 1, layers, "polylines", unit=k, block_openings=False)
    w, d, t, ti = 12000.0, 7200.0, 165.0, 115.0
    ring = [(0, 0), (w, 0), (w, d), (0, d)]
    sides = [[("g", 900, 2700, "2700 x 2100"), ("g", 4800, 4800, "4800 x 2100"), ("d", 10200, 900, "900 x 2030")],
             [("w", 1200, 1200, None), ("w", 4800, 1200, None)],
             [("w", 900, 1200, None), ("w", 3300, 1800, None), ("w", 6300, 1800, None), ("w", 9600, 900, None)],
             [("w", 3000, 1200, None)]]
    p.walls(ring, t, {i: [(s, wd) for _, s, wd, _ in side] for i, side in enumerate(sides)})
    for i, side in enumerate(sides):
        a, b = ring[i], ring[(i + 1) % 4]
        for kind, s, wd, tag in side:
            {"w": p.window, "g": p.garage}.get(kind, p.door)(a, b, s, wd, t, tag=tag)
    p.partition((9900, t), (9900, d - t), ti, [(3000, 900)])
    p.door((9900, t), (9900, d - t), 3000, 900, ti, "left", "in", None, out=ti / 2)
    for words, at in [("WORKSHOP", (4600, 4600)), ("STORE", (10800, 4300))]:
        p.text(words, at, 180)
    p.box(2000, 5600, 6500, 6600)
    p.box(11000, 5200, 11700, 6900)
    for i, side in enumerate(sides):
        a, b = ring[i], ring[(i + 1) % 4]
        length = math.dist(a, b)
        stops = sorted({0.0, length, *[float(s) for _, s, _, _ in side], *[float(s + wd) for _, s, wd, _ in side]})
        p.chain(a, b, stops, 1300)
        p.chain(a, b, [0, length], 2000)
    # The grid stands in the middle of walls, piers and the partition.
    for name, x in [("1", t / 2), ("2", 4200.0), ("3", 9900.0), ("4", w - t / 2)]:
        p.grid(name, (x, d + 2650), (x, -350), 250)
    for name, y in [("A", t / 2), ("B", d - t / 2)]:
        p.grid(name, (-2900, y), (w + 350, y), 250)
    p.text("ERDGESCHOSS / GROUND FLOOR  1:50", (w / 2, -2900), 300)
    p.title(-3800, -4200, 17800, 10200, ["SHEET 01", "JOB J-2609", "BOAT WORKSHOP", "LARKSEDGE FEN RESERVE"])
    p.save("workshop")


def lookout():
    """28'-0" x 20'-0" in two storeys under a 6 in 12 roof: both plans on one sheet, the upper one to the right."""
    p = Plan("R2013", 1, NCS, "lines")
    w, d, t, ti = 336.0, 240.0, 6.5, 4.5
    lower = [[("w", 36, 48, "4030"), ("d", 222, 36, "3068")], [("w", 102, 36, "3040")],
             [("w", 48, 48, "4030"), ("w", 234, 36, "3040")], [("w", 96, 36, "3040")]]
    upper = [[("w", 36, 48, "4030"), ("w", 222, 36, "3040")], [("w", 108, 24, "2040")],
             [("w", 66, 36, "3040"), ("w", 234, 36, "3040")], [("w", 108, 24, "2040")]]
    for x, sides, name, rooms in [(0.0, lower, "FIRST FLOOR PLAN", [("HALL", 75, 170), ("BOAT STORE", 245, 110)]),
                                  (672.0, upper, "SECOND FLOOR PLAN", [("WATCH ROOM", 75, 120), ("BERTH", 245, 120)])]:
        ring = [(x, 0), (x + w, 0), (x + w, d), (x, d)]
        m = x + 150.0
        tees = {0: [(m - x - ti / 2, ti)], 2: [(w - (m - x) - ti / 2, ti)]}
        p.walls(ring, t, {i: [(s, wd) for _, s, wd, _ in side] for i, side in enumerate(sides)}, tees)
        for i, side in enumerate(sides):
            a, b = ring[i], ring[(i + 1) % 4]
            for kind, s, wd, tag in side:
                if kind == "w":
                    p.window(a, b, s, wd, t, tag)
                else:
                    p.door(a, b, s, wd, t, "left", "in", tag)
            length = math.dist(a, b)
            p.chain(a, b, [0] + [s + wd / 2 for _, s, wd, _ in side] + [length], 48)
            p.chain(a, b, [0, length], 72)
        p.partition((m, t), (m, d - t), ti, [(60, 30)])
        p.door((m, t), (m, d - t), 60, 30, ti, "left", "in", "2668", out=ti / 2)
        for words, rx, ry in rooms:
            p.text(words, (x + rx, ry), 7)
        p.text(name, (x + w / 2, -110), 12)
        p.text("1/4\" = 1'-0\"", (x + w / 2, -128), 6)
    p.title(-160, -190, 1180, 400, ["SHEET A-101", "JOB J-2611", "LOOKOUT", "LARKSEDGE FEN RESERVE"])
    p.save("lookout")


if __name__ == "__main__":
    bunkhouse()
    cottage()
    workshop()
    lookout()
