"""What stands on the sheet of one seat, in the shop's words and rounded for people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specdb.answers import advice, bench, boring
from specdb.answers.head_line import HeadLine, line
from specdb.answers.steps import NONE
from specdb.estimate import Estimate
from specdb.records import layout
from specdb.records.footnotes import Footnotes
from specdb.records.screens import SHOWN
from specdb.records.seat import SeatPlan
from specdb.records.shrink import ShrinkPair
from specdb.records.words import said
from specdb.sheet.section import section
from specdb.units.words import INCH


@dataclass(frozen=True, slots=True)
class Because:
    """A figure behind the plan, and the marks of its footnotes."""

    what: str
    text: str
    marks: str


class SheetSeat:
    """One seat of the sheet; `number` is its place in tables and map."""

    gone = False
    """Whether the shelf has no ring left for it."""

    def __init__(self, number: int, plan: SeatPlan, setting: int | None, notes: Footnotes) -> None:
        self.number, self.plan, self.setting = number, plan, setting
        self.line: HeadLine = line(plan)
        self._notes = notes

    @property
    def label(self) -> str:
        """What the seat is called."""
        return self.plan.label

    @property
    def position(self) -> str:
        """`inlet` or `exhaust`, as people say it."""
        return "inlet" if self.line.position == "intake" else "exhaust"

    @property
    def ring(self) -> str:
        """Outside x inside x height, mm."""
        return " × ".join(f"{size:.2f}" for size in self._sizes())

    @property
    def origin(self) -> str:
        """Part and list of the ring, or that it is a size to order or make."""
        if self.line.ring_part is None:
            return bench.GENERIC_SIZE
        return f"part {self.line.ring_part}, list {self.line.ring_from}"

    @property
    def face_off(self) -> str:
        """What a ring is higher than the counterbore is deep, mm; empty where it is not."""
        below = self.plan.chosen.below_deck_mm if self.plan.chosen else None
        return f"{-below:.2f}" if below is not None and below < -bench.METAL_MM else ""

    @property
    def on_shelf(self) -> str:
        """A ring of the shop's own that serves where a generic one takes less metal."""
        return next((row.text for row in self.plan.bench if row.what == bench.ON_SHELF), "")

    @property
    def to_ring(self) -> str:
        """What a bore made to the measured ring is less than the ring, mm; empty where the plan
        does not need that."""
        to_ring = self.plan.to_measured_ring
        if to_ring is None:
            return ""
        return f"{to_ring.press_least_mm:.3f} to {to_ring.press_greatest_mm:.3f}"

    @property
    def any_ring(self) -> str:
        """Where a bore made to the ring is planned: the heat and chill that serve any other."""
        return (
            "no heat and chill serve" if self.plan.any_ring is None else _pair(self.plan.any_ring)
        )

    @property
    def ring_inch(self) -> str:
        """Outside x inside x height, inches."""
        return " × ".join(f"{size / INCH:.4f}" for size in self._sizes())

    def _sizes(self) -> list[float]:
        sizes = (self.line.ring_outer_mm, self.line.ring_inner_mm, self.line.ring_height_mm)
        return [size for size in sizes if size is not None]

    @property
    def press(self) -> str:
        """Middle of the press: what a measured ring less its bore should come to, mm."""
        return "" if self.plan.chosen is None else f"{boring.ring_minus(self.plan.chosen):.3f}"

    @property
    def limits_inch(self) -> str:
        """The bore's limits in inches, rounded inward."""
        low, high = self.line.bore_least_mm, self.line.bore_most_mm
        if low is None or high is None:
            return ""
        least, most = boring.inches(low, high)
        return f"{least:.4f} in" if most <= least else f"{least:.4f} to {most:.4f} in"

    @property
    def found(self) -> str:
        """Readings as found: smallest to largest."""
        return f"{self.smallest:.3f} to {self.largest:.3f}"

    @property
    def smallest(self) -> float:
        """The smallest reading of the counterbore, mm."""
        return self.plan.sizes.measured.smallest_mm

    @property
    def largest(self) -> float:
        """The largest reading of the counterbore, mm."""
        return self.plan.sizes.measured.largest_mm

    @property
    def temperatures(self) -> str:
        """What the ring is chilled in and to."""
        if self.line.head_c is None:
            return ""
        if self.line.ring_c is None:
            return "as it is"
        return f"{(self.line.chill or '').replace('-', ' ')}, {self.line.ring_c} °C"

    @property
    def instead(self) -> str:
        """Where a light press is planned: the heat and chill that let the ring drop in, if any."""
        shrink = self.plan.shrink
        if shrink is None or shrink.drop_in is None or shrink.drop_in == shrink.chosen:
            return ""
        return _pair(shrink.drop_in)

    @property
    def no_clock(self) -> str:
        """Why there is no time to keep."""
        pair = self.plan.shrink.chosen if self.plan.shrink else None
        if pair is None or pair.chill == NONE:
            return "–"
        kind = "light_seconds" if pair.verdict == "light-press" else "air_seconds"
        return pair.unknown.get(kind, "–")

    @property
    def soaks(self) -> Iterator[str]:
        """How long ring and head stay where they are, for the pair advised."""
        shrink = self.plan.shrink
        if shrink is None or shrink.chosen is None:
            return
        for soak in shrink.insert_soak:
            if soak.medium == shrink.chosen.chill:
                yield f"ring, {soak.medium.replace('-', ' ')}: {soak.text}"
        if shrink.chosen.head_temperature_c > 30:
            yield f"head: {shrink.head_soak.text}"

    @property
    def feeds(self) -> str:
        """Feed for 1 mm of diameter at each crossing."""
        cut = self.plan.cut
        return "" if cut is None else ", ".join(f"{k} {v:.3f}" for k, v in cut.feed_per_mm.items())

    @property
    def drawing(self) -> str:
        """The section of insert and counterbore as SVG."""
        return section(self.plan)

    @property
    def why(self) -> Iterator[Because]:
        """The figures behind the plan, stress last of all."""
        sizes, press = self.plan.sizes, self.plan.interference
        if self.plan.chosen:
            low, high = self.plan.chosen.interference_min_mm, self.plan.chosen.interference_max_mm
            text = f"{low:.3f} to {high:.3f} mm wanted; {sizes.rule}"
            yield Because("press", text, self._notes.mark(self.plan.chosen.sources))
        if press is not None and press.decided_by:
            yield Because("ranges that decided", "", self._notes.mark(press.decided_by))
        for reason in sizes.as_found_why:
            yield Because("as found" if sizes.as_found else "not as found", reason, "")
        for field in SHOWN["SeatPlan.fit"] if self.plan.fit else ():
            value = getattr(self.plan.fit, field)
            if isinstance(value, Estimate):
                text = layout.cell(field, value)
                yield Because(said(field), text, self._notes.mark(value.sources))

    @property
    def unknown(self) -> Iterator[str]:
        """What the plan could not say."""
        for name, why in self.plan.unknown.items():
            yield f"{said(name.rpartition('.')[2])}: {' '.join(why.split())}"


def _pair(pair: ShrinkPair) -> str:
    """Heat and chill in a line."""
    ring = "as it is" if pair.chill == NONE else f"in {pair.chill.replace('-', ' ')}"
    return f"head at {advice.to_five(pair.head_temperature_c)} °C, ring {ring}"
