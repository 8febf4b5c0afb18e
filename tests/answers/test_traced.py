"""Nothing in an answer lacks a row behind it: every question of the registry is walked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from specdb.answers.registry import QUESTIONS
from specdb.estimate import Estimate


def figures(value: Any, path: str = "") -> Iterator[tuple[str, Estimate]]:
    """Every estimate inside an answer, with the names that lead to it."""
    if isinstance(value, Estimate):
        yield path, value
    elif isinstance(value, BaseModel):
        for name in type(value).model_fields:
            yield from figures(getattr(value, name), f"{path}.{name}".strip("."))
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from figures(inner, f"{path}.{name}")
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from figures(inner, path)


def named(value: Any) -> Iterator[str]:
    """Every row id in a field `sources` (or an estimate) anywhere inside."""
    if isinstance(value, Estimate):
        yield from value.sources
    elif isinstance(value, BaseModel):
        for name in type(value).model_fields:
            inner = getattr(value, name)
            if name == "sources" and isinstance(inner, tuple):
                yield from (each for each in inner if isinstance(each, str))
            else:
                yield from named(inner)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from named(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from named(inner)


GIVEN = {
    ("fit", "interference_cold_mm"): "ring less bore, both as given by whoever asks",
    ("fit", "interference_mm"): "the same: a ring and a head at 20 degC have not expanded",
    ("fit", "smoothing_mm"): "nothing, while no roughness is given",
    ("shrink", "interference_mm"): "ring less bore, both as given by whoever asks",
    ("guide", "press_mm"): "guide less bore, both as given by whoever asks",
}
"""Figures that may stand without a row, each with its reason; a plan of a seat holds a fit and a
shrink of the ring and bore that its `sizes` chose and gave the rows of."""


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_figure_has_its_rows(db, name) -> None:
    answer = db.ask(name, **QUESTIONS[name].example)
    assert answer.facts, "an answer stands on rows"
    for path, figure in figures(answer):
        if not figure.sources:
            *before, field = path.split(".")
            question = before[-1] if before else name
            assert (question, field) in GIVEN, f"{path} = {figure} names no row"
            if field == "smoothing_mm":
                assert (figure.low, figure.high) == (0.0, 0.0)


def test_nothing_is_excused_that_needs_no_excuse(db) -> None:
    bare = set()
    for name in {question for question, _ in GIVEN}:
        answer = db.ask(name, **QUESTIONS[name].example)
        bare |= {(name, path) for path, figure in figures(answer) if not figure.sources}
    assert bare == set(GIVEN)


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_row_named_can_be_opened(db, name) -> None:
    """From a figure to its row, from the row to its source, without a dead end."""
    answer = db.ask(name, **QUESTIONS[name].example)
    assert set(named(answer)) <= set(answer.facts)
    for row in sorted(answer.facts)[:12]:
        fact = answer.facts[row]
        assert db.trace(row).table == fact.table
        for key in fact.source:
            assert row in {each.row for each in db.source(key).gave}


def test_expansion_is_named_where_it_has_a_say_and_only_there(db) -> None:
    """At 20 degC nothing has expanded; where the fit lets go, or that it holds, hangs on it."""
    asked = QUESTIONS["fit"].example

    def grown(rows: Any) -> set[str]:
        return {row for row in rows if "expansion" in row}

    cold = db.fit(**asked)
    assert not grown(cold.interference_mm.sources)
    assert not grown(cold.pressure_mpa.sources)
    assert cold.grip_lost_c is None
    assert {row.split(".")[1] for row in grown(cold.facts)} >= {"al-si7mg-t6"}
    # a guide has no running states to name them, but holds as far as the same curves go
    guide = {"insert_diameter": 14.08, "bore": 13.96, "insert_inner": 8, "height": 40}
    held = db.fit(**asked | guide, part="valve-guide")
    assert held.grip_lost_c is None
    assert grown(held.facts) == grown(cold.facts)
    hot = db.fit(**asked, head_temperature=100, insert_temperature=100)
    assert grown(hot.interference_mm.sources) == grown(cold.facts)
