"""People with roles, signed in or not, and the day it is."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from django.contrib.auth.models import Group, User
from rest_framework.test import APIClient

from tests.factories import when
from tests.support.strictness import StrictClient

PASSWORD = "four plain tyres stand here"


@pytest.fixture
def today() -> date:
    """The day on which the tests happen; nothing below a face may ask the clock."""
    return when.TODAY


@pytest.fixture
def now() -> datetime:
    """Ten in the morning of `today`."""
    return when.AT


def with_role(role: str, name: str = "") -> User:
    """A person in one of the house's groups."""
    person = User.objects.create_user(username=name or role, password=PASSWORD)
    person.groups.add(Group.objects.get(name=role))
    return person


@pytest.fixture
def counter_person(db) -> User:
    return with_role("counter")


@pytest.fixture
def warehouse_person(db) -> User:
    return with_role("warehouse")


@pytest.fixture
def buyer_person(db) -> User:
    return with_role("buyer")


@pytest.fixture
def owner_person(db) -> User:
    return with_role("owner")


@pytest.fixture
def signed_in(db):
    """A function from a role, or a person, to a browser-like client who is signed in."""

    def sign_in(who: str | User) -> StrictClient:
        client = StrictClient()
        client.force_login(_person(who))
        return client

    return sign_in


@pytest.fixture
def api(db):
    """A function from a role, a person or None to an API client."""

    def call_as(who: str | User | None = None) -> APIClient:
        client = APIClient()
        if who is not None:
            client.force_authenticate(_person(who))
        return client

    return call_as


def _person(who: str | User) -> User:
    if isinstance(who, User):
        return who
    return User.objects.filter(username=who).first() or with_role(who)
