"""A real Chromium, Debian's own, driven by Playwright without its browsers."""

import contextlib
import shutil

from playwright.sync_api import sync_playwright


@contextlib.contextmanager
def chromium():
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=path,
            args=["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
                  "--disable-component-update", "--disable-sync"],
        )
        try:
            yield browser
        finally:
            browser.close()
