"""Entering and changing cars and approvals in the back office goes through the activities."""

from __future__ import annotations

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, IdentifiedCar, Pressure, Variant, VehicleLine, WheelOption
from fitments.models.evidence import Evidence
from fitments.models.fitment import Fitment
from fitments.models.organiser import CompetitionClass, Organiser
from tests.factories.approvals import ApprovalFactory, EvidenceFactory, OrganiserFactory
from tests.factories.cars import (
    ChassisRangeFactory,
    IdentifiedCarFactory,
    VariantFactory,
    VehicleLineFactory,
)
from tests.factories.people import CustomerCarFactory
from tests.support.backoffice import add_to, filled, list_of, office, page_of, told

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("no_side_list")]


def entered(client, model, **values):
    """The row that comes of a form for a new one."""
    answer = client.post(add_to(model), filled(client, add_to(model), **values))
    assert answer.status_code == 302, told(answer)
    return model.objects.order_by("-pk").first()


@pytest.fixture
def buyer():
    return office("buyer")


class TestCars:
    """From the maker to what stands on an axle."""

    def test_a_variant_with_its_chassis_numbers_is_searched_at_once(self, buyer):
        maker = entered(buyer, CarMaker, code="HAL", name="Hallmere")
        line = entered(buyer, VehicleLine, maker=maker.pk, code="SPR", name="Sprint")
        variant = entered(
            buyer, Variant, vehicle_line=line.pk, code="S1", name="1.6",
            chassis="HS 100-250; HSA 1-90",
        )  # fmt: skip
        assert variant.search == "hallmere sprint 1.6"
        assert [str(one) for one in variant.chassis_ranges.all()] == ["HS100-HS250", "HSA1-HSA90"]

    def test_chassis_numbers_that_are_none(self, buyer):
        sent = filled(buyer, add_to(Variant), vehicle_line=VehicleLineFactory().pk, code="S")
        answer = buyer.post(add_to(Variant), sent | {"name": "1.6", "chassis": "HS 250-100"})
        assert "comes before the last" in told(answer)
        assert Variant.objects.count() == 0

    def test_chassis_numbers_are_shown_to_be_changed_and_to_be_seen(self, buyer):
        variant = VariantFactory()
        ChassisRangeFactory(variant=variant, prefix="HS", number_from=100, number_to=250)
        assert filled(buyer, page_of(variant))["chassis"] == "HS 100-250"
        assert "HS 100-250" in office("counter").get(page_of(variant)).content.decode()
        buyer.post(page_of(variant), filled(buyer, page_of(variant), body="estate"))
        variant.refresh_from_db()
        assert (variant.body, variant.chassis_ranges.count()) == ("estate", 1)

    def test_wheels_pressures_and_fitments(self, buyer):
        variant = VariantFactory()
        of = {"variant": variant.pk, "axle": "front"}
        wheel = entered(buyer, WheelOption, **of, name="wire", rim_text="380")
        assert (wheel.rim_mm, wheel.bead) == (381, "5-degree")
        pressure = entered(buyer, Pressure, **of, kpa=180, source="p. 40", size="185/70r15")
        assert pressure.size == "185/70 R 15"
        fitment = entered(
            buyer, Fitment, **of, size_text="185/70hr15", standing="fitted_new", source="p. 38"
        )
        assert (fitment.size, fitment.rim_mm) == ("185/70 HR 15", 381)
        assert fitment.size_keys

    def test_a_size_that_cannot_be_read_is_told_on_the_form(self, buyer):
        sent = filled(
            buyer, add_to(Fitment), variant=VariantFactory().pk, axle="front", size_text="round",
            standing="fitted_new", source="p. 38",
        )  # fmt: skip
        form = buyer.post(add_to(Fitment), sent).context["adminform"].form
        assert "cannot be read" in str(form.errors["size_text"])

    def test_which_variant_a_car_is(self):
        counter, car = office("counter"), CustomerCarFactory()
        first, second = VariantFactory.create_batch(2)
        entered(counter, IdentifiedCar, customer_car=car.pk, variant=first.pk)
        row = IdentifiedCar.objects.get()
        counter.post(page_of(row), {"variant": second.pk})
        assert IdentifiedCar.objects.get().variant == second

    def test_the_car_itself_is_not_exchanged(self):
        counter, row = office("counter"), IdentifiedCarFactory()
        other = CustomerCarFactory()
        counter.post(page_of(row), {"customer_car": other.pk, "variant": row.variant_id})
        assert IdentifiedCar.objects.get().customer_car_id == row.customer_car_id


