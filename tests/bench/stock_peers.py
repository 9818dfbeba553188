"""Sheets on the 500 published instances, beside peers: figures, no verdict.

    VENV/bin/python tests/bench/stock_peers.py [MILLIONS OF STEPS] [EVERY]

In one run on one machine: this program (the bench `stock`, every EVERY-th instance), rectpack 0.2.2 (PyPI, Apache-2.0): its best
guillotine variant and its best free one, each the best of its sort orders; packingsolver 0.1.1233 (PyPI, MIT; it needs Python 3.12 or
later): three stages, oriented, first cut either way, 2 s an instance; its seconds are those of all its threads. Install both where
this script runs. `BENCH=FILE` takes a bench that is built already.
"""

import os
import pathlib
import subprocess
import sys
import tempfile
import time

import packingsolver.rectangleguillotine as guillotine_solver
import rectpack

ROOT = pathlib.Path(__file__).resolve().parents[2]
DATA = ROOT.parent / "shared" / "data"
ORDERS = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI, rectpack.SORT_DIFF)


def instances(every):
    for line in (DATA / "bmv500.tsv").read_text().splitlines()[1::every]:
        fields = line.split("\t")
        items = [tuple(int(n) for n in item.split("x")) for item in fields[8].split(";")]
        yield fields[0], int(fields[1]), int(fields[2]), items, int(fields[4])


def program(names, millions):
    """Sheets, bound and seconds on a processor, instance by instance."""
    with tempfile.NamedTemporaryFile("r", suffix=".tsv") as each:
        environment = {**os.environ, "NAMES": " ".join(names), "EACH": each.name}
        built = os.environ.get("BENCH")
        command = [built] if built else ["cargo", "bench", "--quiet", "--bench", "stock", "--"]
        command += [str(millions), "bmv500"]
        subprocess.run(command, cwd=ROOT, env=environment, check=True, stdout=subprocess.DEVNULL)
        rows = [line.split("\t") for line in each.read().splitlines()]
    return {row[0]: (int(row[1]), float(row[5])) for row in rows}


def with_rectpack(algorithms, width, height, items):
    """Fewest bins over algorithms and orders, and the seconds of all."""
    start = time.process_time()
    fewest = len(items)
    for algorithm in algorithms:
        for order in ORDERS:
            packer = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline, bin_algo=rectpack.PackingBin.BFF, pack_algo=algorithm, sort_algo=order, rotation=False
            )
            for w, h in items:
                packer.add_rect(w, h)
            packer.add_bin(width, height, count=float("inf"))
            packer.pack()
            if len(packer.rect_list()) == len(items):
                fewest = min(fewest, len(packer))
    return fewest, time.process_time() - start


def with_packingsolver(width, height, items, limit):
    """Its bins, `None` where it has no plan for all in time, and the seconds of all its threads."""
    start = time.process_time()
    builder = guillotine_solver.InstanceBuilder()
    builder.set_objective(guillotine_solver.Objective.BinPacking)
    builder.set_number_of_stages(3)
    builder.set_cut_type(guillotine_solver.CutType.NonExact)
    builder.set_first_stage_orientation(guillotine_solver.CutOrientation.Any)
    builder.add_bin_type(width, height, copies=len(items))
    for w, h in items:
        builder.add_item_type(w, h, oriented=True, copies=1)
    parameters = guillotine_solver.OptimizeParameters()
    parameters.time_limit = limit
    parameters.verbosity_level = 0
    solution = guillotine_solver.optimize(builder.build(), parameters).solution
    whole = solution.number_of_items() == len(items)
    return solution.number_of_bins() if whole else None, time.process_time() - start


def row(name, results, best):
    whole = {case: it for case, it in results.items() if it[0] is not None}
    met = sum(it[0] <= best[case] for case, it in whole.items())
    over = sum(max(0, it[0] - best[case]) for case, it in whole.items())
    worst = max(it[0] - best[case] for case, it in whole.items())
    sheets = sum(best[case] for case in whole)
    seconds = [it[1] for it in results.values()]
    print(
        f"| {name} | {len(whole)} of {len(results)} | {met} ({100 * met / len(results):.1f} %) | {over} ({100 * over / sheets:.2f} %) |"
        f" +{worst} | {sum(seconds) / len(seconds):.3f} | {max(seconds):.2f} |"
    )


def main():
    if not DATA.is_dir():
        sys.exit("!!!!!!! NOT MEASURED: ../shared/data is not here")
    millions = float(sys.argv[1]) if len(sys.argv) > 1 else 15
    cases = list(instances(int(sys.argv[2]) if len(sys.argv) > 2 else 1))
    best = {name: value for name, _, _, _, value in cases}
    print("| solver | plans | at best known | sheets over | worst | mean s of processor | longest |")
    print("|---|---|---|---|---|---|---|")
    row(f"this program, {millions:g} million steps", program(list(best), millions), best)
    guillotine = (rectpack.GuillotineBssfSas, rectpack.GuillotineBafSas, rectpack.GuillotineBlsfLas)
    free = (rectpack.MaxRectsBssf, rectpack.MaxRectsBaf, rectpack.MaxRectsBl)
    for name, algorithms in (("rectpack, guillotine", guillotine), ("rectpack, free (easier)", free)):
        row(name, {case: with_rectpack(algorithms, w, h, items) for case, w, h, items, _ in cases}, best)
    results = {case: with_packingsolver(w, h, items, 2) for case, w, h, items, _ in cases}
    row("packingsolver, 2 s", results, best)


main()
