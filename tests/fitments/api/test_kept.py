"""What was known of classes and marks, over the API: every version, and that of a day."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from fitments.models.mark import IssuerMark
from tests.factories.approvals import CompetitionClassFactory, IssuerMarkFactory
from tests.factories.cars import VariantFactory
from tests.support.calling import every_row, read

pytestmark = pytest.mark.django_db


def test_the_versions_of_a_class_with_its_cars(api):
    car, owner = VariantFactory(), api("owner")
    ran = CompetitionClassFactory(variants=[car], age_limit_months=60)
    CompetitionClassFactory()
    ran.variants.clear()
    rows = every_row(owner, "class-versions/", competition_class=ran.pk)
    assert [row["admitted"] for row in rows] == [[], [car.pk], []]
    assert [row["known_to"] is None for row in rows] == [True, False, False]
    assert {(row["code"], row["age_limit_months"]) for row in rows} == {(ran.code, 60)}


def test_as_known_on_a_day(api):
    mark, owner = IssuerMarkFactory(mixing="same"), api("owner")
    IssuerMark.objects.filter(pk=mark.pk).update(mixing="free", why="bulletin")
    today = timezone.localdate()
    (now,) = read(owner, "mark-versions/", known_on=today.isoformat())["results"]
    assert (now["mixing"], now["why"], now["mark"]) == ("free", "bulletin", "HLM")
    # Known since January, as the factory has it; the change is of today.
    before = (today - timedelta(days=1)).isoformat()
    (then,) = read(owner, "mark-versions/", known_on=before, issuer_mark=mark.pk)["results"]
    assert then["mixing"] == "same"
    assert read(owner, "mark-versions/", known_on="2020-01-01")["results"] == []
