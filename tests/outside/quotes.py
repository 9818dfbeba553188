"""Quotes of every plan that recovers, read again with decimals (Python's own), by nobody who made them.

    python3 tests/outside/quotes.py target/release/panelwright PLAN...

With and without prices, and with figures stated: a quote never fails where a plan exists. Low is not above likely nor likely above
high; the range is likely and all moves; each open question widens it and is given with its reason; assumed figures stand in the order
of what they move; amounts add up to what is likely; without prices there is no money; walls only and not for construction stand on
every page, the latter over plan and elevations too. A figure in a unit that is none is refused, and nothing is written.
"""

import json
import pathlib
import subprocess
import sys
import tempfile
from decimal import Decimal

ROOT = pathlib.Path(__file__).resolve().parents[2]
PRICES = ROOT / "sample-drawings" / "prices.toml"
STATED = ["--wall-height", "9'-0\"", "--window-head", "6'-10\"", "--door-height", "80", "--assembly", "8-1/4", "--assembly", "6-1/2"]


def run(program, inputs, out, extra):
    words = [str(program), "estimate", *map(str, inputs), *map(str, extra), "--quiet", "--out", str(out)]
    done = subprocess.run(words, capture_output=True, text=True)
    return done.returncode, (done.stdout + done.stderr).strip()


def boundless(folder, quote):
    """What is wrong with a quote of walls that do not close: it has no bound above, and the page says so."""
    if quote["high"] is not None or not quote["uncounted"]:
        yield f"high is {quote['high']}, not counted: {quote['uncounted']}"
    if "no bound" not in (folder / "quote.svg").read_text():
        yield "the page does not say that there is no bound"


def judged(folder, has_prices, is_stated):
    """What is wrong with one quote."""
    quote = json.loads((folder / "quote.json").read_text())
    if quote["uncounted"]:
        yield from boundless(folder, quote)
        return
    low, likely, high = (Decimal(quote[name]) for name in ("low", "likely", "high"))
    questions = Decimal(quote["questions_move"])
    if not low <= likely <= high or likely <= 0:
        yield f"low {low}, likely {likely}, high {high}"
    moves = [(Decimal(it["low"]), Decimal(it["high"])) for it in quote["assumed"]]
    if any(down > 0 or up < 0 for down, up in moves):
        yield "a figure moves the wrong way"
    swings = [max(-down, up) for down, up in moves]
    if swings != sorted(swings, reverse=True):
        yield f"figures are not in the order of what they move: {swings}"
    if high != likely + sum(up for _, up in moves) + questions:
        yield "high is not likely and all moves"
    if low != max(Decimal(0), likely + sum(down for down, _ in moves) - questions):
        yield "low is not likely less all moves"
    if bool(quote["questions"]) != (questions > 0):
        yield f"{len(quote['questions'])} questions widen the range by {questions}"
    amounts = [Decimal(it["amount"]) for it in quote["lines"] if it["amount"] is not None]
    if has_prices and sum(amounts) != likely:
        yield f"amounts add up to {sum(amounts)}, likely is {likely}"
    if not has_prices and (amounts or quote["prices"] or quote["unit"] == "money"):
        yield "money without prices"
    options = {it["option"] for it in quote["assumed"]}
    if is_stated and options & {"--wall-height", "--window-head", "--door-height", "--assembly"}:
        yield f"still assumed though stated: {options}"
    if is_stated and [it["assembly"] for it in quote["assemblies"]] != ["8-1/4", "6-1/2"]:
        yield "the assemblies named do not stand side by side"
    if len(quote["assemblies"]) < 2:
        yield "no assemblies side by side"
    if not quote["scope"].startswith("Walls only") or "NOT FOR CONSTRUCTION" not in quote["not_for_construction"]:
        yield "its scope is not said"
    page = (folder / "quote.svg").read_text()
    for words in ("PLAN, NOT FOR CONSTRUCTION", "ELEVATIONS FROM OUTSIDE, NOT FOR CONSTRUCTION", ">NOT FOR CONSTRUCTION.", "Walls only:"):
        if words not in page:
            yield f"the page does not say '{words}'"
    if not (folder / "quote.pdf").read_bytes().startswith(b"%PDF"):
        yield "its PDF is none"


def check(program, plans):
    """How many quotes were read, and what is wrong. `plans`: name and inputs of each."""
    n, wrong = 0, []
    with tempfile.TemporaryDirectory() as temporary:
        for name, inputs in plans:
            variants = [("plain", []), ("priced", ["--prices", PRICES]), ("stated", STATED)]
            for variant, extra in variants:
                out = pathlib.Path(temporary) / f"{n}"
                code, words = run(program, inputs, out, extra)
                if code != 0:
                    wrong.append(f"{name}, {variant}: exit code {code}: {words[-300:]}")
                    continue
                n += 1
                wrong += [f"{name}, {variant}: {it}" for it in judged(out, variant == "priced", variant == "stated")]
        if plans:
            out = pathlib.Path(temporary) / "refused"
            for value in ("9 parsecs", "tall", "-8'"):
                code, _ = run(program, plans[0][1], out, [f"--wall-height={value}"])
                if code != 2 or out.exists():
                    wrong.append(f"a wall height of '{value}' is taken")
    return n, wrong


def unbounded(program, plan):
    """A plan whose walls do not close has a quote without a bound above, and the page says so."""
    with tempfile.TemporaryDirectory() as temporary:
        out = pathlib.Path(temporary) / "quote"
        code, words = run(program, [plan], out, [])
        if code != 0:
            return 1, [f"exit code {code}: {words[-300:]}"]
        quote = json.loads((out / "quote.json").read_text())
        return 1, list(boundless(out, quote))


if __name__ == "__main__":
    n, problems = check(sys.argv[1], [(name, [name]) for name in sys.argv[2:]])
    print("\n".join(problems) or f"{n} quotes agree")
    sys.exit(1 if problems or not n else 0)
