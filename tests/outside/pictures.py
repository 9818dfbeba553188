"""One sheet of every kind drawn by resvg and by Chromium, ink against ink: what one of them draws and the other has nowhere near.

Dark points of one picture with nothing but white round them in the other are counted, square by square. On sound sheets there are
none; the shortest text lost, or a text 1 mm beside its place, leaves several.
"""

import io
import os
import pathlib
import re
import xml.etree.ElementTree as tree

import numpy
import resvg_py
from PIL import Image

from browser import chromium
from inkscape import kinds

DPI = 64
# Grey values: ink in one picture, paper in the other; between them is the edge of a stroke, which each draws its own way.
INK, PAPER = 110, 200
SQUARE = 16
# Points of a square that may stand alone.
MOST = 1
SVG_TEXT = "{http://www.w3.org/2000/svg}text"


def fonts():
    """The font as the program's own dependency brings it."""
    home = pathlib.Path(os.environ.get("CARGO_HOME", pathlib.Path.home() / ".cargo"))
    found = [str(path) for path in home.glob("registry/src/*/notosans-*/**/*.ttf") if "Italic" not in path.name]
    assert found, "the font of the crate notosans is not where cargo keeps its sources"
    return found


def readable(path):
    """A sheet's text and its size in points. resvg sets a grave accent on the letter beside it, so there is none."""
    text = path.read_text().replace("`", "'")
    root = tree.fromstring(text.encode())
    return text, [round(float(root.get(side)[:-2]) * DPI / 25.4) for side in ("width", "height")]


def by_chromium(browser, text, size):
    width, height = size
    page = browser.new_page(viewport={"width": width, "height": height})
    style = f"body{{margin:0}}svg{{width:{width}px;height:{height}px;display:block}}"
    page.set_content(f"<style>{style}</style>{text.split('?>', 1)[1]}")
    page.evaluate("document.fonts.ready")
    shot = page.screenshot()
    page.close()
    return numpy.array(Image.open(io.BytesIO(shot)).convert("L"))


def by_resvg(text, size):
    """resvg reads no font from a sheet: it is given the font that the sheets carry a part of."""
    png = resvg_py.svg_to_bytes(
        svg_string=text, width=size[0], height=size[1], dpi=96, skip_system_fonts=True, font_files=fonts()
    )
    drawn = Image.open(io.BytesIO(bytes(png))).convert("RGBA")
    paper = Image.new("RGBA", drawn.size, "white")
    paper.alpha_composite(drawn)
    return numpy.array(paper.convert("L"))


def alone(one, other):
    """Ink of one picture with no ink of the other within a point of it."""
    height, width = other.shape
    near = numpy.pad(other < PAPER, 1)
    reach = [near[y : y + height, x : x + width] for y in range(3) for x in range(3)]
    return (one < INK) & ~numpy.any(reach, axis=0)


def worst(one, other):
    """Most points that stand alone in any square."""
    if one.shape != other.shape:
        return SQUARE * SQUARE
    strange = alone(one, other) | alone(other, one)
    strange = numpy.pad(strange, [(0, -side % SQUARE) for side in strange.shape])
    rows, columns = (side // SQUARE for side in strange.shape)
    return int(strange.reshape(rows, SQUARE, columns, SQUARE).sum((1, 3)).max())


def check(folder):
    """One sheet of each kind of a package."""
    return check_all(kinds(pathlib.Path(folder)))


def check_all(paths):
    problems = []
    with chromium() as browser:
        for path in paths:
            text, size = readable(path)
            n = worst(by_chromium(browser, text, size), by_resvg(text, size))
            if n > MOST:
                problems.append(f"{path.name}: {n} points of one square stand in one picture alone")
    return len(paths), problems


def sees_a_lost_text(folder):
    """Every tenth text of a panel's sheet lost, and moved by 1 mm, in one of the pictures: each is seen."""
    path = next(pathlib.Path(folder).glob("sheets/Z-41*.svg"))
    text, size = readable(path)
    problems = []
    texts = re.findall(r"<text [^>]*>[^<]*</text>", text)[::10]
    with chromium() as browser:
        whole = by_chromium(browser, text, size)
    for it in texts:
        beside = re.sub(r' x="([-\d.]+)"', lambda x: f' x="{float(x[1]) + 1:.3f}"', it, count=1)
        for harmed, what in (('', "lost"), (beside, "1 mm beside its place")):
            if worst(whole, by_resvg(text.replace(it, harmed, 1), size)) <= MOST:
                problems.append(f"{it} {what}: the pictures are called alike")
    return 2 * len(texts), problems
