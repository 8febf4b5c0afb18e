"""The plugin inside Datasette: silent without our database, and kept by its settings with it."""

from __future__ import annotations

import asyncio
import csv
import re
import sqlite3
from contextlib import closing
from html import unescape
from pathlib import Path
from typing import Any

import httpx
import pytest
from datasette.app import Datasette

from specdb.answers.registry import QUESTIONS, Question
from specdb.web import plugin
from specdb.web.app import datasette_over


def asked(
    made: Datasette, *paths: str, method: str = "GET", **options: Any
) -> list[httpx.Response]:
    """Answers of an application in this process."""

    async def all_of_them() -> list[httpx.Response]:
        await made.invoke_startup()
        transport = httpx.ASGITransport(app=made.app(), raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://here") as client:
            return [await client.request(method, path, **options) for path in paths]

    return asyncio.run(all_of_them())


@pytest.fixture
def foreign(tmp_path: Path) -> Path:
    path = tmp_path / "foreign.sqlite"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE things (id INTEGER PRIMARY KEY, source TEXT)")
    connection.execute("INSERT INTO things VALUES (1, 'common-practice')")
    connection.commit()
    connection.close()
    return path


def test_it_is_silent_where_no_database_of_ours_is_attached(
    foreign: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from datasette import handle_exception

    monkeypatch.setattr(handle_exception, "rich", None)  # the stock handler draws tracebacks by it
    made = Datasette([str(foreign)])
    home, seat, api, things, sql = asked(
        made,
        "/",
        "/seat",
        "/api/v1/material",
        "/foreign/things",
        "/foreign.json?sql=select+length_in(1,'in')",
    )
    assert home.status_code == 200
    assert "style.css" not in home.text
    assert [seat.status_code, api.status_code] == [404, 404]
    assert "/source/common-practice" not in things.text
    assert "content-security-policy" not in things.headers
    assert sql.status_code == 400


def test_it_finds_our_database_beside_others(foreign: Path, database: Path) -> None:
    made = Datasette([str(foreign)], immutables=[str(database)])
    home, seat, api, things = asked(
        made,
        "/",
        "/seat",
        "/api/v1/material?material=al-si7mg-t6",
        "/foreign/things",
    )
    assert [each.status_code for each in (home, seat, api, things)] == [200] * 4
    assert "One seat" in home.text


def test_it_is_known_to_datasette() -> None:
    from datasette.plugins import pm

    assert pm.get_plugin("specdb") is plugin


def test_what_is_not_allowed_is_403_in_the_form_of_its_address(database: Path) -> None:
    made = Datasette(immutables=[str(database)], metadata={"allow": False})
    page, table, api = asked(made, "/seat", f"/{database.stem}.json", "/api/v1/material?material=x")
    assert [each.status_code for each in (page, table, api)] == [403] * 3
    assert page.headers["content-type"].startswith("text/html")
    for each in (table, api):
        assert each.headers["content-type"] == "application/problem+json"
        assert each.json()["type"] == "/api#forbidden"


def test_sql_can_be_turned_off(database: Path) -> None:
    sql = f"/{database.stem}.json?sql=select+1"
    (on,) = asked(datasette_over(str(database)), sql)
    (off, page, table) = asked(
        datasette_over(str(database), sql=False),
        sql,
        f"/{database.stem}",
        f"/{database.stem}/materials",
    )
    assert on.status_code == 200
    assert off.status_code == 403
    assert off.headers["content-type"] == "application/problem+json"
    assert "<textarea" not in page.text
    assert table.status_code == 200


def test_a_failure_of_ours_is_a_500_without_its_innards(
    database: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_: Question) -> Any:
        raise RuntimeError("secret in a local variable")

    from datasette import handle_exception

    made = datasette_over(str(database))
    monkeypatch.setattr(Question, "answer", broken)
    api, page = asked(made, "/api/v1/material?material=x", "/material/x")
    assert [api.status_code, page.status_code] == [500, 500]
    assert api.headers["content-type"] == "application/problem+json"
    assert api.json()["type"] == "/api#error"
    for each in (api, page):
        assert "secret" not in each.text
        assert each.headers["x-content-type-options"] == "nosniff"
    assert "locals" not in capsys.readouterr().err
    assert handle_exception.rich is None


def test_tables_of_the_machinery_are_hidden_and_columns_described(database: Path) -> None:
    made = datasette_over(str(database))
    listed, table = asked(made, f"/{database.stem}", f"/{database.stem}/materials")
    assert "alembic_version" not in listed.text
    assert "sqlite_stat1" not in listed.text
    assert "how the source was seen" in table.text
    assert '<a href="/material/al-si7mg-t6">' in table.text
    assert '<a href="/source/' in table.text
    assert "facet-family" in table.text


def test_search_finds_materials_and_sources(database: Path) -> None:
    material, beginning, none, odd = asked(
        datasette_over(str(database)),
        "/search?q=AA+356.0",
        "/search?q=auste",
        "/search?q=zzzzz",
        "/search?q=%22+OR+*+NEAR(",
    )
    assert "/material/al-si7mg-t6" in material.text
    assert "/material/austenitic-iron" in beginning.text
    assert "0 found" in none.text
    assert odd.status_code == 200


def test_every_question_has_a_page_and_an_address(database: Path) -> None:
    got = asked(datasette_over(str(database)), *(f"/{name}" for name in QUESTIONS))
    assert {each.status_code for each in got} == {200}


def test_rows_that_stand_come_first_each_in_the_order_of_its_name(database: Path) -> None:
    path = f"/{database.stem}/material_properties.json?_shape=objects&_size=400"
    seen: list[tuple[bool, str]] = []
    while path:
        (page,) = asked(datasette_over(str(database)), path)
        seen += [(row["until"] is not None, row["id"]) for row in page.json()["rows"]]
        path = (page.json()["next_url"] or "").removeprefix("http://here")
    assert {gone for gone, _ in seen} == {False, True}
    assert seen == sorted(set(seen)), "and none is lost or shown twice from page to page"


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (".csv?sql=select+x+from+nowhere", "no such table: nowhere"),
        (".json?sql=select+x+from+nowhere", "no such table: nowhere"),
        (".json?sql=delete+from+materials", "Statement must be a SELECT"),
        (".csv?sql=delete+from+materials", "Statement must be a SELECT"),
        (".csv", "SQL stands in the parameter sql"),
        ("/materials.csv?_sort=nothing", "Cannot sort table by nothing"),
    ],
)
def test_what_cannot_be_given_to_programs_is_refused_with_the_reason(
    database: Path, path: str, said: str
) -> None:
    (got,) = asked(datasette_over(str(database)), f"/{database.stem}{path}")
    assert (got.status_code, got.headers["content-type"]) == (400, "application/problem+json")
    assert said in got.json()["detail"]


