"""Every internal link on every kind of page leads somewhere; every response is guarded."""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING
from urllib.parse import urljoin

import specdb
from specdb.answers.registry import QUESTIONS
from specdb.web.guard import HEADERS

from .conftest import pages

if TYPE_CHECKING:
    import httpx

MOST_OF_A_KIND = 40
"""Links alike but for their last part that are followed: rows, sources, materials."""


def test_every_internal_link_resolves(ask: httpx.Client) -> None:
    found: dict[str, str] = {}
    kinds: dict[str, int] = {}
    for path in pages():
        text = ask.get(path).text
        anchors = set(re.findall(r'\bid="([^"]+)"', text))
        for link in re.findall(r'(?:href|src|action)="([^"]*)"', text):
            link = html.unescape(link).removeprefix(str(ask.base_url).rstrip("/"))
            assert not re.match(r"https?:|//", link), f"{path} leads outside: {link}"
            if link.startswith("#"):
                assert link[1:] in anchors, f"{path}: nothing is called {link}"
                continue
            if link.startswith(("data:", "mailto:")):
                continue
            whole = urljoin(path, link).partition("#")[0]
            kind = re.sub(r"(/material/|/source/|[?&]row=|_filter|_sort|_next).*", r"\1", whole)
            kinds[kind] = kinds.get(kind, 0) + 1
            if kinds[kind] <= MOST_OF_A_KIND:
                found.setdefault(whole, path)
    assert len(found) > 200
    broken = [
        f"{link} on {path}: {got}"
        for link, path in sorted(found.items())
        if (got := ask.head(link).status_code)
        not in (200, 302, 400 if "bore=wide" in link else 200)
    ]
    assert broken == []


def test_every_page_is_guarded_and_runs_no_script(ask: httpx.Client) -> None:
    for path in [*pages(), "/api/v1/nothing", "/-/specdb/style.css", "/specdb/materials.json"]:
        got = ask.get(path)
        for name, value in HEADERS.items():
            assert got.headers.get_list(name.decode()) == [value.decode()], (path, name)
        if "text/html" in got.headers["content-type"]:
            assert "<script" not in got.text, path
            assert not re.search(r"\son[a-z]+=", got.text), path
            assert "script-src 'none'" in got.headers["content-security-policy"], path
            assert '<html lang="en">' in got.text
            assert specdb.__version__ in got.text


def test_the_release_is_kept_in_links(ask: httpx.Client) -> None:
    key = "al-si7mg-t6"
    release = ask.get("/api/v1/material", params={"material": key}).json()["data_release"]
    text = ask.get(f"/material/{key}?release={release}").text
    links = re.findall(r'href="(/(?:trace[?]|source/)[^"]*)"', text)
    assert links
    assert all(f"release={release}" in each for each in links)


def test_labels_of_seats_are_not_taken_for_rows(ask: httpx.Client) -> None:
    text = ask.get("/head", params=QUESTIONS["head"].example).text
    rows = re.findall(r'href="/trace\?row=([^"&]*)"', text)
    assert rows
    assert {"1E", "2E"}.isdisjoint(rows)
