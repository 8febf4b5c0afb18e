"""A standard fit beside a range of press: how near the standards come to what the trade fits."""

from __future__ import annotations

from specdb.records.answer import Frozen


class StandardFit(Frozen):
    """A fit of a standard at a diameter. Press on diameter, mm; `within`: all of it lies inside
    the recommended range. `sources` are the rows of the standard's tables."""

    name: str
    standard: str
    interference_min_mm: float
    interference_max_mm: float
    within: bool
    says: str
    sources: tuple[str, ...]
