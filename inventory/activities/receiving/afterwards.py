"""A complaint to a supplier opened by hand: what was found on the shelf days after the delivery."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q, Sum

from inventory.activities.blocking import block
from inventory.activities.complained_of import in_quarantine
from inventory.activities.moving import move
from inventory.activities.receiving.refusals import NoQuarantine
from inventory.activities.receiving.stocking import block_laid_for
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.refusal import Refusal
from inventory.ledger.locks import lock_balances
from inventory.ledger.moves import some
from inventory.ledger.post import Move, NotThatMany
from inventory.models.balance import Balance
from inventory.models.delivery import Delivery, DeliveryLine, Disagreement
from inventory.models.lot import Block, Lot, Owner
from inventory.models.place import Place, PlaceKind
from inventory.models.supplier import Supplier
from inventory.models.supplier_complaint import Settlement, SupplierComplaint

# What did not come cannot be found on the shelf.
BY_HAND = tuple(one for one in Disagreement if one != Disagreement.SHORT)
_NOTE = 400


class NoSuchComplaint(Refusal):
    """A reason that is not on the list, or that is not about tyres that are here."""

    status = 400

    def __init__(self, reason: str) -> None:
        known = ", ".join(one.label for one in BY_HAND)
        super().__init__(
            f"“{reason[:40]}” is nothing that is found on the shelf: there are {known}. "
            "Nothing was changed.",
            field="reason",
        )


class NotTheShops(Refusal):
    """Tyres that belong to somebody else were not bought of a supplier."""

    def __init__(self, lot: Lot) -> None:
        whose = lot.owner_customer or lot.owner_supplier
        super().__init__(
            f"Lot {lot.code} is not the shop's: it belongs to {whose}, who is to be asked. "
            "Nothing was changed.",
            field="lot",
        )


class NoneOnHand(Refusal):
    """All of the lot has left."""

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"No tyre of lot {lot.code} is on hand: they were sold or have left otherwise. What a "
            "customer has is taken back first, then complained of. Nothing was changed.",
            field="lot",
        )


class SayWhere(Refusal):
    """The lot lies in several places."""

    status = 400

    def __init__(self, lot: Lot, lies: Sequence[Balance]) -> None:
        told = ", ".join(f"{one.on_hand} in {one.place.code}" for one in lies)
        super().__init__(
            f"Lot {lot.code} lies in several places ({told}): say where the tyres are. "
            "Nothing was changed.",
            field="place",
        )


class SayWhose(Refusal):
    """Nobody knows who brought the lot."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} did not come by a delivery that was booked in here: say which "
            "supplier it is from. Nothing was changed.",
            field="supplier",
        )


class NotTheirs(Refusal):
    """Another supplier brought the lot."""

    status = 400

    def __init__(self, lot: Lot, delivery: Delivery) -> None:
        super().__init__(
            f"Lot {lot.code} came by {delivery.number} from {delivery.supplier}. "
            "Nothing was changed.",
            field="supplier",
        )


class ComplainedOfAlready(Refusal):
    """The tyres that lie in quarantine are those of another complaint."""

    def __init__(self, lot: Lot, place: Place, free: int) -> None:
        super().__init__(
            f"Of lot {lot.code} in {place.code} all but {free} are complained of already. "
            "Nothing was changed.",
            field="quantity",
        )


def open_complaint(
    *,
    lot: Lot,
    quantity: int,
    reason: str,
    says: str,
    place: Place | None = None,
    supplier: Supplier | None = None,
    by: User,
    at: datetime,
) -> SupplierComplaint:
    """Complain of so many tyres of a lot, which go to the quarantine of their site.

    Where nothing of the lot lies elsewhere any more, it is blocked as on receipt. ``place`` is
    where they lie, to be said where the lot lies in several; ``supplier`` who brought them, where
    no delivery tells. The order that they came by is left alone: it was filled, and a replacement
    is ordered or booked anew. Raises NoneAsked, NotWhole, TooMany, NoSuchComplaint, NotTheShops,
    NoneOnHand, SayWhere, SayWhose, NotTheirs, NoQuarantine, ComplainedOfAlready, Faulty, and what
    ``move`` does: NotThatMany, HeldTyresStay, NotForHeldTyres, OnATransfer.
    """
    some(quantity)
    if reason not in [one.value for one in BY_HAND]:
        raise NoSuchComplaint(reason)
    if lot.owner != Owner.HOUSE:
        raise NotTheShops(lot)
    with transaction.atomic():
        source = _source(lot, place, quantity)
        delivery = delivery_of(lot)
        complaint = SupplierComplaint(
            supplier=_supplier(lot, delivery, supplier),
            delivery=delivery,
            quarantine=_quarantine(source),
            sku=lot.sku,
            lot=lot,
            reason=reason,
            quantity=quantity,
            says=says.strip(),
            opened_by=by,
            opened_at=at,
        )
        refuse_faulty(complaint, ["reason", "quantity", "says"])
        complaint.save(force_insert=True)
        _put_aside(complaint, source, by=by, at=at)
    return complaint


