"""Tests and boxes of the sheet. Each test names the row its figures stand in, where the data has
one; what has no row is common practice and says so.
"""

from __future__ import annotations

from typing import NamedTuple


class Check(NamedTuple):
    """A test to do: when, what, what must come out, and the row behind the figures."""

    when: str
    what: str
    must: str
    row: str


CHECKS = (
    Check(
        "before boring",
        "crack test with the ring out: dye on alloy, magnetic on iron",
        "no crack",
        "insert.counterbore-check.any.1",
    ),
    Check(
        "before boring",
        "depth at four places, floor flat, corner radius below the ring's chamfer",
        "floor within 0.025 mm",
        "",
    ),
    Check(
        "ring home",
        "feeler of 0.03 mm under the ring",
        "must not enter",
        "insert.feeler-under-ring.any.1",
    ),
    Check(
        "seat cut",
        "run-out of the seat to the guide, total dial reading",
        "up to 0.05 mm, aim for 0.025",
        "seat.seat-run-out-fitted.any.1",
    ),
    Check(
        "seat cut",
        "vacuum, 20 to 25 inHg pulled on the port; oil on the stem, tester's seal tried first",
        "loses no more than 5 inHg in 10 s",
        "seat.vacuum-pull.any.1;seat.vacuum-loss.any.1;seat.vacuum-loss-time.any.1",
    ),
    Check(
        "deck done",
        "pressure test: air in the water jacket, 2 to 4 bar, warm tank, shielded",
        "no bubble",
        "",
    ),
)

FOUND_LEFT = (
    "bore",
    "ring",
    "press",
    "run-out",
    "recess",
    "seat width",
    "tip",
    "spring",
    "vacuum",
)
"""What is written down of each seat, found and left."""

HEIGHTS = (
    "stem height, old",
    "stem height, new",
    "spring height, old",
    "spring height, new",
    "tip ground (0.25 at most)",
    "spring shim (= sink)",
    "lash",
    "lash shim",
)
"""Measured after the seats are cut; the sink is taken up at tip, spring and lash."""

WHOLE_HEAD = (
    "pressure held",
    "deck height, old",
    "deck height, new",
    "chamber volumes, spread up to 0.5 cm3",
)
"""What is written down once for the head."""
