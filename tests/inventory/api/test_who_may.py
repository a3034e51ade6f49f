"""Every resource of stock x role x method: the role's permissions decide, and nothing else."""

from __future__ import annotations

import pytest

from inventory.api.urls import RESOURCES
from stockist.roles import ROLES
from tests.inventory.api.scenes import ROWS
from tests.support.calling import ROOT, refused, write
from tests.support.rights import nobody_is_answered, paths, the_role_decides

pytestmark = pytest.mark.django_db
# What a person of the role may do; written out by hand, so that a slip in roles.py is seen here.
READERS = {
    "customers": {"counter", "buyer", "owner"},
    "customer-cars": {"counter", "buyer", "owner"},
    "holds": {"counter", "warehouse", "buyer", "owner"},
    "quotes": {"counter", "buyer", "owner"},
    "orders": {"counter", "warehouse", "buyer", "owner"},
    "pre-orders": {"counter", "buyer", "owner"},
    "despatches": {"counter", "warehouse", "buyer", "owner"},
    "price-classes": {"counter", "buyer", "owner"},
    "age-steps": {"counter", "buyer", "owner"},
    "suppliers": {"warehouse", "buyer", "owner"},
    "enquiries": {"counter", "buyer", "owner"},
    "supplier-terms": {"buyer", "owner"},
    "production-batches": {"buyer", "owner"},
    "purchase-orders": {"warehouse", "buyer", "owner"},
    "deliveries": {"warehouse", "buyer", "owner"},
    "supplier-complaints": {"warehouse", "buyer", "owner"},
    "transfers": {"counter", "warehouse", "buyer", "owner"},
    "outings": {"counter", "warehouse", "buyer", "owner"},
    "storages": {"counter", "warehouse", "buyer", "owner"},
    "consignments": {"warehouse", "buyer", "owner"},
    "consignment-steps": {"warehouse", "buyer", "owner"},
    "seasons": {"buyer", "owner"},
    "lessons": {"buyer", "owner"},
    "events": {"buyer", "owner"},
    "season-changes": {"buyer", "owner"},
    "earlier-sales": {"buyer", "owner"},
    "alerts": {"buyer", "owner"},
    "alert-overrides": {"buyer", "owner"},
    "ageing-alerts": {"warehouse", "buyer", "owner"},
}
WRITERS = {
    "tyre-makers": {"buyer", "owner"},
    "skus": {"buyer", "owner"},
    "suppliers": {"buyer", "owner"},
    "sites": {"owner"},
    "places": {"warehouse", "owner"},
    "customers": {"counter", "owner"},
    "holds": {"counter", "owner"},
    "quotes": {"counter", "owner"},
    "orders": {"counter", "owner"},
    "pre-orders": {"counter", "buyer", "owner"},
    "pick-lists": {"warehouse", "owner"},
    "returns": {"warehouse", "owner"},
    "complaints": {"counter", "warehouse", "owner"},
    "price-classes": {"owner"},
    "age-steps": {"owner"},
    "blocks": {"warehouse", "owner"},
    "enquiries": {"counter"},
    "moves": {"warehouse", "owner"},
    "supplier-terms": {"buyer", "owner"},
    "purchase-orders": {"buyer", "owner"},
    "deliveries": {"warehouse", "owner"},
    "supplier-complaints": {"warehouse", "owner"},
    "production-batches": {"buyer", "owner"},
    "put-away": {"warehouse", "owner"},
    "seasons": {"buyer", "owner"},
    "season-changes": {"buyer", "owner"},
    "sku-pairs": {"buyer", "owner"},
    "transfers": {"warehouse", "owner"},
    "outings": {"warehouse", "owner"},
    "counts": {"warehouse", "owner"},
    "storages": {"counter", "warehouse", "owner"},
    "consignments": {"warehouse", "buyer", "owner"},
    "work": {"warehouse", "owner"},
    "write-offs": {"warehouse", "owner"},
    "corrections/taken-back": {"warehouse", "owner"},
    "corrections/recounts": {"warehouse", "owner"},
    "corrections/misreadings": {"warehouse", "owner"},
}


def asked(name: str) -> list[tuple[str, str]]:
    """What can only be booked has no address for one."""
    return [(m, path) for m, path in paths(name) if name in ROWS or not path.endswith("1/")]


@pytest.mark.parametrize("role", ROLES)
def test_the_role_decides(role, api, subtests):
    the_role_decides(api(role), role, RESOURCES, subtests, asked)


def test_nobody_is_answered_who_is_not_signed_in(api, subtests):
    nobody_is_answered(api(), RESOURCES, subtests, asked)


@pytest.mark.parametrize("role", ROLES)
def test_who_may_read(role, api):
    client = api(role)
    found = {name: client.get(f"{ROOT}{name}/").status_code for name in READERS}
    assert found == {name: 200 if role in roles else 403 for name, roles in READERS.items()}


@pytest.mark.parametrize("role", ROLES)
def test_who_may_write(role, api):
    client, useless = api(role), {"nothing": "of use"}
    found = {name: write(client, "post", f"{name}/", useless).status_code for name in WRITERS}
    assert found == {name: 400 if role in roles else 403 for name, roles in WRITERS.items()}


@pytest.mark.parametrize("name", ["lots", "stock", "postings", "ledger-lines", "gtins"])
def test_what_is_only_read_is_never_written(name, api):
    ROWS[name](1)
    owner = api("owner")
    for method in ("post", "put", "patch", "delete"):
        answer = write(owner, method, f"{name}/")
        assert answer.status_code in {403, 405}


def test_a_role_that_may_not_is_told_so_in_words(api):
    refused(api("warehouse").get(f"{ROOT}customers/"), 403, "permission")


def test_somebody_without_a_role_may_nothing(api, django_user_model):
    nobody = api(django_user_model.objects.create_user("visitor"))
    for name in sorted(RESOURCES):
        refused(nobody.get(f"{ROOT}{name}/"), 403)


@pytest.mark.parametrize("path", ["sizes/read/", "sizes/compare/", "date-codes/read/"])
@pytest.mark.parametrize("role", ROLES)
def test_everybody_of_the_house_may_have_a_sidewall_read(path, role, api):
    refused(api(role).get(ROOT + path), 400)
    refused(api().get(ROOT + path), 401)
