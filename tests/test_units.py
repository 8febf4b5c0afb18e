"""Quantities: every ordinary way to write one, every refusal, judged by pint and by definition.

Outside references: pint (to the last bit) and the exact definitions: inch = 25.4 mm, pound =
0.45359237 kg, 0 degC = 273.15 K, 212 degF = 100 degC (all `published`: source iso-80000-1).
"""

from __future__ import annotations

import math
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb import units
from specdb.errors import BadQuantity, SpecdbError
from specdb.units import words

UREG = pint.UnitRegistry()
INCH = Fraction(254, 10)
PINT_HOUSE = {kind: words.KINDS[kind].units for kind in words.TABLES}


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("38.1 mm", Fraction("38.1")),
        ("38.1", Fraction("38.1")),
        ("38.1mm", Fraction("38.1")),
        ("  38.1   mm  ", Fraction("38.1")),
        ("38.", 38),
        ("38,1 mm", Fraction("38.1")),
        ("38,1055 mm", Fraction("38.1055")),
        ("0,5", Fraction("0.5")),
        (",5 in", INCH / 2),
        ("1.500 in", Fraction("1.5") * INCH),
        ('1.5"', Fraction("1.5") * INCH),
        ("1.5″", Fraction("1.5") * INCH),
        ("1.5”", Fraction("1.5") * INCH),
        ("1.5''", Fraction("1.5") * INCH),
        ("1.5in", Fraction("1.5") * INCH),
        ("1.5 in.", Fraction("1.5") * INCH),
        ("1.5 IN", Fraction("1.5") * INCH),
        ("1.5 Inch", Fraction("1.5") * INCH),
        ('1.5005"', Fraction("1.5005") * INCH),
        (".5 in", INCH / 2),
        ("5 thou", Fraction("0.005") * INCH),
        ('0.005"', Fraction("0.005") * INCH),
        ("1500 thou", Fraction("1.5") * INCH),
        ("1 1/2 in", Fraction(3, 2) * INCH),
        ("1-1/2 in", Fraction(3, 2) * INCH),
        ("1 - 1/2 in", Fraction(3, 2) * INCH),
        ("1½ in", Fraction(3, 2) * INCH),
        ("1 1\u20442 in", Fraction(3, 2) * INCH),
        ('1/2"', INCH / 2),
        ("-1/2 in", -INCH / 2),
        ("-1 1/2 in", -Fraction(3, 2) * INCH),
        ("1 17/64 in", Fraction(81, 64) * INCH),
        ("3.81 cm", Fraction("38.1")),
        ("0.0381 m", Fraction("38.1")),
        ("1e1 mm", 10),
        ("1E1mm", 10),
        ("−38.1 mm", -Fraction("38.1")),
        ("-0 mm", 0),
        ("38.1\u00a0mm", Fraction("38.1")),
        ("38.1\u202fmm", Fraction("38.1")),
        ("5 um", Fraction("0.005")),
        ("5 µm", Fraction("0.005")),
        ("5 μm", Fraction("0.005")),
        ("5 microns", Fraction("0.005")),
        ("38.1 MM", Fraction("38.1")),
        ("1 ft", 12 * INCH),
    ],
)
@pytest.mark.published
def test_a_length_is_read_by_the_definition_of_its_unit(text: str, mm: Fraction) -> None:
    read = units.read(text, "length")
    assert read == pytest.approx(float(mm), rel=1e-15, abs=1e-300)
    assert math.copysign(1, read) == (1 if mm >= 0 else -1)


