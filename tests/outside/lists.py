"""The workbook of lists as an office program sees it: read with zipfile and ElementTree of Python's library, against ECMA-376.

Every list is a sheet with its cells; its head is frozen, repeated on each page and filtered over all its rows and nothing below
them; it prints landscape, one page wide, with its name and the page's number at the foot; totals stand apart below.
"""

import csv
import pathlib
import re
import xml.etree.ElementTree as tree
import zipfile

SPACE = {
    "m": "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "r": "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
}


def sheets(book):
    """Name and parsed XML of each sheet, and the names defined for it."""
    root = tree.fromstring(book.read("xl/workbook.xml"))
    links = tree.fromstring(book.read("xl/_rels/workbook.xml.rels"))
    targets = {link.get("Id"): link.get("Target") for link in links}
    defined = {}
    for it in root.findall("m:definedNames/m:definedName", SPACE):
        defined.setdefault(int(it.get("localSheetId", -1)), {})[it.get("name")] = it.text
    for index, it in enumerate(root.findall("m:sheets/m:sheet", SPACE)):
        target = targets[it.get("{%s}id" % SPACE["r"])]
        yield it.get("name"), tree.fromstring(book.read(f"xl/{target}")), defined.get(index, {})


def letters(number):
    """`A` of 1, `AA` of 27."""
    words = ""
    while number:
        number, rest = divmod(number - 1, 26)
        words = chr(65 + rest) + words
    return words


def check(folder):
    """Number of sheets looked at, and problems."""
    folder = pathlib.Path(folder) / "lists"
    problems, seen = [], set()
    with zipfile.ZipFile(folder / "lists.xlsx") as book:
        for name, sheet, defined in sheets(book):
            seen.add(name)
            rows = list(csv.reader((folder / f"{name}.csv").open(newline="")))
            # Both the filter and a repeated head are what the person at the station sees first.
            found = {
                "fits one page wide": sheet.find("m:sheetPr/m:pageSetUpPr", SPACE) is not None
                and sheet.find("m:sheetPr/m:pageSetUpPr", SPACE).get("fitToPage") == "1",
                "head frozen": any(
                    pane.get("state") == "frozen" and pane.get("ySplit") == "1"
                    for pane in sheet.iterfind(".//m:pane", SPACE)
                ),
            }
            setup = sheet.find("m:pageSetup", SPACE)
            found["landscape"] = setup is not None and setup.get("orientation") == "landscape"
            found["as many pages down as it takes"] = setup is not None and setup.get("fitToHeight") == "0"
            foot = sheet.findtext("m:headerFooter/m:oddFooter", "", SPACE)
            found["name and page at the foot"] = "&A" in foot and "&P" in foot and "&N" in foot
            titles = defined.get("_xlnm.Print_Titles", "")
            found["head on every page"] = titles.endswith("$1:$1")
            if len(rows) > 1:
                area = f"A1:{letters(len(rows[0]))}{len(rows)}"
                filtered = sheet.find("m:autoFilter", SPACE)
                found[f"filtered over {area}"] = filtered is not None and filtered.get("ref") == area
            totals = [cell for cell in sheet.iterfind(".//m:c", SPACE) if cell.find("m:f", SPACE) is not None]
            apart = [cell for cell in totals if int(re.sub(r"\D", "", cell.get("r"))) < len(rows) + 2]
            found["totals below a free row"] = not apart
            # ECMA-376 part 1, 18.17.7: SUBTOTAL with 109 leaves out the rows that a filter hides; SUM adds them.
            plain = [cell for cell in totals if not cell.find("m:f", SPACE).text.startswith("SUBTOTAL(109,")]
            found["totals of what the filter leaves"] = not plain
            problems += [f"{name}: not so: {words}" for words, holds in found.items() if not holds]
    lists = {file.stem for file in folder.glob("*.csv")}
    problems += [f"{name}: a list without a sheet, or a sheet without a list" for name in lists ^ seen]
    return len(seen), problems


def rewritten(folder, of, change):
    """Writes the workbook anew with the text of one kind of part changed."""
    file = pathlib.Path(folder) / "lists" / "lists.xlsx"
    with zipfile.ZipFile(file) as book:
        parts = [(it, book.read(it.filename)) for it in book.infolist()]
    with zipfile.ZipFile(file, "w") as book:
        for it, data in parts:
            book.writestr(it, change(data) if it.filename.startswith(of) else data)


def without_filters(folder):
    rewritten(folder, "xl/worksheets/", lambda data: re.sub(rb"<autoFilter[^>]*/>", b"", data))


def without_landscape(folder):
    rewritten(folder, "xl/worksheets/", lambda data: data.replace(b'orientation="landscape"', b""))


def with_plain_sums(folder):
    rewritten(folder, "xl/worksheets/", lambda data: data.replace(b"SUBTOTAL(109,", b"SUM("))


def without_repeated_heads(folder):
    rewritten(folder, "xl/workbook.xml", lambda data: data.replace(b"Print_Titles", b"Print_Area"))
