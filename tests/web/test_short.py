"""Long answers are short pages: what is worked from stands first, the rest is folded."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from specdb.web import columns

from .conftest import SEAT, Watched

if TYPE_CHECKING:
    import httpx

SEATS = 16
COMMON = {"head": "al-si7mg-t6", "insert": "sintered-tool-steel"}


def head_of(seats: int) -> dict[str, str]:
    """An invented head, inlets and exhausts in two rows."""
    rows = ["label,position,bore_1,bore_2,depth,pilot,valve_diameter,x,y"]
    for at in range(seats):
        kind, bore, valve = (("inlet", 33.02, 31), ("exhaust", 28.28, 26))[at % 2]
        place = f"{at // 2 * 46},{at % 2 * 36}"
        rows.append(f"S{at + 1},{kind},{bore},{bore + 0.01},6.5,5.98,{valve},{place}")
    return {**COMMON, "readings": "\n".join(rows)}


def test_a_head_is_a_short_page_that_leads_to_its_seats(page: Watched) -> None:
    from urllib.parse import urlencode

    at = page.page
    at.goto(f"/head?{urlencode(head_of(SEATS))}")
    high = at.evaluate("document.documentElement.scrollHeight")
    assert high < SEATS * 500, "a screen for the head and a few lines a seat"
    section = at.locator("details.seat")
    assert section.count() == SEATS
    assert at.locator("details.seat[open]").count() == 0
    at.get_by_role("link", name="S2", exact=True).click()
    assert at.locator("details.seat[open]").count() == 1
    assert section.nth(1).locator(".bench").is_visible()
    at.get_by_role("link", name="seat S16").click()
    assert section.nth(15).locator(".bench").is_visible(), "from the map"
    mark = section.nth(15).locator(".mark").first
    mark.evaluate("each => each.closest('details').open = true")
    mark.click()
    assert at.locator(".notes > li:target").is_visible(), "a mark opens the sources"


def test_the_phone_shows_what_to_bore_and_the_heat_first(page: Watched) -> None:
    """Dangers a line each, then settings, heat, rings, seats; nothing else before the heat."""
    from urllib.parse import urlencode

    at = page.page
    at.set_viewport_size({"width": 360, "height": 780})
    at.goto(f"/head?{urlencode(head_of(SEATS))}")
    titles = at.locator(".answer > h2").all_inner_texts()
    assert titles[:4] == ["Settings", "Heat", "Rings to fetch", "Seats"]
    dangers = at.locator(".red li")
    boxes = [each.bounding_box() for each in dangers.all()]
    assert all(box is not None and box["height"] < 40 for box in boxes), "a line each"
    dangers.first.locator("summary").click()
    opened = dangers.first.bounding_box()
    assert opened is not None
    assert opened["height"] > 40, "the whole of it"
    dangers.first.locator("summary").click()
    heat = at.locator(".answer .lines dt", has_text="head at").first.bounding_box()
    assert heat is not None
    assert heat["y"] + heat["height"] <= 780, "what to bore to and the heat are the first screen"


def test_a_shortage_is_not_read_over() -> None:
    from specdb.records.head import RingToFetch
    from specdb.web.head_view import _fetched

    sizes = {"outer_mm": 41.0, "inner_mm": 34.0, "height_mm": 7.0}
    shelf = {"insert": "high-chrome", "origin": "shelf", "size": "R41A"}
    seats = {"labels": ("4 IN", "5 IN"), "without": ("5 IN",)}
    short = _fetched(RingToFetch(**sizes, **shelf, **seats, needed=2, on_hand=1))
    assert [each.strong for each in short if each.strong] == ["SHORT: 1 missing, for 5 IN"]
    enough = _fetched(
        RingToFetch(**sizes, **shelf, **(seats | {"without": ()}), needed=2, on_hand=2)
    )
    assert not any(each.strong for each in enough)


def test_inches_of_a_head_are_those_of_its_cards(ask: httpx.Client) -> None:
    asked = head_of(2)
    plans = ask.post("/api/v1/head", json=asked).json()["seats"].values()
    shown = ask.get("/head", params=asked).text
    settings = shown.partition("Settings</h2>")[2].partition("Heat</h2>")[0]
    for plan in plans:
        card = next(each["text"] for each in plan["bench"] if each["what"] == "bore to")
        limits = re.search(r"[\d.]+ to [\d.]+ in\b", card)
        assert limits, card
        assert limits.group() in settings
        assert shown.partition("Seats</h2>")[2].count(limits.group()) >= 2, "table and card"


def test_what_is_folded_is_printed(page: Watched) -> None:
    at = page.page
    at.goto(SEAT)
    assert not at.locator("ol.notes").is_visible()
    at.emulate_media(media="print")
    assert at.locator("ol.notes").is_visible()
    assert not at.locator("details.again").is_visible()


def test_the_head_page_has_a_table_to_start_from(ask: httpx.Client) -> None:
    shown = ask.get("/head").text
    for each in (*columns.columns()[0], *columns.columns()[1]):
        assert f"<code>{each.name}</code>" in shown
    assert "2,000 rows" in shown
    table = ask.get("/-/specdb/head.csv")
    assert table.headers["content-type"].startswith("text/csv")
    plan = ask.post("/api/v1/head", json={**COMMON, "readings": table.text}).json()
    assert len(plan["seats"]) == 4
    assert plan["bad_rows"] == []


def test_what_is_wrong_in_a_table_is_said_by_row_and_column(ask: httpx.Client) -> None:
    rows = "label,Bore 1 (mm),depth\nA,38.05,8.2\nB,38.05,deep\n"
    shown = ask.get("/head", params={**COMMON, "readings": rows}).text
    said = shown.partition("Rows not planned</h2>")[2].partition("</table>")[0]
    cells = re.findall(r"<td[^>]*><div>(.*?)</div>", said)
    assert cells[:3] == ["3", "B", "depth"]
    unknown = ask.get("/head", params={**COMMON, "readings": "label,boar_1\nA,38\n"})
    assert unknown.status_code == 400
    beside = unknown.text.partition('class="error"')[2].partition("</p>")[0]
    assert "boar_1" in beside