@pytest.mark.parametrize(
    ("text", "kind", "house"),
    [
        ("150 degC", "temperature", 150),
        ("150C", "temperature", 150),
        ("150 °C", "temperature", 150),
        ("150°C", "temperature", 150),
        ("150℃", "temperature", 150),
        ("150 deg C", "temperature", 150),
        ("150", "temperature", 150),
        ("-196 C", "temperature", -196),
        ("212F", "temperature", 100),
        ("32 degF", "temperature", 0),
        ("300 °F", "temperature", Fraction(268 * 5, 9)),
        ("423.15 K", "temperature", 150),
        ("0 K", "temperature", Fraction("-273.15")),
        ("-459.67 degF", "temperature", Fraction("-273.15")),
        ("671.67 degR", "temperature", 100),
        ("90 degF", "temperature_difference", 50),
        ("50 degC", "temperature_difference", 50),
        ("50 K", "temperature_difference", 50),
        ("90 degR", "temperature_difference", 50),
        ("50 cm2", "area", 5000),
        ("50 cm^2", "area", 5000),
        ("50 cm²", "area", 5000),
        ("50 cm**2", "area", 5000),
        ("1 sq in", "area", INCH**2),
        ("399.5 cm3", "volume", 399500),
        ("399.5 cc", "volume", 399500),
        ("399.5 cm³", "volume", 399500),
        ("0.5 L", "volume", 500000),
        ("24.4 cu in", "volume", Fraction("24.4") * INCH**3),
        ("45°", "angle", 45),
        ("45 deg", "angle", 45),
        ("30'", "angle", Fraction(1, 2)),
        ("200 N/mm2", "pressure", 200),
        ("210 GPa", "pressure", 210000),
        ("5 kN", "force", 5000),
        ("15 min", "time", 900),
        ("2 h", "time", 7200),
        ("1 lb", "mass", Fraction("0.45359237")),
        ("10.5:1", "number", Fraction("10.5")),
        ("50 %", "number", Fraction(1, 2)),
        ("25 W/(m2 K)", "conductance", 25),
        ("25 W/m²K", "conductance", 25),
        ("55", "hardness", 55),
    ],
)
@pytest.mark.published
def test_other_kinds_are_read_by_definition(text: str, kind: str, house: Fraction) -> None:
    assert units.read(text, kind) == pytest.approx(float(house), rel=1e-15, abs=1e-13)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("38,105", "ambiguous: 38.105 or 38105"),
        ("1,500", "ambiguous"),
        ("0,005 in", "ambiguous"),
        ("1,500.5", "nothing between thousands"),
        ("1.500,5", "one decimal point"),
        ("38.1, 38.2", "repeating the option"),
        ("38 39", "38 and 39"),
        ("38 39 mm", "38 and 39"),
        ("38.1 mm 38.2 mm", "repeating the option"),
        ("2**3 mm", "one number"),
        ("2*3 mm", "one number"),
        ("1_000 mm", "one number"),
        ("0x10 mm", "one number"),
        ("5^2 mm", "one number"),
        ("5² mm", "one number"),
        ("1/2/3 in", "one number"),
        ("1 1/0 in", "proper fraction"),
        ("1 3/2 in", "proper fraction"),
        ("1 1/2", "write the unit"),
        ("1e400 mm", "finite"),
        ("1e400", "finite"),
        ("nan mm", "no number"),
        ("nan", "no number"),
        ("inf", "no number"),
        ("", "empty"),
        ("   ", "empty"),
        ("mm", "no number"),
        ("hello", "no number"),
        ("38 mmm", "did you mean mm"),
        ("38 kg", "a mass"),
        ("38 cm2", "an area"),
        ("38 s", "a time"),
        ("38 V", "not a length"),
        ("5 N m", "an energy or torque"),
        ("5 mil", "write thou or mm"),
        ("38 Mm", "too large"),
        ("1e9 mm", "too large"),
        ("mm 38", "not a number and a unit"),
        ("٣٨ mm", "no number"),
        ("9" * 5000, "finite"),
        ("38 " + "x" * 5000, "longer than"),
    ],
)
def test_a_length_is_refused_with_what_was_understood_and_would_be_accepted(
    text: str, says: str
) -> None:
    with pytest.raises(BadQuantity) as caught:
        units.read(text, "length", field="bore")
    message = str(caught.value)
    assert says in message
    assert message.startswith("bore: cannot read ")
    assert "Understood: " in message
    assert "Accepted: a length" in message
    assert len(message) < 400
    assert caught.value.field == "bore"
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(
    ("given_", "kind"),
    [
        ("150 °", "temperature"),
        ("5 mm", "temperature"),
        ("-274", "temperature"),
        ("-460 degF", "temperature"),
        ("10 delta_degC", "temperature"),
        ("55 HRC", "hardness"),
        ("5 rad", "number"),
        ("5 dozen", "angle"),
        ("5 kg", "force"),
        (True, "length"),
        (None, "length"),
        ([38.1], "length"),
        (b"38", "length"),
        (np.True_, "length"),
        (np.array([1.0, 2.0]), "length"),
        (math.nan, "length"),
        (-math.inf, "length"),
        (10**400, "length"),
        (1 + 2j, "length"),
        (UREG.Quantity(1.0, "kg"), "length"),
        (UREG.Quantity([1.0, 2.0], "mm"), "length"),
        (UREG.Quantity(20.0, "degC"), "temperature_difference"),
        (UREG.Quantity(20.0, "delta_degC"), "temperature"),
        (UREG.Quantity(math.nan, "mm"), "length"),
    ],
    ids=repr,
)
def test_what_is_no_quantity_of_the_kind_is_refused(given_: object, kind: str) -> None:
    with pytest.raises(BadQuantity, match="Accepted: "):
        units.read(given_, kind)


