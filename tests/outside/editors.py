"""What editors do to a sheet of their own accord is no mark, and the reviewer's one remark on it is the only one.

Inkscape, headless, groups and ungroups, copies a layer, fits the page, and turns shapes and letters to paths; the habits of other
general editors are done here by hand: styles written out, everything in points, texts cut into words or stood by their left end in another
font, lines joined and cut, inks in another colour space, the page turned, the style sheet lost.
"""

import copy
import pathlib
import re
import shutil
import tempfile
import xml.etree.ElementTree as tree

import pymupdf

from inkscape import SVG, shell
from marks import run_marks

REMARK = "Who trims this corner?"
HELVETICA = pymupdf.Font("helv")
WRITTEN_OUT = ("fill", "stroke", "stroke-width", "stroke-dasharray", "font-size", "text-anchor", "font-weight")

# Each line of Inkscape's shell between opening and saving.
OF_INKSCAPE = {
    "grouped with a transform": "select-all:layers; selection-group; transform-translate:30,40; transform-translate:-30,-40",
    "ungrouped": "select-all:layers; selection-ungroup; select-all:all; selection-ungroup",
    "page fitted": "select-all:all; fit-canvas-to-selection",
    "moved as a whole": "select-all:layers; selection-group; transform-translate:30,40",
    "a layer copied": "select-by-id:title-block; select-by-id:labels; select-by-id:panel; select-by-id:wall; duplicate",
    "a layer cloned": "select-by-id:labels; select-by-id:panel; clone",
    "filled shapes combined": "select-by-selector:#labels polygon.k; path-combine",
    "shapes and letters to paths": "select-all:all; object-to-path",
    "all combined, letters as paths": "select-all:all; path-combine",
}


def rules(root):
    """The style sheet by selector: only single tags and classes, as the sheets use them."""
    text = re.sub(r"@font-face\{[^}]*\}", "", "".join(it.text or "" for it in root.iter(f"{SVG}style")))
    found = {}
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", text):
        values = dict(it.split(":", 1) for it in body.split(";") if ":" in it)
        for selector in selectors.split(","):
            found.setdefault(selector.strip(), {}).update(values)
    return found


def styles_written_out(root):
    known = rules(root)
    for element in root.iter():
        style = {name: element.attrib.pop(name) for name in WRITTEN_OUT if name in element.attrib}
        style |= known.get(element.tag.replace(SVG, ""), {})
        for name in (element.attrib.pop("class", None) or "").split():
            style |= known.get(f".{name}", {})
        if style and element.tag != f"{SVG}svg":
            element.set("style", ";".join(f"{name}:{value}" for name, value in style.items()))
    for parent in list(root.iter()):
        for element in [it for it in parent if it.tag == f"{SVG}style"]:
            parent.remove(element)


def in_points(root):
    """Ids and data gone, everything under one transform on a page in points."""
    scale = 72 / 25.4
    _, _, wide, high = map(float, root.get("viewBox").split())
    for element in root.iter():
        for name in list(element.attrib):
            if name == "id" or name.startswith("data-") or "inkscape" in name:
                del element.attrib[name]
    group = tree.Element(f"{SVG}g", {"transform": f"matrix({scale:.6f} 0 0 {scale:.6f} 0 0)"})
    for child in [it for it in root if it.tag in (f"{SVG}g", f"{SVG}rect", f"{SVG}text")]:
        root.remove(child)
        group.append(child)
    root.append(group)
    root.attrib |= {"viewBox": f"0 0 {wide * scale:.2f} {high * scale:.2f}", "width": f"{wide * scale:.2f}pt", "height": f"{high * scale:.2f}pt"}


def by_their_left_end(root):
    for text in root.iter(f"{SVG}text"):
        anchor = text.attrib.pop("text-anchor", None)
        if anchor:
            wide = HELVETICA.text_length(text.text or "", float(text.get("font-size")))
            text.set("x", f"{float(text.get('x')) - wide * {'middle': 0.5, 'end': 1}[anchor]:.3f}")


def cut_into_words(root):
    by_their_left_end(root)
    for parent in list(root.iter()):
        for text in [it for it in parent if it.tag == f"{SVG}text" and " " in (it.text or "")]:
            at = list(parent).index(text)
            parent.remove(text)
            before = ""
            for word in text.text.split(" "):
                one = tree.Element(f"{SVG}text", text.attrib)
                one.text = word
                one.set("x", f"{float(text.get('x')) + HELVETICA.text_length(before, float(text.get('font-size'))):.3f}")
                parent.insert(at, one)
                before, at = f"{before}{word} ", at + 1


def lines_joined(root):
    for parent in root.iter():
        last = None
        for line in list(parent):
            if line.tag != f"{SVG}line":
                last = None
                continue
            path = "M{x1} {y1}L{x2} {y2}".format(**{name: line.attrib.pop(name) for name in ("x1", "y1", "x2", "y2")})
            if last is not None and last.get("class") == line.get("class"):
                last.set("d", last.get("d") + path)
                parent.remove(line)
            else:
                line.tag, last = f"{SVG}path", line
                line.set("d", path)


