"""Entering and changing in the back office goes through the activities, and says what is wrong."""

from __future__ import annotations

import pytest

from inventory.models.companion import Companion
from inventory.models.customer import CustomerCar
from inventory.models.lot import Block
from inventory.models.maker import TyreMaker
from inventory.models.place import Place, Site
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from tests.factories.catalogue import (
    GtinFactory,
    PatternFactory,
    SkuFactory,
    TypeApprovalFactory,
)
from tests.factories.people import CarWheelFactory, CustomerCarFactory, CustomerFactory
from tests.factories.places import SiteFactory
from tests.factories.stock import BlockFactory, LotFactory
from tests.support.backoffice import add_to, filled, list_of, office, page_of, told

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("no_side_list")]
GTIN = "09521234567899"  # GS1 keeps prefix 952 for examples


@pytest.fixture
def buyer():
    return office("buyer")


@pytest.fixture
def tyre(buyer) -> dict:
    pattern = PatternFactory()
    return filled(
        buyer,
        add_to(Sku),
        code="FR-185-V",
        maker=pattern.maker.pk,
        pattern=pattern.pk,
        size_text="185/70 VR 15",
        price="189.00",
    )


class TestSkus:
    """The form of a SKU."""

    def test_entered_with_every_column_that_follows_from_its_size(self, buyer, tyre):
        numbers = {"numbers": "9521234567899", "approved_under": "UN R30 0212345"}
        answer = buyer.post(add_to(Sku), tyre | numbers)
        assert answer.status_code == 302, told(answer)
        sku = Sku.objects.get()
        assert (sku.size, sku.rim_mm, sku.speed_in_size) == ("185/70 VR 15", 381, "V")
        assert sku.size_keys
        assert [gtin.number for gtin in sku.gtins.all()] == [GTIN]
        assert [str(one) for one in sku.type_approvals.all()] == ["UN R30 0212345"]
        assert sku.history.get().history_user.username == "buyer"

    def test_a_size_that_cannot_be_read_is_told_on_the_form(self, buyer, tyre):
        answer = buyer.post(add_to(Sku), tyre | {"size_text": "185/70 QR 1"})
        assert "cannot be read" in told(answer)
        assert "cannot be read" in answer.content.decode()
        assert Sku.objects.count() == 0

    def test_every_fault_is_told_beside_its_field(self, buyer, tyre):
        wrong = tyre | {"size_text": "nonsense", "numbers": "9521234567891"}
        form = buyer.post(add_to(Sku), wrong).context["adminform"].form
        assert set(form.errors) == {"size_text", "numbers"}

    def test_what_concerns_the_whole_is_told_above(self, buyer, tyre):
        wrong = tyre | {"sidewall": "black", "band_mm": "22"}
        assert "banded sidewall" in told(buyer.post(add_to(Sku), wrong))

    def test_a_type_approval_without_a_number(self, buyer, tyre):
        answer = buyer.post(add_to(Sku), tyre | {"approved_under": "R30"})
        assert "not a scheme with a number" in told(answer)

    def test_changed_in_part(self, buyer, tyre):
        buyer.post(add_to(Sku), tyre | {"numbers": GTIN})
        sku = Sku.objects.get()
        sent = filled(buyer, page_of(sku), size_text="165 SR 13")
        assert sent["numbers"] == GTIN
        assert buyer.post(page_of(sku), sent).status_code == 302
        sku.refresh_from_db()
        assert (sku.size, sku.rim_mm, str(sku.price)) == ("165 SR 13", 330, "189.00")
        assert sku.gtins.count() == 1
        assert sku.history.count() == 2

    def test_two_people_at_once(self, buyer, tyre):
        buyer.post(add_to(Sku), tyre)
        sku = Sku.objects.get()
        mine = filled(buyer, page_of(sku), price="205.00")
        owner = office("owner")
        owner.post(page_of(sku), filled(owner, page_of(sku), price="195.00"))
        assert "Somebody else has changed this" in told(buyer.post(page_of(sku), mine))
        assert str(Sku.objects.get().price) == "195.00"

    def test_who_may_only_look_sees_the_numbers(self):
        sku = SkuFactory()
        GtinFactory(number=GTIN, skus=[sku])
        TypeApprovalFactory(sku=sku, number="0212345")
        page = office("counter").get(page_of(sku)).content.decode()
        assert GTIN in page
        assert "UN R30 0212345" in page
        assert "_save" not in page

    def test_only_the_owner_deletes(self):
        sku = SkuFactory()
        delete = page_of(sku).replace("change", "delete")
        assert office("buyer").post(delete, {"post": "yes"}).status_code == 403
        assert office("owner").post(delete, {"post": "yes"}).status_code == 302
        assert Sku.objects.count() == 0

    def test_what_lots_are_of_stays(self):
        lot = LotFactory()
        delete = page_of(lot.sku).replace("change", "delete")
        answer = office("owner").post(delete, {"post": "yes"})
        assert answer.status_code != 302
        assert Sku.objects.filter(pk=lot.sku_id).exists()


class TestHistory:
    """Who changed what, for those who may see it."""

    def test_seen_and_never_put_back(self, buyer, tyre):
        buyer.post(add_to(Sku), tyre)
        sku = Sku.objects.get()
        page = page_of(sku).replace("change", "history")
        assert "FR-185-V" in buyer.get(page).content.decode()
        earlier = f"{page}{sku.history.get().history_id}/"
        answer = buyer.get(earlier)
        assert answer.status_code == 200
        buyer.post(earlier, filled(buyer, page_of(sku), price="1.00"))
        sku.refresh_from_db()
        assert str(sku.price) == "189.00"

    def test_not_for_the_counter(self):
        sku = SkuFactory()
        page = page_of(sku).replace("change", "history")
        assert office("counter").get(page).status_code == 403
        assert office("owner").get(page).status_code == 200


