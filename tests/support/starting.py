"""What a run costs before its first test, and with every process that a test starts."""

from __future__ import annotations

import gc
import os

import pytest

# Tests start dozens of processes, and each would compile the whole shop anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """What is collected stays to the end: garbage is not looked for in it, then or later."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()
