"""What holds for every size, every text and every way of typing."""

from __future__ import annotations

import json
import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inventory.markings import Size, UnreadableMarking, read_size, search_keys, size_key
from inventory.markings.size.reading import FAMILIES, readings_of
from inventory.markings.size.text import plain

metric_widths = st.sampled_from([125, 135, 145, 155, 165, 175, 185, 195, 205, 225])
profiles = st.sampled_from([50, 55, 60, 65, 70, 75, 80, 82])
inch_widths = st.integers(45, 90).map(lambda tenths: f"{tenths / 10:.2f}")
rims = st.integers(10, 20)
tails = st.sampled_from(["", " 4PR", " 89V", " 86S TT", " XL", " C 102/100 R", " (91W)", " TL"])


def sizes(pattern: str, *parts: st.SearchStrategy) -> st.SearchStrategy[str]:
    return st.tuples(*parts, tails).map(lambda v: pattern.format(*v[:-1]) + v[-1])


designations = st.one_of(
    sizes("{}/{} R {}", metric_widths, profiles, rims),
    sizes("{}/{} {}R {}", metric_widths, profiles, st.sampled_from("SHVZ"), rims),
    sizes("{}/{} B {}", metric_widths, profiles, rims),
    sizes("{} R {}", metric_widths, rims),
    sizes("{} {}R {}", metric_widths, st.sampled_from("SHV"), rims),
    sizes("{}-{}", metric_widths, rims),
    sizes("{}/{}-{}", metric_widths, profiles, rims),
    sizes("{} R {}", metric_widths, st.sampled_from([400, 380, 355, 330])),
    sizes("{}/{} R {}", metric_widths, profiles, st.sampled_from([315, 340, 365, 390, 415])),
    sizes("{}-{}", inch_widths, rims),
    sizes("{} {} {}", inch_widths, st.sampled_from("LMSHV"), rims),
    sizes("{} R {}", inch_widths, rims),
    sizes(
        "{}{}{}-{}",
        st.sampled_from("ABCDEFGHJL"),
        st.sampled_from(["", "R"]),
        st.sampled_from([60, 70, 78]),
        st.integers(13, 15),
    ),
    sizes("{}x{}.50 R {}", st.integers(28, 35), st.integers(8, 12), st.integers(14, 17)),
    sizes("{}/{}-{}", st.integers(16, 32), st.integers(52, 65), st.integers(13, 15)),
    sizes("{}/{}-{}", st.integers(180, 320), st.integers(530, 650), st.integers(13, 15)),
    sizes("{}.0/{}.5-{}", st.integers(7, 14), st.integers(20, 26), st.integers(13, 15)),
    st.tuples(st.integers(65, 95), st.integers(70, 135)).map(lambda v: f"{v[0] * 10}x{v[1]}"),
)
scraps = st.sampled_from(
    [*"0123456789", *"RBDHSVLMCTPX", *" /-.,()½×", "185", "70", "15", "5.60", "4PR", "89V", "R "]
)


def read_or_refuse(text: str) -> Size | UnreadableMarking:
    try:
        return read_size(text)
    except UnreadableMarking as refused:
        return refused


@given(designations)
def test_the_canonical_form_reads_as_the_same_size(text):
    size = read_size(text)
    again = read_size(size.canonical)
    assert again == size
    assert again.as_dict() == size.as_dict()


@given(designations)
def test_a_designation_has_one_reading_or_is_open_by_nature(text):
    size = read_size(text)
    assert len(readings_of(plain(text).text)) == 1
    assert bool(size.candidates) == (size.family == "metric dash" and size.construction is None)


@given(designations, st.randoms(use_true_random=False))
def test_case_spaces_dashes_and_points_do_not_matter(text, random):
    typed = text.replace("-", random.choice("-–—−‑")).replace("x", random.choice("xX×"))
    typed = typed.replace(" ", random.choice([" ", "  ", "\u00a0"]))
    typed = typed.replace(".", random.choice(".,"))
    typed = random.choice([typed.lower(), typed.upper(), f"  {typed} \n"])
    assert read_size(typed).as_dict() == read_size(text).as_dict()


@given(designations)
def test_full_width_letters_and_figures_are_the_same(text):
    wide = "".join(chr(ord(c) + 0xFEE0) if "!" <= c <= "~" else c for c in text)
    assert read_size(wide) == read_size(text)


@given(designations)
def test_keys_are_stable_and_hold_the_main_one(text):
    size = read_size(text)
    assert size_key(size) in search_keys(size)
    assert search_keys(read_size(size.canonical)) == search_keys(size)


@given(st.one_of(st.text(max_size=200), st.lists(scraps, max_size=12).map("".join)))
@example("185/70 R 15\ud800")
@example("1/2")
@example("½")
@example("()")
@example("30x½")
def test_any_text_reads_or_is_refused_and_nothing_else(text):
    got = read_or_refuse(text)
    if isinstance(got, UnreadableMarking):
        assert 0 <= got.position <= len(text)
        assert got.expected
        assert str(got)
        assert got.near is None or read_size(got.near).canonical == got.near
    else:
        assert read_size(got.canonical).as_dict() == got.as_dict()
        assert got.rim_in or got.rim_mm


@given(designations, st.integers(0, 30), st.sampled_from("OIlSB8/-. R5"))
def test_one_slip_reads_or_is_refused_with_a_place_in_the_text(text, place, slip):
    place = min(place, len(text))
    typed = text[:place] + slip + text[place + 1 :]
    got = read_or_refuse(typed)
    if isinstance(got, UnreadableMarking):
        assert got.text == typed
        assert 0 <= got.position <= len(typed)
    else:
        assert read_size(got.canonical).as_dict() == got.as_dict()


@pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)
def test_every_family_reports_how_far_a_text_got(family):
    for count, piece in enumerate(family.grammar.pieces):
        assert piece.expected, count
    reached = family.grammar.reach("?")
    assert (reached.position, reached.extent) == (0, 0)


def test_ten_thousand_different_sizes_take_little_time():
    texts = [
        pattern.format(w, r)
        for pattern in ("{}/70 R {} 89V", "{} HR {}", "{}-{} 4PR", "{}/65 VR {} XL")
        for w in range(125, 246, 5)
        for r in range(10, 21)
    ]
    texts += [f"{w / 100:.2f}-{r}" for w in range(400, 1100) for r in range(10, 21)]
    texts += [f"{s}/{o}-13" for s in range(180, 320) for o in range(530, 540)]
    began = time.process_time()  # of this process: whatever else the machine does
    read = [read_size(text) for text in texts]
    taken = time.process_time() - began  # about 0.3 s on an idle machine
    began = time.process_time()
    for text in texts:  # what this machine needs, at this time, for a small known task
        json.loads(json.dumps(list(text)))
    assert taken < 20 * (time.process_time() - began)
    assert len({size.canonical for size in read}) == len(texts) >= 10_000
