"""Input meant to hurt: it changes nothing and is answered in order."""

from __future__ import annotations

import hashlib
import socket
import time
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote, urlsplit

import pytest

from specdb.answers.registry import QUESTIONS, Question
from specdb.web.openapi import takes_table

if TYPE_CHECKING:
    import httpx

SCRIPT = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
SQL = "' OR 1=1; DROP TABLE materials; --"
NASTY = (
    SCRIPT,
    SQL,
    "../../../etc/passwd",
    "{{7*7}}",
    "%0d%0aX-Evil: 1",
    "1e400 mm",
    "\u202e38",
    "nan",
)
ASKED = [each for each in QUESTIONS.values() if not takes_table(each)]
SLOW = (
    b"GET /api/v1/mat",
    b"GET /api/v1/seat?bore=38.05&head=al-si7mg-t6&insert=bronze HTTP/1.1\r\nHost: a\r\n\r\n",
    b"POST /api/v1/head HTTP/1.1\r\nHost: a\r\nContent-Length: 4000000\r\n"
    b"Content-Type: text/csv\r\n\r\nlabel,bore",
)
"""Half a request; a whole one whose large answer is never read; a body that never ends."""
RAW = "<script>alert(1)", "<img src=x"


@pytest.mark.parametrize("question", ASKED, ids=lambda each: each.name)
def test_every_parameter_takes_every_blow(ask: httpx.Client, question: Question) -> None:
    for name in question.request_type().model_fields:
        for blow in NASTY[:2] if name != next(iter(question.example)) else NASTY:
            asked = {**question.example, name: blow}
            for path in (f"/{question.name}", f"/api/v1/{question.name}"):
                got = ask.get(path, params=asked)
                assert got.status_code in (200, 400, 404, 422), (path, name, blow, got.status_code)
                if "html" in got.headers["content-type"]:
                    assert not any(each in got.text for each in RAW), (path, name)
                assert "x-evil" not in got.headers


def test_a_table_takes_every_blow(ask: httpx.Client) -> None:
    head = QUESTIONS["head"]
    for name in head.request_type().model_fields:
        for blow in NASTY[:2]:
            cells = f'label,bore_1,"{blow}"\n"{blow}",38.05,"{blow}"\n1E,"{blow}",8\n'
            asked = {**head.example, name: cells if name == "readings" else blow}
            page = ask.post("/head", data=asked)
            program = ask.post("/api/v1/head", json=asked)
            for got in (page, program):
                assert got.status_code in (200, 400, 404, 422), (name, blow, got.status_code)
            assert not any(each in page.text for each in RAW), name
    row = {"label": SCRIPT, "bore": [SQL, {"a": 1}], "depth": [[]]}
    for body in ({"readings": [row]}, {"readings": {}}, {"readings": [[]]}, {SCRIPT: 1}):
        assert ask.post("/api/v1/head", json=body).status_code == 400, body
    for kind in ("multipart/form-data", 'multipart/form-data; boundary="', "text/html", ""):
        got = ask.post("/head", content=b"--x\r\n" * 50, headers={"content-type": kind})
        assert got.status_code in (200, 400), kind


def test_a_table_without_end_is_not_planned(ask: httpx.Client) -> None:
    long = "label,bore_1,depth\n" + "1,38.05,8\n" * 100_000
    csv = {"content-type": "text/csv"}
    for got in (
        ask.post("/api/v1/head", content=long, headers=csv),
        ask.post("/api/v1/head", content=long.replace("\n", "\r"), headers=csv),
        ask.post("/api/v1/head", json={"readings": [{"bore": 38}] * 2001}),
    ):
        assert (got.status_code, got.json()["type"]) == (413, "/api#too-large")
        assert got.json()["field"] == "readings"
        assert "2,000" in got.json()["hint"]
    page = ask.post("/head", files={"file": ("head.csv", long.encode())})
    assert page.status_code == 413
    assert "2,000" in page.text.partition('class="error"')[2], "beside the field"


@pytest.mark.parametrize("text", NASTY)
def test_pages_that_take_words_take_any(ask: httpx.Client, text: str) -> None:
    inside = quote(text, safe="")
    for path in (
        f"/search?q={inside}",
        f"/material/{inside}",
        f"/source/{inside}",
        f"/trace?row={inside}",
        f"/releases?from={inside}&to={inside}",
        f"/specdb/materials?{inside}={inside}",
        f"/-/specdb/{inside}",
        f"/seat?{inside}={inside}",
        f"/api/v1/{inside}",
    ):
        got = ask.get(path)
        assert got.status_code in (200, 302, 400, 404), (path, got.status_code)
        assert not any(each in got.text for each in RAW), path
        assert "root:" not in got.text


def test_long_addresses_are_answered(ask: httpx.Client) -> None:
    long = "9" * 10_000
    for path in (
        f"/seat?bore={long}",
        f"/api/v1/seat?bore={long}",
        f"/{long}",
        f"/search?q={long}",
    ):
        assert ask.get(path).status_code in (200, 400, 404, 414)
    many = "&".join(f"bore={at}" for at in range(1500))
    assert ask.get(f"/api/v1/seat?{many}").status_code == 400


