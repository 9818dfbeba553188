"""How long index.html of four hundred panels takes to open, and how much memory: figures, no verdict.

    tests/.venv/bin/python tests/bench/page.py target/release/panelwright
"""

import pathlib
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from browser import chromium  # noqa: E402


def sketch(feet):
    text = f'name = "Long"\nthickness = "6 1/2\\""\nrun = ["south: E {feet}\'", "east: N {feet}\'", "north: W {feet}\'", "west: close"]\n'
    for wall in ("south", "east", "north", "west"):
        for start in range(6, feet - 8, 16):
            text += f'\n[[opening]]\nwall = "{wall}"\nkind = "window"\nfrom = "{start}\'"\nsize = "3040"\n'
    return text


with tempfile.TemporaryDirectory() as temporary:
    folder = pathlib.Path(temporary)
    (folder / "sketch.toml").write_text(sketch(800))
    out = folder / "package"
    subprocess.run([sys.argv[1], "make", str(folder / "sketch.toml"), "--out", str(out), "--timings", "--quiet"], check=False)
    n_sheets = len(list(out.glob("sheets/*.svg")))
    with chromium() as browser:
        page = browser.new_page()
        start = time.monotonic()
        page.goto((out / "index.html").as_uri())
        page.wait_for_selector("#stage svg")
        opened = time.monotonic() - start
        client = page.context.new_cdp_session(page)
        client.send("Performance.enable")
        page.fill("#find-mark", "W1200")
        start = time.monotonic()
        page.press("#find-mark", "Enter")
        page.wait_for_selector("#stage svg[data-panel]")
        found = time.monotonic() - start
        heap = {it["name"]: it["value"] for it in client.send("Performance.getMetrics")["metrics"]}["JSHeapUsedSize"]
        info = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")["processInfo"]
        sizes = []
        for process in info:
            if process["type"] == "renderer":
                status = pathlib.Path(f"/proc/{process['id']}/smaps_rollup").read_text()
                sizes.append(sum(int(line.split()[1]) for line in status.splitlines() if line.startswith("Private")) / 1024)
        print(f"{n_sheets} sheets, {(out / 'index.html').stat().st_size / 1e6:.1f} MB: opens in {opened:.2f} s, finds in {found:.2f} s, "
              f"script heap {heap / 1e6:.1f} MB, page's own memory {max(sizes):.0f} MB")
