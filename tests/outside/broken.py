"""Packages broken on purpose: each check has to fail on them, or it is no check.

Every entry is a sentence, the check that has to see it, and what is done to a copy of a sound package.
"""

import csv
import json
import pathlib
import re

import ezdxf
import pymupdf

import blanks
import cad
import conservation
import jambs
import labels
import layouts
import lists
import outlines
import saw
import shapes
import sheets


def panels(folder, change):
    """Changes panels.json by a function of its value."""
    file = folder / "panels.json"
    value = json.loads(file.read_text())
    change(value)
    file.write_text(json.dumps(value))


def first_with_opening(value):
    return next(panel for panel in value["panels"] if panel["openings"])


def outline(folder):
    return sorted((folder / "outlines").glob("*.dxf"))[0]


def contour_moved(folder):
    file = outline(folder)
    document = ezdxf.readfile(file)
    entity = document.modelspace().query("POLYLINE LWPOLYLINE")[0]
    if entity.dxftype() == "POLYLINE":
        vertex = entity.vertices[0]
        vertex.dxf.location = vertex.dxf.location + ezdxf.math.Vec3(0.001, 0, 0)
    else:
        x, y, *_ = entity[0]
        entity[0] = (x + 0.001, y)
    document.saveas(file)


def contour_doubled(folder):
    file = outline(folder)
    document = ezdxf.readfile(file)
    space = document.modelspace()
    entity = space.query("POLYLINE LWPOLYLINE")[0]
    space.add_entity(entity.copy())
    document.saveas(file)


def handle_broken(folder):
    file = outline(folder)
    text = file.read_text()
    file.write_text(text.replace("  2\nAPPID\n", "  2\nAPPIX\n", 1))


def held_without_prefix(folder):
    panels(folder, lambda value: value["panels"][0].update(hold=True))
    mark = json.loads((folder / "panels.json").read_text())["panels"][0]["mark"]
    (folder / "held").mkdir(exist_ok=True)
    (folder / "outlines" / f"{mark}.dxf").rename(folder / "held" / f"{mark}.dxf")


def shifted_opening(folder):
    def change(value):
        rough = first_with_opening(value)["openings"][0]["rough"]
        rough[0] += 0.02
        rough[2] += 0.02

    panels(folder, change)


def mirrored_panel(folder):
    """The panel is read from the wrong face: its opening lands on the other side."""

    def change(value):
        panel = first_with_opening(value)
        for opening in panel["openings"]:
            x0, y0, x1, y1 = opening["rough"]
            opening["rough"] = [panel["width"] - x1, y0, panel["width"] - x0, y1]

    panels(folder, change)


def turned_panel(folder):
    def change(value):
        placed = value["panels"][0]["placed"]
        placed["x"] = [-part for part in placed["x"]]

    panels(folder, change)


def lost_opening(folder):
    panels(folder, lambda value: first_with_opening(value).update(openings=[]))


def wide_gap(folder):
    def change(value):
        for wall in value["walls"]:
            for piece in wall["run"]:
                if "gap" in piece:
                    piece["gap"] += 0.01
                    return

    panels(folder, change)


def hole_outside(folder):
    def change(value):
        value["panels"][0]["outer_skin"]["holes"].append([[1, 1], [1, 2], [999, 2], [999, 1]])

    panels(folder, change)


def thick_foam(folder):
    def change(value):
        panel = value["panels"][0]
        panel["core"]["outline"] = panel["outer_skin"]["outline"]

    panels(folder, change)


def pushed_panel(folder):
    def change(value):
        placed = value["panels"][0]["placed"]
        placed["origin"] = [o + 0.25 * x for o, x in zip(placed["origin"], placed["x"])]

    panels(folder, change)


def short_wall(folder):
    def change(value):
        wall = value["walls"][0]
        wall["origin"][0] += 1.0

    panels(folder, change)


def cad_of_bunkhouse(folder):
    return cad.check(folder, pathlib.Path(__file__).parents[2] / "sample-drawings" / "bunkhouse" / "plan.dxf")


def changed_sheet(folder, old, new, pattern="Z-201-*.svg"):
    path = next(folder.glob(f"sheets/{pattern}"))
    text = path.read_text()
    changed = re.sub(old, new, text)
    assert changed != text, "nothing to break"
    path.write_text(changed)


def other_word(folder):
    changed_sheet(folder, ">OUTSIDE<", ">OUTSIDER<", "Z-501-*.svg")


def other_width(folder):
    # Every printed length of the elevation becomes a sixteenth that no panel has.
    changed_sheet(folder, r"(\d)&quot;</text>|(\d)\"</text>", "3 7/16&quot;</text>")


