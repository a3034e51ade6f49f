"""Drawings of the trade: to scale, in words too, and empty where there is nothing to draw."""

from __future__ import annotations

from datetime import date

import pytest
from django.template.loader import render_to_string

from stockist.drawings.outlines import GAP, WIDTH, outlines
from stockist.drawings.ruler import MARGIN, MOST_HIGH, Dated, ruler
from stockist.drawings.ruler import WIDTH as RULER_WIDTH
from stockist.drawings.sidewall import sidewall

TODAY = date(2026, 11, 25)
HAD = ("5.60-15", 650.0, 145.0, 381.0)
OFFERED = ("165 R 15", 646.0, 167.0, 381.0)


def test_no_ruler_without_a_dated_tyre():
    assert ruler([], TODAY) is None
    assert render_to_string("stockist/drawings/ruler.html", {"ruler": None}).strip() == ""


def test_a_ruler_has_a_block_for_each_tyre_and_fills_the_chosen_ones():
    drawn = ruler([Dated(date(2025, 3, 2), 4, 2), Dated(date(2026, 6, 7), 1)], TODAY)
    assert [mark.filled for mark in drawn.marks] == [True, True, False, False, False]
    assert [tick.year for tick in drawn.ticks] == [2025, 2026, 2027]


def test_days_lie_on_the_ruler_in_proportion():
    drawn = ruler([Dated(date(2025, 1, 1), 1), Dated(date(2026, 1, 1), 1)], TODAY)
    first, last = (tick.x for tick in drawn.ticks[:: len(drawn.ticks) - 1])
    assert (first, last) == (MARGIN, RULER_WIDTH - MARGIN)
    middle = drawn.ticks[1].x
    assert abs((middle - first) - (last - middle)) < 1


def test_a_high_pile_is_cut_and_its_number_said():
    drawn = ruler([Dated(date(2026, 1, 4), 40, 40)], TODAY)
    assert len(drawn.marks) == MOST_HIGH
    assert [count for _, count in drawn.more] == [40 - MOST_HIGH]


def test_a_century_of_tyres_keeps_its_years_readable():
    drawn = ruler([Dated(date(1931, 5, 3), 1), Dated(date(2026, 5, 3), 1)], TODAY)
    assert 4 <= len(drawn.ticks) <= 9


def test_the_ruler_is_told_in_words():
    drawn = ruler([Dated(date(2025, 3, 2), 4, 2), Dated(date(2026, 6, 7), 1)], TODAY)
    assert drawn.words == "5 dated tyres from March 2025 to June 2026; 2 in this set"
    page = render_to_string("stockist/drawings/ruler.html", {"ruler": drawn})
    assert f'aria-label="{drawn.words}"' in page
    assert page.count("<rect") == 5
    assert page.count('fill="none"') == 4  # the line, and three tyres that are not chosen


def test_two_tyres_stand_on_one_ground_to_one_scale():
    drawn = outlines(HAD, OFFERED)
    had, offered = drawn.tyres
    assert had.y + had.radius == pytest.approx(drawn.ground, abs=0.11)
    assert offered.y + offered.radius == pytest.approx(drawn.ground, abs=0.11)
    assert offered.radius / had.radius == pytest.approx(646 / 650, abs=0.01)
    assert had.rim / had.radius == pytest.approx(381 / 650, abs=0.01)
    assert offered.section_width / had.section_width == pytest.approx(167 / 145, abs=0.02)


@pytest.mark.parametrize("other", [OFFERED, ("33x5", 838.0, 127.0, 584.0), HAD])
def test_outlines_stay_inside_the_sheet(other):
    last = outlines(HAD, other).tyres[-1]
    assert last.section_x + last.section_width <= WIDTH - GAP / 2


def test_outlines_say_the_difference():
    assert outlines(HAD, OFFERED).words == "165 R 15 beside 5.60-15, to scale: 4 mm smaller overall"
    assert outlines(OFFERED, HAD).words.endswith("4 mm larger overall")
    assert outlines(HAD, HAD).words.endswith("the same overall diameter")


def told(**more):
    plain = {
        "size": "165 R 15",
        "service": "86S",
        "maker": "Okeford",
        "pattern": "Causeway",
        "mark": "",
        "mark_issue": "",
        "tube": "",
        "type_approvals": (),
        "sidewall_style": "black",
    }
    return sidewall(**{**plain, **more})


def test_a_sidewall_tells_what_to_read_and_where():
    picture = told(mark="MBY", mark_issue="2", type_approvals=("UN R30 E4 0212345",))
    says = {one.name: one.says for one in picture.to_read}
    assert says["Size"] == "165 R 15 86S"
    assert says["Approval mark"] == "MBY, mark issue 2"
    assert says["Type approval"] == "UN R30 E4 0212345"
    assert [one.number for one in picture.to_read] == [1, 2, 3, 4, 5]


def test_what_a_tyre_need_not_carry_is_not_asked_for():
    names = [one.name for one in told(dated=False).to_read]
    assert names == ["Size", "Maker and pattern"]


def test_every_number_of_a_full_sidewall_has_a_spot_of_its_own():
    picture = told(mark="MBY", tube="tubeless", type_approvals=("UN R30 E4 1",))
    assert len({(one.x, one.y) for one in picture.to_read}) == len(picture.to_read) == 6


def test_names_with_markup_in_them_do_no_harm():
    picture = told(pattern="<script>x</script>")
    page = render_to_string("stockist/drawings/sidewall.html", {"picture": picture})
    assert "<script" not in page.lower()
