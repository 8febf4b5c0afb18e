"""Sizes for a counterbore the slow way: every ring of the series, one rule after the other.

Written from the rules in words and from the two computed tables alone: no code of the search.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, field
from pathlib import Path

SLACK = 5e-7
LEAST_CUT = 0.05
LATEST = (
    "as_of = coalesce((SELECT max(ordinal) FROM releases WHERE digest IS NOT NULL), "
    "(SELECT max(ordinal) FROM releases))"
)
"""The release a database answers from untold."""
OVALITY, TAPER = 0.025, 0.013
TIGHT, FREE = 0.010, 1.0
"""A bore window up to which it is not hit by limits; one of a bore that is not cut."""


@dataclass(frozen=True)
class Asked:
    bore: tuple[float, ...]
    head_class: str
    insert_class: str
    position: str = "exhaust"
    bottom: tuple[float, ...] = ()
    inner_min: float | None = None
    inner_max: float | None = None
    height_max: float | None = None
    runout: float = 0.0
    pit_depth: float = 0.0
    largest_clean_up: float = 1.5
    reading_error: float = 0.005


@dataclass(frozen=True)
class Found:
    size: str
    as_found: bool
    clean_up: float
    outer: float
    ring: dict[str, float] = field(compare=False)
    tight: bool
    key: tuple[bool, float, float] = field(compare=False)


class Catalogue:
    """Every ring of the generic series and every recommended range, read once."""

    def __init__(self, path: Path) -> None:
        with sqlite3.connect(path) as connection:
            connection.row_factory = sqlite3.Row
            self.rings = [
                dict(row)
                for row in connection.execute(f"SELECT * FROM insert_sizes WHERE {LATEST}")
            ]
            ranges = connection.execute(
                "SELECT * FROM recommended_ranges "
                f"WHERE {LATEST} AND part = 'seat-insert' AND retention = 'none' "
                "AND seat_in = 'head'"
            )
            self.steps: dict[tuple[str, str, str], list[dict[str, float]]] = {}
            for row in ranges:
                case = (row["head_class"], row["insert_class"], row["position"])
                self.steps.setdefault(case, []).append(dict(row))

    def press(self, asked: Asked, outer: float) -> tuple[float, float] | None:
        """The ring's class first, then the very position, then `any`; the upper of two steps."""
        pairs = [(c, p) for c in (asked.insert_class, "any") for p in (asked.position, "any")]
        for insert_class, position in pairs:
            held = [
                row
                for row in self.steps.get((asked.head_class, insert_class, position), [])
                if row["diameter_from_mm"] <= outer <= row["diameter_to_mm"]
            ]
            if held:
                upper = max(held, key=lambda row: row["diameter_from_mm"])
                return upper["minimum_mm"], upper["maximum_mm"]
        return None

    def serving(self, asked: Asked) -> list[Found]:
        press = {outer: self.press(asked, outer) for outer in {r["outer_mm"] for r in self.rings}}
        found = [self._judge(asked, ring, press[ring["outer_mm"]]) for ring in self.rings]
        return sorted((each for each in found if each), key=lambda each: each.key)

    def _judge(
        self, asked: Asked, ring: dict[str, float], press: tuple[float, float] | None
    ) -> Found | None:
        outer, inner = ring["outer_mm"], ring["inner_mm"]
        if asked.inner_max is not None and inner > asked.inner_max:
            return None
        if asked.inner_min is not None and inner < asked.inner_min:
            return None
        if asked.height_max is not None and ring["height_mm"] > asked.height_max:
            return None
        if press is None:
            return None
        wanted = asked.inner_max if asked.inner_max is not None else asked.inner_min
        off = abs(inner - (wanted if wanted is not None else 0.8 * outer))
        as_found = self._as_found(asked, ring, press)
        cut = (0.0, FREE) if as_found else self._clean_up(asked, outer, press)
        if cut is None:
            return None
        clean_up, window = cut
        key = (not as_found, round(clean_up, 6), round(off, 6))
        tight = window <= TIGHT + SLACK
        return Found(str(ring["id"]), as_found, clean_up, outer, ring, tight, key)

    def _as_found(self, asked: Asked, ring: dict[str, float], press: tuple[float, float]) -> bool:
        every = (*asked.bore, *asked.bottom)
        levels = [level for level in (asked.bore, asked.bottom) if level]
        if any(max(level) - min(level) > OVALITY + SLACK for level in levels):
            return False
        if len(levels) == 2:
            means = [sum(level) / len(level) for level in levels]
            if abs(means[0] - means[1]) > TAPER + SLACK:
                return False
        if asked.pit_depth > 0:
            return False
        loosest = ring["outer_mm"] - ring["outer_minus_mm"] - max(every) - asked.reading_error
        tightest = ring["outer_mm"] + ring["outer_plus_mm"] - min(every) + asked.reading_error
        return loosest >= press[0] - SLACK and tightest <= press[1] + SLACK

    def _clean_up(
        self, asked: Asked, outer: float, press: tuple[float, float]
    ) -> tuple[float, float] | None:
        """What is taken out at the least, and how far apart the bore's limits are."""
        largest = max(*asked.bore, *asked.bottom, 0.0)
        cleans = largest + max(asked.runout + 2 * asked.pit_depth, LEAST_CUT)
        from_, to = max(outer - press[1], cleans), outer - press[0]
        if to - from_ < min(2 * asked.reading_error, press[1] - press[0]) - SLACK:
            return None
        if to - from_ <= SLACK / 2:
            return None
        taken = from_ - largest
        return (taken, to - from_) if taken <= asked.largest_clean_up + SLACK else None
