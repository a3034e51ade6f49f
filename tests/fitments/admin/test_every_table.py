"""Every table of cars and approvals in the back office: opens, is bounded, follows the roles."""

from __future__ import annotations

import pytest
from django.apps import apps

from tests.factories.approvals import ApprovalFactory, ApprovalVersionFactory, EvidenceFactory
from tests.fitments.admin.scenes import ROWS
from tests.support import admin_rules
from tests.support.backoffice import office, page_of, registered
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
TABLES = registered("fitments")
MOST_QUERIES = 8


def test_every_model_has_its_page():
    models = {model._meta.label_lower for model in apps.get_app_config("fitments").get_models()}
    assert set(TABLES) == models == set(ROWS)


@pytest.mark.parametrize("name", sorted(ROWS))
def test_it_is_a_table_like_every_other(name, no_side_list, subtests):
    assert admin_rules.is_a_table(TABLES[name], ROWS[name], subtests) <= MOST_QUERIES


@pytest.mark.parametrize(
    "name", ["fitments.approvalversion", "fitments.evidenceversion", "fitments.chassisrange"]
)
def test_what_is_only_looked_at(name, no_side_list):
    admin_rules.is_never_written(TABLES[name], ROWS[name])


def test_the_page_of_an_approval_asks_no_more_with_more_versions():
    from datetime import date

    from django.db.backends.postgresql.psycopg_any import DateRange

    client, approval = office("anybody"), ApprovalFactory(version__evidence=[EvidenceFactory()])
    few = queries_of(lambda: client.get(page_of(approval)))
    for year in (2001, 2003, 2005):
        days = DateRange(date(year, 1, 1), date(year, 6, 1))
        evidence = EvidenceFactory.create_batch(2)
        ApprovalVersionFactory(approval=approval, valid=days, evidence=evidence)
    assert queries_of(lambda: client.get(page_of(approval))) == few
