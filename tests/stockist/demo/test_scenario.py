"""The demo loaded through the importers: as many of each as are promised, all loaded as new."""

from __future__ import annotations

import pytest
from django.db.models import Count, Q, Sum

from fitments.models.approval import Approval
from fitments.models.car import CarMaker, Variant, VehicleLine
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.models.balance import Balance
from inventory.models.customer import CarWheel, Customer, CustomerKind
from inventory.models.lot import Lot
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.posting import LedgerLine
from inventory.models.sku import Gtin, Sku, SkuKind

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]


def test_every_row_of_every_sheet_is_new(shop, rows):
    assert {name: loaded.changed + loaded.same for name, loaded in shop.items()} == dict.fromkeys(
        shop, 0
    )
    assert {name: loaded.rows for name, loaded in shop.items()} == {
        name: len(rows(name)) for name in shop
    }


def test_cars():
    assert CarMaker.objects.count() == 8
    assert VehicleLine.objects.count() == 24
    assert Variant.objects.count() == 92
    assert Variant.objects.filter(competition=True).count() == 12
    assert not VehicleLine.objects.filter(variants=None).exists()
    years = Variant.objects.values_list("built_from__year", "built_to__year")
    assert min(first for first, _ in years if first) == 1912
    assert max(last for _, last in years if last) == 1990


def test_tyres():
    assert TyreMaker.objects.count() == 9
    assert Pattern.objects.count() == 32
    assert Sku.objects.tyres().count() == 311
    assert Sku.objects.filter(kind=SkuKind.TUBE).count() == 21
    assert not Pattern.objects.filter(skus=None).exists()


def test_approvals():
    assert Organiser.objects.count() == 3
    assert CompetitionClass.objects.count() == 12
    assert set(CompetitionClass.objects.values_list("season", flat=True)) == {2025, 2026}
    claims = Approval.objects.values("code").distinct()
    assert claims.filter(competition_class=None).count() >= 40
    assert claims.exclude(competition_class=None).count() >= 20


def test_places_of_two_sites_and_a_van():
    assert {site.code: site.kind for site in Site.objects.all()} == {
        "FEN": "fixed",
        "STA": "fixed",
        "VAN": "mobile",
    }
    assert Place.objects.count() == 126
    assert set(Place.objects.values_list("kind", flat=True)) == set(PlaceKind.values)
    walked = Place.objects.values("site").annotate(
        ways=Count("walk", distinct=True), all=Count("pk")
    )
    assert all(site["ways"] == site["all"] for site in walked)


def test_lots_and_what_the_ledger_says_of_them(rows):
    quantities = [int(row["quantity"]) for row in rows("opening-stock")]

    assert Lot.objects.count() == len(quantities) == 852
    assert Balance.objects.aggregate(all=Sum("on_hand"))["all"] == sum(quantities)
    assert LedgerLine.objects.aggregate(all=Sum("on_hand_change"))["all"] == sum(quantities)
    assert Balance.objects.filter(on_hand=0).count() == 0


def test_no_place_is_fuller_than_it_has_room_for():
    full = Place.objects.annotate(held=Sum("balances__on_hand")).exclude(room=None)

    assert [place.code for place in full if (place.held or 0) > place.room] == []


def test_customers_of_every_kind_and_their_cars():
    kinds = Customer.objects.values_list("kind", flat=True)
    assert set(kinds) == set(CustomerKind.values)
    on_cars = CarWheel.objects.filter(tyre__isnull=False)
    assert on_cars.filter(date_code="1423").count() == 2
    assert on_cars.filter(date_code="").exists()


def test_article_numbers_shared_doubled_and_missing():
    assert Gtin.objects.annotate(of=Count("skus")).filter(of=2).count() == 1
    assert Sku.objects.annotate(of=Count("gtins")).filter(of=2).count() == 1
    assert Sku.objects.filter(gtins=None, kind=SkuKind.TYRE).count() == 8
    told = Sku.objects.tyres().filter(Q(type_approvals=None))
    assert 50 < told.count() < Sku.objects.tyres().count() / 2
