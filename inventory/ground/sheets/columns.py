"""The columns of a sheet: heading, how a cell is read, what an empty one means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import (
    BooleanField,
    DateField,
    DecimalField,
    Field,
    IntegerField,
    Model,
    TextField,
)

from inventory.ground.sheets import readers
from inventory.ground.sheets.readers import Reader
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.shifting import Shifter


@dataclass(frozen=True, slots=True)
class Column:
    """One column: ``name`` is its key in a row's values, ``absent`` what an empty cell means.

    A column that a file does not have at all leaves what is there already as it is. ``wanted``
    says in a few words what to write, for the template.
    """

    heading: str
    name: str
    read: Reader = readers.text
    required: bool = False
    absent: Any = ""
    example: str = ""
    wanted: str = ""
    shift: Shifter | None = None
    refers: Reference | None = None


def of(
    model: type[Model],
    name: str,
    *,
    heading: str = "",
    read: Reader | None = None,
    required: bool | None = None,
    example: str = "",
    wanted: str = "",
    shift: Shifter | None = None,
) -> Column:
    """The column of a model's field: read as the kind of field it is, empty as its default."""
    field: Field[Any, Any] = model._meta.get_field(name)  # type: ignore[assignment]
    default = field.get_default()
    return Column(
        heading=heading or str(field.verbose_name),
        name=name,
        read=read or _reader(field),
        required=not field.blank and not field.has_default() if required is None else required,
        absent=default,
        example=example,
        wanted=wanted or _wanted(field),
        shift=shift,
    )


def to(heading: str, name: str, refers: Reference, *, required: bool = False, example: str = "",
       wanted: str = "") -> Column:  # fmt: skip
    """The column that names a row of another model."""
    return Column(
        heading=heading,
        name=name,
        read=readers.code,
        required=required,
        absent=None,
        example=example,
        wanted=wanted or f"a {refers.words} that is there already",
        refers=refers,
    )


def _reader(field: Field[Any, Any]) -> Reader:
    if field.choices:
        return readers.choice(field.flatchoices)
    kinds: tuple[tuple[type[Field[Any, Any]], Reader], ...] = (
        (DecimalField, readers.number),
        (IntegerField, readers.whole),
        (BooleanField, readers.yes_no),
        (DateField, readers.day),
        (TextField, readers.words),
    )
    return next((read for kind, read in kinds if isinstance(field, kind)), readers.text)


def _wanted(field: Field[Any, Any]) -> str:
    if field.choices:
        return "one of: " + ", ".join(str(label).split(":")[0] for _, label in field.flatchoices)
    kinds: tuple[tuple[type[Field[Any, Any]], str], ...] = (
        (DecimalField, "a number, with a point"),
        (IntegerField, "a whole number"),
        (BooleanField, "yes or no"),
        (DateField, "a day, such as 2026-03-01"),
    )
    return next((words for kind, words in kinds if isinstance(field, kind)), "text")
