"""The three questions over the API: the same answers, as fields."""

from __future__ import annotations

import pytest

from inventory.models.place import Site
from tests.factories.catalogue import SkuFactory
from tests.factories.stock import stock_in

pytestmark = pytest.mark.django_db
ANSWERS = "/api/v1/answers"


@pytest.fixture
def desk(api):
    return api("counter")


def test_which_tyre(desk, car, sku, set_on_shelf, approved):
    answer = desk.get(f"{ANSWERS}/which-tyre/", {"variant": "HAL-1600", "built": "1964-06"}).json()
    [part] = answer["parts"]
    [offer] = part["offers"]
    assert (part["built_from"], part["built_to"]) == ("1964-06-01", "1964-06-30")
    assert [one["code"] for one in offer["skus"]] == ["TB-CAIRN"]
    assert offer["verdict"]["outcome"] == "suits"
    assert offer["sets"]["sets"] == 1
    assert offer["sets"]["price"]["currency"] == "GBP"
    approval = [one for one in offer["verdict"]["findings"] if one["rule"] == "approval"]
    assert any("Bulletin 63/14" in one["source"] for one in approval)
    assert answer["dividing_days"] == []
    assert answer["cautions"]


def test_which_cars(desk, car, sku):
    answer = desk.get(f"{ANSWERS}/which-cars/", {"sku": "tb-cairn", "limit": "1"}).json()
    assert {one["axle"] for one in answer["fits"]} == {"front", "rear"}
    assert {one["variant"] for one in answer["fits"]} == {"HAL-1600"}
    assert answer["after"] is None


def test_have_you_got_it(desk, sku, set_on_shelf):
    answer = desk.get(f"{ANSWERS}/have-you-got-it/", {"q": "185 70 15", "wanted": "front"}).json()
    [row] = answer["results"]
    assert row["sets"]["sets"] == 2
    assert row["figures"][0]["to_sell"] == 5


def test_a_site_that_is_there_no_more_is_told_however_often_it_was_asked(desk, sku):
    site = stock_in(on_hand=2, sku=sku).place.site
    asked = {"q": "TB-CAIRN", "wanted": "front", "from_site": site.code}
    [row] = desk.get(f"{ANSWERS}/have-you-got-it/", asked).json()["results"]
    assert row["sets"]["sets"] == 1
    Site.objects.filter(pk=site.pk).update(code="RENAMED")
    answer = desk.get(f"{ANSWERS}/have-you-got-it/", asked)
    assert answer.status_code == 400
    assert "No site is called" in answer.json()["detail"]


def test_search(desk, car, sku):
    found = desk.get("/api/v1/search/", {"q": "hallmere saloon June 1964"}).json()
    assert (found["meaning"], found["variants"], found["built"]) == (
        "cars",
        ["HAL-1600"],
        "1964-06",
    )
    assert desk.get("/api/v1/search/", {"q": "560x15"}).json()["size"] == "5.60-15"


@pytest.mark.parametrize(
    ("path", "asked", "field"),
    [
        ("which-tyre", {"variant": "HAL-1600", "built": "soon"}, "built"),
        ("which-tyre", {"variant": "HAL-1600", "colour": "red"}, "colour"),
        ("which-tyre", {"variant": "HAL-1600", "tolerance": "52", "car_tolerance": "26"}, ""),
        ("which-cars", {"sku": "TB-CAIRN", "limit": "1000"}, "limit"),
        ("which-cars", {"sku": "TB-CAIRN", "after": "a\x07"}, "after"),
        ("have-you-got-it", {"q": "zzz"}, "q"),
        ("have-you-got-it", {"q": "31 June 1964 saloon"}, "q"),
    ],
)
def test_what_cannot_be_asked_is_a_problem_that_names_the_field(desk, car, sku, path, asked, field):
    answer = desk.get(f"{ANSWERS}/{path}/", asked)
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"
    assert field in str(answer.json())


def test_what_is_not_there(desk):
    assert desk.get(f"{ANSWERS}/which-tyre/", {"variant": "NO"}).status_code == 404
    assert desk.get(f"{ANSWERS}/which-cars/").status_code == 404
    tube = SkuFactory(tube_kind=True)
    assert desk.get(f"{ANSWERS}/which-cars/", {"sku": tube.code}).status_code == 404


@pytest.mark.parametrize(
    ("role", "status"),
    [("counter", 200), ("buyer", 200), ("owner", 200), ("warehouse", 403), (None, 401)],
)
def test_who_may_ask(api, car, role, status):
    answer = api(role).get(f"{ANSWERS}/which-tyre/", {"variant": "HAL-1600"})
    assert answer.status_code == status


def test_as_many_queries_for_many_answers_as_for_few(desk, car, sku, same_queries):
    def more():
        for _ in range(5):
            SkuFactory()

    ask = {"variant": "HAL-1600", "built": "1964"}
    assert same_queries(lambda: desk.get(f"{ANSWERS}/which-tyre/", ask), more) <= 20
