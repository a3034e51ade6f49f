"""A spreadsheet of more than a thousand rows, sent by the page of its sheet, becomes a job."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from inventory.ground.jobs.running import run
from inventory.ground.models import Job
from inventory.models.supplier import Supplier

pytestmark = pytest.mark.django_db


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def send(client, rows, do="load", key="k1"):
    lines = ["code,name", *(f"S{n},Supplier {n}" for n in range(rows))]
    file = SimpleUploadedFile("spring.csv", "\n".join(lines).encode() + b"\n")
    return client.post("/sheets/suppliers/", {"file": file, "do": do, "idempotency_key": key})


def test_a_long_one_leads_to_the_page_of_its_job(buyer):
    answer = send(buyer, 1001)
    job = Job.objects.get()
    assert answer["Location"] == f"/jobs/{job.pk}/"
    assert not Supplier.objects.exists()
    assert "Load a spreadsheet: suppliers from spring.csv" in buyer.get(f"/jobs/{job.pk}/").text
    assert send(buyer, 1001)["Location"] == answer["Location"]
    run(job.pk)
    assert Supplier.objects.count() == 1001
    page = buyer.get(f"/jobs/{job.pk}/").text
    assert "1001 new, 0 changed, 0 as before" in page


def test_a_long_one_is_only_checked_if_asked(buyer):
    send(buyer, 1001, do="check")
    job = Job.objects.get()
    run(job.pk)
    assert not Supplier.objects.exists()
    assert "It would come to: suppliers: 1001 new" in buyer.get(f"/jobs/{job.pk}/").text


def test_a_short_one_is_loaded_at_once(buyer):
    assert send(buyer, 1000).status_code == 302
    assert Supplier.objects.count() == 1000
    assert not Job.objects.exists()
