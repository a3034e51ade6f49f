"""Users, suppliers, customers and their cars."""

from __future__ import annotations

from datetime import date

import factory
from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group
from factory.django import DjangoModelFactory

from inventory.models.companion import RimKind
from inventory.models.customer import Axle, CarWheel, Customer, CustomerCar, CustomerKind
from inventory.models.supplier import Supplier


class UserFactory(DjangoModelFactory):
    """Somebody of the house. ``role="counter"`` puts them into that group (made if missing)."""

    class Meta:
        model = get_user_model()
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"edda{n}")
    first_name = "Edda"
    last_name = "Quillan"
    password = factory.django.Password("a-long-password-for-tests")

    @factory.post_generation
    def role(self, create, extracted, **kwargs):
        if create and extracted:
            self.groups.add(Group.objects.get_or_create(name=extracted)[0])


class SupplierFactory(DjangoModelFactory):
    class Meta:
        model = Supplier

    code = factory.Sequence(lambda n: f"SUP{n}")
    name = factory.Sequence(lambda n: f"Ostrey Rubber Trading {n}")
    email = factory.Sequence(lambda n: f"orders{n}@ostrey.example")


class CustomerFactory(DjangoModelFactory):
    class Meta:
        model = Customer

    class Params:
        trade = factory.Trait(kind=CustomerKind.TRADE, name="Wendle Road Garage")
        racing = factory.Trait(kind=CustomerKind.RACING, name="Equipe Lanternwood")
        museum = factory.Trait(kind=CustomerKind.MUSEUM, name="The Pellow Collection")

    kind = CustomerKind.PRIVATE
    name = factory.Sequence(lambda n: f"Orrin Tasker {n}")
    telephone = "01632 960123"  # a number kept free for fiction


class CustomerCarFactory(DjangoModelFactory):
    class Meta:
        model = CustomerCar

    customer = factory.SubFactory(CustomerFactory)
    description = "Hallmere Sprint saloon"
    plate = factory.Sequence(lambda n: f"XHM {n}")
    chassis = factory.Sequence(lambda n: f"HS{n:05}")
    built_on = date(1964, 6, 12)


class CarWheelFactory(DjangoModelFactory):
    """15 x 5 on the front axle; ``wire`` is a tubed spoked wheel."""

    class Meta:
        model = CarWheel

    class Params:
        wire = factory.Trait(rim_kind=RimKind.SPOKED, tubed=True)
        rear = factory.Trait(axle=Axle.REAR)

    car = factory.SubFactory(CustomerCarFactory)
    axle = Axle.FRONT
    rim_text = "15"
    rim_mm = 381
    width_in = "5.00"
    rim_kind = RimKind.DISC
    tubed = False
