"""Who may do what, as a matrix; whoever adds a model adds its line to `stockist.roles.MAY`."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.contrib.auth.models import Group, Permission
from django.core.management import call_command

from stockist.roles import BESIDES, MAY, OUR_APPS, ROLES, make_roles, permissions_of


def own_models() -> set[str]:
    return {
        model._meta.label_lower
        for app in OUR_APPS
        for model in apps.get_app_config(app).get_models()
    }


def held(role: str) -> set[str]:
    rows = Permission.objects.filter(group__name=role).select_related("content_type")
    return {f"{row.content_type.app_label}.{row.codename}" for row in rows}


def test_every_model_has_its_line_and_every_line_a_model():
    assert set(MAY) == own_models()


def test_lines_name_known_roles_only():
    named = {role for line in [*MAY.values(), *BESIDES.values()] for role in line}
    assert named <= set(ROLES)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.django_db
def test_every_permission_asked_for_exists_and_is_held_and_no_other(role):
    assert held(role) == permissions_of(role)


# A sample written out by hand, so that a slip in the table above is seen here.
@pytest.mark.parametrize(
    ("permission", "roles"),
    [
        ("inventory.view_sku", {"counter", "warehouse", "buyer", "owner"}),
        ("inventory.change_sku", {"buyer", "owner"}),
        ("inventory.delete_sku", {"owner"}),
        ("inventory.add_posting", {"warehouse", "owner"}),
        ("inventory.change_posting", set()),
        ("inventory.delete_posting", set()),
        ("inventory.change_balance", set()),
        ("inventory.view_supplier", {"warehouse", "buyer", "owner"}),
        ("inventory.view_customer", {"counter", "buyer", "owner"}),
        ("inventory.add_enquiry", {"counter"}),
        ("fitments.view_approval", {"counter", "buyer", "owner"}),
        ("fitments.add_approvalversion", {"owner"}),
        ("fitments.change_approvalversion", set()),
        ("fitments.change_evidence", {"owner"}),
        ("auth.change_user", {"owner"}),
        ("auth.delete_user", set()),
    ],
)
def test_who_may(permission, roles):
    assert {role for role in ROLES if permission in permissions_of(role)} == roles


@pytest.mark.django_db
def test_making_roles_again_changes_nothing():
    before = {role: held(role) for role in ROLES}
    make_roles()
    assert {role: held(role) for role in ROLES} == before
    assert set(Group.objects.values_list("name", flat=True)) == set(ROLES)


@pytest.mark.django_db
def test_a_permission_given_by_hand_goes_with_the_next_migrate():
    Group.objects.get(name="counter").permissions.add(Permission.objects.get(codename="delete_sku"))
    make_roles()
    assert "inventory.delete_sku" not in held("counter")


@pytest.mark.django_db(transaction=True)
def test_emptying_the_tables_brings_the_roles_back():
    call_command("flush", interactive=False, verbosity=0)
    assert held("buyer") == permissions_of("buyer")
