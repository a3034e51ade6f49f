"""Which listed size a tyre is, whether that is for this car's build days, and what it replaces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitments.rules.measures import fitted_keys, fitted_overall, overall, tyre_keys
from fitments.rules.values import FittedSize, Spot, Standing, Tyre

_ORDER = tuple(Standing)


@dataclass(frozen=True, slots=True)
class Listed:
    """Listings that are surely for this car, perhaps (its build days are open), or surely not."""

    sure: tuple[FittedSize, ...] = ()
    perhaps: tuple[FittedSize, ...] = ()
    not_this: tuple[FittedSize, ...] = ()

    @property
    def best(self) -> FittedSize | None:
        """The surest listing, of the best standing."""
        return min(self.sure or self.perhaps, key=_rank, default=None)


def listed_as(tyre: Tyre, spot: Spot) -> Listed:
    """The listings of the tyre's own size, however either is written."""
    keys = tyre_keys(tyre)
    own = [each for each in spot.fitted if not keys.isdisjoint(fitted_keys(each))]
    return _parted(own, spot)


def replaced_by(tyre: Tyre, spot: Spot) -> FittedSize | None:
    """The listed size that the tyre would stand in for.

    Of the listings for this car (else those that may be), the best standing; of several such, the
    one nearest in overall diameter.
    """
    parted = _parted(spot.fitted, spot)
    ranked = _by_standing(parted.sure) or _by_standing(parted.perhaps)
    best = [each for each in ranked if each.standing is ranked[0].standing]
    own = overall(tyre)
    if own is None or len(best) < 2:
        return best[0] if best else None
    return min(best, key=lambda each: _gap(own.value_mm, each))


def governing(tyre: Tyre, spot: Spot) -> FittedSize | None:
    """The listing whose demands (load index, speed symbol) hold for this tyre here."""
    return listed_as(tyre, spot).best or replaced_by(tyre, spot)


def _gap(own: float, fitted: FittedSize) -> float:
    theirs = fitted_overall(fitted)
    return abs(theirs.value_mm - own) if theirs else float("inf")


def _by_standing(listings: Iterable[FittedSize]) -> tuple[FittedSize, ...]:
    return tuple(sorted(listings, key=_rank))


def _rank(listing: FittedSize) -> int:
    return _ORDER.index(listing.standing)


def _parted(listings: Iterable[FittedSize], spot: Spot) -> Listed:
    sure, perhaps, not_this = [], [], []
    for each in listings:
        if not each.built.known or (spot.built and each.built.covers(spot.built)):
            sure.append(each)
        elif spot.built is None or each.built.overlaps(spot.built):
            perhaps.append(each)
        else:
            not_this.append(each)
    return Listed(tuple(sure), tuple(perhaps), tuple(not_this))
