"""The API describes itself: completely, without a warning, with examples; and does what it says."""

from __future__ import annotations

import io
import json

import pytest
from django.core.cache import cache
from django.core.management import call_command
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from fitments.api.urls import RESOURCES as OF_CARS
from inventory.api.urls import RESOURCES as OF_STOCK
from tests.fitments.api import scenes as cars
from tests.inventory.api import scenes as stock
from tests.support.browser import sign_in
from tests.support.calling import ROOT

METHODS = {"get", "post", "patch", "put", "delete"}
# Reads that have a state of their own, or are not of ours to describe.
LEFT_OUT = ("/api/v1/jobs/", "/api/v1/schema/")


@pytest.fixture(scope="module")
def described() -> dict:
    out = io.StringIO()
    call_command("spectacular", "--validate", "--fail-on-warn", format="openapi-json", stdout=out)
    described: dict = json.loads(out.getvalue())
    return described


def operations(described: dict):
    for path, methods in described["paths"].items():
        for method, operation in methods.items():
            if method in METHODS:
                yield path, method, operation


def test_every_resource_is_described(described):
    paths = set(described["paths"])
    assert {f"{ROOT}{name}/" for name in (*OF_STOCK, *OF_CARS)} <= paths


def test_operations_have_names_of_their_own_and_words(described):
    told = [operation for _, _, operation in operations(described)]
    names = [operation["operationId"] for operation in told]
    assert len(names) == len(set(names))
    assert [each["operationId"] for each in told if not each.get("description")] == []


def test_every_operation_tells_its_problems(described):
    for path, method, operation in operations(described):
        answers = operation["responses"]
        assert {"400", "401", "403", "429"} <= set(answers), (method, path)
        if method != "get" and "tokens" not in path:
            assert "409" in answers, (method, path)
        for status in answers:
            if status.startswith("4"):
                assert "application/problem+json" in answers[status]["content"], (method, path)


def test_every_write_takes_a_key(described):
    without = [
        (method, path)
        for path, method, operation in operations(described)
        if method in {"post", "patch"} and "tokens" not in path
        if "Idempotency-Key" not in [each["name"] for each in operation.get("parameters", [])]
    ]
    assert without == []


def test_every_list_is_paged_and_tells_its_orders(described):
    for name, view in (*OF_STOCK.items(), *OF_CARS.items()):
        if not hasattr(view, "list"):
            continue
        told = described["paths"][f"{ROOT}{name}/"]["get"]["parameters"]
        named = {each["name"]: each for each in told}
        assert {"cursor", "page_size", "ordering"} <= set(named)
        assert named["ordering"]["schema"]["default"] == view.default_ordering
        assert set(view.filterset_class.base_filters) <= set(named)


def test_there_are_examples(described):
    with_one = [
        operation["operationId"]
        for _, _, operation in operations(described)
        if "example" in str(operation)
    ]
    assert {"skus_create", "approvals_create", "moves_create", "enquiries_create"} <= set(with_one)


def test_measured_values_take_a_number_or_a_text(described):
    load = described["components"]["schemas"]["SkuRequest"]["properties"]["max_load_kg"]
    assert {each["type"] for each in load["oneOf"]} == {"number", "string"}


@pytest.mark.django_db
def test_answers_are_as_described(described, api):
    """Every list, with rows in it, against its own schema; 3.0's nullable read as a null."""
    # Libraries that take seconds to load, which only whoever runs these tests should wait for.
    from jsonschema.validators import Draft202012Validator as Validator

    client = api("owner")
    for rows in (stock.ROWS, cars.ROWS):
        for name, make in rows.items():
            make(2)
            schema = _answer_of(described, f"{ROOT}{name}/")
            found = client.get(f"{ROOT}{name}/").json()
            faults = list(
                Validator(schema, format_checker=Validator.FORMAT_CHECKER).iter_errors(found)
            )
            assert faults == [], (name, faults[:1])


def _answer_of(described: dict, path: str) -> dict:
    content = described["paths"][path]["get"]["responses"]["200"]["content"]
    schema = dict(content["application/json"]["schema"])
    return {**schema, "components": _nullable(described["components"])}


def _nullable(schema):
    if isinstance(schema, list):
        return [_nullable(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {name: _nullable(each) for name, each in schema.items() if name != "nullable"}
    return {"anyOf": [plain, {"type": "null"}]} if schema.get("nullable") is True else plain


@pytest.mark.django_db
def test_no_read_falls_over_whatever_it_is_asked(described, api):
    """Schemathesis makes the questions, from the description; the seed is fixed."""
    import schemathesis

    client = api("owner")
    for make in (stock.skus, stock.lots, cars.approvals):
        make(2)
    shape = schemathesis.openapi.from_dict(described)
    for result in shape.get_all_operations():
        operation = result.ok()
        if operation.method.upper() == "GET" and not operation.path.startswith(LEFT_OUT):
            _ask(client, operation)


def _ask(client, operation) -> None:
    @seed(20261123)
    @settings(
        max_examples=4, database=None, deadline=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(st.data())
    def ask(data):
        cache.clear()
        case = data.draw(operation.as_strategy())
        answer = client.get(case.formatted_path, case.query or {})
        assert answer.status_code in {200, 400, 404}, (case.formatted_path, case.query)

    ask()


def test_the_page_of_the_api_draws_every_operation_under_the_policy(
    transactional_db, page, owner_person, described
):
    """A complaint of the content security policy on the console would fail it."""
    sign_in(page, owner_person)
    page.goto(f"{ROOT}docs/")
    page.locator(".opblock").first.wait_for(timeout=30_000)
    told, drawn = len(list(operations(described))), set()
    for _ in range(200):  # only what is in sight is drawn
        drawn |= set(page.evaluate("[...document.querySelectorAll('.opblock')].map(e => e.id)"))
        if len(drawn) == told:
            break
        page.mouse.wheel(0, 800)
        page.wait_for_timeout(60)
    assert len(drawn) == told