class TestOthers:
    """Every other form of stock."""

    def test_a_maker_and_its_change(self, buyer):
        buyer.post(add_to(TyreMaker), filled(buyer, add_to(TyreMaker), code="ORR", name="Orrel"))
        maker = TyreMaker.objects.get()
        again = filled(buyer, add_to(TyreMaker), code="ORR", name="Other")
        assert "is there already" in told(buyer.post(add_to(TyreMaker), again))
        buyer.post(page_of(maker), filled(buyer, page_of(maker), country="Norland"))
        maker.refresh_from_db()
        assert (maker.name, maker.country) == ("Orrel", "Norland")
        assert maker.history.count() == 2

    def test_a_companion_gets_its_key(self, buyer):
        tube = SkuFactory(tube_kind=True)
        sent = filled(buyer, add_to(Companion), size_text="185/70 R 15", companion=tube.pk)
        answer = buyer.post(add_to(Companion), sent)
        assert answer.status_code == 302, told(answer)
        assert Companion.objects.get().size_key
        answer = buyer.post(add_to(Companion), sent | {"size_text": "round"})
        assert "cannot be read" in told(answer)

    def test_suppliers_sites_and_places(self):
        owner = office("owner")
        for model, values in (
            (Supplier, {"code": "OST", "name": "Ostrey Rubber"}),
            (Site, {"code": "ML", "name": "Marrow Lane"}),
        ):
            owner.post(add_to(model), filled(owner, add_to(model), **values))
            assert model.objects.get().code == values["code"]
        sent = filled(owner, add_to(Place), site=Site.objects.get().pk, code="A1", walk=1)
        owner.post(add_to(Place), sent)
        assert Place.objects.get().code == "A1"
        assert "is there already" in told(owner.post(add_to(Place), sent | {"code": "a1"}))

    def test_warehouse_keeps_places_and_not_sites(self):
        warehouse = office("warehouse")
        assert warehouse.get(add_to(Place)).status_code == 200
        assert warehouse.get(add_to(Site)).status_code == 403
        site = SiteFactory()
        assert "_save" not in warehouse.get(page_of(site)).content.decode()

    def test_a_car_with_its_wheels(self):
        counter, customer, tyre = office("counter"), CustomerFactory(), SkuFactory()
        sent = filled(
            counter, add_to(CustomerCar), customer=customer.pk, description="saloon",
            front_rim_text="15", front_width_in="5.5", front_tyre=tyre.code, front_tubed="no",
        )  # fmt: skip
        answer = counter.post(add_to(CustomerCar), sent)
        assert answer.status_code == 302, told(answer)
        (wheel,) = CustomerCar.objects.get().wheels.all()
        assert (wheel.axle, wheel.rim_mm, wheel.tyre, wheel.tubed) == ("front", 381, tyre, False)

    def test_a_wheel_is_changed_and_the_other_kept(self):
        counter, car = office("counter"), CustomerCarFactory()
        CarWheelFactory(car=car)
        CarWheelFactory(car=car, rear=True, tyre=SkuFactory(code="KEPT"))
        sent = filled(counter, page_of(car))
        assert (sent["front_rim_text"], sent["rear_tyre"]) == ("15", "KEPT")
        counter.post(page_of(car), sent | {"front_rim_text": "16"})
        rims = {wheel.axle: (wheel.rim_text, wheel.tyre) for wheel in car.wheels.order_by("axle")}
        assert rims["front"] == ("16", None)
        assert rims["rear"][0] == "15"
        assert rims["rear"][1].code == "KEPT"

    def test_a_rim_that_cannot_be_read_is_told_beside_it(self):
        counter, car = office("counter"), CustomerCarFactory()
        sent = filled(counter, page_of(car), front_rim_text="round")
        form = counter.post(page_of(car), sent).context["adminform"].form
        assert set(form.errors) == {"front_rim_text"}

    def test_who_may_only_look_sees_the_wheels(self):
        car = CustomerCarFactory()
        CarWheelFactory(car=car, tyre=SkuFactory(code="TYRE-1"), date_code="1425")
        page = office("buyer").get(page_of(car)).content.decode()
        assert "front: 15 x 5.00, TYRE-1 1425" in page


class TestBlocks:
    """A block is placed and lifted."""

    def test_placed(self):
        warehouse, lot = office("warehouse"), LotFactory()
        sent = filled(warehouse, add_to(Block), lot=lot.pk, reason="damaged", note="cut")
        warehouse.post(add_to(Block), sent)
        block = Block.objects.get()
        assert (block.placed_by.username, block.note) == ("warehouse", "cut")
        assert "for this reason already" in told(warehouse.post(add_to(Block), sent))

    def test_lifted_with_a_reason(self):
        warehouse, block = office("warehouse"), BlockFactory()
        assert "Say why" in told(warehouse.post(page_of(block), {"lifted_why": ""}))
        warehouse.post(page_of(block), {"lifted_why": "looked at: sound"})
        block.refresh_from_db()
        assert (block.lifted_by.username, block.lifted_why) == ("warehouse", "looked at: sound")
        assert warehouse.post(page_of(block), {"lifted_why": "x"}).status_code == 403

    def test_never_deleted(self):
        block = BlockFactory()
        delete = page_of(block).replace("change", "delete")
        assert office("anybody").post(delete, {"post": "yes"}).status_code == 403

    def test_found_by_whether_they_stand(self):
        BlockFactory()
        page = office("warehouse").get(list_of(Block), {"lifted_at__isempty": "1"})
        assert page.context["cl"].result_count == 1
