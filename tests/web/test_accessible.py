"""axe-core, an outside judge, on every page, Datasette's own included, light and dark."""

from __future__ import annotations

import pytest

from .conftest import Watched, pages

GRAVE = ("serious", "critical")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(page: Watched, scheme: str) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.page.emulate_media(color_scheme=scheme)
    # the dark theme differs in colours only
    options = {"runOnly": ["color-contrast"]} if scheme == "dark" else {}
    found = []
    for path in pages(questions=scheme == "light"):
        page.page.goto(path)
        page.page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
        for each in axe.run(page.page, options=options).response["violations"]:
            if each["impact"] in GRAVE:
                where = [node["target"] for node in each["nodes"][:3]]
                found.append(f"{path}: {each['id']} ({each['impact']}) at {where}")
    page.said = [each for each in page.said if "status of 4" not in each]
    assert found == []


def test_the_judge_does_find_faults(page: Watched) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.page.goto("/")
    page.page.evaluate("document.querySelectorAll('label').forEach(each => each.remove())")
    assert any(each["impact"] in GRAVE for each in axe.run(page.page).response["violations"])
