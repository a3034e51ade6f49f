"""A sidewall as it was read, against what was ordered: pure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from inventory.activities.lots import dated_columns, read
from inventory.ground.entries.faults import Fault
from inventory.markings import Size, UnreadableMarking, read_size, same_size
from inventory.markings.datecode import DateCode, UnreadableDateCode, oldest_allowed_week
from inventory.models.delivery import Disagreement, Found
from inventory.models.sku import Sku, SkuKind


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read on a tyre. ``mark``, ``country`` and ``pattern_issue`` are None where somebody
    ought to look still; the last two are "" where nobody did; ``size`` and ``side`` are "" where
    they are as the SKU says; ``date_code`` is "" where there is none on it.
    """

    date_code: str = ""
    size: str = ""
    mark: str | None = None
    mark_issue: str = ""
    side: str = ""
    found: str = Found.SOUND.value
    country: str | None = ""
    pattern_issue: str | None = ""


@dataclass(frozen=True, slots=True)
class Agreed:
    """What is agreed with the supplier. ``oldest_months``: how old a tyre may be on the day of
    arrival; None, "": not agreed.
    """

    oldest_months: int | None = None
    country: str = ""
    pattern_issue: str = ""


@dataclass(frozen=True, slots=True)
class Judged:
    """What came of it. Faults: what cannot be read at all, so that nothing can be said.

    ``disagrees`` is the gravest disagreement, "" where there is none, ``says`` all of them in
    words; ``warnings`` are doubts about the date code that a person should know of.
    """

    faults: tuple[Fault, ...] = ()
    disagrees: str = ""
    says: str = ""
    warnings: tuple[str, ...] = ()


def judge(sku: Sku, reading: Reading, *, agreed: Agreed, ordered: bool, arrived_on: date) -> Judged:
    """Whether a tyre is what was ordered. ``ordered``: whether the SKU is on the order at all."""
    faults: list[Fault] = []
    code = _code(reading.date_code, arrived_on, faults)
    size = _size(reading.size, faults)
    if reading.mark is None and sku.mark:
        words = f"Read the approval mark: {_mark(sku.mark, sku.mark_issue)} is wanted."
        faults.append(Fault("mark", f"{words} Write none where there is none."))
    faults += _to_look_for(reading, agreed)
    if faults or code is None:
        return Judged(tuple(faults))
    told = [
        *_as_found(reading),
        *([] if ordered else [(Disagreement.NOT_ORDERED, f"{sku.code} is not on the order.")]),
        *(_of_size(sku, size) if size else ()),
        *_of_mark(sku, reading),
        *_of_side(sku, reading),
        *_of_origin(reading, agreed),
        *_of_age(sku, code, agreed.oldest_months, arrived_on),
    ]
    says = " ".join(words for _, words in told)
    return Judged((), told[0][0].value if told else "", says, code.warnings)


def _code(text: str, arrived_on: date, faults: list[Fault]) -> DateCode | None:
    try:
        earliest = dated_columns(text, arrived_on)["earliest"]
        code = read(text, arrived_on)
    except UnreadableDateCode as error:
        faults.append(Fault("date_code", str(error)))
        return None
    if earliest is not None and earliest > arrived_on:
        words = f"{text} is after {arrived_on.isoformat()}, when it arrived."
        faults.append(Fault("date_code", words))
    return code


def _size(text: str, faults: list[Fault]) -> Size | None:
    if not text:
        return None
    try:
        return read_size(text)
    except UnreadableMarking as error:
        faults.append(Fault("size_read", str(error)))
        return None


Told = Iterator[tuple[Disagreement, str]]


def _as_found(reading: Reading) -> Told:
    if reading.found == Found.DAMAGED:
        yield Disagreement.DAMAGED, "Damaged."
    elif reading.found == Found.PART_WORN:
        yield Disagreement.PART_WORN, "Part-worn; new was ordered."


def _of_size(sku: Sku, size: Size) -> Told:
    wanted = read_size(sku.size_text)
    if not same_size(size, wanted):
        yield Disagreement.WRONG_TYRE, f"{size} was read, {wanted} ordered."
        return
    service = (size.load_index, size.load_index_dual, size.speed)
    if any(service) and service != (sku.load_index, sku.load_index_dual, sku.speed or None):
        yield Disagreement.WRONG_SERVICE, f"{_service(*service)} was read, {_of(sku)} ordered."


def _of_mark(sku: Sku, reading: Reading) -> Told:
    seen = _plain(reading.mark or ""), _plain(reading.mark_issue)
    if reading.mark is not None and seen != (_plain(sku.mark), _plain(sku.mark_issue)):
        read_, wanted = _mark(reading.mark, reading.mark_issue), _mark(sku.mark, sku.mark_issue)
        yield Disagreement.WRONG_MARK, f"{read_} was read, {wanted} ordered."


def _of_side(sku: Sku, reading: Reading) -> Told:
    if reading.side and reading.side != sku.hand:
        wanted = sku.hand or "one that is not handed"
        yield Disagreement.WRONG_SIDE, f"A {reading.side} one was read, {wanted} ordered."


def _of_origin(reading: Reading, agreed: Agreed) -> Told:
    country, issue = reading.country or "", reading.pattern_issue or ""
    if country and agreed.country and _plain(country) != _plain(agreed.country):
        words = f"Made in {country}; {agreed.country} is agreed."
        yield Disagreement.WRONG_COUNTRY, words
    if issue and agreed.pattern_issue and _plain(issue) != _plain(agreed.pattern_issue):
        words = f"Pattern issue {issue} was read; {agreed.pattern_issue} is agreed."
        yield Disagreement.WRONG_ISSUE, words


def _to_look_for(reading: Reading, agreed: Agreed) -> Iterator[Fault]:
    if reading.country is None and agreed.country:
        words = f"Read where it was made: {agreed.country} is agreed."
        yield Fault("country", words)
    if reading.pattern_issue is None and agreed.pattern_issue:
        words = f"Read the pattern issue: {agreed.pattern_issue} is agreed."
        yield Fault("pattern_issue", words)


def _of_age(sku: Sku, code: DateCode, oldest_months: int | None, arrived_on: date) -> Told:
    if oldest_months is None or sku.kind != SkuKind.TYRE:
        return
    oldest = oldest_allowed_week(limit_months=oldest_months, on=arrived_on)
    agreed = f"{oldest_months} months are agreed"
    if code.week_index is None:
        yield Disagreement.UNDATED, f"No date code that tells its age; {agreed} at the most."
    elif code.week_index < oldest:
        age = code.age_on(arrived_on)
        yield Disagreement.TOO_OLD, f"Made in {code.words}, {age} old; {agreed} at the most."


def _plain(text: str) -> str:
    """As it is compared: capitals and the apostrophe of a year ('84) do not matter."""
    return text.casefold().lstrip("'’")


def _mark(mark: str, issue: str) -> str:
    return f"{mark} issue {issue}" if issue else mark or "no mark"


def _service(load: int | None, dual: int | None, speed: str | None) -> str:
    loads = f"{load}/{dual}" if dual else str(load or "")
    return f"{loads}{speed or ''}" or "no service description"


def _of(sku: Sku) -> str:
    return _service(sku.load_index, sku.load_index_dual, sku.speed)
