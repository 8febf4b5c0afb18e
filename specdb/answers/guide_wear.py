"""The wear of a guide: play by place, at its worst, and against the published limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specdb.errors import BadRequest
from specdb.physics import stem
from specdb.records.guide import GuidePlace, GuideRequest, Wear
from specdb.records.published import PublishedRow

PLACES = ("top", "middle", "bottom")
FLOAT_MM = 1e-9


def places(request: GuideRequest) -> Iterator[GuidePlace]:
    """Each height the guide was measured at. Raises `BadRequest` for readings that cannot belong
    together."""
    for place in PLACES:
        inside: tuple[float, ...] = getattr(request, f"guide_{place}")
        shaft: tuple[float, ...] = getattr(request, f"stem_{place}")
        if not inside:
            continue
        _belong(inside, shaft, f"stem_{place}")
        yield GuidePlace(
            place=place,
            guide_mm=max(inside),
            guide_ovality_mm=stem.spread_mm(inside) if len(inside) > 1 else None,
            stem_mm=min(shaft) if shaft else None,
            play_mm=max(inside) - min(shaft) if shaft else None,
        )


def _belong(inside: Sequence[float], shaft: Sequence[float], field: str) -> None:
    if shaft and not min(shaft) - 0.1 <= min(inside) <= 1.5 * max(shaft):
        raise BadRequest(
            f"{field}: a stem of {shaft[0]:g} mm does not run in a guide of {inside[0]:g} mm.",
            hint="Accepted: readings of one guide and its stem. Check the units.",
            field=field,
        )


def worst_play(request: GuideRequest, found: Sequence[GuidePlace]) -> float | None:
    """The greatest play of the heights where guide and stem were both measured, mm.

    Measured together at none, the widest reading of the guide less the thinnest of its stem, of the
    one that goes in where no other was told; None without either.
    """
    together = [each.play_mm for each in found if each.play_mm is not None]
    if together:
        return max(together)
    shaft = old_stem(request) or request.stem
    if not found or not shaft:
        return None
    inside = [each.guide_mm for each in found]
    _belong(inside, shaft, "stem")
    return max(inside) - min(shaft)


def old_stem(request: GuideRequest) -> tuple[float, ...]:
    """Every reading of the stem that ran in the guide, mm."""
    return (*request.stem_top, *request.stem_middle, *request.stem_bottom)


def unknown(found: Sequence[GuidePlace], play: float | None) -> Iterator[tuple[str, str]]:
    """What of the wear the readings cannot say: field, reason."""
    if play is None:
        why = "a reading of the guide and one of its stem are needed (guide_middle, stem_middle)"
        yield from dict.fromkeys(("worst_play_mm", "wear"), why).items()
    if sum(each.play_mm is not None for each in found) < 2:
        why = "wear by position is not known: guide and stem were not both read at two heights"
        yield "places", why


def bell_mouth(request: GuideRequest) -> float | None:
    """How much wider an end of the guide is than its middle, mm."""
    ends = (*request.guide_top, *request.guide_bottom)
    if not ends or not request.guide_middle:
        return None
    return stem.bell_mouth_mm(ends, request.guide_middle)


def wear(play: float | None, rows: Sequence[PublishedRow]) -> Wear | None:
    """The play judged by the published limits."""
    most = [row.maximum for row in rows if row.stands and row.maximum is not None]
    if play is None or not most:
        return None
    if play <= min(most) + FLOAT_MM:
        return "within"
    return "worn out" if play > max(most) + FLOAT_MM else "between limits"


def why(
    play: float | None,
    judged: Wear | None,
    rows: Sequence[PublishedRow],
    found: Sequence[GuidePlace],
) -> str:
    """The verdict on the wear, in words."""
    if play is None or judged is None:
        return "play not known: measure guide and stem at the same heights, two ways"
    most = [row.maximum for row in rows if row.stands and row.maximum is not None]
    span = f"published limits run from {min(most):.3f} to {max(most):.3f} mm"
    words = {
        "within": "within every published limit",
        "between limits": "past the strictest published limit, not the widest: ask the maker's",
        "worn out": "past every published limit: a new guide, a liner or an oversize stem",
    }
    together = [each.place for each in found if each.play_mm is not None]
    where = {
        0: ", guide and stem read at different heights",
        1: f", at the {''.join(together)} alone",
    }
    return f"play up to {play:.3f} mm{where.get(len(together), '')}: {words[judged]} ({span})"
