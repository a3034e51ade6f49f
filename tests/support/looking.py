"""Looking at a page as people do: wide and narrow, light and dark, with the keyboard, with axe."""

from __future__ import annotations

import pytest

WIDTHS = (360, 1440)
# What a finger in a glove must hit, in CSS pixels, with a pixel for rounding.
TARGET = 47
# Links in running text are let off by WCAG 2.2 (2.5.8): they are as high as their line.
SMALL = """
least => [...document.querySelectorAll('button, .button, summary, select, input, nav a')]
  .filter(one => one.type !== 'hidden' && one.checkVisibility())
  .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([_, box]) => box.height && box.height < least)
  .map(([what, _]) => what)
"""


# In the dark only colours are different; axe is in the page by then, and putting it there again
# takes longer than asking it.
OF_COLOURS = {"runOnly": ["color-contrast", "link-in-text-block"], "resultTypes": ["violations"]}


def look_well(page, path: str = "") -> None:
    """At both widths, in both colour schemes: axe is clean, nothing overflows, targets are big."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    from axe_playwright_python.base import AxeResults

    if path:
        page.goto(path)
    # A key that follows a link comes back when the answer begins: the page is not read by then.
    page.wait_for_load_state()
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            assert over <= 0, f"{page.url} is {over} px too wide at {width} px"
            small = page.evaluate(SMALL, TARGET)
            assert small == [], f"too small to hit at {width} px on {page.url}: {small}"
        if scheme == "light":
            found = axe.run(page)
        else:
            found = AxeResults(page.evaluate("some => axe.run(document, some)", OF_COLOURS))
        assert found.violations_count == 0, f"{page.url}, {scheme}: {found.generate_report()}"


def words(page) -> str:
    """What a page says, once it has been read to its end."""
    page.wait_for_load_state()
    return page.locator("main").inner_text()
