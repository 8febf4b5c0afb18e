"""Served over a shop's own lists, and over a shared server: the same bytes, the right caching."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from specdb.answers.registry import QUESTIONS
from specdb.answers.stock_list import import_list
from specdb.store.asof import open_reader
from specdb.web.openapi import takes_table

from .conftest import serving

SEARCHED = {"bore": "38.05", "head": "al-si7mg-t6", "insert": "sintered-tool-steel"}
MATERIAL = {"material": "al-si7mg-t6"}


def shelf(database: Path, place: Path, outer: float) -> None:
    """One invented ring on the shop's shelf, in place of what lay there."""
    reader = open_reader(database)
    rows = f"part,OD,ID,height,material,qty\nA-1,{outer},31.0,7.0,sintered-tool-steel,4\n"
    import_list(reader, rows.encode(), "shelf", stock=place, od_means="ring")
    reader.close()


@pytest.fixture(scope="module")
def place(database: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("shop") / "stock.sqlite"
    shelf(database, place, 38.16)
    return place


@pytest.fixture(scope="module")
def shop(database: Path, place: Path) -> Iterator[httpx.Client]:
    """A server that was told of no lists: it finds the shop's as the command line does."""
    with (
        serving("--database", str(database), SPECDB_STOCK=str(place)) as address,
        httpx.Client(base_url=address, timeout=60) as client,
    ):
        yield client


def test_what_was_searched_on_the_shelf_is_not_kept_by_others(shop: httpx.Client) -> None:
    for path in ("/api/v1/sizes", "/api/v1/seat", "/sizes", "/seat"):
        for method in ("GET", "HEAD"):
            got = shop.request(method, path, params=SEARCHED)
            assert got.status_code == 200, got.text
            assert got.headers["cache-control"] == "private, no-cache", (method, path)
            assert "access-control-allow-origin" not in got.headers, "other sites read the shelf"
        known = {"if-none-match": got.headers["etag"]}
        again = shop.get(path, params=SEARCHED, headers=known)
        assert (again.status_code, again.content) == (304, b"")
        assert again.headers["cache-control"] == "private, no-cache"
    for path in ("/api/v1/material", "/material"):
        got = shop.get(path, params=MATERIAL)
        assert got.headers["cache-control"] == "public, max-age=300", path
        open_to_others = got.headers.get("access-control-allow-origin")
        assert open_to_others == ("*" if path.startswith("/api/") else None)


def test_a_tag_changes_with_the_shelf_and_the_release(
    shop: httpx.Client, database: Path, place: Path
) -> None:
    first = shop.get("/api/v1/sizes", params=SEARCHED)
    unsearched = shop.get("/api/v1/material", params=MATERIAL)
    assert "A-1" in first.text
    shelf(database, place, 38.17)
    known = {"if-none-match": first.headers["etag"]}
    second = shop.get("/api/v1/sizes", params=SEARCHED, headers=known)
    assert second.status_code == 200, "what is known no longer holds"
    assert second.headers["etag"] != first.headers["etag"]
    assert second.json()["stock"] != first.json()["stock"]
    assert "38.17" in second.text
    old = {"release": "2026.11"}
    pinned = shop.get("/api/v1/sizes", params={**SEARCHED, **old})
    assert pinned.json()["data_release"] == "2026.11"
    assert pinned.headers["etag"] not in (first.headers["etag"], second.headers["etag"])
    kept = shop.get("/api/v1/material", params=MATERIAL)
    assert kept.headers["etag"] == unsearched.headers["etag"], "the shelf does not matter to it"
    assert (
        shop.get("/api/v1/material", params={**MATERIAL, **old}).headers["etag"]
        != kept.headers["etag"]
    )


@pytest.fixture(scope="module")
def far(shared: str) -> Iterator[httpx.Client]:
    """A server whose data lie on a shared server."""
    with (
        serving("--database", shared, "--stock", "none") as address,
        httpx.Client(base_url=address, timeout=60) as client,
    ):
        yield client


@pytest.mark.parametrize(
    "name", [each.name for each in QUESTIONS.values() if not takes_table(each)]
)
def test_a_shared_server_gives_the_same_bytes(
    far: httpx.Client, ask: httpx.Client, name: str
) -> None:
    path, params = f"/api/v1/{name}", QUESTIONS[name].example
    there, here = far.get(path, params=params), ask.get(path, params=params)
    assert there.status_code == 200
    assert there.content == here.content
    assert there.headers["etag"] == here.headers["etag"]


def test_a_shared_server_is_searched_and_what_it_lacks_is_said(
    far: httpx.Client, ask: httpx.Client
) -> None:
    for path in ("/search?q=auste", "/material/austenitic-iron", "/seat?bore=wide", "/releases"):
        there, here = far.get(path), ask.get(path)
        assert there.status_code == here.status_code
        assert there.text == here.text.replace('<a href="/specdb">Tables</a>\n', "\n"), path
    for path in ("/specdb", "/specdb/materials", "/specdb.db"):
        got = far.get(path)
        assert got.status_code == 404
        assert "shared server" in got.text
    data = far.get("/specdb/materials.json")
    assert data.headers["content-type"] == "application/problem+json"
    assert "shared server" in data.json()["detail"]
    assert "not browsed here" in far.get("/api").text
    sql = far.get("/_memory.json?sql=select+length_in('1.500 in','mm')&_shape=arrayfirst")
    assert sql.json() == pytest.approx([38.1])
    assert "/_memory?sql=" in far.get("/sql-functions").text


def test_a_head_says_which_ring_to_fetch(shop: httpx.Client) -> None:
    rows = "label,position,bore_1,bore_2,depth\n1E,exhaust,38.05,38.05,7\n"
    asked = {"readings": rows, "head": "al-si7mg-t6", "insert": "sintered-tool-steel"}
    shown = shop.get("/head", params=asked).text
    assert shown.partition("Seats</h2>")[2].partition("</table>")[0].count("shelf, part A-1") == 1
