"""A folder remembers what it was filled with."""

from __future__ import annotations

import pytest

from tests.load.made.folder import NOTE, OtherHouse, filled, refuse_other


def test_filled_once_and_taken_as_it_is(tmp_path):
    asked = {"scale": "tenth", "seed": 1, "begun": lambda: False}
    times = []
    took = filled(tmp_path, **asked, fill=lambda: times.append(1))
    assert took is not None
    assert filled(tmp_path, **asked, fill=lambda: times.append(1)) is None
    assert times == [1]


@pytest.mark.parametrize("other", [{"scale": "full", "seed": 1}, {"scale": "tenth", "seed": 2}])
def test_another_scale_or_seed_is_refused_in_words(tmp_path, other):
    filled(tmp_path, scale="tenth", seed=1, begun=lambda: False, fill=lambda: None)
    words = f"with --scale tenth --seed 1, .* --scale {other['scale']} --seed {other['seed']}"
    with pytest.raises(OtherHouse, match=words):
        refuse_other(tmp_path, **other)
    with pytest.raises(OtherHouse):
        filled(tmp_path, **other, begun=lambda: True, fill=lambda: None)


def test_half_a_house_is_refused(tmp_path):
    def broken():
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        filled(tmp_path, scale="tenth", seed=1, begun=lambda: False, fill=broken)
    assert not (tmp_path / NOTE).exists()
    with pytest.raises(OtherHouse, match="not filled to the end"):
        filled(tmp_path, scale="tenth", seed=1, begun=lambda: True, fill=lambda: None)
