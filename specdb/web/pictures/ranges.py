"""Published ranges of press side by side, and the recommended one across them."""

from __future__ import annotations

from specdb.records.figures import thou
from specdb.records.interference import InterferenceResult, RangeRow
from specdb.web.pictures import picture as pens
from specdb.web.pictures.picture import Picture

MOST = 14


def ranges(result: InterferenceResult) -> Picture | None:
    """The picture, or None where nothing is published for such a pair."""
    shown = [each for each in result.ranges if each.covers or each.decides][:MOST]
    if not shown:
        return None
    title = f"Press for a {result.diameter_mm:.2f} mm ring, range by range"
    low, high = result.interference_min_mm, result.interference_max_mm
    advised = (
        f"The recommended range is {low:.3f} to {high:.3f} mm."
        if low is not None and high is not None
        else "No range is recommended here."
    )
    words = f"{len(shown)} ranges that apply, as bars from least to greatest press. {advised}"
    return Picture(
        key="ranges",
        title=title,
        svg=_draw(result, shown, title, words),
        words=words,
        header=("row", "least, mm", "greatest, mm", "least", "greatest", "decides", "seen"),
        rows=tuple(
            (
                each.row,
                f"{each.minimum_mm:.3f}",
                f"{each.maximum_mm:.3f}",
                thou(each.minimum_mm),
                thou(each.maximum_mm),
                "yes" if each.decides else "no",
                each.seen,
            )
            for each in shown
        ),
    )


def _draw(result: InterferenceResult, shown: list[RangeRow], title: str, words: str) -> str:
    figure, axes = pens.paper(1.3 + 0.3 * len(shown))
    low, high = result.interference_min_mm, result.interference_max_mm
    if low is not None and high is not None:
        axes.axvspan(low, high, color=pens.BAND, linewidth=0, label="recommended")
    for number, each in enumerate(reversed(shown)):
        pen = pens.MAIN if each.decides else pens.OTHER
        axes.plot(
            [each.minimum_mm, each.maximum_mm],
            [number, number],
            color=pen,
            linewidth=5 if each.decides else 2.5,
            marker="|",
            markersize=11,
        )
    axes.set_yticks(range(len(shown)), [_name(each) for each in reversed(shown)], fontsize=9)
    axes.set_xlim(left=min(0.0, *(each.minimum_mm for each in shown)))
    axes.set_ylim(-0.7, len(shown) - 0.3)
    pens.labelled(axes, "press on diameter, mm (thick bars decide)", "")
    if low is not None:
        pens.key(axes, loc="upper center", bbox_to_anchor=(0.5, 1.18), ncol=1)
    return pens.svg(figure, "ranges", title, words)


def _name(row: RangeRow) -> str:
    place = "" if row.position == "any" else f", {row.position}"
    return f"{row.insert_class}{place} ({row.seen})"
