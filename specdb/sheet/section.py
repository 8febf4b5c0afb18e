"""A dimensioned section through head, counterbore, insert and seat, drawn to scale.

A pure function of a plan: the same plan gives the same text. The press is far too small to be seen
at this scale; it stands in the words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specdb.records.cut import CutResult
from specdb.records.seat import SeatPlan
from specdb.sheet import svg
from specdb.sheet.svg import Point

SCALES = (5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0)
"""Scales a drawing may have: times life size."""
ROOM_MM = 112.0
"""Width on paper that the section itself may take."""
BESIDE_MM = 27.0
"""Room on paper to the left and right for the heights."""
HEAD_MM = 5.0
"""Head metal shown beside the counterbore and below its floor, life size."""


@dataclass(frozen=True, slots=True)
class Shape:
    """What is drawn, mm life size: radii, and depths below the deck."""

    bore: float
    outer: float
    inner: float
    top: float
    floor: float
    deck: float
    seat: tuple[float, float, float] | None
    """Outer and inner radius of the seat, and the depth of its outer edge."""
    angles: tuple[float, float, float]
    """Of top cut, seat and throat cut, degrees."""


def section(plan: SeatPlan) -> str:
    """The section of a planned seat, or an empty text where no ring was chosen."""
    shape = shape_of(plan)
    if shape is None:
        return ""
    half = shape.bore + HEAD_MM
    scale = next((each for each in SCALES if 2 * half * each <= ROOM_MM), SCALES[-1])
    return _Drawing(plan, shape, scale).text()


def shape_of(plan: SeatPlan) -> Shape | None:
    """What the plan says of the shapes; None where no ring was chosen."""
    ring = plan.chosen
    if ring is None:
        return None
    floor = plan.readings.depth or ring.height_mm
    top = max(floor - ring.height_mm, 0.0)  # a higher ring is faced down to the deck
    seat, angles = None, (0.0, 0.0, 0.0)
    if plan.cut is not None:
        angles = (plan.cut.top_angle_deg, plan.cut.seat_angle_deg, plan.cut.throat_angle_deg)
        edge = _seat_depth(plan.cut, top)
        if ring.inner_mm <= plan.cut.seat_inner_mm and top <= edge < floor:
            seat = (plan.cut.seat_outer_mm / 2, plan.cut.seat_inner_mm / 2, edge)
    return Shape(
        bore=ring.bore_target_mm / 2,
        outer=ring.outer_mm / 2,
        inner=ring.inner_mm / 2,
        top=top,
        floor=floor,
        deck=min(top, 0.0),
        seat=seat,
        angles=angles,
    )


def _seat_depth(cut: CutResult, top: float) -> float:
    """Depth of the seat's outer edge below the deck: as told, else as the top cut from the ring's
    face has it."""
    if cut.seat_outer_below_deck_mm is not None:
        return cut.seat_outer_below_deck_mm
    rise = (cut.top_face_outer_mm - cut.seat_outer_mm) / 2
    return top + rise * math.tan(math.radians(cut.top_angle_deg))


def alike(plan: SeatPlan) -> tuple[object, ...]:
    """What two seats must share for one drawing to serve both."""
    shape, ring, bored = shape_of(plan), plan.chosen, plan.boring
    if shape is None or ring is None:
        return ()
    seat = shape.seat and tuple(round(each, 2) for each in shape.seat)
    bore = (bored.bore_least_mm, bored.bore_most_mm) if bored else "as found"
    press = (round(ring.press_least_mm, 3), round(ring.press_greatest_mm, 3)) if bored else ()
    sizes = (ring.outer_mm, ring.inner_mm, ring.height_mm, plan.readings.depth)
    return (*sizes, bore, press, seat, shape.angles)


def profile(shape: Shape) -> list[Point]:
    """The ring's section on one side, mm: from its outer foot up and round, radius and depth."""
    foot = [(shape.inner, shape.floor), (shape.outer, shape.floor)]
    if shape.seat is None:
        return [*foot, (shape.outer, shape.top), (shape.inner, shape.top)]
    outer, inner, edge = shape.seat
    above, seat, below = (math.tan(math.radians(angle)) for angle in shape.angles)
    low = edge + (outer - inner) * seat
    at_inner = min(low + (inner - shape.inner) * below, shape.floor)
    at_outer = edge - (shape.outer - outer) * above
    if at_outer >= shape.top or above <= 0:  # the top cut runs out through the ring's side
        rim = [(shape.outer, max(at_outer, shape.top))]
    else:
        rim = [(shape.outer, shape.top), (outer + (edge - shape.top) / above, shape.top)]
    return [*foot, *rim, (outer, edge), (inner, low), (shape.inner, at_inner)]