@pytest.mark.parametrize("path", ["/", "/seat", "/api", "/search", "/releases", "/material/x"])
def test_pages_answer_no_writing_method(ask: httpx.Client, path: str) -> None:
    for method in ("POST", "PUT", "DELETE", "PATCH"):
        assert ask.request(method, path).status_code in (403, 405), (method, path)


def test_large_bodies_are_refused_everywhere(ask: httpx.Client) -> None:
    for path in ("/", "/seat", "/head", "/api/v1/seat", "/specdb"):
        assert ask.post(path, content=b"x" * 10_000_000).status_code == 413


def test_headers_cannot_be_smuggled_in(ask: httpx.Client, served: str) -> None:
    where = urlsplit(served)
    with socket.create_connection((where.hostname, where.port), timeout=20) as raw:
        raw.sendall(
            b'GET /seat?bore=1%0d%0aX-Evil:%201 HTTP/1.1\r\nHost: a"><script>alert(1)</script>\r\n'
            b"Connection: close\r\n\r\n"
        )
        got = b"".join(iter(lambda: raw.recv(65536), b""))
    head = got.partition(b"\r\n\r\n")[0].lower()
    assert b"x-evil" not in head
    page = ask.get("/api", headers={"host": 'a"><script>alert(1)</script>'})
    assert page.status_code == 403
    assert "<script>" not in page.text


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("localhost:8300", 200),
        ("127.0.0.1", 200),
        ("[::1]:1", 200),
        ("elsewhere.example", 403),
        ("127.0.0.1.elsewhere.example", 403),
        ("localhost.elsewhere.example:8300", 403),
        ("", 403),
    ],
)
def test_a_name_from_elsewhere_does_not_lead_in(ask: httpx.Client, host: str, status: int) -> None:
    """A page could have its own name point at this machine, and so read what is served here."""
    got = ask.get("/api/v1/material?material=al-si7mg-t6", headers={"host": host})
    assert got.status_code == status


def test_the_sql_of_a_reader_reads_only_and_ends(ask: httpx.Client) -> None:
    for sql in (
        "delete from materials",
        "drop table materials",
        "attach 'x.db' as x",
        "pragma x=1",
    ):
        got = ask.get("/specdb", params={"sql": sql})
        assert got.status_code == 400, sql
    endless = (
        "with recursive n(i) as (select 1 union all select i + 1 from n) select count(*) from n"
    )
    start = time.monotonic()
    assert ask.get("/specdb.json", params={"sql": endless}).status_code == 400
    assert time.monotonic() - start < 15
    for large in (
        "select hex(zeroblob(60000000))",
        "select replace(hex(zeroblob(40000)), '0', 'xx')",
    ):
        got = ask.get("/specdb.json", params={"sql": large})
        assert got.status_code == 400, large
        assert len(got.content) < 10_000
    many = "select a.id from facts a, facts b"
    got = ask.get("/specdb.json", params={"sql": many, "_shape": "objects"}).json()
    assert len(got["rows"]) <= 1000
    assert got["truncated"] is True


def test_a_slow_client_does_not_hold_up_others(ask: httpx.Client, served: str) -> None:
    where = urlsplit(served)
    slow = []
    try:
        for at in range(30):
            raw = socket.create_connection((where.hostname, where.port), timeout=20)
            slow.append(raw)
            raw.sendall(SLOW[at % len(SLOW)])
        start = time.monotonic()
        assert ask.get("/api/v1/material?material=al-si7mg-t6").status_code == 200
        assert ask.get("/api").status_code == 200
        assert time.monotonic() - start < 10
    finally:
        for raw in slow:
            raw.close()


def test_nothing_of_it_is_written(ask: httpx.Client, served_file: Path) -> None:
    before = hashlib.sha256(served_file.read_bytes()).hexdigest()
    assert ask.get("/specdb", params={"sql": "update materials set name = 'x'"}).status_code == 400
    ask.post("/api/v1/head", content=b"label,bore\n1,38\n", headers={"content-type": "text/csv"})
    table = {"file": ("head.csv", b"label,bore_1,depth\n1,38.05,8" + b" " * 1_200_000)}
    said = {"head": "aluminium", "insert": "bronze"}
    assert ask.post("/head", files=table, data=said).status_code == 200, "read in memory"
    drawn = ask.get("/interference?head=aluminium&insert=high-chrome&diameter=38")
    assert "<svg" in drawn.text, "and the drawing library keeps its fonts in memory"
    assert hashlib.sha256(served_file.read_bytes()).hexdigest() == before
    assert [each.name for each in served_file.parent.iterdir()] == [served_file.name]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b"[" * 100_000, "is nested too deeply"),
        (b'{"readings": ' + b"9" * 5000 + b"}", "holds a number too long to read"),
        (b'{"readings":\n  oops}', "is not JSON: line 2, column 3"),
        (b'{"bore": NaN}', "NaN is no number in it"),
    ],
    ids=["deep", "long", "syntax", "constant"],
)
def test_a_body_that_cannot_be_read_is_told_in_plain_words(body: bytes, said: str) -> None:
    from specdb.errors import BadRequest
    from specdb.web.tables import arguments

    with pytest.raises(BadRequest) as caught:
        arguments(QUESTIONS["head"], "application/json", body)
    assert said in caught.value.message
    for inner in ("recursion", "set_int_max_str_digits", "Expecting", "char "):
        assert inner not in caught.value.message
