"""The search of own lists against brute force over every ring, on random counterbores."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import specdb
from specdb.database import Database
from specdb.records.sizes import SizesResult
from specdb.store.stock import write
from tests.answers.brute_force import Asked, Catalogue, Found
from tests.answers.test_sizes_search import CLASSES, ask, counterbores

MANY = settings(max_examples=max(300, min(settings().max_examples, 1400)))
ALIKE_MM = 0.10
"""Between choices no further apart than this on diameter the shelf comes first."""
SETBACK_MM, LEAST_WALL = 0.25, 0.08
"""Common practice: flush to 0.25 below the deck; walls from 0.08 of the outside."""
MEANS = {"plain": "ring", "nominal": "counterbore"}


def stock_rings(count: int, seed: int, named: str) -> list[dict[str, Any]]:
    """Rings of an invented shop: every size there may be, some with none left."""
    draw = random.Random(seed)
    made = []
    for at in range(count):
        outer = draw.randint(19_500, 65_500) / 1000
        inner = round(outer - 2 * draw.randint(1900, 9000) / 1000, 3)
        spread = draw.choice([0.0, 0.0, 0.005, 0.013])
        qty = draw.choice([None, 0, 1, 4, 12])
        made.append(
            {
                "part": f"{named}-{at:05d}",
                "place": at + 2,
                "made_of": draw.choice(CLASSES),
                "on_shelf": 0 if qty == 0 else 1,
                "outer_mm": outer,
                "inner_mm": inner,
                "height_mm": draw.choice([4.0, 5.0, 5.5, 6.35, 7.0, 8.0, 9.5]),
                "outer_minus_mm": spread,
                "outer_plus_mm": spread / 2,
                "qty": qty,
                **dict.fromkeys(("outer", "inner", "height", "material", "tolerance", "note"), ""),
            }
        )
    return made


@pytest.fixture(scope="module")
def lists() -> dict[str, list[dict[str, Any]]]:
    return {name: stock_rings(6000, at, name) for at, name in enumerate(MEANS)}


@pytest.fixture(scope="module")
def opened(
    database: Path, lists: dict[str, Any], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Database]:
    place = tmp_path_factory.mktemp("shop") / "stock.sqlite"
    for name, rings in lists.items():
        write.replace(place, name, MEANS[name], rings)
    with specdb.open(database, stock=place) as db:
        yield db


@pytest.fixture(scope="module")
def catalogue(database: Path) -> Catalogue:
    return Catalogue(database)


class Shop:
    """The lists the slow way: each ring shifted to its own outside, then judged like any other."""

    def __init__(self, catalogue: Catalogue, lists: dict[str, list[dict[str, Any]]]) -> None:
        self.generic = catalogue
        self.lists = lists

    def serving(self, asked: Asked) -> dict[tuple[str, str], Found]:
        found = {("generic", each.size): each for each in self.generic.serving(asked)}
        for name, rings in self.lists.items():
            own = Catalogue.__new__(Catalogue)
            own.steps = self.generic.steps
            own.rings = list(self.there(asked, name, rings))
            found |= {(name, each.size): each for each in own.serving(asked)}
        return found

    def there(self, asked: Asked, name: str, rings: list[dict[str, Any]]) -> Iterator[dict]:
        low, high = min(asked.bore) - 1, max(asked.bore) + asked.largest_clean_up + 2
        for ring in rings:
            if ring["qty"] == 0 or ring["made_of"] != asked.insert_class:
                continue
            outer = ring["outer_mm"]
            if not low <= outer <= high:
                continue
            if MEANS[name] == "counterbore":
                press = self.generic.press(asked, outer)
                if press is None:
                    continue
                outer += sum(press) / 2
            yield {**ring, "id": ring["part"], "outer_mm": outer}


@MANY
@given(asked=counterbores())
def test_answers_equal_brute_force(
    opened: Database, catalogue: Catalogue, lists: dict[str, Any], asked: Asked
) -> None:
    wanted = Shop(catalogue, lists).serving(asked)
    result = ask(opened, asked, most=500)
    got = [(each.origin, each.size) for each in result.candidates]
    assume(len(wanted) <= 500)
    assert len(got) == len(set(got))
    assert set(got) == set(wanted)
    for each in result.candidates:
        slow = wanted[each.origin, each.size]
        assert each.as_found == slow.as_found
        assert each.outer_mm == pytest.approx(slow.outer, abs=1e-9)
        assert each.clean_up_mm == pytest.approx(slow.clean_up, abs=1e-6)
    assert_in_order(asked, result, wanted)


def assert_in_order(
    asked: Asked, result: SizesResult, wanted: dict[tuple[str, str], Found]
) -> None:
    """As found, then bored for; of either, own rings alike before generic ones; then the rest."""
    bored = sorted(plain(asked, key, each) for key, each in wanted.items() if not each.as_found)
    reach = bored[0][3] + ALIKE_MM if bored else 0.0
    alike = {each[3] for each in bored if each[:2] == bored[0][:2]}
    assume(len(alike) < 2)  # two outsides equally good: either may set the reach
    assume(all(abs(each[3] - reach) > 1e-6 for each in bored))
    first = dict(against(asked, wanted, reach))

    def tier(key: tuple[str, str]) -> tuple[bool, bool, tuple[Any, ...]]:
        found = wanted[key]
        other = first.get(found.as_found)
        own = key[0] != "generic" and (found.as_found or found.outer <= reach)
        ahead = own and other is not None and as_good(asked, found.ring, other.ring)
        return not found.as_found, not ahead, plain(asked, key, found)[:3]

    got = [tier((each.origin, each.size)) for each in result.candidates]
    assert got == sorted(got)
    for each, (_, behind, _) in zip(result.candidates, got, strict=True):
        assert (each.preferred == "shelf") is not behind


def plain(asked: Asked, key: tuple[str, str], found: Found) -> tuple[Any, ...]:
    """The order nothing is preferred in: metal and inside, a bore that can be hit, the height."""
    wanted = 0.14 * found.outer if asked.height_max is None else asked.height_max
    off = round(abs(found.ring["height_mm"] - wanted), 6)
    return found.key, found.tight, off, found.outer, key[0] == "generic", found.ring["inner_mm"]


def against(
    asked: Asked, wanted: dict[tuple[str, str], Found], reach: float
) -> Iterator[tuple[bool, Found]]:
    """The best generic ring as found, and the best to bore for within reach, where there are."""
    for as_found in (True, False):
        others = [
            (plain(asked, key, each), key)
            for key, each in wanted.items()
            if key[0] == "generic" and each.as_found is as_found
            if as_found or each.outer <= reach
        ]
        if others:
            yield as_found, wanted[min(others)[1]]


def as_good(asked: Asked, own: dict[str, Any], other: dict[str, Any]) -> bool:
    """As high as the other or within the usual setback of the deck; as thick in the wall, or as
    thick as usual."""
    high = asked.height_max is None or own["height_mm"] >= min(
        other["height_mm"], asked.height_max - SETBACK_MM
    )
    inner = max(other["inner_mm"], other["outer_mm"] * (1 - 2 * LEAST_WALL))
    return high and own["inner_mm"] <= inner


@MANY
@given(asked=counterbores(), most=st.integers(1, 20))
def test_a_short_list_is_the_head_of_the_long_one(
    opened: Database, asked: Asked, most: int
) -> None:
    assert ask(opened, asked, most=most).candidates == ask(opened, asked, most=80).candidates[:most]


@MANY
@given(asked=counterbores(), most=st.integers(1, 20), data=st.data())
def test_so_it_is_with_sizes_preferred_and_a_wide_press_of_our_own(
    opened: Database, asked: Asked, most: int, data: st.DataObject
) -> None:
    more: dict[str, Any] = {"interference_min": 0.05, "interference_max": min(asked.bore) / 120}
    if data.draw(st.booleans()):
        more["prefer"] = [round(max(asked.bore) + data.draw(st.floats(0.0, 0.4)), 2)]
    long = ask(opened, asked, most=200, **more).candidates
    assert ask(opened, asked, most=most, **more).candidates == long[:most]


@MANY
@given(asked=counterbores())
def test_what_is_used_up_is_said_not_offered(
    opened: Database, lists: dict[str, Any], asked: Asked
) -> None:
    gone = {ring["part"] for rings in lists.values() for ring in rings if ring["qty"] == 0}
    result = ask(opened, asked)
    assert not gone & {each.size for each in result.candidates}
    said = {each.size for each in result.rejected if "none is left" in each.reason}
    assert said <= gone
    serving = {(each.origin, each.size) for each in result.candidates}
    assert not serving & {(each.origin, each.size) for each in result.rejected}
