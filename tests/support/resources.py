"""What holds for every list of the API, whichever app it is of."""

from __future__ import annotations

from inventory.ground.rest.ordering import words_of
from tests.support.calling import ROOT, every_row, read, refused
from tests.support.direct import DirectApi


def pages_are_whole(client: DirectApi, path: str, viewset) -> None:
    """In every order, page by page, each row comes once, and back again the same way."""
    everything = {row["id"] for row in every_row(client, path, page_size=100)}
    assert len(everything) >= 5
    for order in sorted({order.removeprefix("-") for order in words_of(viewset)}):
        found = [row["id"] for row in every_row(client, path, page_size=2, ordering=order)]
        assert len(found) == len(set(found)), order
        assert set(found) == everything
        back = [row["id"] for row in every_row(client, path, page_size=3, ordering=f"-{order}")]
        assert back == found[::-1]


def previous_leads_back(client: DirectApi, path: str) -> None:
    """From the last page back to the first, the same pages."""
    pages = [read(client, path, page_size=2)]
    while pages[-1]["next"]:
        pages.append(client.get(pages[-1]["next"]).json())
    assert pages[0]["previous"] is None
    page = pages[-1]
    for earlier in reversed(pages[:-1]):
        page = client.get(page["previous"]).json()
        assert page["results"] == earlier["results"]
        assert page["next"] is not None
    assert page["previous"] is None


def slips_are_refused(client: DirectApi, path: str) -> None:
    """A filter, an order, a page or a cursor that is not there."""
    refused(client.get(f"{ROOT}{path}?colour=red"), 400, "There is no filter “colour”", "/colour")
    refused(client.get(f"{ROOT}{path}?pagesize=3"), 400, "Did you mean “page_size”?")
    refused(client.get(f"{ROOT}{path}?ordering=luck"), 400, "There is no such order", "/ordering")
    for size in ("0", "101", "-1", "ten", "9" * 30, "²"):
        refused(client.get(f"{ROOT}{path}?page_size={size}"), 400, "1 to 100", "/page_size")
    refused(client.get(f"{ROOT}{path}?page_size=2&page_size=3"), 400, "2 times")
    for cursor in ("x", "W10", "é", "WzAsWyJ4IiwieSJdXQ", "bnVsbA", "[" * 9000):
        refused(client.get(ROOT + path, {"cursor": cursor}), 404, "no cursor")
    refused(client.get(f"{ROOT}{path}9" + "9" * 17 + "/"), 404)


def is_a_list(client: DirectApi, path: str, viewset, make, same_queries, subtests) -> int:
    """All that holds for a list, on the same few rows. Returns how many questions a page costs."""
    with subtests.test("an empty one is an answer"):
        answer = read(client, path)
        assert (answer["next"], answer["previous"], answer["results"]) == (None, None, [])
    with subtests.test("a slip is refused"):
        slips_are_refused(client, path)
    make(3)
    # Counted first: what is kept after an answer must not stand in for a question.
    asked: int = same_queries(lambda: read(client, path), lambda: make(3))
    with subtests.test("each row comes once in every order"):
        pages_are_whole(client, path, viewset)
    with subtests.test("previous leads back"):
        previous_leads_back(client, path)
    with subtests.test("a row alone is the row of the list"):
        for row in every_row(client, path)[:3]:
            assert read(client, f"{path}{row['id']}/") == row
    return asked