@pytest.mark.parametrize(
    ("given_", "kind", "house"),
    [
        (38, "length", 38.0),
        (38.1, "length", 38.1),
        (np.float64(38.1), "length", 38.1),
        (np.int32(38), "length", 38.0),
        (Decimal("38.1"), "length", 38.1),
        (Fraction(3, 2), "length", 1.5),
        (UREG.Quantity(1.5, "inch"), "length", 38.1),
        (UREG.Quantity(423.15, "kelvin"), "temperature", 150.0),
        (UREG.Quantity(300.0, "degF"), "temperature", (300 - 32) / 1.8),
        (UREG.Quantity(90.0, "delta_degF"), "temperature_difference", 50.0),
        (pint.UnitRegistry().Quantity(3, "cm"), "length", 30.0),
    ],
    ids=repr,
)
def test_numbers_are_in_the_house_unit_and_quantities_are_taken(
    given_: object, kind: str, house: float
) -> None:
    read = units.read(given_, kind)
    assert type(read) is float
    assert read == pytest.approx(house, rel=1e-14)


def test_bounds_are_said_in_the_house_unit() -> None:
    assert units.read("0 mm", "length", least=0.0) == 0.0
    with pytest.raises(BadQuantity, match=r"(?s)too small.*-0\.5 mm.*above 0 and at most 1000 mm"):
        units.read("-0.5", "length", above=0.0, most=1000.0)
    with pytest.raises(BadQuantity, match=r"too small"):
        units.read("0 mm", "length", above=0.0)
    with pytest.raises(BadQuantity, match=r"(?s)too large.*1016 mm"):
        units.read("40 in", "length", most=1000.0)


TABLE = [
    (kind, unit, factor)
    for kind, table in words.TABLES.items()
    for unit, (factor, _) in table.items()
    if kind != "temperature"
]


@pytest.mark.parametrize(("kind", "unit", "factor"), TABLE)
def test_each_factor_is_pints_to_the_last_bit(kind: str, unit: str, factor: float) -> None:
    house = "delta_degree_Celsius" if kind == "temperature_difference" else PINT_HOUSE[kind]
    assert UREG.Quantity(1.0, unit).m_as(house) == factor


