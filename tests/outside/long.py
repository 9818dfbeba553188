"""Every plan of the shared corpus through the whole line, each package proved and judged from outside.

    python3 tests/outside/long.py target/release/panelwright [FOLDER...]

Without a folder: `drawn`, `ifc` and `real` of ../shared/corpus, whose recovery is scored too. A plan may be refused (exit code 2).
Where the program finds no fault in a plan, every proof and every check from outside has to hold; where it does, nothing may be
left for the saw, and its outlines have to be read all the same. The times of `make` are printed, not judged.
"""

import json
import pathlib
import sys
import tempfile
import time

import conservation
import inkscape
import jambs
import layouts
import optimum
import outlines
import quotes
import recovery
import run
import saw
import shapes
import sheets
import stock
from package import Package


def judged(program, file, place, results):
    """One plan: made, proved, judged; its line for the table."""
    start = time.monotonic()
    code, words = run.make(program, [file], place)
    seconds = time.monotonic() - start
    crashed = code not in (0, 1, 2) or "panicked" in words
    results.add(f"make {file.stem}", 1, [words[-400:]] if crashed else [])
    if code == 2:
        print(f"       refused: {words.splitlines()[-1] if words else 'no words'}")
        return
    package = Package(place)
    faults = [
        finding
        for finding in json.loads((place / "findings.json").read_text())
        if finding["severity"] == "fault" and not finding["code"].startswith("PROOF")
    ]
    sure = not faults
    print(f"       {seconds:.2f} s, {len(package.panels)} panels, exit code {code}, {len(faults)} faults")
    if package.panels:
        results.add(f"ezdxf reads and audits {file.stem}", *outlines.check(place))
        results.add(f"the saw's view of {file.stem}", *saw.check(place, saw.BY_RULE["stop short"]))
        results.add(f"lists, outlines, blanks and sheets of {file.stem} add up", *conservation.check(place))
    if package.panels and sure:
        results.add(f"verify {file.stem}", *run.verify(program, place))
        results.add(f"shapes of {file.stem}", *shapes.check(place))
        results.add(f"jambs of {file.stem}", *jambs.check(place))
        results.add(f"layouts of {file.stem} keep the rules", *layouts.check(place))
    elif package.panels and run.verify(program, place)[1]:
        released = [panel["mark"] for panel in package.panels if not panel["hold"]]
        problems = [f"not proved, and not held: {', '.join(released)}"] if released else []
        results.add(f"nothing of {file.stem} is left for the saw", 1, problems)
    results.add(f"words for the architect of {file.stem}", *sheets.check_architect(place))


def quoted(program, file, results):
    """A quote never fails where a plan exists."""
    with tempfile.TemporaryDirectory() as temporary:
        code, _ = quotes.run(program, [file], pathlib.Path(temporary) / "quote", [])
    if code != 2:
        results.add(f"quotes of {file.stem}", *quotes.check(program, [(file.stem, [file])]))


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    corpus = run.SHARED / "corpus"
    folders = [pathlib.Path(name) for name in sys.argv[2:]]
    folders = folders or [corpus / name for name in ("drawn", "ifc", "real")]
    results = run.Results()
    for folder in folders:
        for file in sorted(folder.glob("*.dxf")):
            with tempfile.TemporaryDirectory() as temporary:
                judged(program, file, pathlib.Path(temporary) / "package", results)
            quoted(program, file, results)
    if not sys.argv[2:]:
        results.add("layouts cost what HiGHS finds, 2 in grid", *optimum.check("walls", 11, 1200, 32))
        results.add("layouts cost what HiGHS finds, 1/16 in grid", *optimum.check("walls", 12, 36, 1))
        results.add("rings of walls cost what HiGHS finds", *optimum.check("rings", 13, 60, 32))
        results.add("walls beside issued panels cost what HiGHS finds", *optimum.check("issued", 14, 400, 32))
        results.add("walls over each other cost what HiGHS finds", *optimum.check("storeys", 15, 200, 32))
        results.add("houses of two storeys cost what HiGHS finds", *optimum.check("houses", 17, 8, 32))
        with tempfile.TemporaryDirectory() as temporary:
            place = pathlib.Path(temporary) / "package"
            bunkhouse = next(inputs for name, inputs in run.sources() if name == "bunkhouse")
            code, words = run.make(program, bunkhouse, place)
            results.add("make bunkhouse", 1, [] if code == 0 else [words[-400:]])
            results.add("sheets through Inkscape carry no marks", *inkscape.check_still(program, place))
            results.add("marks by Inkscape on every kind of sheet", *inkscape.check(program, place))
        stock.check(results, full=True)
        for name in ("drawn", "ifc"):
            _, words = recovery.score(program, run.SHARED, name)
            first = words.splitlines()[0] if words else "nothing"
            print(f"{name}: {first}")
    results.close()


if __name__ == "__main__":
    main()
