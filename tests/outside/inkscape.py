"""Marks by a general vector editor on every kind of sheet: Inkscape (Debian's), driven headless.

On each sheet Inkscape deletes a text, moves another, inks a line anew, and drags a cloud, an arrow and a struck number to their places.
What each is about is known from the issued sheet's own `data-` attributes; the review log must say the same. Then the same file
without any id or `data-`, and without the sheet's small print, must say it again.
"""

import math
import pathlib
import re
import shutil
import subprocess
import tempfile
import xml.etree.ElementTree as tree

from marks import run_marks

SVG = "{http://www.w3.org/2000/svg}"
# What is added is drawn this far off the sheet and dragged to its place, mm; Inkscape moves by its own pixels, 96 to the inch.
OFF = 2000
PIXELS = 96 / 25.4
FACTS = ("panel", "opening", "wall")
NUMBER = re.compile(r"(\d+'-)?\d+( \d+/\d+)?\"?")


def kinds(package):
    """The first sheet of every kind: its series and, where the name says what is on it, that word."""
    found = {}
    for path in sorted((package / "sheets").glob("*.svg")):
        _, number, *rest = path.stem.split("-")
        series = number if number.startswith("0") else number[0]
        word = rest[0] if rest and rest[0].isalpha() and rest[0].islower() else ""
        found.setdefault((series, word), path)
    return [*found.values(), *sorted(package.glob("trace*.svg"))[:1]]


def things(root):
    """Every element of a layer with the facts of the groups it stands in, innermost first."""

    def walk(element, facts):
        own = {name: element.get(f"data-{name}") for name in FACTS if element.get(f"data-{name}")}
        facts = {**facts, **own}
        for child in element:
            yield from walk(child, facts)
            yield child, {**facts, **{n: child.get(f"data-{n}") for n in FACTS if child.get(f"data-{n}")}}

    skipped = {"frame", "small-print"}
    whole = {name: root.get(f"data-{name}") for name in FACTS if root.get(f"data-{name}")}
    for layer in root.findall(f"{SVG}g"):
        if layer.get("id") not in skipped:
            yield from walk(layer, whole)


