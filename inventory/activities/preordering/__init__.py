"""The queue for tyres that are to come: on which deliveries to count, whose turn it is."""

from inventory.activities.preordering.keeping import axles_of, kept_now
from inventory.activities.preordering.planning import Plan, plan
from inventory.activities.preordering.queueing import queue, withdraw
from inventory.activities.preordering.serving import Turn, ended, serve

__all__ = [
    "Plan", "Turn", "axles_of", "ended", "kept_now", "plan", "queue", "serve", "withdraw",
]  # fmt: skip
