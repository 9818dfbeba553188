"""The score of recovered plans against plans whose truth is known: exterior perfect on 95 % of exact and
85 % of hard plans, and no silent error.

    python3 tests/outside/recovery.py target/release/panelwright ../shared

The plans and the scoring tool lie beside the project, not in it (see DEVELOPERS.md); without them nothing is scored, loudly.
"""

import pathlib
import re
import subprocess
import sys


def score(program, shared, name):
    """What the tool counts by level, perfect and all, and everything it says."""
    tool, plans = shared / "tools" / "score_plans.py", shared / "corpus" / name
    run = subprocess.run(
        [sys.executable, str(tool), str(program), str(plans)], capture_output=True, text=True
    )
    words = run.stdout or run.stderr
    levels = re.findall(r"(\w+) (\d+)/(\d+)", words.splitlines()[0].partition("(")[2] if words else "")
    return {name: (int(good), int(n)) for name, good, n in levels}, words


EXACT, DRAFTED = 0.95, 0.85


def check(program, shared, exact=EXACT):
    """How many plans were scored, and what is wrong: the bounds of docs/recovery.md."""
    n_all, wrong = 0, []
    bounds = {"drawn": {"easy": exact, "mixed": exact, "hard": DRAFTED}, "ifc": {"ifc": exact}}
    for name, share in bounds.items():
        levels, words = score(program, shared, name)
        for level, least in share.items():
            good, n = levels.get(level, (0, 0))
            n_all += n
            if not n or good < least * n:
                wrong.append(f"{name} {level}: exterior-perfect {good} of {n}, {least} of them are asked for")
        silent = re.search(r"silent (\d+)", words)
        if not silent or int(silent[1]):
            wrong.append(f"{name}: silent errors {silent[1] if silent else 'not counted'}, none is allowed")
        print("  " + "; ".join(words.splitlines()[:2]))
    return n_all, wrong


if __name__ == "__main__":
    n, problems = check(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))
    print("\n".join(problems) or f"{n} plans scored")
    sys.exit(1 if problems or not n else 0)
