"""Pictures of an answer, drawn on the server: which question has which, with the table behind.

Each file here draws one kind. The drawing library is imported when the first picture is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from specdb.database import Database
from specdb.records.answer import Answer
from specdb.web.pictures.picture import Picture

__all__ = ["Picture", "pictures"]


def pictures(
    question: str, db: Database, result: Answer, asked: Mapping[str, Any]
) -> tuple[Picture, ...]:
    """The pictures of an answer, in the order they are shown; none where none helps."""
    drawn = _BY_QUESTION.get(question)
    return drawn(db, result, asked) if drawn else ()


def _material(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.expansion import expansion

    return _some(expansion(db, result.key))


def _interference(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.ranges import ranges

    return _some(ranges(result))


def _fit(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.grip import grip

    return _some(grip(db, asked, result.grip_lost_c))


def _shrink(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.clearance import clearance

    return _some(clearance(result))


def _seat(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.clearance import clearance
    from specdb.web.pictures.drawn import section
    from specdb.web.pictures.ranges import ranges

    return _some(
        section(result),
        clearance(result.shrink) if result.shrink else None,
        ranges(result.interference) if result.interference else None,
    )


def _head(db: Database, result: Any, asked: Mapping[str, Any]) -> tuple[Picture, ...]:
    from specdb.web.pictures.drawn import seats

    return _some(seats(result))


def _some(*drawn: Picture | None) -> tuple[Picture, ...]:
    return tuple(each for each in drawn if each is not None)


_BY_QUESTION: dict[str, Callable[[Database, Any, Mapping[str, Any]], tuple[Picture, ...]]] = {
    "material": _material,
    "interference": _interference,
    "fit": _fit,
    "shrink": _shrink,
    "seat": _seat,
    "head": _head,
}
