"""Tables that are laid out for selling and have no activity of their own yet.

A model leaves this set with the activity that uses it, and then needs its role, its page and its
factory like any other.
"""

from __future__ import annotations

LAID_OUT = {
    *("inventory.agestep", "inventory.priceclass", "inventory.quote"),
    *("inventory.hold", "inventory.holdline", "inventory.preorder", "inventory.preorderline"),
    *("inventory.order", "inventory.orderline"),
    *("inventory.picklist", "inventory.pickline", "inventory.despatch", "inventory.despatchline"),
    *("inventory.return", "inventory.returnline"),
    *("inventory.customercomplaint", "inventory.complaintpicture"),
}
