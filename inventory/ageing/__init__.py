"""What grows old: by band and site, and which lots cross the house's limit before they are sold.

An age limit is the house's advice. No law limits the age of a car's tyre in Great Britain; what
law there is concerns heavy vehicles (see ``limits``).
"""

from inventory.ageing.crossing import HORIZON_DAYS, Ageing, crossing
from inventory.ageing.limits import ADVICE, Band, bands, crosses_on
from inventory.ageing.lots import AgedLot, house_lots, sold_by_site, tyres_by_week

__all__ = [
    "ADVICE",
    "HORIZON_DAYS",
    "AgedLot",
    "Ageing",
    "Band",
    "bands",
    "crosses_on",
    "crossing",
    "house_lots",
    "sold_by_site",
    "tyres_by_week",
]
