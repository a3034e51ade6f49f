"""What is said when a marking cannot be read."""

from __future__ import annotations

_SHOWN = 40


def shorten(text: str, limit: int = _SHOWN) -> str:
    """The text cut to what fits in a sentence, unprintable characters made visible."""
    shown = text if len(text) <= limit else text[: limit - 1] + "…"
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in shown)


class UnreadableMarking(ValueError):
    """A marking that cannot be read; ``str()`` is a sentence for the person who typed it.

    ``text`` is what was given, ``position`` the place in it (0 is the first character) where
    reading stopped, ``expected`` what would have been readable there, ``near`` a valid marking
    close to the text (canonical form) or None.
    """

    def __init__(self, text: str, position: int, expected: str, near: str | None = None) -> None:
        self.text = text
        self.position = position
        self.expected = expected
        self.near = near
        super().__init__(text, position, expected, near)

    def __str__(self) -> str:
        if not self.text.strip():
            return f"Nothing to read: {self.expected} was expected."
        where = f"at {self._place()}" if self._place() else "to its end"
        sentence = f"“{shorten(self.text)}” cannot be read {where}: {self.expected} was expected"
        return f"{sentence}; did you mean {self.near}?" if self.near else f"{sentence}."

    def _place(self) -> str:
        """The word that reading stopped at, in quotation marks; empty at the end of the text."""
        rest = self.text[self.position :].strip()
        if not rest:
            return ""
        length = next((i for i, c in enumerate(rest) if not c.isalnum()), len(rest))
        return f"“{shorten(rest[: max(length, 1)], 12)}”"
