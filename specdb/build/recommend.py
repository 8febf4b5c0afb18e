"""One recommended interference range a case, derived from the ranges that were gathered.

A *case* is a part, a head class, a ring class, a position, a retention and a step of diameter of
1 mm. The rule, in the order it is applied:

1. Only rows that stand (`basis`), of repair work, seated in the head, of this retention take
   part; a row of the case's own head, ring and position, or of `any` ring and position. What is
   printed for a new casting, a seat in the block or a peened ring decides nothing here.
2. A row *decides* when its head material is stated by the source or is what the rule is about.
   Where the head was only assumed the row has half a say, see 6, and none alone.
3. Recalled rows (`memory`) take part only where no other row decides the case.
4. A row speaks for a step when its diameters touch it. A per-mm rule is turned into mm at the
   middle of the step (0.003 per mm is 0.114 at 38). A row without a diameter speaks for none.
   A per-mm rule is a line without width: where no band speaks, the nearest band is carried
   on, unchanged above its largest diameter, up to a third of it; else below its smallest, its
   upper end in proportion to the diameter, by a third beside a per-mm rule, by an eighth alone.
5. The range is the envelope of what the deciding rows say: the ring's own class and `any`
   together, since the class rows are weak and one is contradicted by the only published figure.
   But in a head that cracks, the ring's own class sets the upper end: iron does not
   yield, and the brittle rings go there with less.
6. Where a row whose head was assumed, for a size within an eighth, reaches past that envelope,
   the end moves half way to it.

So every range lies within the span of the rows it names, and where nobody decides there is none:
ductile and compacted iron and steel heads, and seats in a block, have no published rule.
A ring class or position that no row tells apart from `any` gets no range of its own: look up the
ring's class first, then the very position, then `any`.
The database adds the column `as_of`: the build knows the release, this function does not.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

STEPS: dict[str, range] = {"seat-insert": range(20, 66), "valve-guide": range(8, 24)}
"""Part -> the middles of its diameter steps, mm; each step is 1 mm wide."""

RING_CLASSES: dict[str, tuple[str, ...]] = {
    "any": (),
    "alloyed-cast-iron": ("alloyed-cast-iron", "cast-iron"),
    "austenitic-cast-iron": ("austenitic-cast-iron", "cast-iron"),
    "high-chrome": ("high-chrome",),
    "sintered-plain": ("sintered-plain", "sintered-steel"),
    "sintered-tool-steel": ("sintered-tool-steel", "sintered-steel"),
    "sintered-copper-infiltrated": ("sintered-copper-infiltrated", "sintered-steel"),
    "nickel-base": ("nickel-base",),
    "cobalt-base": ("cobalt-base", "cobalt-alloy"),
    "bronze": ("bronze",),
    "copper-beryllium": ("copper-beryllium",),
}
"""A shop's ring class -> the classes in published rows that speak for it besides `any`."""

CRACKING_HEADS = frozenset({"grey-iron", "compacted-iron"})
"""Heads that crack before they yield, so that a ring's own class caps the press."""

HALF_STEP = 0.5
CARRY = 1 / 3
"""How far the nearest band is carried on, as a share of the diameter it ends at."""
NEAR = 1 / 8
"""How far in diameter a row with an assumed head is heard, or a band carried down alone."""


@dataclass(frozen=True, slots=True)
class _Range:
    """A gathered row, lengths in mm; `low` and `high` are per mm where `per_mm`."""

    id: str
    ring: str
    position: str
    seen: str
    decides: bool
    per_mm: bool
    start: float
    end: float
    low: float
    high: float

    def at(self, diameter: float) -> _Said:
        factor = diameter if self.per_mm else 1.0
        return _Said(self, self.low * factor, self.high * factor)

    def touches(self, diameter: float) -> bool:
        return self.start <= diameter + HALF_STEP and diameter - HALF_STEP <= self.end

    def gap(self, diameter: float) -> float:
        """How far outside its diameters `diameter` lies, as a share of the end passed."""
        if diameter < self.start:
            return (self.start - diameter) / self.start
        return max(0.0, (diameter - self.end) / self.end)

    def carried_to(self, diameter: float) -> _Said:
        share = min(1.0, diameter / self.start)
        return _Said(self, self.low, max(self.low, self.high * share), carried=True)


@dataclass(frozen=True, slots=True)
class _Said:
    """What a row says at one diameter, mm."""

    row: _Range
    low: float
    high: float
    carried: bool = False


