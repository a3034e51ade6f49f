"""Only the owner checks and withdraws: every way in, by page, API, back office and sheet."""

from __future__ import annotations

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence
from stockist.roles import ROLES
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.ground.sheet_files import csv_file
from tests.inventory.pages.test_sheets import send, text_of
from tests.support.backoffice import list_of, office
from tests.support.calling import write

pytestmark = pytest.mark.django_db
LETTER = ("code", "kind", "reference", "issued by", "checked on", "checked by")


@pytest.fixture
def approval():
    return ApprovalFactory(code="HLM-2-F")


@pytest.fixture
def letter():
    return EvidenceFactory(code="EV-1")


def check_on_the_page(role, signed_in, api, approval, letter):
    told = {"idempotency_key": "k", "seen": letter.versions.get().pk}
    return signed_in(role).post(f"/approvals/evidence/{letter.pk}/check/", told)


def check_over_the_api(role, signed_in, api, approval, letter):
    return write(api(role), "post", f"evidence/{letter.pk}/check/")


def check_in_the_back_office(role, signed_in, api, approval, letter):
    chosen = {"action": "looked_at", "_selected_action": [letter.pk]}
    return office(role).post(list_of(Evidence), chosen)


def check_by_the_sheet(role, signed_in, api, approval, letter):
    """Of a document that is there, or of one that comes with the sheet: the same to the owner."""
    client = signed_in(role)
    row = (letter.code, "Letter", letter.reference, letter.issuer, "2026-01-09", role)
    new = ("EV-2", "Letter", "R", "I", "2026-01-09", role)
    return send(client, csv_file(LETTER, row, new), "/sheets/evidence/", name="e.csv")


CHECKS = [
    check_on_the_page,
    check_over_the_api,
    check_in_the_back_office,
    check_by_the_sheet,
]


def withdraw_on_the_page(role, signed_in, api, approval, letter):
    told = {"idempotency_key": "k", "why": "their letter"}
    return signed_in(role).post(f"/approvals/{approval.pk}/withdraw/", told)


def withdraw_over_the_api(role, signed_in, api, approval, letter):
    return write(api(role), "post", f"approvals/{approval.pk}/withdraw/", {"why": "their letter"})


def withdraw_by_a_correction(role, signed_in, api, approval, letter):
    version = approval.versions.get().pk
    told = {"idempotency_key": "k", "why": "their letter", "withdrawn_on": "2026-02-01"}
    return signed_in(role).post(f"/approvals/{approval.pk}/correct/{version}/", told)


def withdraw_by_a_correction_over_the_api(role, signed_in, api, approval, letter):
    told = {"version": approval.versions.get().pk, "withdrawn_on": "2026-02-01", "why": "letter"}
    return write(api(role), "post", f"approvals/{approval.pk}/correct/", told)


def withdraw_by_the_sheet(role, signed_in, api, approval, letter):
    head = (
        *("code", "car maker", "model range", "axle", "size", "mark", "mark issue"),
        *("valid from", "withdrawn on"),
    )
    row = (
        *(approval.code, approval.car_maker.code, approval.vehicle_line.code, "front"),
        *("185/70 R 15", "HLM", "2", "2019-05-02", "2026-02-01"),
    )
    return send(signed_in(role), csv_file(head, row), "/sheets/approvals/", name="a.csv")


WITHDRAWALS = [
    withdraw_on_the_page,
    withdraw_over_the_api,
    withdraw_by_a_correction,
    withdraw_by_a_correction_over_the_api,
    withdraw_by_the_sheet,
]


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("way", CHECKS, ids=lambda way: way.__name__)
def test_who_checks(way, role, signed_in, api, approval, letter):
    answer = way(role, signed_in, api, approval, letter)
    checked = Evidence.objects.filter(checked_at__isnull=False)
    if role == "owner":
        assert answer.status_code in (200, 302), text_of(answer)
        assert checked.filter(code="EV-1", checked_by__username="owner").exists()
    else:
        # The back office runs no action that a role may not, and shows its list again.
        assert answer.status_code in ((200, 302, 403) if "office" in way.__name__ else (403,))
        assert not checked.exists()


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("way", WITHDRAWALS, ids=lambda way: way.__name__)
def test_who_withdraws(way, role, signed_in, api, approval, letter):
    answer = way(role, signed_in, api, approval, letter)
    withdrawn = ApprovalVersion.objects.filter(known__upper_inf=True, withdrawn_on__isnull=False)
    if role == "owner":
        assert answer.status_code in (200, 302), answer.content
        assert withdrawn.get().approval == approval
    else:
        assert answer.status_code == 403
        assert not withdrawn.exists()


def test_there_is_no_way_in_the_back_office_to_withdraw(approval):
    """Not even for the owner: what is said of an approval is shown there and nothing else."""
    client = office("owner")
    version = approval.versions.get()
    for row in (approval, version):
        address = f"{list_of(type(row))}{row.pk}/change/"
        assert "_save" not in client.get(address).content.decode()
        assert client.post(address, {"withdrawn_on": "2026-02-01"}).status_code == 403
    assert ApprovalVersion.objects.count() == Approval.objects.count() == 1
