"""A keyboard-wedge scanner: it types what it read, key by key, and ends with Enter."""

from __future__ import annotations

_READY = "document.activeElement && document.activeElement.tagName === 'INPUT'"


def scan(page, text: str, *, then: str = "") -> None:
    """Type a scan into whatever has the focus. ``then``: wait for the page that it leads to.

    A page that has just opened gives its field the focus a moment later; nobody scans so fast.
    """
    page.wait_for_function(_READY)
    page.keyboard.type(text)
    if not then:
        page.keyboard.press("Enter")
        return
    with page.expect_navigation(url=then):
        page.keyboard.press("Enter")


def focused(page) -> str:
    """The name of the field that has the focus."""
    page.wait_for_function(_READY)
    return page.evaluate("document.activeElement.name || ''")
