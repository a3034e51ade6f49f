"""No test starts a background process by chance: it would work on the developer's own database."""

from __future__ import annotations

import pytest

from inventory.ground.jobs import wake


class Child:
    """Instead of a child process: one that has ended already."""

    def poll(self) -> int:
        return 0


@pytest.fixture(autouse=True)
def children(monkeypatch):
    """The child processes that would have been started."""
    started: list[Child] = []

    def start() -> Child:
        started.append(Child())
        return started[-1]

    monkeypatch.setattr(wake, "_child", start)
    monkeypatch.setattr(wake, "_children", [])
    return started
