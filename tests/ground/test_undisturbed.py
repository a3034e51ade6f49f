"""Nobody looks for garbage within a long answer, and everybody may again after it."""

from __future__ import annotations

import gc

import pytest

from inventory.ground import undisturbed as module
from inventory.ground.undisturbed import Undisturbed


@pytest.fixture(autouse=True)
def _as_before():
    was = gc.isenabled()
    gc.enable()
    yield
    (gc.enable if was else gc.disable)()


def test_within_an_answer_nobody_looks():
    undisturbed = Undisturbed()
    with undisturbed():
        assert not gc.isenabled()
        with undisturbed():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_after_an_answer_that_fails_too():
    undisturbed = Undisturbed()
    with pytest.raises(ValueError, match="no"), undisturbed():
        raise ValueError("no")
    assert gc.isenabled()


def test_where_it_was_off_it_stays_off():
    gc.disable()
    with Undisturbed()():
        pass
    assert not gc.isenabled()


def test_where_answers_never_cease_it_is_looked_for_all_the_same(monkeypatch):
    looked = []
    monkeypatch.setattr(module.gc, "collect", lambda: looked.append(1))
    undisturbed = Undisturbed()
    with undisturbed():
        for _ in range(2 * module.AFTER + 1):
            with undisturbed():
                pass
        assert not gc.isenabled()
    assert looked == [1, 1]
    assert gc.isenabled()


def test_as_a_decorator():
    undisturbed = Undisturbed()

    @undisturbed()
    def answer() -> bool:
        return gc.isenabled()

    assert (answer(), answer(), gc.isenabled()) == (False, False, True)
