"""Examples that hypothesis draws: the same in each run, so that what has passed passes again.

`--hypothesis-profile others` draws others each time; EXAMPLES_TIMES=20 draws twenty times as many
where the number is set with `times`.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("the same", derandomize=True)
settings.register_profile("others", derandomize=False)
settings.load_profile("the same")


def times(examples: int) -> int:
    """So many examples, or so many times more as was asked for."""
    return examples * int(os.environ.get("EXAMPLES_TIMES", "1"))
