"""Tables that are laid out for selling and have no page in the back office yet.

A model leaves this set with its page, and then needs a factory like any other.
"""

from __future__ import annotations

LAID_OUT = {
    "inventory.quote",
    *("inventory.hold", "inventory.holdline", "inventory.preorder", "inventory.preorderline"),
    *("inventory.order", "inventory.orderline"),
    *("inventory.picklist", "inventory.pickline", "inventory.despatch", "inventory.despatchline"),
    *("inventory.return", "inventory.returnline"),
    *("inventory.customercomplaint", "inventory.complaintpicture"),
}
