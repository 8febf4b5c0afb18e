"""A tolerance as its two deviations from the nominal size.

`0.01 mm` is 0.01 each way; `+0.013/-0.000 mm`, `-0.0005/+0 in`, or the pair of them, says both.
The signs are the deviations' own, as on a drawing: both may lie above the nominal size
(`+0.025/+0.010 mm`).
"""

from __future__ import annotations

import re

from specdb.errors import BadQuantity
from specdb.units.reading import FRACTION, SAME, read, refuse
from specdb.units.words import KINDS

KIND = KINDS["tolerance"]
EACH_WAY = re.compile(r"(?:±|\+\s?/?\s?-)\s*")
BOTH = re.compile(r"([+-]?[0-9.,][^/]*?)\s*(?:/|\s(?=[+-]))\s*([+-]?[0-9.,][^/]*)")
ENDS_IN_UNIT = re.compile(r"[^0-9.,\s]\D*$")


def read_tolerance(given: object, field: str = "") -> tuple[float, float]:
    """(lower, upper) deviation in mm, lower <= upper; the part lies in nominal + lower to
    nominal + upper. `0.01` gives (-0.01, 0.01). Raises BadQuantity naming `field`."""
    if isinstance(given, list | tuple):
        return _pair(given, field)
    if not isinstance(given, str):
        return _each_way(given, given, field)
    text = given.translate(SAME).strip()
    if match := EACH_WAY.match(text):
        return _each_way(text[match.end() :], given, field)
    if (match := BOTH.fullmatch(text)) and not FRACTION.fullmatch(text):
        return _two(match[1], match[2], given, field)
    if text[:1] in ("+", "-"):
        why = "only one deviation: write both, as +0.013/-0 mm, or the size without a sign"
        raise refuse(given, KIND, field, f"the deviation {text}", why)
    return _each_way(text, given, field)


def _length(part: object, given: object, field: str) -> float:
    try:
        return read(part, "length", least=-KIND.most, most=KIND.most)
    except BadQuantity as refused:
        raise refuse(given, KIND, field, refused.understood, refused.why) from None


def _each_way(part: object, given: object, field: str) -> tuple[float, float]:
    half = _length(part, given, field)
    if half < 0 or (isinstance(part, str) and part[:1] in ("+", "-")):
        raise refuse(given, KIND, field, f"{half:g} mm each way", "a size each way has no sign")
    return (0.0 - half, half)


def _two(first: str, second: str, given: object, field: str) -> tuple[float, float]:
    """Two deviations; a unit said once, at the end, is the unit of both."""
    if (unit := ENDS_IN_UNIT.search(second)) and not ENDS_IN_UNIT.search(first):
        first += f" {unit[0]}"
    one, two = _length(first, given, field), _length(second, given, field)
    for text, value in ((first, one), (second, two)):
        if value != 0 and text[0] not in "+-":
            why = "each deviation needs its sign, as +0.013/-0 mm"
            raise refuse(given, KIND, field, f"{one:g} and {two:g} mm", why)
    return (min(one, two), max(one, two))


def _pair(given: list[object] | tuple[object, ...], field: str) -> tuple[float, float]:
    if len(given) != 2:
        raise refuse(given, KIND, field, f"{len(given)} values", "a pair has two")
    one, two = (_length(part, given, field) for part in given)
    signed = all(isinstance(part, str) and part.strip()[:1] in ("+", "-", "0") for part in given)
    if not signed and one * two > 0:
        why = "each deviation needs its sign: the lower one is negative, or zero"
        raise refuse(given, KIND, field, f"{one:g} and {two:g} mm", why)
    return (min(one, two), max(one, two))
