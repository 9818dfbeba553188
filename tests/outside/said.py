"""What drawings say beside their lines, checked with ezdxf (PyPI) on drawings that are not the project's.

    python3 tests/outside/said.py target/release/panelwright ../shared

1. Dimensions: on every exact drawing of the corpus no conflict is invented; then ezdxf types a wrong length over one dimension
   after another, and each must be found with its handle.
2. DWG: a DWG and the DXF converted from it by another program give the same survey: counts, layers, lines, areas.

The drawings lie beside the project, not in it (see DEVELOPERS.md); without them nothing is checked, loudly.
"""

import json
import logging
import pathlib
import subprocess
import sys
import tempfile

import ezdxf

CONFLICTS = {"PLAN-30", "PLAN-31", "PLAN-32"}


def trace(program, file, out):
    """Findings about dimensions: code, handles."""
    run = subprocess.run(
        [str(program), "trace", str(file), "--quiet", "--replace", "--out", str(out)],
        capture_output=True,
        text=True,
    )
    if run.returncode == 2:
        return None, run.stderr.strip()[-300:]
    findings = json.loads((out / "findings.json").read_text())
    return [(it["code"], it.get("sources", [])) for it in findings if it["code"] in CONFLICTS], ""


def exact_plans(shared):
    for file in sorted((shared / "corpus" / "drawn").glob("*.dxf")):
        truth = json.loads(file.with_name(file.stem + ".truth.json").read_text())
        yield file, truth["jitter"] == 0


def planted(file, out):
    """Copies of a drawing with one dimension typed 1/8 in too long each: handle and copy."""
    count = len(ezdxf.readfile(file).modelspace().query("DIMENSION"))
    for number in range(count):
        document = ezdxf.readfile(file)
        dimension = document.modelspace().query("DIMENSION")[number]
        if dimension.dimtype & 7 not in (0, 1):
            continue
        unit = {1: 1.0, 2: 12.0, 4: 1 / 25.4, 5: 1 / 2.54, 6: 1 / 0.0254}
        truth = json.loads(file.with_name(file.stem + ".truth.json").read_text())
        inches = {"in": unit[1], "ft": unit[2], "mm": unit[4], "cm": unit[5], "m": unit[6]}[truth["unit"]]
        length = dimension.get_measurement() * inches + 0.125
        feet = int(length // 12)
        dimension.dxf.text = f"{feet}'-{length - 12 * feet:.4f}\""
        copy = out / f"{file.stem}-{number}.dxf"
        document.saveas(copy)
        yield dimension.dxf.handle, copy


def dimensions(program, shared):
    n_cases, problems = 0, []
    with tempfile.TemporaryDirectory() as temporary:
        folder = pathlib.Path(temporary)
        for file, is_exact in exact_plans(shared):
            found, words = trace(program, file, folder / "out")
            if found is None:
                problems.append(f"{file.name}: refused: {words}")
                continue
            if is_exact:
                n_cases += 1
                problems += [f"{file.name}: invented {it}" for it in found]
            for handle, copy in planted(file, folder):
                n_cases += 1
                found, words = trace(program, copy, folder / "out")
                hit = found is not None and any(
                    code == "PLAN-30" and handle in sources for code, sources in found
                )
                if not hit:
                    problems.append(f"{copy.name}: dimension {handle} is wrong by 1/8 in and not found: {found} {words}")
    return n_cases, problems


def survey(program, file):
    run = subprocess.run(
        [str(program), "survey", str(file), "--format", "json"], capture_output=True, text=True
    )
    return json.loads(run.stdout) if run.returncode == 0 else {"refused": run.stderr.strip()[-300:]}


def dwg(program, shared):
    real = shared / "corpus" / "real"
    n_cases, problems = 0, []
    for file in sorted(real.glob("*.dwg")):
        sibling = file.with_name(file.stem + "_from_dwg.dxf")
        if not sibling.exists():
            continue
        n_cases += 1
        ours, theirs = survey(program, file), survey(program, sibling)
        if "refused" in ours or "refused" in theirs:
            problems.append(f"{file.name}: {ours.get('refused')} {theirs.get('refused')}")
            continue
        for key in ("version", "unit", "counts", "read"):
            if ours[key] != theirs[key]:
                problems.append(f"{file.name}: {key}: DWG {ours[key]}, DXF {theirs[key]}")
        for what, key in (("lines", "count"), ("lines", "length"), ("areas", "count"), ("areas", "enclosed")):
            a, b = ours[what][key], theirs[what][key]
            if abs(a - b) > 1e-6 * max(1.0, abs(b)):
                problems.append(f"{file.name}: {what} {key}: DWG {a}, DXF {b}")
        states = [
            {(it["name"], it["off"], it["frozen"], it["locked"], it["items"]) for it in one["layers"]}
            for one in (ours, theirs)
        ]
        if states[0] != states[1]:
            problems.append(f"{file.name}: layers {states[0] ^ states[1]}")
    return n_cases, problems


if __name__ == "__main__":
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    program, shared = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    failed = False
    for name, check in (("dimensions", dimensions), ("dwg", dwg)):
        n, problems = check(program, shared)
        print(f"{name}: {n} cases, {len(problems)} problems")
        print("\n".join(problems))
        failed |= bool(problems) or not n
    sys.exit(1 if failed else 0)
