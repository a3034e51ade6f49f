"""One search box: what a typed text may mean, tried from the surest reading to the loosest."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from django.core.exceptions import ValidationError
from django.db.models import Q

from fitments.lookup.finding import variants_called, variants_with_chassis
from fitments.lookup.span import Span, find_span
from fitments.models.approval import Approval
from fitments.models.car import Variant
from inventory.ground.fields import one_line
from inventory.ground.planned import Planned
from inventory.markings import BadIdentifier, Size, UnreadableMarking, normalise_gtin, read_size
from inventory.models.sku import Sku

_of_code = Planned(
    lambda code: Sku.objects.with_names().filter(code__iexact=code).order_by("code"), str
)
LONGEST = 200
MOST_TYRES = 60


class Meaning(StrEnum):
    """What the text turned out to be."""

    NOTHING = "nothing"
    SIZE = "size"
    TYRES = "tyres"
    MARK = "mark"
    CARS = "cars"


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found. ``words`` is a sentence for when it found nothing, or guessed."""

    text: str
    meaning: Meaning
    size: Size | None = None
    skus: tuple[Sku, ...] = ()
    mark: str = ""
    variants: tuple[Variant, ...] = ()
    built: Span | None = None
    words: str = ""
    more: bool = False
    near: tuple[str, ...] = field(default=())


def find(text: str) -> Found:
    """What somebody means who types this: a GTIN, a SKU, a size, a mark, a tyre, or a car.

    Raises ``UnreadableDay`` where the text has a day that no calendar has.
    """
    text = " ".join(text.split())
    try:
        one_line(text[:LONGEST])
    except ValidationError as control:
        return Found("", Meaning.NOTHING, words=" ".join(control.messages))
    if not text:
        return Found(text, Meaning.NOTHING, words="")
    if len(text) > LONGEST:
        return Found(
            text[:LONGEST],
            Meaning.NOTHING,
            words=f"That is {len(text)} signs; ask in {LONGEST} or fewer.",
        )
    return (
        _by_number(text)
        or _by_code(text)
        or _by_mark(text)
        or _by_size(text)
        or _by_car(text)
        or _by_tyre_name(text)
        or _nothing(text)
    )


def _by_number(text: str) -> Found | None:
    figures = text.replace(" ", "").replace("-", "")
    if not figures.isdecimal() or not figures.isascii() or len(figures) not in (8, 12, 13, 14):
        return None
    try:
        number = normalise_gtin(figures)
    except BadIdentifier as bad:
        return Found(text, Meaning.NOTHING, words=str(bad))
    skus = tuple(Sku.objects.with_names().filter(gtins__number=number).order_by("code"))
    if skus:
        return Found(text, Meaning.TYRES, skus=skus)
    return Found(text, Meaning.NOTHING, words=f"No SKU has the GTIN {number}.")


def _by_code(text: str) -> Found | None:
    skus = tuple(_of_code(text))
    return Found(text, Meaning.TYRES, skus=skus) if skus else None


def _by_mark(text: str) -> Found | None:
    skus = Sku.objects.with_names().filter(mark__iexact=text).order_by("code")[: MOST_TYRES + 1]
    rows = tuple(skus)
    if not rows and not Approval.objects.filter(mark__iexact=text).exists():
        return None
    return Found(text, Meaning.MARK, mark=text, skus=rows[:MOST_TYRES], more=len(rows) > MOST_TYRES)


def _by_size(text: str) -> Found | None:
    try:
        return Found(text, Meaning.SIZE, size=read_size(text))
    except UnreadableMarking:
        return None


def _by_car(text: str) -> Found | None:
    span, words = find_span(text)
    if not words:
        return None
    variants = variants_with_chassis(words) or variants_called(words, span)
    if not variants:
        return None
    return Found(text, Meaning.CARS, variants=variants, built=span)


def _by_tyre_name(text: str) -> Found | None:
    """Every word is in the names of the maker and the pattern, the size, or the code."""
    wanted = Q()
    for word in text.split():
        wanted &= (
            Q(maker__name__icontains=word)
            | Q(pattern__name__icontains=word)
            | Q(size__icontains=word)
            | Q(name__icontains=word)
        )
    rows = tuple(Sku.objects.with_names().filter(wanted).order_by("code")[: MOST_TYRES + 1])
    if not rows:
        return None
    return Found(text, Meaning.TYRES, skus=rows[:MOST_TYRES], more=len(rows) > MOST_TYRES)


def _nothing(text: str) -> Found:
    near: tuple[str, ...] = ()
    words = f"Nothing here is called “{text}”: no car, tyre, size, number or mark."
    try:
        read_size(text)
    except UnreadableMarking as unreadable:
        if any(sign.isdigit() for sign in text):
            words = f"No car, tyre, number or mark is called that, and as a size: {unreadable}"
            near = (unreadable.near,) if unreadable.near else ()
    return Found(text, Meaning.NOTHING, words=words, near=near)
