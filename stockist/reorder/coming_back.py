"""The buyer's own numbers out of the spreadsheet that went out: only what was changed is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from django.contrib.auth.models import User

from inventory.activities import alerting
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.sheet import Outcome, Plan, Sheet
from inventory.models.alert import Alert, AlertOverride
from inventory.models.sku import Sku
from stockist.reorder.rows import HEADINGS

_READ = ("SKU", "buyer's own", "why another")
MOST = 100_000


@dataclass
class OwnNumbers(Plan):
    """Numbers as they will be kept, with the alert that each is for."""

    said: list[tuple[Alert, int | None, str]]
    outcome: Outcome = field(default_factory=Outcome)

    def write(self, *, by: User, at: datetime) -> None:
        """Keep each, with its reason."""
        for alert, pieces, why in self.said:
            alerting.override(alert=alert, pieces=pieces, why=why, by=by, at=at)


def _shown(heading: str) -> Column:
    """A column that went out to be looked at, and says nothing when it comes back."""
    return Column(heading, f"shown {heading}", readers.words)


class ComingBack(Sheet):
    """One row an alert; its own number and the reason are read, the rest is for the eye."""

    name = "reorder"
    title = "Buyers' own numbers"
    model = AlertOverride
    key = ("sku",)
    columns = (
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        Column("buyer's own", "pieces", readers.whole, absent=None, example="12"),
        Column("why another", "why", readers.text, example="a club rang"),
        *(_shown(heading) for heading in HEADINGS if heading not in _READ),
    )

    def plan(self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool) -> OwnNumbers:
        """Judge each row: the alert stands, the number is one to order, and a reason is given."""
        self.report_doubles(rows, report)
        skus = [row.values["sku"].pk for row in rows]
        standing = {a.sku_id: a for a in Alert.objects.standing().filter(sku__in=skus)}
        last = {
            one.alert_id: (one.pieces, one.why)
            for one in AlertOverride.objects.filter(alert__in=standing.values()).order_by("pk")
        }
        plan = OwnNumbers([])
        for row in rows:
            alert = standing.get(row.values["sku"].pk)
            said = row.values["pieces"], row.values["why"].strip()
            if said == (None, "") or (alert and last.get(alert.pk) == said):
                plan.outcome.same += 1
            elif self._sound(row, alert, report) and alert is not None:
                plan.outcome.new += 1
                plan.said.append((alert, *said))
        return plan

    def _sound(self, row: SheetRow, alert: Alert | None, report: Report) -> bool:
        pieces, why = row.values["pieces"], row.values["why"].strip()
        wrong = []
        if alert is None:
            wrong.append(("sku", f"no alert of {row.values['sku']} stands any more."))
        if pieces is not None and not 0 <= pieces <= MOST:
            wrong.append(("pieces", "an order is of 0 to 100,000 pieces."))
        if not why:
            wrong.append(("why", "say why another number is ordered."))
        if len(why) > 240:
            wrong.append(("why", "the reason is longer than 240 signs."))
        for name, words in wrong:
            report(row.number, self.heading_of(name), words)
        return not wrong


COMING_BACK = ComingBack()
