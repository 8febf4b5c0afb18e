"""What is left of the press as head and ring warm through together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specdb.database import Database
from specdb.errors import SpecdbError
from specdb.estimate import Estimate
from specdb.records.figures import thou
from specdb.web.pictures import picture as pens
from specdb.web.pictures.picture import Picture

AT = (20.0, 60.0, 100.0, 150.0, 200.0, 250.0, 300.0)


def grip(db: Database, asked: Mapping[str, Any], lost: Estimate | None) -> Picture | None:
    """The picture of a joint asked about, or None where it cannot be followed."""
    found = [(at, left) for at in AT if (left := _left(db, asked, at)) is not None]
    if len(found) < 3:
        return None
    title = "Press left as head and ring warm through together"
    end = (
        f"It lets go at about {lost.value:.0f} degC."
        if lost
        else "It does not let go in this range."
    )
    words = (
        f"Press falls from {found[0][1].value:.3f} mm at {found[0][0]:.0f} degC to "
        f"{found[-1][1].value:.3f} mm at {found[-1][0]:.0f} degC in both. {end}"
    )
    return Picture(
        key="grip",
        title=title,
        svg=_draw(found, title, words),
        words=words,
        header=("both at, degC", "press, mm", "low", "high", "press"),
        rows=tuple(
            (f"{at:.0f}", f"{it.value:.3f}", f"{it.low:.3f}", f"{it.high:.3f}", thou(it.value))
            for at, it in found
        ),
    )


def _left(db: Database, asked: Mapping[str, Any], at: float) -> Estimate | None:
    same = {"head_temperature": at, "insert_temperature": at}
    try:
        left: Estimate = db.ask("fit", **{**asked, **same}).interference_mm
    except SpecdbError:
        return None
    return left


def _draw(found: list[tuple[float, Estimate]], title: str, words: str) -> str:
    figure, axes = pens.paper(3.2)
    at = [each for each, _ in found]
    axes.fill_between(
        at,
        [each.low for _, each in found],
        [each.high for _, each in found],
        color=pens.BAND,
        linewidth=0,
        label="band",
    )
    axes.plot(
        at, [each.value for _, each in found], color=pens.MAIN, marker="o", label="press left"
    )
    axes.axhline(0, color=pens.INK, linewidth=1)
    pens.labelled(axes, "head and ring both at, degC", "press on diameter, mm")
    pens.key(axes, loc="upper right")
    return pens.svg(figure, "grip", title, words)