class _Drawing:
    """One section on paper."""

    def __init__(self, plan: SeatPlan, shape: Shape, scale: float) -> None:
        self._plan, self._shape, self._scale = plan, shape, scale
        self._half = (shape.bore + HEAD_MM) * scale
        self._axis = BESIDE_MM + self._half
        self._above = 15.0 if shape.seat else 9.0
        self._deck = self._above - shape.deck * scale
        self._name = f"section-{hash_of(plan.label)}"

    def text(self) -> str:
        shape, scale = self._shape, self._scale
        under = self._y(shape.floor + HEAD_MM)
        height = under + 15.0
        width = 2 * (BESIDE_MM + self._half)
        title = (
            f"Section of seat {self._plan.label}, {scale:g} times life size: head, counterbore, "
            "insert, seat"
        )
        pieces = [
            "<defs>",
            svg.hatching(f"{self._name}-head", 2.6, 45),
            svg.hatching(f"{self._name}-ring", 1.1, -45),
            "</defs>",
            *self._metal(),
            svg.line((self._axis, self._above - 6), (self._axis, under + 2), dashes="4 1 1 1"),
            *self._diameters(under),
            *self._heights(),
            *self._ruler(width, height),
        ]
        return svg.drawing(self._name, title, width, height, pieces)

    def _x(self, radius: float) -> float:
        return self._axis + radius * self._scale

    def _y(self, depth: float) -> float:
        return self._deck + depth * self._scale

    def _metal(self) -> list[str]:
        shape = self._shape
        found = []
        bottom = shape.floor + HEAD_MM
        head = [
            (shape.bore + HEAD_MM, 0.0),
            (shape.bore, 0.0),
            (shape.bore, shape.floor),
            (shape.inner, shape.floor),
            (shape.inner, bottom),
            (shape.bore + HEAD_MM, bottom),
        ]
        for side in (1, -1):
            for points, what, wide in ((head, "head", 0.3), (profile(shape), "ring", 0.5)):
                placed = [(self._x(side * radius), self._y(depth)) for radius, depth in points]
                found.append(svg.outline(placed, fill=f"url(#{self._name}-{what})", wide=wide))
        return found

    def _diameters(self, under: float) -> list[str]:
        shape = self._shape
        ring = self._plan.chosen
        assert ring is not None
        bored = self._plan.boring
        low, high = (bored.bore_least_mm, bored.bore_most_mm) if bored else (None, None)
        counterbore = (
            f"counterbore {bored.bore_mm:.3f} ({low:.3f} to {high:.3f})"
            if bored
            else "counterbore as found"
        )
        floor = self._y(shape.floor)
        found = svg.across(self._x(-shape.bore), self._x(shape.bore), under + 5, counterbore, floor)
        middle = (floor + under) / 2 + 1
        inside = f"inside {ring.inner_mm:.2f}"
        found += svg.across(self._x(-shape.inner), self._x(shape.inner), middle, inside, middle)
        sizes = f"ring {ring.outer_mm:.2f} x {ring.inner_mm:.2f} x {ring.height_mm:.2f}"
        press = (
            f", press {ring.press_least_mm:.3f} to {ring.press_greatest_mm:.3f}" if bored else ""
        )
        found.append(svg.words((self._axis, under + 10.5), f"{sizes}{press} (mm, on diameter)"))
        if shape.seat:
            outer, inner, edge = shape.seat
            angles = " / ".join(f"{angle:g}" for angle in shape.angles)
            at = self._above - 9.0
            text = f"seat {2 * outer:.2f} outside, {2 * inner:.2f} inside, {angles} degrees"
            found += svg.across(self._x(-outer), self._x(outer), at, text, self._y(edge))
        return found

    def _heights(self) -> list[str]:
        shape = self._shape
        right, left = self._x(shape.bore + HEAD_MM) + 3, self._x(-shape.bore - HEAD_MM) - 3
        told = self._plan.readings.depth is not None
        depth = f"{shape.floor:.2f} deep" if told else "depth not told"
        found = svg.upright(self._y(0), self._y(shape.floor), right, depth, self._x(shape.bore))
        ring = f"ring {shape.floor - shape.top:.2f}"
        found += svg.upright(
            self._y(shape.top), self._y(shape.floor), left, ring, self._x(-shape.outer)
        )
        deck = [(self._x(side * shape.bore), self._y(0)) for side in (-1, 1)]
        floor = [(self._x(side * shape.inner), self._y(shape.floor)) for side in (-1, 1)]
        return [svg.line(*deck, wide=0.18), svg.line(*floor, wide=0.18), *found]

    def _ruler(self, width: float, height: float) -> list[str]:
        """Ten millimetres at the drawing's scale, so that a copy shows how far it shrank."""
        at, long = height - 1.0, 10 * self._scale
        left = width - long - 2
        text = f"10 mm, {self._scale:g} : 1"
        return [
            svg.line((left, at), (left + long, at), wide=0.6),
            *(svg.line((x, at - 1), (x, at + 1), wide=0.3) for x in (left, left + long)),
            svg.words((left - 1.5, at + 1), text, anchor="end", size=2.6),
        ]


def hash_of(label: str) -> int:
    """A number for a label that is the same in every run."""
    import zlib

    return zlib.crc32(label.encode("utf-8"))
