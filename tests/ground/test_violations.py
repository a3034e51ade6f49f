"""What the database refuses is told in the words of the rule that was broken."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import Group, User
from django.db import DataError, IntegrityError, connection, transaction
from django.db.models import ProtectedError

from inventory.ground.models import IdempotencyKey
from inventory.ground.refusal import Refusal
from inventory.ground.violations import Violated, named_violation, violation
from inventory.models.place import Place
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory

pytestmark = pytest.mark.django_db


class KeyTaken(Refusal):
    sentence = "Take another key."


def key(actor: User, **values) -> IdempotencyKey:
    values = {"key": "a", "route": "POST /", "body": "b"} | values
    return IdempotencyKey.objects.create(actor=actor, **values)


def refused(attempt) -> Violated:
    with pytest.raises((IntegrityError, DataError)) as error, transaction.atomic():
        attempt()
    return violation(error.value)


def test_a_named_constraint_says_its_own_sentence():
    person = UserFactory()
    key(person)
    with pytest.raises(Violated, match="This key was used already") as error, named_violation():
        key(person)
    assert error.value.constraint == "idempotency_key_once_per_actor"


def test_or_becomes_the_refusal_given_for_it():
    person = UserFactory()
    key(person)
    with pytest.raises(KeyTaken), named_violation(idempotency_key_once_per_actor=KeyTaken):
        key(person)


def test_or_the_sentence_given_for_it():
    person = UserFactory()
    key(person)
    with (
        pytest.raises(Violated, match="Oh no"),
        named_violation(idempotency_key_once_per_actor="Oh no."),
    ):
        key(person)


def test_the_transaction_around_it_stays_usable():
    person = UserFactory()
    key(person)
    with pytest.raises(Violated), named_violation():
        key(person)
    assert IdempotencyKey.objects.count() == 1


def test_what_goes_well_stays():
    with named_violation():
        key(UserFactory())
    assert IdempotencyKey.objects.exists()


def test_a_unique_column_is_named():
    found = refused(lambda: [Group.objects.create(name="pit crew") for _ in range(2)])
    assert found.sentence == "There is already a group with this name."
    assert found.field == "name"


def test_a_missing_value_is_named():
    found = refused(lambda: key(UserFactory(), route=None))
    assert (found.field, found.sentence) == ("route", "Asked for is missing.")


def test_a_negative_number_is_named():
    found = refused(lambda: key(UserFactory(), status=-1))
    assert found.field == "status"
    assert "Answered with" in found.sentence


def test_a_number_too_large_is_told():
    assert "too large" in refused(lambda: key(UserFactory(), status=1_000_000)).sentence


def test_a_reference_to_nothing_is_told():
    def attempt():
        IdempotencyKey.objects.create(actor_id=10**9, key="a", route="POST /", body="b")
        connection.check_constraints()

    assert "no longer there" in refused(attempt).sentence


def test_what_others_rest_on_stays_and_says_who():
    place = PlaceFactory()
    with pytest.raises(Violated) as error, named_violation():
        place.site.delete()
    assert error.value.sentence.startswith("This cannot be deleted: 1 place ")
    assert Place.objects.exists()


def test_protected_is_told_alike():
    error = ProtectedError("no", [Group(), Group()])
    assert "2 groups" in violation(error).sentence


def test_anything_else_is_still_a_sentence():
    assert violation(IntegrityError("?")).sentence.endswith("nothing was changed.")
