"""The score of recovered plans against plans whose truth is known: all easy ones exterior-perfect, at least half of all.

    python3 tests/outside/recovery.py target/release/panelwright ../shared

The plans and the scoring tool lie beside the project, not in it (see DEVELOPERS.md); without them nothing is scored, loudly.
"""

import pathlib
import re
import subprocess
import sys


def score(program, shared, name="drawn"):
    """The tool's first line and what it counts by level: perfect and all."""
    tool, plans = shared / "tools" / "score_plans.py", shared / "corpus" / name
    run = subprocess.run(
        [sys.executable, str(tool), str(program), str(plans)], capture_output=True, text=True
    )
    first = run.stdout.splitlines()[0] if run.stdout else run.stderr.strip()
    levels = re.findall(r"(\w+) (\d+)/(\d+)", first.partition("(")[2])
    return first, {name: (int(good), int(n)) for name, good, n in levels}


def check(program, shared):
    """How many plans were scored, and what is wrong."""
    first, levels = score(program, shared)
    if "easy" not in levels:
        return 0, [f"the scoring tool says nothing: {first}"]
    wrong = []
    easy, n_easy = levels["easy"]
    good = sum(good for good, _ in levels.values())
    n_all = sum(n for _, n in levels.values())
    if easy < n_easy:
        wrong.append(f"easy plans exterior-perfect: {easy} of {n_easy}, all are asked for")
    if 2 * good < n_all:
        wrong.append(f"plans exterior-perfect: {good} of {n_all}, half are asked for")
    print(f"  {first}")
    return n_all, wrong


if __name__ == "__main__":
    n, problems = check(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))
    print("\n".join(problems) or f"{n} plans scored")
    sys.exit(1 if problems or not n else 0)
