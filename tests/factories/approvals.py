"""Organisers and their classes, evidence, approvals with their versions."""

from __future__ import annotations

from datetime import date

import factory
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange
from factory.django import DjangoModelFactory

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence, EvidenceKind
from fitments.models.mark import IssuerMark, Mixing
from fitments.models.organiser import CompetitionClass, Organiser
from fitments.models.test_report import TestResult
from inventory.models.customer import Axle
from tests.factories.cars import (
    CarMakerFactory,
    FitmentFactory,
    IdentifiedCarFactory,
    VariantFactory,
    VehicleLineFactory,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.sizes import size_columns
from tests.factories.when import AT, EARLIER


class OrganiserFactory(DjangoModelFactory):
    class Meta:
        model = Organiser

    code = factory.Sequence(lambda n: f"ORG{n}")
    name = factory.Sequence(lambda n: f"Fellside Historic Racing {n}")


class CompetitionClassFactory(DjangoModelFactory):
    """A class of one season; ``variants=[...]`` admits cars."""

    class Meta:
        model = CompetitionClass
        skip_postgeneration_save = True

    organiser = factory.SubFactory(OrganiserFactory)
    code = factory.Sequence(lambda n: f"FHR-2026-{n}")
    season = 2026
    edition = "1"
    name = factory.Sequence(lambda n: f"saloons before 1966, {n}")
    age_limit_months = 60

    @factory.post_generation
    def variants(self, create, extracted, **kwargs):
        if create and extracted:
            self.variants.add(*extracted)


class EvidenceFactory(DjangoModelFactory):
    """A letter that nobody has checked; ``checked`` by a second person, or ``self_checked``."""

    class Meta:
        model = Evidence

    class Params:
        checked = factory.Trait(checked_at=AT, checked_by=factory.SubFactory(UserFactory))
        self_checked = factory.Trait(checked_at=AT, checked_by=factory.SelfAttribute("recorded_by"))
        test_report = factory.Trait(kind=EvidenceKind.TEST_REPORT)
        list_page = factory.Trait(kind=EvidenceKind.LIST)

    code = factory.Sequence(lambda n: f"EV-{n}")
    kind = EvidenceKind.LETTER
    reference = factory.Sequence(lambda n: f"HC/{n}")
    issuer = "Hallmere Cars, technical office"
    dated = date(2019, 5, 2)
    recorded_at = EARLIER
    recorded_by = factory.SubFactory(UserFactory)
    written_at = factory.SelfAttribute("recorded_at")
    written_by = factory.SelfAttribute("recorded_by")


class IssuerMarkFactory(DjangoModelFactory):
    """A mark whose issuer leaves it free to mix issues; ``same`` wants one round the car."""

    class Meta:
        model = IssuerMark

    class Params:
        same = factory.Trait(mixing=Mixing.SAME)
        not_said = factory.Trait(mixing="")

    car_maker = factory.SubFactory(CarMakerFactory)
    mark = "HLM"
    mixing = Mixing.FREE
    written_at = EARLIER
    written_by = factory.SubFactory(UserFactory)


class TestResultFactory(DjangoModelFactory):
    """A braking distance, second of nine, of a test report."""

    __test__ = False

    class Meta:
        model = TestResult

    class Params:
        ranked_only = factory.Trait(result=None, unit="")

    evidence = factory.SubFactory(EvidenceFactory, test_report=True)
    sku = factory.SubFactory(SkuFactory)
    discipline = "braking from 100 km/h, wet"
    result = "47.300"
    unit = "m"
    rank = 2
    out_of = 9
    written_at = EARLIER
    written_by = factory.SubFactory(UserFactory)


class ApprovalVersionFactory(DjangoModelFactory):
    """In force from 2019 with no end, known since early 2026; ``evidence=[...]`` is rested on."""

    class Meta:
        model = ApprovalVersion
        skip_postgeneration_save = True

    approval = factory.SubFactory("tests.factories.approvals.ApprovalFactory", version=False)
    valid = DateRange(date(2019, 5, 2), None)
    known = DateTimeTZRange(EARLIER, None)
    recorded_by = factory.SubFactory(UserFactory)

    @factory.post_generation
    def evidence(self, create, extracted, **kwargs):
        if create and extracted:
            self.evidence.add(*extracted)


class ApprovalFactory(DjangoModelFactory):
    """A car maker's approval by mark for the front axle, any pattern, with one version.

    ``version__valid=...``, ``version__evidence=[...]`` and the like reach the version;
    ``version=False`` makes none.
    """

    class Meta:
        model = Approval
        skip_postgeneration_save = True

    class Params:
        rear = factory.Trait(axle=Axle.REAR)
        listed = factory.Trait(by_list=True, mark="", mark_issue="")
        organisers = factory.Trait(
            car_maker=None,
            vehicle_line=None,
            competition_class=factory.SubFactory(CompetitionClassFactory),
            by_list=True,
            mark="",
            mark_issue="",
        )
        withdrawn = factory.Trait(version__withdrawn_on=date(2026, 3, 1))
        superseded = factory.Trait(
            version__superseded_by=factory.SubFactory(
                "tests.factories.approvals.ApprovalFactory", mark_issue="3"
            )
        )

    code = factory.Sequence(lambda n: f"AP-{n}-F")
    vehicle_line = factory.SubFactory(VehicleLineFactory)
    car_maker = factory.LazyAttribute(
        lambda row: row.vehicle_line.maker if row.vehicle_line else CarMakerFactory()
    )
    axle = Axle.FRONT
    size_text = "185/70 R 15"
    mark = "HLM"
    mark_issue = "2"

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        columns = size_columns(kwargs["size_text"])
        read = {name: columns[name] for name in ("size", "size_keys") if name in columns}
        return {**read, **kwargs}

    @factory.post_generation
    def version(self, create, extracted, **kwargs):
        if create and extracted is not False:
            ApprovalVersionFactory(approval=self, **kwargs)


def approved_car():
    """A customer's car whose maker approves the tyre on both axles: AP-front and AP-rear."""
    variant = VariantFactory(with_wheels=True)
    for axle in ("front", "rear"):
        FitmentFactory(variant=variant, axle=axle)
        line = variant.vehicle_line
        ApprovalFactory(listed=True, vehicle_line=line, axle=axle, code=f"AP-{axle}")
    return IdentifiedCarFactory(variant=variant).customer_car