def delivery_of(lot: Lot) -> Delivery | None:
    """The delivery that a lot came by, or what it was made from; None: by none of ours."""
    origin: Lot | None = lot
    while origin is not None:
        lines = DeliveryLine.objects.filter(Q(lot=origin) | Q(over_lot=origin))
        line = lines.select_related("delivery__supplier").order_by("pk").first()
        if line is not None:
            return line.delivery
        origin = origin.made_from
    return None


def _source(lot: Lot, place: Place | None, quantity: int) -> Place:
    rows = Balance.objects.filter(lot=lot, on_hand__gt=0).select_related("place__site")
    lies = list(rows.order_by("place__site__code", "place__code"))
    if not lies:
        raise NoneOnHand(lot)
    if place is not None:
        lies = [one for one in lies if one.place_id == place.pk]
        if not lies:
            raise NotThatMany(Move(lot.pk, place.pk, -quantity), 0, 0)
    else:
        lies = [one for one in lies if one.place.kind != PlaceKind.QUARANTINE] or lies
    if len(lies) > 1:
        raise SayWhere(lot, lies)
    return lies[0].place


def _supplier(lot: Lot, delivery: Delivery | None, said: Supplier | None) -> Supplier:
    if delivery is None:
        if said is None:
            raise SayWhose(lot)
        return said
    if said is not None and said.pk != delivery.supplier_id:
        raise NotTheirs(lot, delivery)
    return delivery.supplier


def _quarantine(source: Place) -> Place:
    if source.kind == PlaceKind.QUARANTINE:
        return source
    rows = Place.objects.filter(site=source.site_id, kind=PlaceKind.QUARANTINE)
    first = rows.order_by("walk", "code").first()
    if first is None:
        raise NoQuarantine(source)
    return first


def _put_aside(complaint: SupplierComplaint, source: Place, *, by: User, at: datetime) -> None:
    lot, target = complaint.lot, complaint.quarantine
    assert lot is not None and target is not None  # noqa: S101, PT018 - made so above
    if source.pk != target.pk:
        move(
            lot=lot, source=source, target=target, quantity=complaint.quantity, by=by, at=at,
            document=complaint.number, note=complaint.says[:_NOTE],
        )  # fmt: skip
    else:
        _not_anothers(complaint, lot, source)
    elsewhere = Balance.objects.filter(lot=lot, on_hand__gt=0)
    if elsewhere.exclude(place__kind=PlaceKind.QUARANTINE).exists():
        return
    laid = block_laid_for(complaint.reason)
    if not Block.objects.filter(lot=lot, reason=laid, lifted_at__isnull=True).exists():
        block(lot=lot, reason=laid, note=complaint.says[:_NOTE], by=by, at=at)


def _not_anothers(complaint: SupplierComplaint, lot: Lot, place: Place) -> None:
    """Of what lies in quarantine already, tyres that no other complaint is about."""
    balance = lock_balances([(lot.pk, place.pk)])[lot.pk, place.pk]
    if balance.on_hand < complaint.quantity:
        raise NotThatMany(
            Move(lot.pk, place.pk, -complaint.quantity), balance.on_hand, balance.held
        )
    here = in_quarantine(lot.pk, place)
    others = here.exclude(settlement=Settlement.ACCEPTED).exclude(pk=complaint.pk)
    free = balance.on_hand - (others.aggregate(all=Sum("quantity"))["all"] or 0)
    if complaint.quantity > free:
        raise ComplainedOfAlready(lot, place, max(free, 0))