def lines_cut(root):
    for parent in list(root.iter()):
        for line in [it for it in parent if it.tag == f"{SVG}polyline"]:
            at = list(parent).index(line)
            parent.remove(line)
            places = [it.split(",") for it in line.get("points").split()]
            for (x1, y1), (x2, y2) in zip(places, places[1:]):
                parent.insert(at, tree.Element(f"{SVG}line", {"class": line.get("class"), "x1": x1, "y1": y1, "x2": x2, "y2": y2}))
                at += 1


def another_colour_space(root):
    styles_written_out(root)
    for element in root.iter():
        style = element.get("style")
        if style:
            element.set("style", re.sub(r"#000(?![0-9a-f])", "#231f20", style).replace("#b3261e", "#b2271f").replace("#808080", "#7f8080"))


def masks_lost(root):
    for parent in list(root.iter()):
        for element in [it for it in parent if it.get("class") == "wht"]:
            parent.remove(element)


def largest_layer_twice(root):
    layers = [it for it in root if it.tag == f"{SVG}g"]
    root.append(copy.deepcopy(max(layers, key=lambda it: len(list(it.iter())))))


def page_turned(root):
    _, _, wide, high = map(float, root.get("viewBox").split())
    group = tree.Element(f"{SVG}g", {"transform": f"translate({high} 0) rotate(90)"})
    for child in [it for it in root if it.tag == f"{SVG}g" or it.tag == f"{SVG}text"]:
        root.remove(child)
        group.append(child)
    root.append(group)
    root.attrib |= {"viewBox": f"0 0 {high} {wide}", "width": f"{high}mm", "height": f"{wide}mm"}


def style_sheet_lost(root):
    for parent in list(root.iter()):
        for element in [it for it in parent if it.tag == f"{SVG}style"]:
            parent.remove(element)


HABITS = (page_turned, style_sheet_lost, styles_written_out, in_points, by_their_left_end, cut_into_words, lines_joined, lines_cut, another_colour_space, masks_lost, largest_layer_twice)


def with_remark(path):
    """A sheet with one remark at its lower edge, where no sheet has anything."""
    text = path.read_text()
    end = text.rindex("</svg>")
    high = float(tree.fromstring(text).get("viewBox").split()[3])
    return f'{text[:end]}<text id="remark" x="150" y="{high - 3.2}" font-size="4" fill="#0000ff">{REMARK}</text>{text[end:]}'


def sheets(package):
    return [sorted((package / "sheets").glob(f"Z-{series}*.svg"))[0] for series in ("101", "2", "4")]


def check(program, place):
    problems, n_cases = [], 0
    for prefix, uri in (("", SVG[1:-1]), ("inkscape", "http://www.inkscape.org/namespaces/inkscape")):
        tree.register_namespace(prefix, uri)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        package = folder / "package"
        shutil.copytree(place, package)
        saved, lines, outlined = [], [], []
        for path in sheets(package):
            given = folder / f"{path.stem}.svg"
            given.write_text(with_remark(path))
            for number, (name, actions) in enumerate(OF_INKSCAPE.items()):
                out = folder / f"{path.stem}.{number}.svg"
                lines.append(f"file-open:{given}; {actions}; export-filename:{out}; export-plain-svg; export-do; file-close")
                saved.append((name, path, out))
            # What Inkscape is told to do to texts it goes on doing: a run of its own.
            out = folder / f"{path.stem}.outlined.svg"
            outlined.append(f"file-open:{given}; export-filename:{out}; export-text-to-path; export-do; file-close")
            saved.append(("saved with letters as paths", path, out))
            for habit in HABITS:
                root = tree.fromstring(given.read_bytes())
                habit(root)
                out = folder / f"{path.stem}.{habit.__name__}.svg"
                out.write_bytes(tree.tostring(root))
                saved.append((habit.__name__, path, out))
        shell(lines)
        shell(outlined)
        for name, path, out in saved:
            n_cases += 1
            shutil.rmtree(package / "review", ignore_errors=True)
            code, marks, words = run_marks(program, package, out)
            # Of a remark whose letters are paths its place is left.
            as_paths = "paths" in name
            got = [(it["kind"], it["text"]) for it in marks]
            is_one = all(it["sheet"] == path.stem for it in marks) and (len(marks) == 1 and (as_paths or got == [("text", REMARK)]))
            if code != 0 or not is_one:
                problems.append(f"{path.stem}, {name}: exit code {code}, {len(got)} marks {got[:4]}: {words[-200:]}")
            elif as_paths and "REV-21" not in words:
                problems.append(f"{path.stem}, {name}: nothing says that letters are paths")
            elif (name == "style_sheet_lost") != ("REV-23" in words):
                problems.append(f"{path.stem}, {name}: whether inks are lost is told wrongly: {words[-200:]}")
    return n_cases, problems
