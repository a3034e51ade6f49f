"""Who may do what over the API: every resource by every method, whichever app it is of."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from stockist.roles import permissions_of
from tests.support.calling import ROOT, refused, write

NEEDS = {"get": "view", "post": "add", "patch": "change", "put": "change", "delete": "delete"}
Asked = Callable[[str], Iterable[tuple[str, str]]]


def call(client, method: str, path: str, said: dict | None = None):
    """Any method; a write has a key of its own, and says what is of no use."""
    if method == "get":
        return client.get(ROOT + path)
    return write(client, method, path, said or {}, If_Match="*")


def paths(name: str) -> list[tuple[str, str]]:
    """Everything that could be asked of a resource and of one row of it."""
    one = f"{name}/1/"
    return [
        ("get", f"{name}/"), ("post", f"{name}/"), ("get", one), ("patch", one), ("put", one),
        ("delete", one),
    ]  # fmt: skip


def the_role_decides(client, role: str, resources, subtests, asked: Asked = paths) -> None:
    """Refused is what the role's permissions do not say, and nothing else."""
    may = permissions_of(role)
    for name in sorted(resources):
        model = resources[name].queryset.model._meta
        with subtests.test("a resource", name=name):
            for method, path in asked(name):
                allowed = f"{model.app_label}.{NEEDS[method]}_{model.model_name}" in may
                status = call(client, method, path).status_code
                assert (status == 403) is not allowed, (method, path, status)
                assert status < 500


def nobody_is_answered(client, resources, subtests, asked: Asked = paths) -> None:
    """Who is not signed in is told so, whatever is asked."""
    for name in sorted(resources):
        with subtests.test("a resource", name=name):
            for method, path in asked(name):
                refused(call(client, method, path), 401)
