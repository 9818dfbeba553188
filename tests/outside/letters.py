"""Layer names in the code pages that `$DWGCODEPAGE` names, against the codecs of Python.

    python3 tests/outside/letters.py target/release/panelwright

Each page's letters from byte 128 on become names of layers in a drawing of release 12; the survey must give them back.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

# The header's name of a page, and Python's.
SINGLE = {f"dos{n}": f"cp{n}" for n in (437, 737, 775, 850, 852, 855, 857, 860, 861, 862, 863, 865, 866, 869)}
SINGLE |= {f"ANSI_{n}": f"cp{n}" for n in (874, *range(1250, 1259))}
SINGLE |= {"mac-roman": "mac_roman"} | {f"iso8859-{n}": f"iso8859-{n}" for n in (2, 5, 7)}
DOUBLE = {"ANSI_932": "cp932", "gb2312": "gbk", "ANSI_949": "cp949", "big5": "big5", "johab": "johab"}
WORDS = {"cp932": "台所表能", "gbk": "厨房卧室", "cp949": "침실거실", "big5": "廚房臥室", "johab": "침실거실주방"}


def names_of(codec):
    """Names of the letters of a page of single bytes, each letter in one of them; cased letters once, as layers have no case."""
    letters, seen = [], set()
    for byte in range(128, 256):
        try:
            letter = bytes([byte]).decode(codec)
        except UnicodeDecodeError:
            continue
        if letter.isalpha() and letter.upper() not in seen:
            seen.add(letter.upper())
            letters.append(letter)
    return [f"N{at} " + "".join(letters[at : at + 8]) for at in range(0, len(letters), 8)]


def survey_names(program, page, names, codec):
    lines = ["0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009", "9", "$DWGCODEPAGE", "3", page, "0", "ENDSEC"]
    lines += ["0", "SECTION", "2", "ENTITIES"]
    for at, name in enumerate(names):
        lines += ["0", "LINE", "8", name, "10", "0", "20", str(at), "11", "100", "21", str(at)]
    lines += ["0", "ENDSEC", "0", "EOF", ""]
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "page.dxf"
        file.write_bytes("\n".join(lines).encode(codec))
        run = subprocess.run([program, "survey", str(file), "--format", "json"], capture_output=True, text=True)
    return {layer["name"] for layer in json.loads(run.stdout)["layers"]}


def check(program):
    """How many pages were looked at, and what differs."""
    problems, pages = [], {page: (codec, names_of(codec)) for page, codec in SINGLE.items()}
    pages |= {page: (codec, [WORDS[codec]]) for page, codec in DOUBLE.items()}
    for page, (codec, names) in pages.items():
        missing = set(names) - survey_names(program, page, names, codec)
        problems += [f"{page}: {name!r} is not among the layers" for name in sorted(missing)]
    return len(pages), problems


def main():
    n_pages, problems = check(sys.argv[1])
    for problem in problems:
        print(problem)
    print(f"{n_pages} code pages, {len(problems)} names differ")
    sys.exit(1 if problems else 0)


if __name__ == "__main__":
    main()
