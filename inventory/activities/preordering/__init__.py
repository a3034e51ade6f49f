"""The queue for tyres that are to come: on which deliveries to count, whose turn it is."""

from inventory.activities.preordering.planning import Plan, plan
from inventory.activities.preordering.queueing import queue, withdraw
from inventory.activities.preordering.serving import Turn, ended, serve

__all__ = ["Plan", "Turn", "ended", "plan", "queue", "serve", "withdraw"]
