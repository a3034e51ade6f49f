"""Looking over the whole house: whether what is stored still hangs together."""

from stockist.patrol import (
    buying,
    consigning,
    counting,
    ledger,
    markings,
    register,
    selling,
    sending,
    storing,
    transfers,
    working,
)
from stockist.patrol.check import Check, Looked

CHECKS: tuple[Check, ...] = (
    *ledger.CHECKS,
    *markings.CHECKS,
    *register.CHECKS,
    *buying.CHECKS,
    *selling.CHECKS,
    *sending.CHECKS,
    *counting.CHECKS,
    *storing.CHECKS,
    *transfers.CHECKS,
    *consigning.CHECKS,
    *working.CHECKS,
)

__all__ = ["CHECKS", "Check", "Looked"]