def test_sql_is_given_as_csv(database: Path) -> None:
    (got,) = asked(datasette_over(str(database)), f"/{database.stem}.csv?sql=select+1+as+one")
    assert got.text.split() == ["one", "1"]


def test_sql_is_given_as_json_and_a_database_bare_as_its_tables(database: Path) -> None:
    at = f"/{database.stem}.json"
    one, bare = asked(datasette_over(str(database)), f"{at}?sql=select+1+as+one", at)
    assert one.json()["rows"] == [[1]]
    assert "materials" in {each["name"] for each in bare.json()["tables"]}


def test_a_table_as_csv_is_the_whole_table_as_a_file(database: Path) -> None:
    made = datasette_over(str(database))
    at = f"/{database.stem}/pocket_factors"
    with closing(sqlite3.connect(database)) as connection:
        (rows,) = connection.execute("SELECT count(*) FROM pocket_factors").fetchone()
    assert rows > made.setting("max_returned_rows"), "or this test tells nothing"
    (page,) = asked(made, at)
    (second,) = asked(made, *_links(page, rf"{at}\?_next="))
    links = [link for each in (page, second) for link in _links(each, rf"{at}\.csv")]
    assert len(links) == 2
    for path in (f"{at}.csv", *links):
        (got,) = asked(made, path)
        assert len(list(csv.reader(got.text.splitlines()))) == rows + 1, path
        assert got.headers["content-type"].startswith("text/csv")
        assert got.headers["content-disposition"] == 'attachment; filename="pocket_factors.csv"'
    (some,) = asked(made, f"{at}.csv?_size=7")
    assert len(some.text.splitlines()) == 8, "a page of a size stays one"


def _links(page: httpx.Response, start: str) -> list[str]:
    return [
        unescape(each) for each in re.findall(rf'href="[^"/]*(?://here)?({start}[^"]*)"', page.text)
    ]