class TestOrganisers:
    """Who runs races."""

    def test_a_class_with_its_cars(self):
        owner, cars = office("owner"), VariantFactory.create_batch(2)
        organiser = entered(owner, Organiser, code="FHR", name="Fellside Historic Racing")
        row = entered(
            owner, CompetitionClass, organiser=organiser.pk, code="A", season=2026, name="saloons",
            variants=[car.pk for car in cars],
        )  # fmt: skip
        assert row.variants.count() == 2
        owner.post(page_of(row), filled(owner, page_of(row), variants=[cars[0].pk]))
        assert list(row.variants.all()) == [cars[0]]

    def test_a_season_is_a_year(self):
        owner = office("owner")
        sent = {"organiser": OrganiserFactory().pk, "code": "A", "season": 26, "name": "saloons"}
        answer = owner.post(
            add_to(CompetitionClass), filled(owner, add_to(CompetitionClass), **sent)
        )
        assert "four figures" in told(answer)


class TestApprovals:
    """Entered once; what is said of one is shown and never edited."""

    @pytest.fixture
    def claim(self) -> dict:
        line = VehicleLineFactory()
        return {
            "code": "HLM-2-F", "car_maker": line.maker_id, "vehicle_line": line.pk,
            "axle": "front", "size_text": "185/70 R 15", "mark": "HLM", "mark_issue": "2",
            "valid_from": "1963-05-02", "valid_to": "1969-12-31",
        }  # fmt: skip

    def test_entered_with_what_it_rests_on(self, claim):
        owner, evidence = office("owner"), EvidenceFactory()
        approval = entered(owner, Approval, **claim, evidence=[evidence.pk])
        version = approval.versions.get()
        assert version.valid.upper.isoformat() == "1970-01-01"
        assert list(version.evidence.all()) == [evidence]
        page = owner.get(page_of(approval)).content.decode()
        assert "from 1963-05-02 to 1969-12-31" in page
        assert evidence.code in page

    def test_days_the_wrong_way_round(self, claim):
        owner = office("owner")
        wrong = claim | {"valid_to": "1950-01-01"}
        answer = owner.post(add_to(Approval), filled(owner, add_to(Approval), **wrong))
        assert "last day in force" in told(answer)
        assert Approval.objects.count() == ApprovalVersion.objects.count() == 0

    def test_never_changed_nor_deleted(self):
        client, approval = office("anybody"), ApprovalFactory()
        assert client.post(page_of(approval), {"mark": "X"}).status_code == 403
        delete = page_of(approval).replace("change", "delete")
        assert client.post(delete, {"post": "yes"}).status_code == 403

    def test_only_the_owner_enters_one(self):
        for role in ("counter", "buyer", "warehouse"):
            assert office(role).get(add_to(Approval)).status_code == 403


class TestEvidence:
    """Recorded, and looked at."""

    def test_recorded_and_changed(self, buyer):
        sent = {"code": "EV-1", "kind": "letter", "reference": "HC/208", "issuer": "Hallmere Cars"}
        evidence = entered(buyer, Evidence, **sent)
        assert evidence.recorded_by.username == "buyer"
        assert "_save" not in buyer.get(page_of(evidence)).content.decode()
        owner = office("owner")
        owner.post(page_of(evidence), filled(owner, page_of(evidence), says="issue 2"))
        evidence.refresh_from_db()
        assert evidence.says == "issue 2"

    def test_chosen_documents_are_checked(self):
        owner, rows = office("owner"), EvidenceFactory.create_batch(2)
        chosen = {"action": "looked_at", "_selected_action": [row.pk for row in rows]}
        answer = owner.post(list_of(Evidence), chosen, follow=True)
        assert "Checked: 2." in answer.content.decode()
        assert {row.checked_by.username for row in Evidence.objects.all()} == {"owner"}

    def test_only_by_the_owner(self, buyer):
        row = EvidenceFactory()
        buyer.post(list_of(Evidence), {"action": "looked_at", "_selected_action": [row.pk]})
        row.refresh_from_db()
        assert row.checked_by is None
