"""Walls of kinds that no sample has: the words they are made from.

Interior walls of panels between the bunkhouse's walls, with thermal posts and a stud behind each tee; a house with corners of 45
degrees outwards and inwards, cut square with wedges; the same house joined by I-joists; two wide openings with a pier of lumber
between. Nothing here is a check of its own: shapes,
jambs, outlines and blanks judge the packages.
"""

INTERIOR = "".join(
    f'[[wall.only]]\nid = "{wall}"\npanels = "{use}"\n'
    for wall, use in (("I1", "bearing"), ("I2", "party"), ("I3", "partition"), ("I5", "partition"), ("I6", "partition"))
)
SAW = '[saw]\ncorners = "square"\n'
POSTS = SAW + '[joints]\nspline = "thermal post"\n[corners]\ntee = "stud"\n'
SQUARE = SAW + '[corners]\nodd = "square"\n'
JOISTS = SQUARE + '[joints]\nspline = "I-joist"\n'
JOB = 'name = "Kinds"\nnumber = "J-1"\nassembly = "6-1/2"\n[wall]\nheight = "8\'-0\\""\n'
SKETCH = """name = "Odd corners"
thickness = "6 1/2"
run = ["E 24'", "NE 8'", "N 10'", "W 10'", "SW 4'", "W 10'", "close"]
"""

PIER = "two doors and a pier"
TWO_DOORS = "name = 'Two doors'\nthickness = '6 1/2'\nrun = [\"E 32'\", \"N 16'\", \"W 32'\", 'close']\n" + "".join(
    f"[[opening]]\nwall = 'W1'\nkind = 'opening'\nfrom = {start}\nwidth = '96'\nheight = '80'\n" for start in ("'96'", "'200'")
)


def sources(folder, samples):
    """Name and inputs of `make` for each; their files are written to a folder."""

    def written(name, text):
        path = folder / name
        path.write_text(text)
        return path

    plan = samples / "bunkhouse" / "plan.dxf"
    job, sketch = written("kinds.toml", JOB), written("odd.toml", SKETCH)
    interior = written("interior.toml", JOB + INTERIOR)
    yield "interior walls of panels", [plan, "--job", interior, "--rules", written("posts.toml", POSTS)]
    yield "odd corners cut square", [sketch, "--job", job, "--rules", written("square.toml", SQUARE)]
    yield "odd corners, I-joists", [sketch, "--job", job, "--rules", written("joists.toml", JOISTS)]
    yield PIER, [written("two_doors.toml", TWO_DOORS), "--job", job]
