"""The register of approvals."""

from __future__ import annotations

from collections.abc import Iterator

from fitments.models.evidence import Evidence
from inventory.ground.uploads import FileIsGone, store
from stockist.patrol.check import Check, by_sql, count_of

_IN_A_RING = """
WITH RECURSIVE follows AS (
    SELECT v.approval_id AS first, v.superseded_by_id AS next, 1 AS steps
    FROM fitments_approvalversion v
    WHERE upper_inf(v.known) AND v.superseded_by_id IS NOT NULL
    UNION
    SELECT f.first, v.superseded_by_id, f.steps + 1 FROM follows f
    JOIN fitments_approvalversion v ON v.approval_id = f.next
    WHERE upper_inf(v.known) AND v.superseded_by_id IS NOT NULL AND f.next <> f.first
        AND f.steps < 100
)
SELECT DISTINCT a.code FROM follows f JOIN fitments_approval a ON a.id = f.first
WHERE f.next = f.first ORDER BY a.code
"""


def _files_that_are_not(since: int | None) -> Iterator[str]:
    """Kept files that are gone or changed; each is read and its digest taken again."""
    rows = Evidence.objects.exclude(copy_digest="").order_by("code")
    for code, digest in rows.values_list("code", "copy_digest").iterator():
        try:
            store.content_of(digest)
        except FileIsGone as gone:
            yield f"Of {code}: {gone.sentence}"


CHECKS = (
    Check(
        "papers",
        "What is known of a document now is its latest version.",
        by_sql(
            "SELECT e.code FROM fitments_evidence e WHERE (SELECT count(*) FROM "
            "fitments_evidenceversion v WHERE v.evidence_id = e.id AND upper_inf(v.known) AND "
            "(v.reference, v.issuer, v.says, v.digest, v.copy_digest) = "
            "(e.reference, e.issuer, e.says, e.digest, e.copy_digest) AND "
            "v.checked_at IS NOT DISTINCT FROM e.checked_at) <> 1 ORDER BY e.code",
            "Of {0} it is not.",
        ),
        count_of("fitments_evidence", "documents"),
    ),
    Check(
        "files",
        "Every file that was kept is there, and as it was.",
        _files_that_are_not,
        count_of("fitments_evidence WHERE copy_digest <> ''", "files"),
    ),
    Check(
        "versions",
        "Of every approval something is known now.",
        by_sql(
            "SELECT a.code FROM fitments_approval a WHERE NOT EXISTS "
            "(SELECT FROM fitments_approvalversion v "
            "WHERE v.approval_id = a.id AND upper_inf(v.known)) ORDER BY a.code",
            "Of approval {0} nothing is.",
        ),
        count_of("fitments_approval", "approvals"),
    ),
    Check(
        "makers",
        "A car maker approves for its own model ranges.",
        by_sql(
            "SELECT a.code, m.name, l.name FROM fitments_approval a "
            "JOIN fitments_carmaker m ON m.id = a.car_maker_id "
            "JOIN fitments_vehicleline l ON l.id = a.vehicle_line_id "
            "WHERE l.maker_id <> a.car_maker_id ORDER BY a.code",
            "Approval {0} is of {1}, for another maker's {2}.",
        ),
        count_of("fitments_approval WHERE car_maker_id IS NOT NULL", "approvals by car makers"),
    ),
    Check(
        "superseding",
        "No approval is superseded by what it supersedes.",
        by_sql(_IN_A_RING, "Approval {0} is, by way of others."),
        count_of("fitments_approvalversion", "versions"),
    ),
)
