"""How much may be asked for: the negative binomial with a given mean and variance.

Where the variance is no larger than the mean it is the Poisson. All arguments broadcast; nothing
here looks at a SKU by itself.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy import special

from inventory.planning.arrays import Flags, Floats

Numbers = npt.ArrayLike
_POISSON = 1.0 + 1e-7  # a variance this close to the mean is the Poisson's


def at_most(x: Numbers, mean: Numbers, variance: Numbers) -> Floats:
    """The chance that x or fewer are asked for."""
    return _below(x, mean, variance, 0.0)


def more_than(x: Numbers, mean: Numbers, variance: Numbers) -> Floats:
    """The chance that more than x are asked for, exact where it is small."""
    return _above(x, mean, variance, 0.0)


def short(x: Numbers, mean: Numbers, variance: Numbers) -> Floats:
    """Pieces expected to be asked for beyond x: E[(D - x)+] (the loss function).

    E[D; D > x] is the mean times the chance that a negative binomial with a shape one larger
    exceeds x - 1 (Zipkin, *Foundations of Inventory Management*, 2000, appendix C; from memory).
    """
    x, mean, variance = np.broadcast_arrays(*_floats(x, mean, variance))
    tail = mean * _above(x - 1, mean, variance, 1.0) - x * _above(x, mean, variance, 0.0)
    return np.where(x < 0, mean - x, np.maximum(tail, 0.0))


def left(x: Numbers, mean: Numbers, variance: Numbers) -> Floats:
    """Pieces of x expected to be left: E[(x - D)+]."""
    number, expected = _floats(x, mean)
    return np.asarray(np.maximum(number - expected + short(x, mean, variance), 0.0))


def quantile(share: Numbers, mean: Numbers, variance: Numbers) -> Floats:
    """The fewest pieces that are enough with a chance of ``share`` or more."""
    share, mean, variance = (
        np.ascontiguousarray(each).ravel()
        for each in np.broadcast_arrays(*_floats(share, mean, variance))
    )
    return _settle(_first_guess(share, mean, variance), share, mean, variance)


def _settle(guess: Floats, share: Floats, mean: Floats, variance: Floats) -> Floats:
    """From a guess to the fewest that are enough: down while one fewer is, up while it is not."""
    for step in (-1.0, 1.0):
        open_ = np.arange(guess.size)
        while open_.size:
            tried = guess[open_] if step > 0 else guess[open_] - 1
            enough = at_most(tried, mean[open_], variance[open_]) >= share[open_]
            open_ = open_[enough & (guess[open_] > 0) if step < 0 else ~enough]
            guess[open_] += step
    return guess


def _first_guess(share: Floats, mean: Floats, variance: Floats) -> Floats:
    """The gamma distribution's quantile: rarely more than one piece off."""
    spread = np.maximum(variance, mean)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = special.gammaincinv(mean**2 / spread, share) * spread / mean
    return np.maximum(np.ceil(np.where(mean > 0, found, 0.0) - 0.5), 0.0)


def _floats(*values: Numbers) -> tuple[Floats, ...]:
    return tuple(np.asarray(value, float) for value in values)


def _shape(mean: Floats, variance: Floats) -> tuple[Flags, Floats, Floats]:
    """Which are Poisson; number and chance of the others."""
    poisson = variance <= mean * _POISSON
    with np.errstate(divide="ignore", invalid="ignore"):
        size = np.where(poisson, 1.0, mean**2 / (variance - mean))
        chance = np.where(poisson, 0.5, mean / variance)
    return poisson, size, chance


def _below(x: Numbers, mean: Numbers, variance: Numbers, more: float) -> Floats:
    x, mean, variance = np.broadcast_arrays(*_floats(x, mean, variance))
    poisson, size, chance = _shape(mean, variance)
    whole = np.maximum(np.floor(x), 0.0)
    wide = special.betainc(size + more, whole + 1, chance)
    return np.where(x < 0, 0.0, np.where(poisson, special.pdtr(whole, mean), wide))


def _above(x: Numbers, mean: Numbers, variance: Numbers, more: float) -> Floats:
    x, mean, variance = np.broadcast_arrays(*_floats(x, mean, variance))
    poisson, size, chance = _shape(mean, variance)
    whole = np.maximum(np.floor(x), 0.0)
    # The same as betaincc(size, whole + 1, chance), which takes fifteen times as long.
    wide = special.betainc(whole + 1, size + more, 1.0 - chance)
    return np.where(x < 0, 1.0, np.where(poisson, special.pdtrc(whole, mean), wide))
