"""The press of a fit beside the range recommended for such a ring in such a head."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from specdb.answers import press_range
from specdb.answers.recommended import Segment
from specdb.errors import NoAnswer
from specdb.estimate import Estimate
from specdb.records.conditions import PressCase
from specdb.records.figures import thou
from specdb.records.fit import FitRequest
from specdb.records.rows import SEEN_ORDER
from specdb.records.some import some
from specdb.store.asof import Reader
from specdb.store.query import facts

Place = Literal["inside", "below", "above"]
FLOAT_MM = 1e-9
RANGES = "interference_ranges"


@dataclass(frozen=True, slots=True)
class Beside:
    """The range that holds for a ring at its diameter, or why none does."""

    range: Segment | None
    source: str
    case: str
    why_not: str

    def place(self, press_mm: float) -> Place | None:
        """Where a press [mm] lies; None where no range is known."""
        if self.range is None:
            return None
        if press_mm < self.range.minimum_mm - FLOAT_MM:
            return "below"
        return "above" if press_mm > self.range.maximum_mm + FLOAT_MM else "inside"


def beside(reader: Reader, request: FitRequest) -> Beside:
    """The recommended range for the ring, head, position and diameter of a fit."""
    at = request.insert_diameter
    case = f"{request.insert} in {request.head}, {request.position}, {at:.2f} mm"
    asked = PressCase(
        head=request.head,
        insert=request.insert,
        position=request.position,
        head_state=request.head_state,
    )
    try:
        found = press_range.press_range(reader, asked, at, at, part=request.part)
    except NoAnswer as refused:
        return Beside(None, "", case, refused.message)
    if not found.segments:
        return Beside(None, "", case, f"no range is recommended for this pair at {at:g} mm")
    held = found.segments[0]
    return Beside(held, _source(reader, held), case, "")


def _source(reader: Reader, held: Segment) -> str:
    """How the rows behind a range were seen, the best first: never better than they were."""
    seen: dict[str, set[str]] = {}
    for row in facts.by_id(reader, held.sources):
        if row["table_name"] == RANGES:
            seen.setdefault(row["seen"], set()).add(row["source"])
    kinds = [each for each in SEEN_ORDER if each in seen]
    return "; ".join(_of_kind(kind, sorted(seen[kind])) for kind in kinds)


def _of_kind(kind: str, sources: Sequence[str]) -> str:
    """The rows seen one way, with their sources where that way has any."""
    if kind == "common-practice":
        return "common practice, no source"
    name = "from memory" if kind == "memory" else f"seen as {kind}"
    return f"{name}: {some(sources, 2)}"


def recommended_mm(held: Segment) -> Estimate:
    """The range as a band about its middle, mm."""
    middle = (held.minimum_mm + held.maximum_mm) / 2
    return Estimate(middle, held.minimum_mm, held.maximum_mm, "mm", held.sources)


def verdict(found: Beside, press: Estimate) -> str:
    """Whether the press at 20 degC is the one recommended, in a line."""
    said = f"press {press.value:.3f} mm ({thou(press.value)})"
    held, place = found.range, found.place(press.value)
    if held is None or place is None:
        return f"{said}; {found.why_not}"
    least, most = held.minimum_mm, held.maximum_mm
    by = {"inside": 0.0, "below": least - press.value, "above": press.value - most}[place]
    where = f"{place} by {by:.3f} mm ({thou(by)})" if by else "inside"
    return (
        f"{said} is {where}{_at_the_ends(found, press, place)}; recommended {least:.3f} to "
        f"{most:.3f} mm ({thou(least).split()[0]} to {thou(most)}) for {found.case}: {found.source}"
    )


def _at_the_ends(found: Beside, press: Estimate, place: Place) -> str:
    """Where the ends of the tolerances lie that are not where the middle is."""
    ends = {"loose": found.place(press.low), "tight": found.place(press.high)}
    said = [f"at the {end} end {where}" for end, where in ends.items() if where != place]
    return f", {', '.join(said)}" if said else ""
