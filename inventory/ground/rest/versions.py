"""Which version of a row somebody looked at: the ETag of an answer, the If-Match of a change."""

from __future__ import annotations

import re

from rest_framework.request import Request

from inventory.ground.refusal import Refusal

HEADER = "If-Match"
ANY = "*"
_TAG = re.compile(r'"([0-9]{1,18})"', re.ASCII)


class NoVersion(Refusal):
    """A change came without saying which version it is a change of."""

    status = 428
    sentence = (
        "Say which version you looked at, so that nobody else's change is lost: send the header "
        f'{HEADER} with the ETag of the answer you read, such as "41", or * to change whatever '
        "is there."
    )


class UnreadableVersion(Refusal):
    """The version named cannot be one."""

    status = 400
    sentence = f'{HEADER} holds the ETag of an answer with its quotation marks, such as "41", or *.'


def tag(version: int | None) -> dict[str, str]:
    """The header that names a version; none where the row keeps no history."""
    return {} if version is None else {"ETag": f'"{version}"'}


def seen(request: Request) -> int | None:
    """The version that a request changes; None for any. Raises NoVersion, UnreadableVersion."""
    said = request.headers.get(HEADER, "").strip()
    if not said:
        raise NoVersion
    if said == ANY:
        return None
    found = _TAG.fullmatch(said)
    if not found:
        raise UnreadableVersion
    return int(found[1])
