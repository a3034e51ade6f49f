"""The three questions over the API, and the search behind the one box."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from types import SimpleNamespace
from typing import Any, ClassVar, TypeVar

from django import forms
from django.conf import settings
from django.db.models import Model
from django.http import Http404
from django.utils import timezone
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework.exceptions import ValidationError
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from fitments.lookup.cars import PAGE, cars_for
from fitments.lookup.fetching import tyre_called, variant_called
from fitments.lookup.span import UnreadableDay
from fitments.models.car import Variant
from fitments.rules import cautions
from fitments.rules.values import Market, Use
from inventory.ground.fields import one_line
from inventory.ground.undisturbed import undisturbed
from inventory.models.sku import Sku
from inventory.sets import BadRecipe
from stockist.counter import pages
from stockist.counter.answer import which_tyre
from stockist.counter.api_rows import FoundRow, HaveYouGotItRow, WhichCarsRow, WhichTyreRow
from stockist.counter.forms import MARKETS, USES, CarForm, WishForm
from stockist.counter.negotiating import OnlyForm
from stockist.counter.search import find
from stockist.counter.shelf import shelf_answers
from stockist.counter.sites import FROM_SITE
from stockist.counter.told_rows import WrittenRenderer, written
from stockist.counter.tyre_search import skus_of_size
from stockist.counter.wishes import Wishes

M = TypeVar("M", bound=Model)
OFFERS = 50
"""So many offers of each part are in one answer."""


class MayAsk(BasePermission):
    """Signed in, and allowed to see tyres and cars."""

    message = "Answers of the counter are for roles that may see tyres and cars."
    needs: ClassVar = ["inventory.view_sku", "fitments.view_variant"]

    def has_permission(self, request: Request, view: Any) -> bool:
        return bool(request.user and request.user.has_perms(self.needs))


def _parameters(form: type[forms.Form], **more: str) -> list[OpenApiParameter]:
    """What a form takes, as the API's description tells it."""
    said = [
        OpenApiParameter(name, str, description=description, required=True)
        for name, description in more.items()
    ]
    return said + [
        OpenApiParameter(name, str, description=str(field.label or name))
        for name, field in form.base_fields.items()
    ]


def _refuse(form: forms.Form) -> None:
    if not form.is_valid():
        raise ValidationError(
            {name: [str(error) for error in errors] for name, errors in form.errors.items()}
        )


class Asked(APIView):
    """What all questions share."""

    permission_classes = (MayAsk,)
    renderer_classes = (WrittenRenderer,)
    content_negotiation_class = OnlyForm
    known: ClassVar[frozenset[str]] = frozenset()

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        strange = sorted(set(request.query_params) - self.known - {"format"})
        if strange:
            raise ValidationError(
                {
                    name: f"Not asked here; known are {', '.join(sorted(self.known))}."
                    for name in strange
                }
            )


def _there(model: type[M], row: M | None) -> M:
    """The row. Raises Http404, in the framework's words, where there is none."""
    if row is None:
        raise Http404(f"No {model._meta.object_name} matches the given query.")
    return row


class FirstForm(forms.Form):
    """Where to go on in a long answer."""

    first = forms.IntegerField(min_value=0, max_value=100_000, required=False)


class WhichTyreView(Asked):
    """Which tyre does this car take, approved by whom, on what evidence, and is it here?"""

    known = frozenset({"variant", "first", *CarForm.base_fields})

    @extend_schema(
        operation_id="which_tyre",
        parameters=[
            *_parameters(CarForm, variant="The code of the variant"),
            OpenApiParameter(
                "first", int, description=f"Go on from this offer of each part; {OFFERS} a page"
            ),
        ],
        responses=WhichTyreRow,
        examples=[
            OpenApiExample("A saloon of June 1964", {"variant": "LIN-14-SAL"}, request_only=True)
        ],
    )
    @undisturbed()
    def get(self, request: Request) -> Response:
        at = timezone.now()
        variant = _there(Variant, variant_called(request.query_params.get("variant", "")))
        form = CarForm(request.query_params, variant=variant, today=timezone.localdate(at))
        _refuse(form)
        first = FirstForm(request.query_params)
        _refuse(first)
        try:
            answer = which_tyre(
                pages.question(form),
                at=at,
                first=first.cleaned_data["first"] or 0,
                most=OFFERS,
                with_lots=False,
            )
        except BadRecipe as bad:
            raise ValidationError({"non_field_errors": [str(bad)]}) from bad
        row = SimpleNamespace(
            question=answer.question,
            dividing_days=answer.dividing_days,
            parts=answer.parts,
            cautions=cautions.ALL,
        )
        return Response(written(WhichTyreRow, row))