def recommend(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The recommended ranges, sorted by id, from live rows of `interference_ranges`.

    `rows` carry the cells of the table and the converted columns `diameter_from_mm`,
    `diameter_to_mm`, `minimum_mm`, `maximum_mm` as floats (None where empty). Each result has
    `id, part, head_class, insert_class, position, retention, seat_in, diameter_from_mm,
    diameter_to_mm, minimum_mm, maximum_mm` (mm, on diameter), `rule` (how it came about) and
    `sources` (ids of the rows it stands on, joined by ';').
    """
    found = []
    groups = sorted({(r["part"], r["head_class"], r["retention"]) for r in rows if _usable(r)})
    for part, head, retention in groups:
        if part not in STEPS or head == "any":
            continue
        ranges = [_range(r) for r in rows if _usable(r) and _of(r, part, head, retention)]
        for (ring, position), case in _cases(ranges, part).items():
            for step in STEPS[part]:
                range_at = _at_step(case, float(step), cracks=head in CRACKING_HEADS)
                if range_at is not None:
                    named = (part, head, ring, position, retention)
                    found.append(_record(named, step, *range_at))
    return sorted(found, key=lambda record: str(record["id"]))


def _usable(row: Mapping[str, Any]) -> bool:
    return (
        row["basis"] == "stands"
        and row["work"] == "repair"
        and row["seat_in"] == "head"
        and row["diameter_from_mm"] is not None
        and row["diameter_to_mm"] is not None
    )


def _of(row: Mapping[str, Any], part: str, head: str, retention: str) -> bool:
    return (
        row["part"] == part and row["head_class"] in (head, "any") and row["retention"] == retention
    )


def _range(row: Mapping[str, Any]) -> _Range:
    return _Range(
        id=row["id"],
        ring=row["insert_class"],
        position=row["position"],
        seen=row["seen"],
        decides=row["head_known"] != "assumed",
        per_mm=row["form"] == "per-mm",
        start=float(row["diameter_from_mm"]),
        end=float(row["diameter_to_mm"]),
        low=float(row["minimum_mm"]),
        high=float(row["maximum_mm"]),
    )


def _cases(ranges: Sequence[_Range], part: str) -> dict[tuple[str, str], list[_Range]]:
    """(ring, position) -> its rows, for each that its own rows tell apart from `any`."""
    cases: dict[tuple[str, str], list[_Range]] = {}
    rings = RING_CLASSES if part == "seat-insert" else ["any"]
    for ring, position in itertools.product(rings, ("any", "exhaust", "intake")):
        case = _of_case(ranges, ring, position)
        fallbacks = [(ring, "any"), ("any", position), ("any", "any")]
        fallback = next((key for key in fallbacks if key in cases), None)
        if fallback is None or cases[fallback] != case:
            cases[ring, position] = case
    return cases


def _of_case(ranges: Iterable[_Range], ring: str, position: str) -> list[_Range]:
    """The rows that take part in a case; recalled ones only where nothing else decides."""
    rings, positions = ("any", *RING_CLASSES[ring]), ("any", position)
    case = [r for r in ranges if r.ring in rings and r.position in positions]
    if any(r.decides and r.seen != "memory" for r in case):
        case = [r for r in case if r.seen != "memory"]
    return case


def _at_step(
    case: Sequence[_Range], diameter: float, *, cracks: bool
) -> tuple[float, float, list[_Said], list[_Said]] | None:
    """Low, high (mm), what decided and what had half a say; None where nobody decides."""
    deciders = [r for r in case if r.decides]
    down = CARRY if any(r.per_mm and r.touches(diameter) for r in deciders) else NEAR
    own = _speaking([r for r in deciders if r.ring != "any"], diameter, down)
    deciding = _speaking([r for r in deciders if r.ring == "any"], diameter, down) + own
    if all(said.row.per_mm for said in deciding):
        return None
    low = min(said.low for said in deciding)
    high = max(said.high for said in deciding)
    heard = [r.at(diameter) for r in case if not r.decides and r.gap(diameter) <= NEAR]
    if heard:
        low = (low + min(low, *(said.low for said in heard))) / 2
        high = (high + max(high, *(said.high for said in heard))) / 2
    if cracks and own:
        high = max(said.high for said in own)
        low = min(low, high)
    return low, high, deciding, heard


def _speaking(deciding: Sequence[_Range], diameter: float, down: float) -> list[_Said]:
    """What the deciding rows say; where no band touches the step, the nearest is carried on."""
    said = [r.at(diameter) for r in deciding if r.touches(diameter)]
    bands = [
        (diameter < r.start, r.gap(diameter), r.id, r)
        for r in deciding
        if not r.per_mm and r.gap(diameter) <= (down if diameter < r.start else CARRY)
    ]
    if bands and all(s.row.per_mm for s in said):
        said.append(min(bands)[-1].carried_to(diameter))
    return said


def _record(
    case: tuple[str, str, str, str, str],
    step: int,
    low: float,
    high: float,
    deciding: Sequence[_Said],
    heard: Sequence[_Said],
) -> dict[str, Any]:
    part, head, ring, position, retention = case
    words = [part, head, ring, position, *([] if retention == "none" else [retention])]
    return {
        "id": f"recommended.{'.'.join(words)}.{step}",
        "part": part,
        "head_class": head,
        "insert_class": ring,
        "position": position,
        "retention": retention,
        "seat_in": "head",
        "diameter_from_mm": step - HALF_STEP,
        "diameter_to_mm": step + HALF_STEP,
        "minimum_mm": round(low, 6),
        "maximum_mm": round(high, 6),
        "rule": _rule(step, deciding, heard, head in CRACKING_HEADS),
        "sources": ";".join(sorted({said.row.id for said in (*deciding, *heard)})),
    }


def _rule(step: int, deciding: Sequence[_Said], heard: Sequence[_Said], cracks: bool) -> str:
    many = len(deciding) > 1
    rows = f"the {len(deciding)} rows that decide" if many else "the one row that decides"
    parts = [f"least to greatest of {rows}, at {step} mm"]
    if any(said.row.per_mm for said in deciding):
        parts.append("the per-mm rule taken at that diameter")
    if any(said.carried for said in deciding):
        parts.append("the nearest range carried over, since none is given for this size")
    if cracks and any(said.row.ring != "any" for said in deciding):
        parts.append("the upper end that of the ring's own class, since iron cracks")
    if heard:
        parts.append(f"{len(heard)} near in size whose head was assumed, with half a say")
    return "; ".join(parts)
