"""The demo's documents with files: a letter that was checked, a photograph nobody looked at."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from io import BytesIO

from django.contrib.auth.models import User
from django.core.files.base import ContentFile
from django.db import transaction
from PIL import Image, ImageDraw
from reportlab.platypus import Flowable

from fitments.activities import evidence
from fitments.models.evidence import Evidence, EvidenceKind
from inventory.ground.uploads import Received, take
from stockist.papers.sheet import HEAD, Foot, printed, words

LETTER, PICTURE = "EV-101", "EV-102"
SAYS = "155 R 13 Cordouan Sillage with mark MBY, issue 2, on both axles of every Linnet."


def documents(*, at: datetime) -> str:
    """Record them, once; what was done, in words."""
    if Evidence.objects.filter(code__in=[LETTER, PICTURE]).exists():
        return "there already"
    buyer, owner = (User.objects.get(username=name) for name in ("buyer", "owner"))
    with transaction.atomic():
        letter = evidence.record(
            code=LETTER, kind=EvidenceKind.LETTER, reference="Letter MH/311, answer to ours",
            issuer="Marbury Heritage", dated=date(2025, 3, 3), says=SAYS, model_ranges=["LIN"],
            sizes=["155 R 13"], marks=["MBY 2"], axles=["front", "rear"], file=_letter(),
            by=buyer, at=at,
        )  # fmt: skip
        evidence.check(evidence=letter, by=owner, at=at)
        evidence.record(
            code=PICTURE, kind=EvidenceKind.PHOTOGRAPH, reference="Sidewall at goods in",
            issuer="Fenwold Tyres, goods in", sizes=["155 R 13"], marks=["MBY 1"],
            file=_picture(), by=buyer, at=at,
        )  # fmt: skip
    return "a letter checked by a second person, a photograph that nobody has checked"


def _letter() -> Received:
    data = printed("Letter MH/311", Foot("Marbury Heritage (invented)"), _story)
    return take(ContentFile(data, name="letter MH-311.pdf"))


def _story() -> Iterable[Flowable]:
    yield words("Marbury Heritage", HEAD)
    yield words("To Fenwold Tyres, 3 March 2025. In answer to your question:")
    yield words(SAYS)


def _picture() -> Received:
    picture = Image.new("RGB", (640, 200), "#262624")
    drawn = ImageDraw.Draw(picture)
    drawn.text((40, 80), "CORDOUAN  SILLAGE  155 R 13  MBY 1", fill="#f6f4ee", font_size=28)
    out = BytesIO()
    picture.save(out, "JPEG")
    return take(ContentFile(out.getvalue(), name="sidewall.jpg"))