def pdf(folder, change):
    document = pymupdf.open(stream=(folder / "sheets.pdf").read_bytes())
    changed = change(document) or document
    changed.save(folder / "sheets.pdf")


def other_labels(folder):
    pdf(folder, lambda document: document.set_page_labels([{"startpage": 0, "prefix": "Z-", "style": "D", "firstpagenum": 1}]))


def bookmark_astray(folder):
    def change(document):
        toc = document.get_toc()
        toc[-1][2] -= 1
        document.set_toc(toc)

    pdf(folder, change)


def links_astray(folder):
    """On the key plan every link leads to one panel."""

    def change(document):
        page = next(it for it in document if it.get_label() == "Z-101")
        target = page.get_links()[0]["page"]
        for link in page.get_links():
            page.delete_link(link)
            page.insert_link({"kind": pymupdf.LINK_GOTO, "from": link["from"], "page": target})

    pdf(folder, change)


def no_links(folder):
    def change(document):
        page = next(it for it in document if it.get_label() == "Z-101")
        for link in page.get_links():
            page.delete_link(link)

    pdf(folder, change)


def fitted_to_paper(folder):
    """Every page printed two hundredths smaller, as a printer's "fit to page" does."""

    def change(document):
        smaller = pymupdf.open()
        for page in document:
            paper = smaller.new_page(width=page.rect.width, height=page.rect.height)
            paper.show_pdf_page(page.rect * pymupdf.Matrix(0.98, 0.98), document, page.number)
        return smaller

    pdf(folder, change)


def ordinate_missing(folder):
    changed_sheet(folder, r">0 ?</text>|>108</text>", ">108 1/16</text>", "Z-4101-*.svg")


def open_tag(folder):
    changed_sheet(folder, "</desc>", "")


def shifted_line(folder):
    path = next(folder.glob("cad/*-key-plan.dxf"))
    lines = path.read_text().split("\n")
    at = lines.index("LINE")
    x = lines.index(" 10", at) + 1
    lines[x] = str(float(lines[x]) + 0.01)
    path.write_text("\n".join(lines))


def opening_at_the_joints(folder):
    def change(value):
        for panel in value["panels"]:
            for opening in panel["openings"]:
                opening["rough"][0], opening["rough"][2] = 1.0, panel["width"] - 1.0

    panels(folder, change)


def a_cent_dearer(folder):
    def change(value):
        value["walls"][0]["cost_cents"] += 1

    panels(folder, change)


def stock(folder, change):
    path = folder / "stock.json"
    value = json.loads(path.read_text())
    change(value)
    path.write_text(json.dumps(value))


def panel_beside_its_place(folder):
    def change(value):
        at = value["blanks"][0]["panels"][0]["at"]
        at[0], at[2] = at[0] + 0.01, at[2] + 0.01

    stock(folder, change)


def cut_left_out(folder):
    def change(value):
        board = next(board for board in value["boards"] if board["cuts"])
        board["cuts"].pop()

    stock(folder, change)


def bar_too_short(folder):
    def change(value):
        value["lumber"][0]["length"] -= 24

    stock(folder, change)


def listed(folder, name, column, change):
    """Changes one cell of the first row of a list."""
    file = folder / "lists" / f"{name}.csv"
    head, *rows = csv.reader(file.open(newline=""))
    place = head.index(column)
    rows[0][place] = change(rows[0][place])
    with file.open("w", newline="") as out:
        csv.writer(out).writerows([head, *rows])


def larger_skin(folder):
    listed(folder, "skins", "net area (sq ft)", lambda value: str(float(value) + 1))


def skin_forgotten(folder):
    listed(folder, "boards", "piece", lambda value: value.replace("outer", "third"))


def offcut_forgotten(folder):
    file = next(it for it in sorted((folder / "blanks").glob("*.dxf")) if "role=offcut" in it.read_text())
    text = file.read_text()
    file.write_text(text.replace("role=offcut", "role=nothing", 1))


def foam_forgotten(folder):
    listed(folder, "foam", "billets (cu ft)", lambda value: str(float(value) + 1))


def longer_stud(folder):
    listed(folder, "bundles", "length (in)", lambda value: str(float(value) + 1))


def piece_not_on_sheet(folder):
    """Every length of one panel's lumber is another on its sheet."""
    with (folder / "lists" / "lumber.csv").open(newline="") as file:
        row = next(csv.DictReader(file))
    page = next((folder / "sheets").glob(f"*-{row['panel']}.svg"))
    length = row["length (in)"].partition(".")[0]
    page.write_text(re.sub(rf">{length}\b([^<]*)<", r">9\1<", page.read_text()))