@given(st.floats(0.001, 100.0), st.sampled_from([row for row in TABLE if row[0] != "hardness"]))
def test_a_value_is_pints_to_the_last_bit(value: float, row: tuple[str, str, float]) -> None:
    kind, unit, _ = row
    word = words.TABLES[kind][unit][1].split()[0]
    house = "delta_degree_Celsius" if kind == "temperature_difference" else PINT_HOUSE[kind]
    text = f"{value!r} {word}"
    assert units.read(text, kind) == UREG.Quantity(value, unit).m_as(house)


@given(st.floats(-200.0, 1500.0), st.sampled_from(["degC", "degF", "kelvin"]))
def test_a_temperature_is_pints_to_the_last_bit(value: float, unit: str) -> None:
    value = abs(value) if unit == "kelvin" else value
    assert units.read(f"{value!r} {unit}", "temperature") == UREG.Quantity(value, unit).m_as("degC")


@pytest.mark.parametrize("text", ["38.1 mm", "1.500 in", "5 thou", "3.81 cm", "0.5 foot", "7 um"])
def test_pints_own_parse_of_the_same_text_agrees(text: str) -> None:
    assert units.read(text, "length") == UREG(text).m_as("mm")


@pytest.mark.parametrize(
    ("text", "kind", "house"),
    [
        ("0.5 hand", "length", 50.8),
        ("1 atm", "pressure", 0.101325),
        ("2 fluid_ounce", "volume", 2 * 29573.5295625),
        ("1 Btu/(hour*ft^2*delta_degF)", "conductance", 5.678263),
        ("1 day", "time", 86400.0),
    ],
)
def test_other_words_are_asked_of_pint(text: str, kind: str, house: float) -> None:
    assert units.read(text, kind) == pytest.approx(house, rel=1e-6)


@given(st.text(max_size=80), st.sampled_from(sorted(words.TABLES)))
def test_no_text_ends_in_anything_but_a_number_or_a_refusal(text: str, kind: str) -> None:
    try:
        read = units.read(text, kind, field="x")
    except BadQuantity:
        return
    assert math.isfinite(read)


FRAGMENTS = [
    "1",
    "38.1",
    ",",
    ".",
    "/",
    " ",
    "-",
    "+",
    "e",
    "in",
    "mm",
    '"',
    "'",
    "°",
    "C",
    "**",
    "^",
]
FRAGMENTS += ["½", "²", "mil", "(", ")", "*", ":", "nan", "inf", "µ", "F", "kg", "0", "5", "%", "±"]


@given(st.lists(st.sampled_from(FRAGMENTS), max_size=8), st.sampled_from(sorted(words.TABLES)))
def test_no_shuffled_notation_ends_in_anything_else(parts: list[str], kind: str) -> None:
    text = "".join(parts)
    for read in (lambda: units.read(text, kind), lambda: units.read_tolerance(text, "t")):
        try:
            result = read()
        except SpecdbError:
            continue
        assert np.isfinite(result).all()


@given(st.integers(0, 99), st.integers(1, 63))
def test_sixty_fourths_read_as_their_fraction(whole: int, top: int) -> None:
    exact = (whole + Fraction(top, 64)) * INCH
    assert units.read(f"{whole} {top}/64 in", "length") == pytest.approx(float(exact), rel=1e-15)
    assert units.read(f'{whole}-{top}/64"', "length") == pytest.approx(float(exact), rel=1e-15)


@given(
    st.floats(-1e3, 1e3).filter(lambda x: x == 0 or abs(x) > 1e-6),
    st.sampled_from(["in", "thou", "cm"]),
)
def test_there_and_back_is_the_same_length(value: float, unit: str) -> None:
    there = units.convert(value, unit, "mm")
    assert units.convert(there, "mm", unit) == pytest.approx(value, rel=1e-14)
    assert units.read(f"{value!r} {unit}", "length") == there


