"""What a person typed, as a float in the house unit, or refused with help.

Read: `38.1`, `38.1 mm`, `1.5"`, `38,1 mm` (decimal comma), `1 1/2 in`, `1-1/2 in`, `1/2"`, `.5in`,
`1e1 mm`, `150 °C`. Refused: a comma before exactly three digits (`38,105` may be 38.105 or 38 105),
a fraction of a length without a unit, two numbers, expressions, infinity and what is no number.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from difflib import get_close_matches
from numbers import Real
from typing import Any

from specdb.errors import BadQuantity
from specdb.units import foreign
from specdb.units.words import (
    DIFFERENCE,
    FACTORS,
    KINDS,
    PINT_MAY,
    SPELLINGS,
    TABLES,
    ZERO,
    Kind,
    noun_of,
    unit_of,
)

LONGEST = 60
NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
PLAIN = re.compile(rf"\s*([+-]?{NUMBER})\s*(.*?)\s*")
COMMA = re.compile(r"([+-]?)([0-9]*),([0-9]+)\s*([^\s0-9,./].*)?")
FRACTION = re.compile(
    r"([+-]?)(?:([0-9]+)(?:\s+|\s?-\s?))?([0-9]+)\s?/\s?([0-9]+)\s*([^\s0-9,./].*)?"
)
ANY_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)*")

SAME = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u2007\u2009\u200a\u202f\u3000", " "),
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d", "-"),
        **dict.fromkeys("\u2033\u201d\u201c\u201f", '"'),
        **dict.fromkeys("\u2032\u2019\u2018", "'"),
        "\u03bc": "µ",
        "\u2044": "/",
        "\u00b7": "*",
        "\u22c5": "*",
        "\u00ba": "°",
        "\u2103": "°C",
        "\u2109": "°F",
        "\u00b2": "^2",
        "\u00b3": "^3",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
"""Signs that say the same: unbreakable spaces, minus signs, inch marks, mu, powers, fractions."""


def read(
    given: object,
    kind: str,
    *,
    field: str = "",
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
) -> float:
    """`given` as a float in the house unit of `kind` (a name of `KINDS`, not `tolerance`).

    Takes text, a number (house unit), or a pint quantity. The result is finite, above `above`,
    at least `least` and at most `most` (house unit). Raises BadQuantity naming `field`.
    """
    if isinstance(given, str):
        match = PLAIN.fullmatch(given)
        if match and (factor := FACTORS[kind].get(match[2])) is not None:
            value = float(match[1]) * factor
        elif match and kind == "temperature" and (unit := SPELLINGS[kind].get(match[2])):
            value = to_celsius(float(match[1]), unit)
        else:
            value = _careful(given, KINDS[kind], field)
    else:
        value = _number(given, KINDS[kind], field)
    _check(value, given, KINDS[kind], field, above, least, most)
    return value + 0.0  # no negative zero


def _check(
    value: float,
    given: object,
    kind: Kind,
    field: str,
    above: float | None,
    least: float | None,
    most: float | None,
) -> None:
    lowest = kind.least if least is None else least
    highest = kind.most if most is None else most
    if lowest <= value <= highest and (above is None or value > above):
        return
    if not math.isfinite(value):
        raise refuse(given, kind, field, "no finite number", "not a finite number")
    bounds = f"above {above:g}" if above is not None else f"at least {lowest:g}"
    raise BadQuantity(
        _short(given),
        understood=_say(value, kind),
        accepted=f"{kind.noun} {bounds} and at most {_say(highest, kind)}",
        field=field,
        why="too large" if value > highest else "too small",
    )


def _say(value: float, kind: Kind) -> str:
    return f"{value:.10g} {kind.house}" if kind.house != "1" else f"{value:.10g}"


def _short(given: object) -> object:
    """What a message repeats: a number or short text as it is, anything else in brief."""
    if isinstance(given, str):
        return given if len(given) <= LONGEST else given[: LONGEST - 3] + "..."
    if isinstance(given, bool | None) or (isinstance(given, int) and abs(given) < 1e15):
        return given
    if isinstance(given, float):
        return float(f"{given:.10g}")  # 330.20000000000005 is what a conversion leaves of 330.2
    return type(given).__name__


def refuse(given: object, kind: Kind, field: str, understood: str, why: str) -> BadQuantity:
    """Put a refusal together from what was understood and why it does not serve."""
    return BadQuantity(
        _short(given), understood=understood, accepted=kind.accepted, field=field, why=why
    )


def _number(given: object, kind: Kind, field: str) -> float:
    """A number in the house unit, or a pint quantity; known by its shape, pint not imported."""
    if isinstance(given, bool) or given is None:
        raise refuse(given, kind, field, "nothing", "not a quantity")
    if isinstance(given, Real | Decimal):
        try:
            return float(given)
        except (OverflowError, ValueError):
            raise refuse(given, kind, field, "no finite number", "too large") from None
    if hasattr(given, "m_as") and hasattr(given, "magnitude"):
        return _quantity(given, kind, field)
    why = "not text, a number or a quantity"
    if isinstance(given, list | tuple | set | dict):
        why = "one value is wanted here, not several"
    raise refuse(given, kind, field, "nothing", why)


def _quantity(given: Any, kind: Kind, field: str) -> float:
    """A quantity of whatever pint registry it was made in."""
    try:
        word = str(given.units)
        offset = word in ("degree_Celsius", "degree_Fahrenheit")
        difference = kind.name == "temperature_difference"
        fits = not (offset if difference else word.startswith("delta_"))
        if fits and isinstance(given.magnitude, Real | Decimal):
            return float(given.m_as(kind.units))
    except Exception:  # whatever a registry we do not know raises
        word = "another unit"
    raise refuse(given, kind, field, f"a quantity in {word}", f"not {kind.noun}")


def _careful(given: str, kind: Kind, field: str) -> float:
    """Every form the quick path does not know, and the reasons for refusing the rest."""
    if len(given) > LONGEST:
        raise refuse(given, kind, field, "nothing", f"longer than {LONGEST} characters")
    text = given.translate(SAME).strip()
    if not text:
        raise refuse(given, kind, field, "nothing", "empty")
    value, word = _split(given, text, kind, field)
    if not math.isfinite(value):
        raise refuse(given, kind, field, "no finite number", "not a finite number")
    return _in_house(value, word, given, kind, field)


def _split(given: str, text: str, kind: Kind, field: str) -> tuple[float, str]:
    """The number and the unit word of a text."""
    if match := FRACTION.fullmatch(text):
        sign, whole, top, bottom, word = match.groups()
        return _fraction(sign, whole, int(top), int(bottom), word, given, kind, field), word or ""
    if match := COMMA.fullmatch(text):
        sign, before, after, word = match.groups()
        if len(after) == 3:
            why = f"ambiguous: {before}.{after} or {before}{after}? write a decimal point"
            raise refuse(given, kind, field, "a comma before three digits", why)
        return float(f"{sign}{before or 0}.{after}"), word or ""
    match = PLAIN.fullmatch(text)
    if match and not ANY_NUMBER.search(match[2].lstrip("^")[:1]) and _one_number(text, match[2]):
        return float(match[1]), match[2]
    numbers = ANY_NUMBER.findall(text)
    if not numbers:
        raise refuse(given, kind, field, "no number", "there is no number in it")
    if len(numbers) > 1:
        why = "one number is wanted; a list is given by repeating the option"
        raise refuse(given, kind, field, f"the numbers {' and '.join(numbers[:4])}", why)
    why = "not a number and a unit"
    if "," in numbers[0]:
        why = "one decimal point is wanted, and nothing between thousands"
    raise refuse(given, kind, field, f"the number {numbers[0]}", why)


def _one_number(text: str, word: str) -> bool:
    """Whether digits in the unit word are only powers: `cm2`, `W/(m^2 K)`, never `mm 38`."""
    return not re.search(r"(?<![A-Za-zµ^*-])[0-9]|[0-9][0-9.,]|[*^-]{3}|^[*^]|[0-9]\s*[*]{2}", word)


def _fraction(
    sign: str,
    whole: str | None,
    top: int,
    bottom: int,
    word: str | None,
    given: str,
    kind: Kind,
    field: str,
) -> float:
    if bottom == 0 or (whole and top >= bottom):
        raise refuse(given, kind, field, "a fraction", "not a proper fraction")
    if kind.name == "length" and not word:
        why = "a fraction of an inch or of a millimetre? write the unit"
        raise refuse(given, kind, field, "a fraction without a unit", why)
    try:
        value = (int(whole or 0) * bottom + top) / bottom
    except OverflowError:
        value = math.inf
    return -value if sign == "-" else value


def _in_house(value: float, word: str, given: str, kind: Kind, field: str) -> float:
    if not word:
        return value
    unit = unit_of(word, kind.name)
    if unit is None:
        return _by_pint(value, word, given, kind, field)
    if kind.name == "temperature":
        return to_celsius(value, unit)
    return value * TABLES[kind.name][unit][0]


def to_celsius(value: float, unit: str) -> float:
    """A temperature of a unit of `DIFFERENCE`, in degC, rounded as pint rounds."""
    if unit == "delta_degree_Celsius":
        return value
    return (value * DIFFERENCE[unit][0] + ZERO[unit]) - ZERO["delta_degree_Celsius"]


def _by_pint(value: float, word: str, given: str, kind: Kind, field: str) -> float:
    known = noun_of(word)
    if known is None and kind.name in PINT_MAY and word not in ("mil", "mils", "°"):
        try:
            return foreign.quantity(
                value, word, kind.units, difference=kind.name == "temperature_difference"
            )
        except foreign.ForeignUnitError as refused:
            known = refused.known
    raise refuse(given, kind, field, *_unit_trouble(value, word, known, kind))


def _unit_trouble(value: float, word: str, known: str | None, kind: Kind) -> tuple[str, str]:
    """What was understood of a unit word that does not serve, and why it does not."""
    if kind.name == "length" and word.casefold() in ("mil", "mils"):
        return f"{value:g} {word}", "mil is said of 0.001 in and of 1 mm: write thou or mm"
    if kind.name == "temperature" and word == "°":
        return f"{value:g} degrees", "of which scale? write C or F"
    if kind.name == "hardness":
        return f"{value:g} {word}", "give the bare number, in the scale the question names"
    if known:
        return f"{value:g} {word}, {known}", f"not {kind.noun}"
    near = get_close_matches(word, list(SPELLINGS[kind.name]), n=1)
    hint = f", did you mean {near[0]}?" if near else ""
    return f"the number {value:g}", f"no unit is called {word!r}{hint}"
