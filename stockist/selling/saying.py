"""What is kept of an answer with a hold, a quote or an order: the set, the verdict, the reasons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from fitments.rules.words import months
from inventory.availability import SetAnswer
from inventory.models.sku import Sku
from inventory.release import AGE_LIMIT, age_limit_of
from stockist.counter.answer import OfferAnswer, PartAnswer, Question
from stockist.counter.wording import distinct, money, pieces_wanted, title_of

LONGEST = 240
MOST_REASONS = 40


def what_is(sets: SetAnswer, skus: Sequence[Sku]) -> str:
    """The set in a line: so many of which tyre."""
    names = {sku.pk: title_of(sku) for sku in skus}
    counts: Counter[str] = Counter()
    for one in sets.chosen:
        counts[names.get(one.lot.sku_id, "")] += one.quantity
    if not counts:
        tyres = sum(count for _, count in pieces_wanted(sets))
        counts[" and ".join(names.values())] = tyres
    said = ", ".join(f"{count} × {name}" for name, count in counts.items())
    return said if len(said) <= LONGEST else f"{said[: LONGEST - 1]}…"


def said_of_offer(question: Question, part: PartAnswer, one: OfferAnswer) -> dict[str, Any]:
    """Use, market, class and age limit as the release reads them; the verdict in words."""
    found = distinct(one.verdict.findings)
    variant = question.variant
    spot = next(iter(part.spots.values()))
    return {
        "use": str(question.use),
        "market": str(question.market),
        "class": question.competition_class.code if question.competition_class else "",
        AGE_LIMIT: question.stands.customer_limit_months,
        "car": str(variant) if variant else spot.car,
        "built": question.built.words if question.built else "",
        "verdict": one.verdict.outcome.word,
        "sign": one.verdict.outcome.sign,
        "tone": one.verdict.outcome.code,
        "reasons": [
            {"sign": each.outcome.sign, "tone": each.outcome.code, "words": each.words,
             "source": each.source}
            for each in found[:MOST_REASONS]
        ],
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """An answer that was kept, ready to be shown."""

    car: str
    built: str
    terms: str
    verdict: str
    sign: str
    tone: str
    reasons: tuple[Mapping[str, str], ...]
    lots: tuple[str, ...]
    price: str
    question: str


def kept_answer(answer: Mapping[str, Any]) -> KeptAnswer:
    """What a hold, a quote or an order line keeps, in words; empty where nothing was said."""
    stock = answer.get("stock", {})
    price = stock.get("price", {})
    amount = Decimal(price["amount"]) if price.get("amount") is not None else None
    limit = age_limit_of(answer)
    terms = [
        f"{answer['use']} use" if answer.get("use") else "",
        answer.get("class", ""),
        f"not older than {months(limit)}" if limit else "",
    ]
    return KeptAnswer(
        car=answer.get("car", ""),
        built=answer.get("built", ""),
        terms=", ".join(one for one in terms if one),
        verdict=answer.get("verdict", ""),
        sign=answer.get("sign", ""),
        tone=answer.get("tone", ""),
        reasons=tuple(_reason(one) for one in answer.get("reasons", ())),
        lots=tuple(_lot(one) for one in stock.get("chosen", ())),
        price=money(amount, price.get("currency", "")),
        question=answer.get("question", ""),
    )


def _reason(one: Any) -> Mapping[str, str]:
    """A reason as it was kept: with its sign, or a bare sentence."""
    if isinstance(one, str):
        return {"sign": "", "tone": "", "words": one, "source": ""}
    return {name: str(one.get(name, "")) for name in ("sign", "tone", "words", "source")}


def _lot(chosen: Mapping[str, Any]) -> str:
    lot = chosen["lot"]
    axle = f", {chosen['for_place']}" if chosen.get("for_place") else ""
    return f"{chosen['quantity']} × {lot['date_code'] or 'no date code'}, lot {lot['code']}{axle}"
