"""Words outside our table: pint is asked, and its errors are put into ours.

Only a word of letters with small whole exponents ever reaches pint, never a number or an
expression, so nothing it would guess at (`2**3 mm`, `1e400`) can come back as a figure.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

WORD = re.compile(r"[A-Za-zµ°Ω_]{1,30}(?:\^-?[1-6]|-?[1-6])?")
JOINED = re.compile(rf"{WORD.pattern}(?:[*/]{WORD.pattern}){{0,5}}")

NOUNS: dict[frozenset[tuple[str, int]], str] = {
    frozenset(): "a plain number",
    frozenset({("[length]", 1)}): "a length",
    frozenset({("[length]", 2)}): "an area",
    frozenset({("[length]", 3)}): "a volume",
    frozenset({("[mass]", 1)}): "a mass",
    frozenset({("[time]", 1)}): "a time",
    frozenset({("[current]", 1)}): "an electric current",
    frozenset({("[temperature]", 1)}): "a temperature or a difference of two",
    frozenset({("[length]", 1), ("[time]", -1)}): "a speed",
    frozenset({("[mass]", 1), ("[length]", -3)}): "a density",
    frozenset({("[mass]", 1), ("[length]", 1), ("[time]", -2)}): "a force",
    frozenset({("[mass]", 1), ("[length]", -1), ("[time]", -2)}): "a pressure or stress",
    frozenset({("[mass]", 1), ("[length]", 2), ("[time]", -2)}): "an energy or torque",
    frozenset({("[mass]", 1), ("[length]", 2), ("[time]", -3)}): "a power",
}


class ForeignUnitError(Exception):
    """Stays in this package: `known` is what the word measures, None if pint has no such word."""

    def __init__(self, known: str | None) -> None:
        super().__init__(known)
        self.known = known


@cache
def registry() -> Any:
    """Build pint's default registry, once (about 30 bare starts of Python)."""
    import pint

    return pint.UnitRegistry()


@cache
def unit(word: str) -> Any:
    """The pint unit of a word; ForeignUnitError(None) if there is none."""
    tidy = word.replace("**", "^").strip().rstrip(".")
    tidy = re.sub(r"(?<=[A-Za-z0-9)])\s+(?=[A-Za-z])", "*", tidy)
    tidy = re.sub(r"\s+|[()]", "", _divide(tidy))
    if not JOINED.fullmatch(tidy):
        raise ForeignUnitError(None)
    powers = re.sub(r"\^?(-?[1-6])", r"**\1", tidy)
    try:
        return registry().parse_units(powers)
    except Exception as error:  # pint raises many families, some not its own
        raise ForeignUnitError(None) from error


def _divide(word: str) -> str:
    """`a/(b*c)` as `a/b/c`: our words know brackets only there."""
    before, bracket, inside = word.partition("/(")
    return f"{before}/{inside.replace('*', '/')}" if bracket else word


def measures(word: str) -> str | None:
    """What a word measures, said as a noun; None if pint has no such word."""
    try:
        dimension = unit(word).dimensionality
    except ForeignUnitError:
        return None
    return NOUNS.get(frozenset(dimension.items()), f"a quantity of {dimension}")


def quantity(value: float, word: str, house: str, *, difference: bool = False) -> float:
    """`value` of `word` in `house`, a pint unit or a word; ForeignUnitError where that cannot
    be.
    """
    from_unit, to_unit = unit(word), _house_unit(house)
    if from_unit.dimensionality != to_unit.dimensionality:
        raise ForeignUnitError(measures(word))
    try:
        if difference:
            step = registry().Quantity(value, from_unit).m_as(to_unit)
            return float(step - registry().Quantity(0.0, from_unit).m_as(to_unit))
        return float(registry().Quantity(value, from_unit).m_as(to_unit))
    except Exception as error:
        raise ForeignUnitError(measures(word)) from error


@cache
def _house_unit(house: str) -> Any:
    """A unit by the name pint has for it, or by a word of the data (`kg/m3`)."""
    try:
        return registry().parse_units(house)
    except Exception:  # pint raises many families, some not its own
        return unit(house)
