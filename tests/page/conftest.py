"""One browser for all page tests."""

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest


def _chromium() -> str | None:
    return shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    if _chromium() is None and not os.environ.get("PICKRIG_NEEDS_BROWSER"):
        pytest.skip("no Chromium on this machine (apt-get install chromium)")
    sync = pytest.importorskip("playwright.sync_api")
    with sync.sync_playwright() as playwright:
        quiet = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
        instance = playwright.chromium.launch(executable_path=_chromium(), args=quiet)
        yield instance
        instance.close()


@pytest.fixture
def broken_rules(browser: Any) -> Callable[[str], list[str]]:
    """The accessibility rules a page breaks, in light and dark; axe is put in past the page's own policy."""
    from axe_playwright_python.sync_playwright import Axe

    def check(url: str) -> list[str]:
        told = []
        tab = browser.new_page(viewport={"width": 360, "height": 800}, bypass_csp=True)
        tab.goto(url)
        tab.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        for scheme in ("light", "dark"):
            tab.emulate_media(color_scheme=scheme)
            only = {"runOnly": ["color-contrast"]} if scheme == "dark" else {}
            for broken in Axe().run(tab, options=only).response["violations"]:
                told += [f"{scheme}: {broken['id']}: {node['html'][:200]}" for node in broken["nodes"]]
        tab.close()
        return told

    return check
