"""Alerts kept from night to night, and what the buyer says to them."""

from inventory.activities.alerting.answering import (
    acknowledge,
    leave,
    override,
)
from inventory.activities.alerting.keeping import Kept, keep_ageing, keep_alerts

__all__ = ["Kept", "acknowledge", "keep_ageing", "keep_alerts", "leave", "override"]
