"""Every kind of page in a browser, Datasette's own included: axe-core, an outside judge, finds
nothing serious, light and dark; nothing is wider than the screen; no page says a word to the
console or leaves the machine.

Each page is opened once and looked at in every way; the tests say what was found.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import pytest

from .conftest import Watched, pages

if TYPE_CHECKING:
    from playwright.sync_api import Browser

WIDTHS = (1280, 360, 768)
GRAVE = ("serious", "critical")
UNFOLD = "document.querySelectorAll('details').forEach(each => each.open = true)"
JUDGE = """options => axe.run(document, {...options, preload: false, resultTypes: ['violations']})
    .then(found => found.violations)"""
SHAPE = {"rules": {"color-contrast": {"enabled": False}}}
COLOURS = {"runOnly": ["color-contrast"]}
# Colours are slow to judge: of neighbours alike only the first three are. In a picture the judge
# reads the colour of the page, not that of the letters.
THIN = """document.querySelectorAll('li, tr, td, th, option, details, p, div, span, a, svg text')
    .forEach(each => {
        const alike = [];
        for (let at = each.previousElementSibling; at; at = at.previousElementSibling)
            if (at.tagName === each.tagName && at.className === each.className) alike.push(at);
        if (alike.length > 2 || each.closest('svg')) each.remove();
    })"""


@dataclass
class Seen:
    """What was found wrong on all pages."""

    faults: dict[str, list[str]] = field(default_factory=lambda: {"light": [], "dark": []})
    wide: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)


def judged(at: Any, options: dict[str, Any]) -> list[str]:
    """Serious faults of an open page that has the judge in it, and where."""
    found = [each for each in at.evaluate(JUDGE, options) if each["impact"] in GRAVE]
    return [
        f"{at.url}: {each['id']} at {[node['target'] for node in each['nodes'][:3]]}"
        for each in found
    ]


def judge() -> str:
    """The judge's script."""
    return str(pytest.importorskip("axe_playwright_python.base").AXE_SCRIPT)


@pytest.fixture(scope="module")
def seen(browser: Browser, served: str) -> Seen:
    """Every page opened once and looked at in every way."""
    script, found = judge(), Seen()
    context = browser.new_context(base_url=served)
    watched = Watched(context.new_page(), served)
    at = watched.page
    for path in pages():
        at.emulate_media(color_scheme="light")
        at.goto(path)
        for width in WIDTHS:
            at.set_viewport_size({"width": width, "height": 900})
            across = at.evaluate("document.documentElement.scrollWidth")
            if across > width:
                found.wide.append(f"{path} is {across} px wide on {width}")
        at.evaluate(UNFOLD)
        at.evaluate(script)
        found.faults["light"] += judged(at, SHAPE)
        at.evaluate(THIN)
        for scheme, faults in found.faults.items():
            at.emulate_media(color_scheme=scheme)
            faults += judged(at, COLOURS)
    context.close()
    found.left = watched.left
    found.said = [each for each in watched.said if "status of 4" not in each]  # a refusal's status
    return found


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(seen: Seen, scheme: str) -> None:
    assert seen.faults[scheme] == []


def test_no_page_is_wider_than_the_screen(seen: Seen) -> None:
    assert seen.wide == []


def test_every_page_is_quiet_and_stays_at_home(seen: Seen) -> None:
    assert (seen.said, seen.left) == ([], [])


def test_the_judge_does_find_faults(page: Watched) -> None:
    at = page.page
    at.goto("/")
    at.evaluate("document.querySelectorAll('label').forEach(each => each.remove())")
    at.evaluate("document.querySelector('h1').style.color = '#ddd'")
    at.evaluate(judge())
    assert "select-name" in str(judged(at, SHAPE))
    assert "color-contrast" in str(judged(at, COLOURS))
