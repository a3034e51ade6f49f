"""A form with a file of any size that never stands anywhere at once."""

from __future__ import annotations

import io

from inventory.ground.uploads.limits import MEGABYTE

BOUNDARY = "a-boundary"


class Body(io.RawIOBase):
    """A form with such a file, and other fields before and after it, read piece by piece."""

    media_type = f"multipart/form-data; boundary={BOUNDARY}"

    def __init__(self, size: int, fields: dict | None = None) -> None:
        before = "".join(
            field_of(name, one)
            for name, told in (fields or {}).items()
            for one in (told if isinstance(told, list) else [told])
        )
        head = (
            f'{before}--{BOUNDARY}\r\nContent-Disposition: form-data; name="file"; '
            'filename="big.pdf"\r\nContent-Type: application/pdf\r\n\r\n%PDF-1.7\n'
        )
        after = "" if fields else field_of("code", "EV-1")
        tail = f"\r\n{after}--{BOUNDARY}--\r\n"
        self.parts = [head.encode(), size, tail.encode()]
        self.length = len(head) + size + len(tail)

    def read(self, count=-1):
        while self.parts:
            part = self.parts[0]
            if isinstance(part, int):
                give = min(part, count, MEGABYTE)
                self.parts[0] = part - give
                if not self.parts[0]:
                    self.parts.pop(0)
                return b"\0" * give
            self.parts[0] = part[count:]
            if not self.parts[0]:
                self.parts.pop(0)
            return part[:count]
        return b""


def field_of(name: str, told: str) -> str:
    """A field of a form as it goes over the wire."""
    return f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{told}\r\n'