def box(text):
    """The box of a level text, mm: from its size, near enough to draw round it."""
    size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
    width = 0.56 * size * len(text.text)
    left = x - {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor"), 0.0) * width
    return left, y - 0.72 * size, left + width, y


def chosen(root):
    """What is edited on a sheet: by mark its element and facts. What knows of an opening or panel comes first."""
    texts = [
        (element, facts)
        for element, facts in things(root)
        if element.tag == f"{SVG}text" and element.text and len(element.text) > 1 and not element.get("transform")
    ]
    texts.sort(key=lambda it: -sum(name in it[1] for name in FACTS))
    taken, picked = [], {}

    def is_clear(place):
        return all(place[0] > b[2] + 14 or place[2] < b[0] - 14 or place[1] > b[3] + 14 or place[3] < b[1] - 14 for b in taken)

    def take(name, wanted):
        for element, facts in texts:
            place = box(element)
            if wanted(element, facts) and is_clear(place):
                taken.append(place)
                picked[name] = (element, facts)
                return

    take("strike", lambda it, _: NUMBER.fullmatch(it.text))
    take("deleted", lambda _, facts: "opening" in facts)
    take("moved", lambda _, facts: "panel" in facts)
    take("cloud", lambda _, facts: "opening" in facts or "panel" in facts)
    for name in ("strike", "deleted", "moved", "cloud", "arrow"):
        if name not in picked:
            take(name, lambda *_: True)
    for element, facts in things(root):
        pen = element.get("class") or ""
        if element.tag in (f"{SVG}rect", f"{SVG}polygon", f"{SVG}circle") and "w" in pen and "wht" not in pen:
            picked["restyled"] = (element, facts)
            break
    return picked


def added(picked):
    """The drawing of cloud, arrow and struck number, off the sheet, each a group of its own."""
    marker = '<marker id="head" orient="auto" refX="4" refY="2" markerWidth="4" markerHeight="4"><path d="M0 0L4 2L0 4z"/></marker>'
    parts = [f"<defs>{marker}</defs>"]
    ink = 'style="fill:none;stroke:#0000ff;stroke-width:0.7"'
    if "cloud" in picked:
        x0, y0, x1, y1 = box(picked["cloud"][0])
        x0, y0, x1, y1 = x0 - 2 - OFF, y0 - 2, x1 + 2 - OFF, y1 + 2
        middle = (x0 + x1) / 2
        corners = [(x0, y0), (middle, y0), (x1, y0), (x1, (y0 + y1) / 2), (x1, y1), (middle, y1), (x0, y1), (x0, (y0 + y1) / 2), (x0, y0)]
        path = f"M{x0:.3f} {y0:.3f}" + "".join(
            f"A{(r := math.dist(p, q) / 2 + 0.01):.3f} {r:.3f} 0 0 1 {q[0]:.3f} {q[1]:.3f}" for p, q in zip(corners, corners[1:])
        )
        parts.append(f'<g id="add-cloud"><path d="{path}z" {ink}/><text x="{x0}" y="{y1 + 9}" font-size="4">Who says so?</text></g>')
    if "arrow" in picked:
        x0, y0, x1, y1 = box(picked["arrow"][0])
        path = f"M{x1 + 9 - OFF} {y1 + 12}L{(x0 + x1) / 2 - OFF} {(y0 + y1) / 2}"
        parts.append(f'<g id="add-arrow"><path d="{path}" style="fill:none;stroke:#0000ff;stroke-width:0.7;marker-end:url(#head)"/></g>')
    if "strike" in picked:
        x0, y0, x1, y1 = box(picked["strike"][0])
        middle = (y0 + y1) / 2
        path = f"M{x0 - OFF} {middle}L{x1 - OFF} {middle - 0.3}"
        parts.append(f'<g id="add-strike"><path d="{path}" {ink}/><text x="{x0 - OFF}" y="{y0 - 1}" font-size="4">77</text></g>')
    return "".join(parts)


def steps(given, out, picked):
    """The line of Inkscape's shell for one sheet."""
    line = [f"file-open:{given}"]
    for name in ("cloud", "arrow", "strike"):
        if name in picked:
            line += ["select-clear", f"select-by-id:add-{name}", f"transform-translate:{OFF * PIXELS},0"]
    for name, action in (("moved", "transform-translate:20,30"), ("restyled", "object-set-property:stroke,#0000ff")):
        if name in picked:
            line += ["select-clear", f"select-by-id:edit-{name}", action]
    if "deleted" in picked:
        line += ["select-clear", "select-by-id:edit-deleted", "delete"]
    return "; ".join([*line, f"export-filename:{out}", "export-plain-svg", "export-do", "file-close"])


def expected(picked):
    """What the log has to say: kind and facts of each mark."""
    kind = {"strike": "dimension"}
    wanted = []
    for name, (element, facts) in picked.items():
        own = kind.get(name, name)
        if name == "strike" and not NUMBER.fullmatch(element.text):
            own = "strike"
        wanted.append((own, element, facts))
    return wanted


def judged(wanted, marks, stem):
    problems = []
    for kind, element, facts in wanted:
        same = [it for it in marks if it["kind"] == kind]
        if len(same) != 1:
            problems.append(f"{stem}: {len(same)} marks '{kind}' on '{element.text}'")
            continue
        mark = same[0]
        if mark["sheet"] != stem:
            problems.append(f"{stem}: '{kind}' is put on {mark['sheet']}")
        for name in FACTS:
            if name in facts and mark[name] != facts[name].split()[0]:
                problems.append(f"{stem}: '{kind}' on '{element.text}' is about {name} {mark[name]}, not {facts[name]}")
        said = (mark["touches"] or "") + mark["text"]
        if element.text and element.text not in said and kind != "restyled":
            problems.append(f"{stem}: '{kind}' on '{element.text}' says '{mark['text']}' and touches '{mark['touches']}'")
    if len(marks) != len(wanted):
        problems.append(f"{stem}: {len(marks)} marks for {len(wanted)}: {[(it['kind'], it['text'][:30]) for it in marks]}")
    return problems


def stripped(text):
    """Without ids and `data-` attributes."""
    return re.sub(r'\s(?:id|data-[a-z-]+|inkscape:[a-z-]+)="[^"]*"', "", text)


def shell(lines):
    subprocess.run(["inkscape", "--shell"], input="\n".join(lines) + "\n", capture_output=True, text=True, check=True)


def check_still(program, place):
    """Every kind of sheet opened and saved as plain SVG, and nothing more: no marks."""
    problems = []
    with tempfile.TemporaryDirectory() as folder:
        package = pathlib.Path(folder) / "package"
        shutil.copytree(place, package)
        files = [(path, pathlib.Path(folder) / f"{path.stem}.still.svg") for path in kinds(package)]
        shell(f"file-open:{path}; export-filename:{out}; export-plain-svg; export-do; file-close" for path, out in files)
        for path, out in files:
            shutil.rmtree(package / "review", ignore_errors=True)
            code, marks, words = run_marks(program, package, out)
            if code != 0 or marks:
                problems.append(f"{path.name} through Inkscape: exit code {code}, {len(marks)} marks: {words[-300:]}")
    return len(files), problems


def check(program, place, every=True):
    """All kinds of sheet of a package, or the panel sheet alone; how many marks were looked at, and what is wrong."""
    problems, n_cases = [], 0
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        package = folder / "package"
        shutil.copytree(place, package)
        jobs, lines = [], []
        for path in kinds(package):
            root = tree.fromstring(path.read_bytes())
            if not every and not root.get("data-panel"):
                continue
            picked = chosen(root)
            for name in ("moved", "deleted", "restyled"):
                if name in picked:
                    picked[name][0].set("id", f"edit-{name}")
            for prefix, uri in (("", SVG[1:-1]), ("inkscape", "http://www.inkscape.org/namespaces/inkscape")):
                tree.register_namespace(prefix, uri)
            text = tree.tostring(root, encoding="unicode")
            end = text.rindex("</svg>")
            given, out = folder / f"given-{path.stem}.svg", folder / f"{path.stem}.out.svg"
            given.write_text(text[:end] + added(picked) + text[end:])
            lines.append(steps(given, out, picked))
            jobs.append((path, out, expected(picked)))
        shell(lines)
        for path, out, wanted in jobs:
            first = None
            for turn in ("as saved", "without ids and data", "without small print"):
                text = out.read_text()
                if turn != "as saved":
                    text = stripped(text)
                if turn == "without small print":
                    text = re.sub(r"[0-9a-f]{12} Z-\S+\s+rev \S+", "", text)
                marked = folder / "marked.svg"
                marked.write_text(text)
                shutil.rmtree(package / "review", ignore_errors=True)
                code, marks, words = run_marks(program, package, marked)
                n_cases += len(wanted)
                if code != 0:
                    problems.append(f"{path.stem} {turn}: exit code {code}: {words[-300:]}")
                    continue
                found = judged(wanted, marks, path.stem)
                problems += [f"{turn}: {it}" for it in found]
                about = [(it["kind"], it["text"], *(it[name] for name in FACTS)) for it in marks]
                first = first or about
                if about != first:
                    problems.append(f"{turn}: {path.stem}: other marks than with ids")
    return n_cases, problems


# Remarks of a layer of its own: what each says, the drawing, and the kind and the box on paper that the log must give.
REMARKS = (
    (
        '<path id="way" d="M250 60V160" style="fill:none;stroke:#0000ff"/><text font-size="5"><textPath xlink:href="#way">Down the line</textPath></text>',
        "Down the line",
        None,
        (249, 59, 256, 100),
    ),
    (
        '<flowRoot style="font-size:5px"><flowRegion><path d="M70 180h60v30h-60z"/></flowRegion><flowPara>Flows in a box</flowPara></flowRoot>',
        "Flows in a box",
        "text",
        (69, 179, 131, 211),
    ),
    (
        '<path d="M190 90L120 100" style="fill:none;stroke:#0000ff;marker-end:url(#tip)"/><text x="192" y="91" font-size="5">One arrow</text>',
        "One arrow",
        "arrow",
        (118, 86, 225, 101),
    ),
    ('<path d="M190 125L120 150" style="fill:none;stroke:#0000ff;marker-end:url(#tip)"/>', "", "arrow", (119, 124, 191, 151)),
    ('<text id="first" x="60" y="240" font-size="5">A clone</text>', "A clone", "text", (59, 235, 80, 242)),
    ('<use xlink:href="#first" transform="translate(60,0)"/>', "A clone", "text", (119, 235, 140, 242)),
)
HIDDEN = "Nobody sees this"


def check_remarks(program, place):
    """A layer of many remarks, locked, and one that is hidden, saved by Inkscape as plain SVG and as its own: each comes back alone."""
    problems = []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        package = folder / "package"
        shutil.copytree(place, package)
        sheet = next((package / "sheets").glob("Z-4*.svg"))
        spaces = 'xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" '
        text = sheet.read_text().replace("<svg ", f"<svg {spaces}", 1)
        layer = '<g inkscape:groupmode="layer" inkscape:label="{0}" id="{0}" {1}>{2}</g>'
        tip = '<defs><marker id="tip" orient="auto" refX="4" refY="2"><path d="M0 0L4 2L0 4z"/></marker></defs>'
        shown = layer.format("remarks", 'sodipodi:insensitive="true"', "".join(it[0] for it in REMARKS))
        hidden = layer.format("secret", 'style="display:none"', f'<text x="60" y="60" font-size="5">{HIDDEN}</text>')
        end = text.rindex("</svg>")
        given = folder / "given.svg"
        given.write_text(text[:end] + tip + shown + hidden + text[end:])
        for way in ("export-plain-svg", "export-type:svg"):
            out = folder / "saved.svg"
            shell([f"file-open:{given}; export-filename:{out}; {way}; export-do; file-close"])
            shutil.rmtree(package / "review", ignore_errors=True)
            code, marks, words = run_marks(program, package, out)
            if code != 0 or HIDDEN not in words:
                problems.append(f"{way}: exit code {code}, and what is hidden is not told: {words[-300:]}")
            if any(HIDDEN in it["text"] for it in marks):
                problems.append(f"{way}: what is hidden is a mark")
            for _, said, kind, (x0, y0, x1, y1) in REMARKS:
                is_it = lambda it: said == it["text"] and kind in (None, it["kind"]) and it["sheet"] == sheet.stem
                is_there = lambda a: x0 <= a[0] and y0 <= a[1] and a[2] <= x1 and a[3] <= y1
                found = [it for it in marks if is_it(it) and is_there(it["area"]) or kind is None and said in it["text"]]
                if len(found) != 1:
                    problems.append(f"{way}: {len(found)} marks say '{said}', {[(it['kind'], it['text'], it['area']) for it in marks]}")
    return 2 * (len(REMARKS) + 1), problems