@given(st.floats(-200.0, 1000.0))
def test_a_temperature_there_and_back(celsius: float) -> None:
    for unit in ("K", "degF"):
        there = units.convert(celsius, "degC", unit)
        assert units.convert(there, unit, "degC") == pytest.approx(celsius, rel=1e-12, abs=1e-11)


@pytest.mark.parametrize(
    ("value", "unit", "house", "difference", "result"),
    [
        (0.005, "in", "mm", False, 0.127),
        (20.0, "degC", "degC", False, 20.0),
        (77.36, "K", "degC", False, -195.79),
        (-320.4, "degF", "degC", False, -195.7777777777778),
        (10.0, "K", "degC", True, 10.0),
        (9.0, "degF", "degC", True, 5.0),
        (69.0, "GPa", "MPa", False, 69000.0),
        (200000.0, "MPa", "GPa", False, 200.0),
        (2.3e-5, "1/K", "1e-6/K", False, 23.0),
        (12.8, "1e-6/degF", "1e-6/K", False, 23.04),
        (0.4, "1e-6/K", "1e-6/K", True, 0.4),
        (-0.415, "%", "1e-6", False, -4150.0),
        (2.7, "g/cm3", "kg/m3", False, 2700.0),
        (0.0975, "lb/in3", "kg/m3", False, 2698.7911),
        (0.9, "kJ/(kg K)", "J/(kg K)", False, 900.0),
        (1.6, "W/(cm K)", "W/(m K)", False, 160.0),
        (3.0, "um", "mm", False, 0.003),
        (30.0, "ksi", "MPa", False, 206.8427),
        (1.0, "atm", "MPa", False, 0.101325),
    ],
)
@pytest.mark.published
def test_the_builds_conversions(
    value: float, unit: str, house: str, difference: bool, result: float
) -> None:
    assert units.convert(value, unit, house, difference=difference) == pytest.approx(
        result, rel=1e-6 if unit in ("lb/in3", "ksi") else 1e-13
    )


@pytest.mark.parametrize(
    ("value", "unit", "house"),
    [
        (1.0, "kg", "mm"),
        (1.0, "wibble", "mm"),
        (1.0, "", "mm"),
        (1.0, "mm", "degC"),
        (math.nan, "mm", "mm"),
        (1e308, "m", "mm"),
    ],
)
def test_the_build_is_told_what_does_not_convert(value: float, unit: str, house: str) -> None:
    with pytest.raises(BadQuantity):
        units.convert(value, unit, house)


@pytest.mark.parametrize(
    ("given_", "deviations"),
    [
        ("0.01 mm", (-0.01, 0.01)),
        ("0.01", (-0.01, 0.01)),
        (0.01, (-0.01, 0.01)),
        ("±0.01 mm", (-0.01, 0.01)),
        ("+/-0.01 mm", (-0.01, 0.01)),
        ("+-0.0005 in", (-0.0127, 0.0127)),
        ("0,01 mm", (-0.01, 0.01)),
        ("+0.013/-0.000 mm", (0.0, 0.013)),
        ("-0.000/+0.013 mm", (0.0, 0.013)),
        ("+0,02/-0,01 mm", (-0.01, 0.02)),
        ("-0.0005/+0 in", (-0.0127, 0.0)),
        ("+0.0005 -0.0000 in", (0.0, 0.0127)),
        ("+0.5 thou/-0 thou", (0.0, 0.0127)),
        ("+0.025/+0.010 mm", (0.010, 0.025)),
        ("-0.02/-0.05 mm", (-0.05, -0.02)),
        ("0/-0.02", (-0.02, 0.0)),
        ("0", (0.0, 0.0)),
        ((-0.01, 0.02), (-0.01, 0.02)),
        ([0.02, -0.01], (-0.01, 0.02)),
        (("+0.010 mm", "+0.025 mm"), (0.010, 0.025)),
        (("-0.0005 in", 0), (-0.0127, 0.0)),
    ],
)
def test_a_tolerance_is_its_two_deviations(given_: object, deviations: tuple[float, float]) -> None:
    assert units.read_tolerance(given_, "insert_tolerance") == pytest.approx(deviations, rel=1e-14)