def other_revision(folder):
    panels(folder, lambda value: value["panels"][0].update(revision="Z"))


def heavier_panel(folder):
    panels(folder, lambda value: value["panels"][0].update(weight_lb=9999.0))


def outline_says(folder, old, new):
    """Changes what every outline file says."""
    n = 0
    for file in (folder / "outlines").glob("*.dxf"):
        text = file.read_text()
        n += text.count(old)
        file.write_text(text.replace(old, new))
    assert n, "nothing to break"


def corners_unsaid(folder):
    outline_says(folder, "corners=stop short, finish by hand", "corner=stop short, finish by hand")


def other_depth(folder):
    outline_says(folder, 'foam 1 1/2" back', 'foam 1 3/8" back')


def deeper_recess(folder):
    outline_says(folder, "joint=plate; recess=1.5;", "joint=plate; recess=1.75;")


def tilted_edge(folder):
    outline_says(folder, "joint=plate; recess=1.5; bevel=0;", "joint=plate; recess=1.5; bevel=5;")


def fat_chase(folder):
    outline_says(folder, "chase diameter=1.5", "chase diameter=9.5")


BROKEN = [
    ("a workbook without filters", lists.check, lists.without_filters),
    ("a workbook that prints upright", lists.check, lists.without_landscape),
    ("a workbook whose totals add up hidden rows", lists.check, lists.with_plain_sums),
    ("a workbook whose heads are not repeated", lists.check, lists.without_repeated_heads),
    ("a label of another revision", labels.check, other_revision),
    ("a label of another weight", labels.check, heavier_panel),
    ("a vertex a thousandth of an inch off", outlines.check, contour_moved),
    ("a contour drawn twice", outlines.check, contour_doubled),
    ("a table with an unknown name", outlines.check, handle_broken),
    ("a held panel on ordinary layers", outlines.check, held_without_prefix),
    ("an inside corner that nobody treats", saw.check, corners_unsaid),
    ("a depth in the notes that the data have not", saw.check, other_depth),
    ("foam nearer to an edge than its recess", saw.check, deeper_recess),
    ("a bevel that the inner skin does not follow", saw.check, tilted_edge),
    ("a chase too wide for its foam", saw.check, fat_chase),
    ("an opening 0.02 in beside its place", jambs.check, shifted_opening),
    ("a panel made from its wrong face", jambs.check, mirrored_panel),
    ("a panel that looks into the building", jambs.check, turned_panel),
    ("an opening left out", jambs.check, lost_opening),
    ("a gap 0.01 in wider than it is", shapes.check, wide_gap),
    ("a hole outside its skin", shapes.check, hole_outside),
    ("foam where lumber goes", shapes.check, thick_foam),
    ("a panel pushed into its neighbour", shapes.check, pushed_panel),
    ("a wall an inch beside the plan", shapes.check, short_wall),
    ("a word on a sheet that the PDF has not", sheets.check_pdf, other_word),
    ("a printed length that no panel has", sheets.check_dimensions, other_width),
    ("labels of pages that are no sheet numbers", sheets.check_ways, other_labels),
    ("a bookmark that leads to another sheet", sheets.check_ways, bookmark_astray),
    ("links that lead to another panel", sheets.check_ways, links_astray),
    ("marks that lead nowhere", sheets.check_ways, no_links),
    ("pages fitted to the printer's paper", sheets.check_scale, fitted_to_paper),
    ("an ordinate that the saw needs", sheets.check_ordinates, ordinate_missing),
    ("a sheet that is no XML", sheets.check_xml, open_tag),
    ("an architect's line a hundredth off", cad_of_bunkhouse, shifted_line),
    ("an opening that reaches to its panel's joints", layouts.check, opening_at_the_joints),
    ("a wall a cent dearer than its bound", layouts.check, a_cent_dearer),
    ("a panel a hundredth beside its place on the blank", blanks.check, panel_beside_its_place),
    ("a board's cut left out", blanks.check, cut_left_out),
    ("a bar shorter than its pieces", blanks.check, bar_too_short),
    ("a skin a foot larger in its list than its outline", conservation.check, larger_skin),
    ("a board that forgets a blank's skin", conservation.check, skin_forgotten),
    ("an offcut of a blank left out", conservation.check, offcut_forgotten),
    ("foam that no list accounts for", conservation.check, foam_forgotten),
    ("a stud cut longer than it is listed", conservation.check, longer_stud),
    ("a piece that its panel's sheet has not", conservation.check, piece_not_on_sheet),
]
