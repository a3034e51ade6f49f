"""Vans taken to meetings: loaded at home, sold from, unloaded at home and compared."""

from inventory.activities.outings.loading import load
from inventory.activities.outings.opening import open_outing
from inventory.activities.outings.refusals import (
    BackAlready,
    NotAVan,
    NothingInIt,
    NotOfThisVan,
    OutAlready,
    SayWhere,
)
from inventory.activities.outings.standing import Stands, left_in, standing
from inventory.activities.outings.unloading import unload

__all__ = [
    "BackAlready",
    "NotAVan",
    "NotOfThisVan",
    "NothingInIt",
    "OutAlready",
    "SayWhere",
    "Stands",
    "left_in",
    "load",
    "open_outing",
    "standing",
    "unload",
]
