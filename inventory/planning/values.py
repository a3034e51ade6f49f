"""What a stock of fronts and rears is expected to sell in a season: exactly, for every pairing."""

from __future__ import annotations

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.groups import Axle, Groups
from inventory.planning.levels import more_than


def worth(groups: Groups, fronts: Ints, rears: Ints) -> Floats:
    """What is earned with each stock of fronts (groups, f) beside each of rears (groups, r).

    Sets are served first, all or nothing, then whoever asks for one axle. Returns (groups, f, r):
    what the pieces sold are worth beyond pieces left.
    """
    whole = np.minimum(fronts[:, :, None], rears[:, None, :]) // 2
    most = int(whole.max(initial=0))
    sets = np.arange(most + 1)
    mean, variance = groups.sets_mean[:, None], groups.sets_variance[:, None]
    beyond = more_than(sets - 1, mean, variance)  # the chance that so many sets or more are asked
    sold_front = _sold(groups.front, fronts, beyond, whole, along=1)
    sold_rear = _sold(groups.rear, rears, beyond, whole, along=2)
    front, rear = groups.front.earned[:, None, None], groups.rear.earned[:, None, None]
    return np.asarray(sold_front * front + sold_rear * rear)


def _sold(axle: Axle, stock: Ints, beyond: Floats, whole: Ints, *, along: int) -> Floats:
    """Pieces of one axle expected to be sold, (groups, f, r)."""
    sets = np.arange(beyond.shape[1])
    rest = np.maximum(stock[:, :, None] - 2 * sets, 0)
    groups = np.arange(len(stock))[:, None, None]
    pieces = 2 * sets + _alone(axle, int(stock.max(initial=0)))[groups, rest]
    exactly = beyond[:, :-1] - beyond[:, 1:]
    below = np.cumsum(exactly[:, None, :] * pieces[:, :, :-1], axis=2)
    below = np.concatenate([np.zeros((*below.shape[:2], 1)), below], axis=2)
    up_to = below + beyond[:, None, :] * pieces  # (groups, stock, sets that there are)
    if along == 1:
        return np.take_along_axis(up_to, whole, axis=2)
    return np.take_along_axis(up_to, whole.transpose(0, 2, 1), axis=2).transpose(0, 2, 1)


def _alone(axle: Axle, most: int) -> Floats:
    """Pieces expected to be sold by themselves from 0 to ``most``; (groups, most + 1)."""
    tails = more_than(np.arange(most), axle.mean[:, None], axle.variance[:, None])
    return np.concatenate([np.zeros((len(tails), 1)), np.cumsum(tails, axis=1)], axis=1)
