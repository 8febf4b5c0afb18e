"""The recommended press of a case over all diameters: what `interference` says and `sizes` uses."""

from __future__ import annotations

from dataclasses import dataclass, replace

from specdb.answers import names, recommended
from specdb.answers.recommended import Case, Segment
from specdb.answers.trade_limits import Limit
from specdb.errors import NotKnown, UnknownName
from specdb.records.conditions import Cooling, HeadState, PressCase, Retention
from specdb.store.asof import Reader
from specdb.store.query import interference as range_rows

EVERY_MM = 1e6
"""A diameter past all that are known."""
SOFT = "hardness-warn-welded-head"
"""The limit row for hardness beside the seat."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the press depends on besides the two metals; None was not told."""

    cooling: Cooling | None
    retention: Retention | None
    head_state: HeadState | None
    fuel: str | None

    def assumed(self) -> tuple[str, ...]:
        """What is taken for granted because nobody said otherwise."""
        said = (
            (self.cooling, "water-cooled"),
            (self.retention, "unpeened"),
            (self.head_state, "sound casting"),
        )
        left = [words for given, words in said if given is None]
        return (f"assumed {', '.join(left)}",) if left else ()

    def remarks(self, soft_hb: Limit) -> tuple[str, ...]:
        """What the conditions told mean for the press, in words (common practice)."""
        found = []
        if self.cooling == "air":
            found.append("An air-cooled head runs hotter: aim for the upper half of the range.")
        if self.weak:
            found.append(
                "Stay at the low end and measure the hardness beside the seat: under "
                f"{soft_hb.value:g} HB the casting is soft and more press is no cure."
            )
        if self.head_state == "welded":
            found.append(
                "Welded through: relieve the stress, bore after welding, look for cracks, and "
                "count on the strength of soft metal."
            )
        if self.fuel in ("gas", "hydrogen", "alcohol"):
            found.append("This fuel asks for another ring material, not for another press.")
        return tuple(found)

    @property
    def weak(self) -> bool:
        """Whether the casting is one to be spared."""
        return self.head_state in ("welded", "soft")


@dataclass(frozen=True, slots=True)
class PressRange:
    """A case with the head and ring it is for, and its range over the diameters looked at."""

    part: str
    head: names.Head
    ring: names.Ring
    case: Case
    conditions: Conditions
    segments: tuple[Segment, ...]

    def topics(self) -> list[str]:
        """The caution topics of this ring and head, whatever is done with them."""
        said = {
            "copper-ring": self.ring.copper_coloured,
            "brittle-ring": self.ring.brittle,
            "welded-head": self.conditions.weak,
        }
        return [topic for topic, applies in said.items() if applies]


def press_range(
    reader: Reader,
    asked: PressCase,
    low_mm: float,
    high_mm: float,
    *,
    part: str = "seat-insert",
    instead: Segment | None = None,
) -> PressRange:
    """The recommended press for a pair over the diameters `low_mm` to `high_mm`.

    Without segments where none is known at these diameters but at others; `instead` is a range
    the asker brings along and takes their place. Raises `UnknownName` for
    a head, ring, part or fuel nobody knows, `NotKnown` where no range is known for the
    pair at any diameter.
    """
    known = range_rows.parts(reader)
    if part not in known:
        raise UnknownName("part", part, known, field="part")
    conditions = _conditions(reader, asked)
    whose, ring = names.head(reader, asked.head), names.ring(reader, asked.insert)
    case = Case(ring.answers_to, asked.position, conditions.retention or "none")
    found = PressRange(part, whose, ring, case, conditions, ())
    if instead is not None:
        return replace(found, segments=(instead,))
    held = over(reader, found, low_mm, high_mm)
    if not held and not over(reader, found, 0.0, EVERY_MM):
        kept = "" if case.retention == "none" else f", {case.retention}"
        raise NotKnown(
            f"no range of press is known for {part} {ring.name} in {whose.head_class}{kept}.",
            hint=_nearest_help(reader, part, case.retention),
        )
    return replace(found, segments=held)


def over(reader: Reader, found: PressRange, low_mm: float, high_mm: float) -> tuple[Segment, ...]:
    """The recommended range over the diameters `low_mm` to `high_mm`, in order of diameter."""
    rows = range_rows.recommended(
        reader,
        found.part,
        found.head.head_class,
        insert_classes=found.case.insert_classes,
        position=found.case.position,
        low=low_mm,
        high=high_mm,
    )
    held = recommended.segments(rows, found.case)
    return tuple(each.at_low_end() if found.conditions.weak else each for each in held)


def _conditions(reader: Reader, asked: PressCase) -> Conditions:
    fuel = None if asked.fuel is None else names.word(reader, "fuel", asked.fuel, "fuel")
    return Conditions(asked.cooling, asked.retention, asked.head_state, fuel)


def nearest_words(reader: Reader, found: PressRange, diameter_mm: float) -> str:
    """What is known closest to a diameter no range covers."""
    near = recommended.closest(over(reader, found, 0.0, EVERY_MM), diameter_mm)
    if near is None:
        return "nothing is known at any diameter"
    end = near.low_mm if diameter_mm < near.low_mm else near.high_mm
    return (
        f"at {end:.1f} mm the range is {near.minimum_mm:.3f} to {near.maximum_mm:.3f} mm; "
        "press grows with the diameter, so it cannot be carried over as it is"
    )


def _nearest_help(reader: Reader, part: str, retention: str) -> str:
    pairs = range_rows.pairs(reader, part)
    if not pairs:
        return f"No range is recommended for any {part}. Ask the engine maker's data."
    heads = sorted({row["head_class"] for row in pairs})
    rings = sorted({row["insert_class"] for row in pairs})
    plain = "" if retention == "none" else " A ring held by its press alone may have one."
    return (
        f"Ranges are known in {', '.join(heads)}, for {', '.join(rings)}.{plain} "
        "Ask the engine maker's data."
    )