class CarsForm(forms.Form):
    """Which cars: the use, the market, and where to go on."""

    use = forms.ChoiceField(label="Use", choices=USES, required=False)
    market = forms.ChoiceField(label="Market", choices=MARKETS, required=False)
    after = forms.CharField(
        label="Go on behind this variant", max_length=60, required=False, validators=[one_line]
    )
    limit = forms.IntegerField(
        label=f"Variants a page, up to {PAGE}", min_value=1, max_value=PAGE, required=False
    )


class WhichCarsView(Asked):
    """Which cars does this tyre fit? In pages, in the order of their codes."""

    known = frozenset({"sku", *CarsForm.base_fields})

    @extend_schema(
        operation_id="which_cars",
        parameters=_parameters(CarsForm, sku="The code of the SKU"),
        responses=WhichCarsRow,
    )
    @undisturbed()
    def get(self, request: Request) -> Response:
        at = timezone.now()
        sku = _there(Sku, tyre_called(request.query_params.get("sku", "")))
        form = CarsForm(request.query_params)
        _refuse(form)
        said = form.cleaned_data
        page = cars_for(
            sku,
            in_force_on=timezone.localdate(at),
            known_on=at,
            use=Use(said["use"] or Use.ROAD),
            market=Market(said["market"] or Market.GB),
            after=said["after"],
            limit=said["limit"] or PAGE,
        )
        row = SimpleNamespace(fits=page.fits, after=page.after, cautions=cautions.ALL)
        return Response(written(WhichCarsRow, row))


class HaveYouGotItView(Asked):
    """Have you got it? By size in any form, or by SKU or GTIN: complete sets, not pieces."""

    known = frozenset({"q", *WishForm.base_fields})

    @extend_schema(
        operation_id="have_you_got_it",
        parameters=_parameters(WishForm, q="A size in any form, a SKU, a GTIN or a mark"),
        responses=HaveYouGotItRow,
    )
    @undisturbed()
    def get(self, request: Request) -> Response:
        at = timezone.now()
        said = tuple((name, text) for name, text in request.query_params.items() if name != "q")
        # Whether there is such a site is asked each time: it is not in the text.
        read = _wished.__wrapped__ if FROM_SITE in dict(said) else _wished
        wishes, limit = read(said, timezone.localdate(at), settings.HOUSE_AGE_LIMIT_MONTHS)
        found = _found(request)
        skus = skus_of_size(found.size) if found.size else found.skus
        if not skus:
            raise ValidationError({"q": [found.words or "That names no tyre that is known here."]})
        try:
            shelf = shelf_answers(skus, wishes, limit_months=limit, at=at, with_lots=False)
        except BadRecipe as bad:
            raise ValidationError({"non_field_errors": [str(bad)]}) from bad
        return Response(written(HaveYouGotItRow, SimpleNamespace(results=shelf)))


@lru_cache(maxsize=1_000)
def _wished(said: tuple[tuple[str, str], ...], today: date, house: int) -> tuple[Wishes, int]:
    """What is wished of a set, and the limit of age in months; read once, asked all day long."""
    form = WishForm(dict(said), today=today)
    _refuse(form)
    return form.wishes(), pages.limit_of(form)


class SearchView(Asked):
    """What does this text mean: a car, a size, a SKU, a GTIN, a mark?"""

    known = frozenset({"q"})

    @extend_schema(
        operation_id="search",
        parameters=[OpenApiParameter("q", str, required=True, description="Any text")],
        responses=FoundRow,
    )
    def get(self, request: Request) -> Response:
        return Response(FoundRow(_found(request)).data)


def _found(request: Request) -> Any:
    try:
        return find(request.query_params.get("q", ""))
    except UnreadableDay as unreadable:
        raise ValidationError({"q": [str(unreadable)]}) from unreadable
