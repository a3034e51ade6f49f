"""A keyboard-wedge scanner: it types what it read, key by key, and ends with Enter."""

from __future__ import annotations

# A selector, not a function to wait for: those are evaluated as strings, and the pages' content
# security policy refuses that.
_READY = "input:focus"


def scan(page, text: str, *, then: str = "") -> None:
    """Type a scan into whatever has the focus. ``then``: wait for the page that it leads to.

    The separator of a symbol, GS, is sent as scanners do: as Ctrl+].

    A page that has just opened gives its field the focus a moment later; nobody scans so fast.
    """
    page.locator(_READY).wait_for()
    for number, part in enumerate(text.split("\x1d")):
        if number:
            page.keyboard.press("Control+BracketRight")
        page.keyboard.type(part)
    if not then:
        page.keyboard.press("Enter")
        return
    with page.expect_navigation(url=then):
        page.keyboard.press("Enter")


def focused(page) -> str:
    """The name of the field that has the focus."""
    page.locator(_READY).wait_for()
    return page.evaluate("document.activeElement.name || ''")