@pytest.mark.parametrize(
    "given_",
    [
        *("-0.01", "+0.01 mm", "0.1/0.2", "h6", "", "nan", "±-0.01", "±", "1 m", "+1/-1 m"),
        *("0.01 kg", "+0.01/-0.02/0 mm", "+0.01/", "1/2 in", "+0,013/-0 mm"),
        *(None, True, -0.01, math.inf, (0.01, 0.02), (1, 2, 3), (), ("a", "b"), {"a": 1}),
    ],
    ids=repr,
)
def test_nonsense_for_a_tolerance_is_refused(given_: object) -> None:
    with pytest.raises(BadQuantity, match=r"insert_tolerance: (.|\n)*Accepted: a tolerance"):
        units.read_tolerance(given_, "insert_tolerance")


def test_every_example_of_a_kind_is_accepted() -> None:
    for kind in words.KINDS.values():
        for example in kind.examples:
            if kind.name == "tolerance":
                lower, upper = units.read_tolerance(example)
                assert lower <= upper, example
            else:
                assert math.isfinite(units.read(example, kind.name)), example


def test_no_word_means_two_units_of_a_kind() -> None:
    for table in words.TABLES.values():
        spelled = [word for _, spellings in table.values() for word in spellings.split()]
        assert len(spelled) == len(set(spelled))


def test_usual_words_do_not_load_pint() -> None:
    script = (
        "import sys; from specdb import units;"
        "units.read('1 1/2 in', 'length'); units.read('300F', 'temperature');"
        "units.read('25 W/(m2 K)', 'conductance'); units.convert(5.0, '1/K', '1e-6/K');"
        "print([name for name in ('pint', 'numpy', 'sqlalchemy') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


@pytest.mark.common_practice  # the diameters of this work lie between 3 and 300 mm
@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ("1.498", "1.498 in"),
        ("1,5", "1.5 in"),
        (1.498, "1.498 in"),
        (1, "1 in"),
        ("0.275", "0.275 in"),  # a pilot: 6.985 mm
        ("998", "998 thou"),
        ("1498", "1498 thou"),
    ],
)
def test_a_bare_diameter_that_can_only_be_inches_is_asked_back(given: object, meant: str) -> None:
    mm = units.read(given, "length")
    with pytest.raises(BadQuantity, match=f"did you mean {meant}") as refused:
        units.check_diameter(mm, given, "bore")
    assert refused.value.field == "bore"


@pytest.mark.parametrize(
    ("given", "meant"),
    [("33.02cm", "33.02 mm"), ("38.1 thou", "38.1 mm"), ("38,1 in", "38.1 mm")],
)
def test_a_diameter_in_a_unit_it_cannot_have_is_asked_back(given: str, meant: str) -> None:
    """33.02 cm is 330.2 mm, 38.1 thou 0.97 mm, 38.1 in 968 mm."""
    mm = units.read(given, "length")
    with pytest.raises(BadQuantity, match=rf"did you mean {meant}\?") as refused:
        units.check_diameter(mm, given, "bore")
    assert "000000" not in str(refused.value)


def test_a_message_repeats_no_noise_of_a_conversion() -> None:
    with pytest.raises(BadQuantity) as refused:
        units.read(330.20000000000005, "length", field="bore", most=300.0)
    assert "330.2 " in str(refused.value)
    assert "330.20" not in str(refused.value)


@pytest.mark.parametrize(
    "given",
    ["38.1", 38.1, "3", "300", "1.498 mm", "1.498 in", '1.498"', "400 mm", 400.0, "0.05", "20000"],
)
def test_any_other_diameter_is_taken_as_it_is(given: object) -> None:
    mm = units.read(given, "length")
    assert units.check_diameter(mm, given) == mm
