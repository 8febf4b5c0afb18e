"""The wear of a guide: play by place, at its worst, and against the published limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from specdb.errors import BadRequest
from specdb.physics import stem
from specdb.records.guide import GuidePlace, GuideRequest, Wear
from specdb.records.published import PublishedRow

PLACES = ("top", "middle", "bottom")
FLOAT_MM = 1e-9


class Worn(NamedTuple):
    """A guide measured: its heights, the worst play and where, and what the error of two readings
    may hide, mm."""

    places: tuple[GuidePlace, ...]
    play: float | None
    where: str
    error: float
    tight: str
    """That the stem does not enter, in words; empty where it does."""


def worn(request: GuideRequest) -> Worn:
    """The guide as measured. Raises `BadRequest` for readings that cannot belong together."""
    found = tuple(_places(request))
    told = [each for each in found if each.play_mm is not None]
    worst = max(told, key=lambda each: each.play_mm or 0.0, default=None)
    error = 2 * request.reading_error
    return Worn(
        places=found,
        play=worst.play_mm if worst else None,
        where=_where(request, worst),
        error=error,
        tight=_tight(request, found, error),
    )


def _places(request: GuideRequest) -> Iterator[GuidePlace]:
    for place in PLACES:
        inside: tuple[float, ...] = getattr(request, f"guide_{place}")
        if not inside:
            continue
        shaft, field = _shaft(request, place)
        _belong(inside, shaft, field)
        yield GuidePlace(
            place=place,
            guide_mm=max(inside),
            guide_ovality_mm=stem.spread_mm(inside) if len(inside) > 1 else None,
            stem_mm=min(shaft) if shaft else None,
            play_mm=max(inside) - min(shaft) if shaft else None,
        )


def _shaft(request: GuideRequest, place: str) -> tuple[tuple[float, ...], str]:
    """The stem's readings at a height, and their field; all there are where it was not read there,
    of the one that goes in where no other was told."""
    own: tuple[float, ...] = getattr(request, f"stem_{place}")
    if own:
        return own, f"stem_{place}"
    old = old_stem(request)
    read = [f"stem_{each}" for each in PLACES if getattr(request, f"stem_{each}")]
    return (old, read[0]) if old else (request.stem, "stem")


def _belong(inside: Sequence[float], shaft: Sequence[float], field: str) -> None:
    if shaft and not min(shaft) - 0.1 <= min(inside) <= 1.5 * max(shaft):
        raise BadRequest(
            f"{field}: a stem of {shaft[0]:g} mm does not run in a guide of {inside[0]:g} mm.",
            hint="Accepted: readings of one guide and its stem. Check the units.",
            field=field,
        )


def _where(request: GuideRequest, worst: GuidePlace | None) -> str:
    if worst is None:
        return ""
    read: tuple[float, ...] = getattr(request, f"stem_{worst.place}")
    return f"at the {worst.place}" + ("" if read else ", the stem's thinnest reading taken")


def _tight(request: GuideRequest, found: Sequence[GuidePlace], error: float) -> str:
    """Whether the narrowest place is smaller than the thickest of the stem, beyond the error."""
    shaft = old_stem(request) or request.stem
    if not found or not shaft:
        return ""
    least, place = min((min(getattr(request, f"guide_{each.place}")), each.place) for each in found)
    if least - max(shaft) >= -error - FLOAT_MM:
        return ""
    return (
        f"the stem, {max(shaft):.3f} mm, does not enter the guide, {least:.3f} mm at the {place}: "
        "measure again, or carbon or a burr is in it"
    )


def old_stem(request: GuideRequest) -> tuple[float, ...]:
    """Every reading of the stem that ran in the guide, mm."""
    return (*request.stem_top, *request.stem_middle, *request.stem_bottom)


def read(request: GuideRequest) -> bool:
    """Whether the inside of the guide was read anywhere."""
    return any(getattr(request, f"guide_{place}") for place in PLACES)


def unknown(request: GuideRequest, found: Worn) -> Iterator[tuple[str, str]]:
    """What of the wear the readings cannot say: field, reason."""
    if found.play is None:
        why = "a reading of the guide and one of its stem are needed (guide_middle, stem_middle)"
        yield from dict.fromkeys(("worst_play_mm", "wear"), why).items()
    both = [
        place
        for place in PLACES
        if getattr(request, f"guide_{place}") and getattr(request, f"stem_{place}")
    ]
    if len(both) < 2:
        why = "wear by position is not known: guide and stem were not both read at two heights"
        yield "places", why


def bell_mouth(request: GuideRequest) -> float | None:
    """How much wider an end of the guide is than its middle, mm."""
    ends = (*request.guide_top, *request.guide_bottom)
    if not ends or not request.guide_middle:
        return None
    return stem.bell_mouth_mm(ends, request.guide_middle)


def bell_mouth_said(bell: float | None, error: float, allowed: float) -> str:
    """The bell mouth judged: by the readings' error, and by `allowed`, how far the running
    clearance may vary, mm; no row holds a limit of its own."""
    if bell is None or bell <= 0.0:
        return ""
    said = f"bell mouth {bell:.3f} mm"
    if bell <= error + FLOAT_MM:
        return f"{said}: no more than the error of the readings"
    if bell > allowed + FLOAT_MM:
        said += f", more than the usual clearance may vary ({allowed:.3f} mm)"
    return f"{said}; no limit of it is held here: the play at the end is what is judged"


def wear(found: Worn, rows: Sequence[PublishedRow]) -> Wear | None:
    """The play judged by the published limits: within only if it is whatever the readings' error,
    worn out as soon as it reads so."""
    most = _limits(rows)
    if found.tight:
        return "does not enter"
    if found.play is None or not most:
        return None
    if found.play + found.error <= min(most) + FLOAT_MM:
        return "within"
    return "worn out" if found.play > max(most) + FLOAT_MM else "between limits"


def _limits(rows: Sequence[PublishedRow]) -> list[float]:
    return [row.maximum for row in rows if row.stands and row.maximum is not None]


def why(
    found: Worn, judged: Wear | None, rows: Sequence[PublishedRow], usual: float, bell: str
) -> str:
    """The verdict on the wear, in words; `usual` is the greatest usual clearance of a new guide."""
    if found.tight:
        return found.tight
    if found.play is None or judged is None:
        return "play not known: measure guide and stem at the same heights, two ways"
    most = _limits(rows)
    past = found.play > min(most) + FLOAT_MM
    words = {
        "within": "within every published limit",
        "between limits": "past the strictest published limit, not the widest: ask the maker's"
        if past
        else "too near to the strictest published limit to call it within: measure again, or ask "
        "the maker's",
        "worn out": "past every published limit: a new guide, a liner or an oversize stem",
    }
    error = f", {found.error:.3f} mm more or less by the readings' error" if found.error else ""
    return (
        f"play up to {found.play:.3f} mm {found.where}{error}: {words[judged]} "
        f"(they run from {min(most):.3f} to {max(most):.3f} mm; new, up to {usual:.3f} is usual)"
        + (f"; {bell}" if bell else "")
    )
