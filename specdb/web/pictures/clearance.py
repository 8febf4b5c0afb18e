"""Clearance at entry against the heat of the head, a line for each way of chilling the ring."""

from __future__ import annotations

from specdb.records.figures import thou
from specdb.records.shrink import ShrinkPair, ShrinkResult
from specdb.web.pictures import picture as pens
from specdb.web.pictures.picture import Picture

APART = 25.0
"""Chills nearer in temperature than this share a line, K."""


def clearance(result: ShrinkResult) -> Picture | None:
    """The picture, or None where a single head temperature was asked for."""
    lines = _lines(result.pairs)
    heats = {pair.head_temperature_c for line in lines for pair in line}
    if len(heats) < 2:
        return None
    title = "Clearance at entry, by heat and chill"
    best = max((pair for line in lines for pair in line), key=lambda pair: pair.clearance_mm.value)
    words = (
        f"{len(lines)} ways of chilling against {len(heats)} temperatures of the head. Above zero "
        f"the ring drops in, below it must be pressed. The most is "
        f"{best.clearance_mm.value:.3f} mm with the head at "
        f"{best.head_temperature_c:.0f} degC, ring in {best.chill.replace('-', ' ')}."
    )
    if result.heat_limit_c:
        words += f" The ceiling for the head is {result.heat_limit_c.value:.0f} degC."
    return Picture(
        key="clearance",
        title=title,
        svg=_draw(result, lines, title, words),
        words=words,
        header=(
            "head at, degC",
            "ring in",
            "ring at, degC",
            "clearance, mm",
            "clearance",
            "verdict",
        ),
        rows=tuple(
            (
                f"{pair.head_temperature_c:.0f}",
                pair.chill.replace("-", " "),
                f"{pair.insert_temperature_c:.0f}",
                f"{pair.clearance_mm.value:.3f}",
                thou(pair.clearance_mm.value),
                pair.verdict.replace("-", " "),
            )
            for line in lines
            for pair in line
        ),
    )


def _lines(pairs: tuple[ShrinkPair, ...]) -> list[list[ShrinkPair]]:
    """Pairs by chill, warmest ring first; near neighbours left out; each line by head."""
    chills = sorted({(-pair.insert_temperature_c, pair.chill) for pair in pairs})
    kept: list[tuple[float, str]] = []
    for minus, chill in chills:
        if not kept or minus - kept[-1][0] >= APART:
            kept.append((minus, chill))
        elif len(chill) < len(kept[-1][1]) and kept[-1][1] != "none":
            kept[-1] = (minus, chill)  # the plain medium rather than one mixed from it
    return [
        sorted(
            (pair for pair in pairs if pair.chill == chill),
            key=lambda pair: pair.head_temperature_c,
        )
        for _, chill in kept
    ]


def _draw(result: ShrinkResult, lines: list[list[ShrinkPair]], title: str, words: str) -> str:
    figure, axes = pens.paper(3.8)
    for number, line in enumerate(lines):
        pen, marker, dash = pens.SERIES[number % len(pens.SERIES)]
        axes.plot(
            [pair.head_temperature_c for pair in line],
            [pair.clearance_mm.value for pair in line],
            color=pen,
            marker=marker,
            linestyle=dash if number < len(pens.SERIES) else ":",
            markersize=5,
            label=f"{line[0].chill.replace('-', ' ')}, {line[0].insert_temperature_c:.0f} degC",
        )
    axes.axhline(0, color=pens.INK, linewidth=1)
    axes.axhline(result.clearance_wanted_mm.value, color=pens.FAINT, linewidth=1.5, linestyle="--")
    if result.heat_limit_c:
        axes.axvline(result.heat_limit_c.value, color=pens.OTHER, linewidth=1.5, linestyle=":")
    pens.labelled(axes, "head at, degC (dotted: its ceiling)", "clearance on diameter, mm")
    pens.key(axes, loc="upper left")
    return pens.svg(figure, "clearance", title, words)
