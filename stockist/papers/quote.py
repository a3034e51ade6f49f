"""What a quote says on paper: the answer as it was kept on the day, never worked out again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.conf import settings
from django.utils import timezone

from fitments.release.answering import LABELS as SAID
from fitments.rules import cautions
from fitments.rules.values import Outcome
from inventory.models.quote import Quote, QuoteState
from stockist.counter.wording import money
from stockist.selling.saying import kept_answer

LABELS = {one.code: words for one, words in {Outcome.SUITS: "Suits", **SAID}.items()}
NO_PRICE = "No price is known of it yet: ask before you order."
NOTHING_HELD = "Nothing is held by this quote: it is subject to what is in stock when you order."
NOT_JUDGED = "It was asked for without a car: nothing is said of what it suits."


@dataclass(frozen=True, slots=True)
class QuotePaper:
    """A whole quote. verdict: for which car and use. reasons: each with its source.

    ended: that it was taken up or withdrawn, "" while it stands.
    """

    shop: str
    number: str
    to: tuple[str, ...]
    given_on: date
    given_by: str
    good_until: date
    ended: str
    what: str
    asked: str
    price: tuple[str, ...]
    lots: tuple[str, ...]
    verdict: str
    reasons: tuple[str, ...]
    note: str
    cautions: tuple[str, ...]


def paper_of(quote: Quote) -> QuotePaper:
    """The paper of a quote. One query."""
    held = Quote.objects.with_names().get(pk=quote.pk)
    kept = kept_answer(held.answer)
    car = kept.car or (str(held.car) if held.car else "")
    by = held.made_by
    about = [f"for a {car}" if car else "", f"built {kept.built}" if kept.built else "", kept.terms]
    return QuotePaper(
        shop=settings.SHOP_NAME,
        number=held.number,
        to=(held.customer.name, *held.customer.address.splitlines()),
        given_on=timezone.localtime(held.made_at).date(),
        given_by=by.get_full_name() or by.username,
        good_until=held.good_until,
        ended=_ended(held),
        what=held.what,
        asked=", ".join(part for part in about if part),
        price=tuple(_price(held)),
        lots=kept.lots,
        verdict=f"{kept.verdict[:1].upper()}{kept.verdict[1:]}." if kept.verdict else NOT_JUDGED,
        reasons=tuple(_reason(**one) for one in kept.reasons),
        note=held.note,
        cautions=tuple(cautions.ALL),
    )


def _ended(quote: Quote) -> str:
    if quote.state == QuoteState.OPEN or quote.ended_at is None:
        return ""
    why = f": {quote.ended_why}" if quote.ended_why else ""
    day = timezone.localtime(quote.ended_at).date().isoformat()
    return f"It stands no more: {quote.get_state_display()} on {day}{why}."


def _price(quote: Quote) -> list[str]:
    if quote.price is None:
        return [NO_PRICE]
    each = money(quote.price, quote.currency)
    total = money(quote.price * quote.sets, quote.currency)
    said = f"{each} the set" + (f"; {quote.sets} sets: {total}" if quote.sets > 1 else "")
    return [said, *([quote.price_words] if quote.price_words else [])]


def _reason(*, sign: str, tone: str, words: str, source: str) -> str:
    label = f"{LABELS[tone]}: " if tone in LABELS else ""
    return f"{label}{words}" + (f" ({source.rstrip('.')})" if source else "")
