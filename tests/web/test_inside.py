"""What the machine is made of stays inside: no place of a file, no page about the server itself."""

from __future__ import annotations

import gc
import logging
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from specdb.errors import StoreError
from specdb.web import held as holding
from specdb.web.app import datasette_over
from specdb.web.held import Held, Kept

from .conftest import pages
from .test_datasette import asked

if TYPE_CHECKING:
    import httpx

ABOUT_ITSELF = [
    "databases",
    "versions",
    "plugins",
    "settings",
    "config",
    "metadata",
    "threads",
    "actor",
    "logout",
    "permissions",
    "allow-debug",
    "messages",
    "patterns",
    "auth-token",
    "rules",
    "static/app.css",
]


@pytest.mark.parametrize("name", ABOUT_ITSELF)
def test_pages_about_the_server_are_not_here(ask: httpx.Client, name: str) -> None:
    page, data = ask.get(f"/-/{name}"), ask.get(f"/-/{name}.json")
    assert (page.status_code, data.status_code) == (404, 404)
    assert "To the questions" in page.text
    assert data.headers["content-type"] == "application/problem+json"
    assert ask.post(f"/-/{name}").status_code in (403, 404)


def test_no_answer_tells_where_the_files_lie(ask: httpx.Client, served_file: Path) -> None:
    tables = [
        "/.json",
        "/specdb.json",
        "/specdb/materials.json?_extra=database",
        "/specdb.json?sql=",
    ]
    tricks = [
        "select * from pragma_database_list",
        "with a as (select file as f from Pragma_Database_List()) select f from a",
        "select name from materials where name in (select file from 'pragma_database_list')",
    ]
    for sql in tricks:
        for form in ("/specdb", "/specdb.json"):
            assert ask.get(form, params={"sql": sql}).status_code == 400, (form, sql)
    asked = [
        *pages(),
        *tables,
        *(f"/specdb{form}?sql={sql}" for sql in tricks for form in ("", ".csv")),
    ]
    telling = [path for path in asked if str(served_file.parent) in ask.get(path).text]
    assert telling == []


def test_a_database_that_fails_is_said_without_its_place(
    database: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def gone(*_: object, **__: object) -> None:
        raise StoreError(f"the database {database} cannot be read: disk I/O error.")

    made = datasette_over(str(database))
    monkeypatch.setattr(holding, "open_database", gone)
    with caplog.at_level(logging.ERROR, "specdb.web"):
        got = asked(made, "/", "/seat", "/material/x", "/api/v1/material?material=x", "/releases")
    assert {each.status_code for each in got} == {503}
    for each in got:
        assert str(database.parent) not in each.text
        assert "cannot be read now" in each.text
    assert str(database) in caplog.text, "who runs the server is told"


def test_a_release_let_go_closes_with_its_last_reader(
    database: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(holding, "RELEASES", 1)
    held = Held(str(database))
    usual = held.database()
    first, second = (each["version"] for each in usual.releases()[:2])
    in_use = held.database(first)
    assert held.database(first) is in_use
    held.database(second)
    assert held.database(first) is not in_use, "it had to go"
    assert in_use.material("al-si7mg-t6").key == "al-si7mg-t6", "but a request still reads it"
    reader = in_use._reader
    del in_use
    gc.collect()
    with pytest.raises(StoreError, match="closed"):
        reader.one("SELECT 1")
    assert held.database() is usual, "what is answered from unasked never goes"
    held.close()


def test_what_was_asked_for_least_lately_goes_first() -> None:
    kept: Kept[str] = Kept(2)
    assert [kept.put("a", "A"), kept.put("b", "B")] == [[], []]
    assert kept.get("a") == "A"
    assert kept.put("c", "C") == ["B"]
    assert (kept.get("a"), kept.get("b")) == ("A", None)
