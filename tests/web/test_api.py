"""The API: the same bytes everywhere, tags, methods, problems, and its own description."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import specdb
from specdb.answers.ask import to_json
from specdb.answers.registry import QUESTIONS, Question
from specdb.web import problems
from specdb.web.held import Held, canonical
from specdb.web.openapi import document, takes_table

if TYPE_CHECKING:
    import httpx

GOT = [each for each in QUESTIONS.values() if not takes_table(each)]
MATERIAL = {"material": "al-si7mg-t6"}


def options(question: Question) -> list[str]:
    """The example as a command line."""
    found: list[str] = []
    for name, value in question.example.items():
        for each in value if isinstance(value, list) else [value]:
            flag = [] if name == question.leading else [f"--{name.replace('_', '-')}"]
            found += [*flag, str(each)]
    return found


@pytest.mark.parametrize("question", GOT, ids=lambda each: each.name)
def test_python_command_line_and_http_give_the_same_bytes(
    question: Question, ask: httpx.Client, database: Path
) -> None:
    got = ask.get(f"/api/v1/{question.name}", params=question.example)
    assert got.status_code == 200, got.text[:300]
    with specdb.open(database) as db:
        python = (to_json(db.ask(question.name, **question.example)) + "\n").encode()
    assert got.content == python
    command = [sys.executable, "-c", "from specdb.cli import main; main()", question.name]
    shared = ["--database", str(database), "--stock", "none", "--json"]
    printed = subprocess.run([*command, *options(question), *shared], capture_output=True)
    assert got.content == printed.stdout


def test_a_head_is_posted_as_csv_as_json_and_as_seats(ask: httpx.Client, database: Path) -> None:
    example = QUESTIONS["head"].example
    with specdb.open(database) as db:
        python = (to_json(db.ask("head", **example)) + "\n").encode()
    apart = {name: value for name, value in example.items() if name != "readings"}
    csv = {"content-type": "text/csv"}
    as_csv = ask.post("/api/v1/head", params=apart, content=example["readings"], headers=csv)
    assert as_csv.content == python
    assert ask.post("/api/v1/head", json=example).content == python
    seat = QUESTIONS["seat"].example
    planned = ask.post("/api/v1/head", json={"readings": [seat]})
    assert planned.status_code == 200, planned.text[:300]
    assert list(planned.json()["seats"]) == [seat["label"]]
    counted = {name: value for name, value in seat.items() if name != "bore"}
    counted |= {f"bore_{at}": one for at, one in reversed([*enumerate(seat["bore"], start=9)])}
    again = ask.post("/api/v1/head", json={"readings": [{**counted, "bore_11": None}]})
    assert again.content == planned.content, "numbered as in a table, in the order of the numbers"
    both = ask.post("/api/v1/head", json={"readings": [{**seat, "bores_1": 38.0}]})
    assert (both.status_code, both.json()["field"]) == (400, "readings")


def test_a_line_for_a_spreadsheet_is_offered_where_a_cell_holds_the_answer(
    ask: httpx.Client,
) -> None:
    page = ask.get("/api").text
    for question in GOT:
        name = question.name
        long = len(ask.get(f"/api/v1/{name}", params=question.example).text)
        offered = re.search(rf'=WEBSERVICE\("[^"]+/api/v1/{name}\?', page)
        assert (offered is not None) is (long < 32_000), (name, long)


def test_the_page_of_the_api_hands_over_the_table_it_posts(
    ask: httpx.Client, database: Path
) -> None:
    page = ask.get("/api").text
    assert 'href="/-/specdb/head.csv"' in page
    (line,) = re.findall(r'"Python on this machine, head">import specdb\n(.*?)</pre>', page)
    table = ask.get("/-/specdb/head.csv").text
    code = unescape(line).replace('open("head.csv").read()', "table")
    assert "readings=table" in code
    with specdb.open(database) as db:
        plan = eval(code.replace("specdb.open()", "db"), {"db": db, "table": table})
    assert len(plan.seats) == len(table.splitlines()) - 1


def test_a_tag_holds_until_something_changes(ask: httpx.Client) -> None:
    first = ask.get("/api/v1/material", params=MATERIAL)
    tag = first.headers["etag"]
    assert tag.startswith('"'), "strong"
    assert first.headers["cache-control"] == "public, max-age=300"
    again = ask.get("/api/v1/material", params=MATERIAL, headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == tag
    for question, status in ((MATERIAL, 304), ({"material": "unobtainium"}, 404)):
        whatever = ask.get("/api/v1/material", params=question, headers={"if-none-match": "*"})
        assert whatever.status_code == status, "a star matches any answer, but no refusal"
    head = ask.head("/api/v1/material", params=MATERIAL)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == str(len(first.content))
    other = ask.get("/api/v1/material", params={"material": "grey-iron-gjl-250"})
    assert other.headers["etag"] != tag
    pinned = ask.get(
        "/api/v1/material", params={**MATERIAL, "release": first.json()["data_release"]}
    )
    assert pinned.content == first.content


def test_every_part_of_a_tag_changes_it(database: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    held = Held(str(database))
    db = held.database()
    key = ("material", canonical(MATERIAL))
    tags = {held.tag(db, "", *key), held.tag(db, "stock a=1", *key), held.tag(db, "", "seat", ())}
    monkeypatch.setattr(specdb, "__version__", "9.9.9")
    tags.add(held.tag(db, "", *key))
    monkeypatch.setattr(held, "_digest", lambda _: "other data")
    tags.add(held.tag(db, "", *key))
    monkeypatch.setattr(type(db), "release", "2031.01")
    tags.add(held.tag(db, "", *key))
    assert len(tags) == 6
    held.close()


@pytest.mark.parametrize(
    ("method", "path", "status", "slug"),
    [
        ("GET", "/api/v1/material?material=al-si7mg-t6&colour=red", 400, "unknown-argument"),
        ("GET", "/api/v1/material?material=a&material=b", 400, "bad-request"),
        ("GET", "/api/v1/material", 400, "bad-request"),
        ("GET", "/api/v1/seat?bore=38.05+kg&head=al-si7mg-t6&insert=bronze", 400, "bad-quantity"),
        ("GET", "/api/v1/material?material=unobtainium", 404, "unknown-name"),
        ("GET", "/api/v1/material?material=al-si7mg-t6&release=1999.01", 404, "unknown-name"),
        ("GET", "/api/v1/nothing", 404, "no-such-path"),
        ("GET", "/api/v2/material", 404, "no-such-path"),
        ("GET", "/api/v1/", 404, "no-such-path"),
        ("DELETE", "/api/v1/material", 405, "no-such-method"),
        ("POST", "/api/v1/seat", 405, "no-such-method"),
        ("GET", "/api/v1/head", 405, "no-such-method"),
        ("PUT", "/api/v1/openapi.json", 405, "no-such-method"),
        ("GET", "/api/v1/material?material=%ff", 400, "bad-request"),
        (
            "GET",
            "/api/v1/material?material=al-si7mg-t6&property=density&at=9000",
            400,
            "bad-quantity",
        ),
        ("GET", "/api/v1/material?material=al-si7mg-t6&to_temperature=900", 422, "out-of-range"),
    ],
)
def test_every_refusal_is_a_problem(
    ask: httpx.Client, method: str, path: str, status: int, slug: str
) -> None:
    got = ask.request(method, path)
    assert got.status_code == status, got.text
    assert got.headers["content-type"] == problems.MEDIA
    said = got.json()
    assert (said["status"], said["type"]) == (status, f"/api#{slug}")
    assert said["title"] == problems.TYPES[slug]
    assert got.headers["cache-control"] == "no-store"
    if status == 405:
        assert "OPTIONS" in got.headers["allow"]


def test_a_body_is_read_to_its_limit(ask: httpx.Client) -> None:
    large = b"x" * 10_000_000
    said = ask.post("/api/v1/head", content=large, headers={"content-type": "text/csv"})
    assert (said.status_code, said.json()["type"]) == (413, "/api#too-large")
    pieces = (large[at : at + 65536] for at in range(0, 6_000_000, 65536))
    unsaid = ask.post("/api/v1/head", content=pieces, headers={"content-type": "text/csv"})
    assert unsaid.status_code == 413, "without a length said beforehand, too"


def test_other_sites_may_read(ask: httpx.Client) -> None:
    got = ask.get("/api/v1/material", params=MATERIAL, headers={"origin": "http://elsewhere"})
    assert got.headers["access-control-allow-origin"] == "*"
    asked = ask.options("/api/v1/material", headers={"origin": "http://elsewhere"})
    assert asked.status_code == 204
    assert "GET" in asked.headers["access-control-allow-methods"]


def test_the_description_is_valid_and_complete(ask: httpx.Client) -> None:
    validate = pytest.importorskip("openapi_spec_validator").validate
    got = ask.get("/api/v1/openapi.json")
    described = got.json()
    validate(described)
    assert described["openapi"].startswith("3.1")
    assert set(described["paths"]) == {f"/api/v1/{name}" for name in QUESTIONS}
    assert described == json.loads(json.dumps(document()))
    for question in GOT:
        listed = described["paths"][f"/api/v1/{question.name}"]["get"]["parameters"]
        names = {each["name"] for each in listed}
        assert names == {*question.request_type().model_fields, "release"}
        assert all(each["description"] for each in listed), question.name


def test_answers_keep_to_their_description(ask: httpx.Client) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    described = ask.get("/api/v1/openapi.json").json()
    for question in GOT:
        schema: dict[str, Any] = {
            "$ref": f"#/components/schemas/{question.result_type().__name__}",
            "components": described["components"],
        }
        got = ask.get(f"/api/v1/{question.name}", params=question.example).json()
        jsonschema.Draft202012Validator(schema).validate(got)
