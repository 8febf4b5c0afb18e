"""The material as the shop asks for it: names, figures, refusals, evidence."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import specdb
from specdb.database import Database
from specdb.errors import BadQuantity, BadRequest, NotKnown, OutOfRange, UnknownName
from specdb.store.asof import Reader


@pytest.mark.parametrize(
    ("said", "key", "insert_class"),
    [
        ("al-si7mg-t6", "al-si7mg-t6", None),
        ("AL-SI7MG-T6", "al-si7mg-t6", None),
        ("A356", "al-si7mg-t6", None),
        ("A356.0", "al-si7mg-t6", None),
        ("319", "al-si6cu4", None),
        ("LM25-TF", "al-si7mg-t6", None),
        ("EN AW-6061", "al-6061-t6", None),
        ("C17200", "cu-be-c17200", None),
        ("1.2379", "tool-steel-d2", None),
        ("AISI D2", "tool-steel-d2", None),
        ("d2", "tool-steel-d2", None),
        ("EN-GJL-250", "grey-iron-gjl-250", None),
        ("copper-beryllium", "cu-be-c17200", "copper-beryllium"),
        ("beryllium copper", "cu-be-c17200", "copper-beryllium"),
        ("sintered-tool-steel", "sintered-steel-tool-type", "sintered-tool-steel"),
    ],
)
def test_names(db: Database, said: str, key: str, insert_class: str | None) -> None:
    found = db.material(said)
    assert (found.key, found.insert_class) == (key, insert_class)


def test_unknown_name_suggests(db: Database) -> None:
    with pytest.raises(UnknownName) as caught:
        db.material("al-si7mg-t7")
    assert caught.value.near[0] == "al-si7mg-t6"
    with pytest.raises(UnknownName):
        db.material("")


def test_identity(db: Database) -> None:
    m = db.material("grey-iron-gjl-250")
    assert (m.family, m.material_class, m.fails_by, m.age_hardened) == (
        "head",
        "grey-iron",
        "cracks",
        False,
    )
    assert "EN-GJL-250 (EN-JL1040)" in m.designations
    assert db.material("al-si7mg-t6").age_hardened


@pytest.mark.parametrize("at", ["abc", "nan", float("nan"), float("inf"), "10 mm", "-300 degC"])
def test_temperatures_that_are_none(db: Database, at: object) -> None:
    with pytest.raises(BadQuantity):
        db.material("al-si7mg-t6").mean_expansion("20 degC", at)


def test_ordinary_notation(db: Database) -> None:
    m = db.material("steel-304")
    assert m.expansion_strain("300 K").value > 0, "the end of its curve, in its own unit"
    fahrenheit, celsius = (m.expansion_strain(at) for at in ("-103 degF", "-75 degC"))
    assert fahrenheit.value == pytest.approx(celsius.value, rel=1e-12)


def test_outside_the_curve_names_the_range(db: Database) -> None:
    with pytest.raises(OutOfRange, match=r"-269.15 to 300 degC only; 500 degC") as caught:
        db.material("al-si7mg-t6").mean_expansion(20, 500)
    assert "300 degC" in caught.value.hint


def test_strength_that_nobody_knows(db: Database) -> None:
    m = db.material("al-si7mg-t6")
    with pytest.raises(NotKnown, match="never borrowed"):
        m.value("compressive_yield")
    assert "compressive_yield" in m.unknown
    with pytest.raises(NotKnown, match="upper limit"):
        db.material("sintered-plain").value("compressive_yield")


def test_hot_strength_is_not_drawn_on(db: Database) -> None:
    with pytest.raises(OutOfRange, match="20 to 315 degC only"):
        db.material("al-si7mg-t6").value("proof_strength", "400 degC")


def test_unknown_property_and_state(db: Database) -> None:
    m = db.material("al-si7mg-t6")
    with pytest.raises(UnknownName, match="youngs_modulu"):
        m.value("youngs_modulu")
    with pytest.raises(UnknownName, match="state"):
        m.value("proof_strength", 20.0, state="cold")


CONDITIONED = {20: 269, 150: 235, 200: 163, 250: 84, 300: 39}


@pytest.mark.parametrize(("at", "expected"), CONDITIONED.items())
def test_running_strength_after_conditioning(db: Database, at: int, expected: int) -> None:
    """Published (al-si7mg-05cu-t6, the article of 2018 its rows name): proof, conditioned."""
    strength = db.material("al-si7mg-05cu-t6").value("proof_strength", float(at))
    assert strength.value == pytest.approx(expected, abs=1e-6)
    assert strength.low < expected < strength.high


@pytest.mark.parametrize(("at", "expected"), {200: 186, 250: 89, 275: 57, 300: 46}.items())
def test_a_running_head_is_never_judged_by_a_short_hot_test(
    db: Database, at: int, expected: int
) -> None:
    """Published (al-si-cu-mg-351-t6, same article): short tests gave 236, 194, 158 and 95 MPa."""
    m = db.material("al-si-cu-mg-351-t6")
    assert m.value("proof_strength", float(at)).value == pytest.approx(expected, abs=1e-6)


def test_short_heating_of_a_billet_head(db: Database) -> None:
    """Memory (6061-T6: minimum 240 MPa times a ratio, up to two hours; 10 000 h typical)."""
    m = db.material("al-6061-t6")
    short, running = (m.value("proof_strength", 250.0, state=s) for s in ("short", "running"))
    assert short.value == pytest.approx(132.0, abs=1e-6)
    assert running.value < 0.5 * short.value
    assert m.origin("proof_strength", 250.0, state="short") == "minimum"


def test_colder_than_the_coldest_strength_is_that_one(db: Database) -> None:
    m = db.material("steel-16cr-2ni-martensitic")
    assert m.value("proof_strength", 20.0) == m.value("proof_strength", 100.0)


def test_density_follows_the_expansion(db: Database) -> None:
    m = db.material("al-6061-t6")
    room, hot = m.value("density"), m.value("density", 200.0)
    assert hot.value == pytest.approx(
        room.value / (1.0 + m.expansion_strain(200.0).value) ** 3, rel=1e-12
    )


def test_exposure_is_the_most_cautious_row(db: Database) -> None:
    """Published (al-6061-t6: 177, 199 and 218 degC for 64, 16 and 4 hours)."""
    limit = db.material("al-6061-t6").value("max_exposure_temperature")
    assert (limit.value, limit.unit) == (177.0, "degC")
    assert limit.high >= 218.0


def test_usual_figures_are_those_of_the_curve(db: Database) -> None:
    m = db.material("al-si7mg-t6")
    for start, end in ((20, 100), (20, 150), (20, 200), (20, 300), (-78, 20), (-196, 20)):
        usual = m.usual[f"mean_linear_expansion.{start}.{end}"]
        asked = m.mean_expansion(start, end).scaled(1e6, "1e-6/K")
        assert usual.value == pytest.approx(asked.value, abs=1e-3)
        assert (usual.low, usual.high) == pytest.approx((asked.low, asked.high), abs=1e-3)
    assert m.usual["youngs_modulus"] == m.value("youngs_modulus")


def test_means_integrate_the_instantaneous_rows(db: Database, reader: Reader) -> None:
    """Published rows of code tables and fits: slopes and means of one material are one curve."""
    seen = 0
    for row in reader.all(
        "SELECT material, temperature_c, value_house, uncertainty_house FROM material_properties"
        " WHERE property = 'instantaneous_linear_expansion' AND basis = 'stands'"
    ):
        slope = db.material(row["material"]).value(
            "instantaneous_linear_expansion", row["temperature_c"]
        )
        half = (slope.high - slope.low) / 2.0
        assert abs(slope.value - row["value_house"]) <= row["uncertainty_house"] + half, row
        seen += 1
    assert seen >= 12


TEMPERATURES = st.floats(-196.0, 300.0)
KEYS = st.sampled_from(
    ["al-si7mg-t6", "al-6061-t6", "grey-iron-gjl-250", "cu-be-c17200", "tool-steel-d2"]
)


@pytest.fixture(scope="session")
def shared(database: Path) -> Database:
    return specdb.open(database)


@given(KEYS, TEMPERATURES, TEMPERATURES)
def test_means_and_strains_are_one_thing(
    shared: Database, key: str, start: float, end: float
) -> None:
    m = shared.material(key)
    mean, back = m.mean_expansion(start, end), m.mean_expansion(end, start)
    assert mean == back
    assert mean.low < mean.value < mean.high
    strain, there = m.expansion_strain(end, start), m.expansion_strain(start, end)
    assert strain.value == -there.value
    assert mean.value * (end - start) == pytest.approx(strain.value, abs=2e-11)
    half = (mean.high - mean.low) / 2.0 * abs(end - start)
    if abs(end - start) > 1e-3:
        assert half == pytest.approx((strain.high - strain.low) / 2.0, rel=1e-6, abs=1e-12)


@given(KEYS, TEMPERATURES, TEMPERATURES, TEMPERATURES)
def test_strains_add_up_and_bands_stay_sensible(
    shared: Database, key: str, a: float, b: float, c: float
) -> None:
    m = shared.material(key)
    whole, first, second = (
        m.expansion_strain(c, a),
        m.expansion_strain(b, a),
        m.expansion_strain(c, b),
    )
    assert first.value + second.value == pytest.approx(whole.value, abs=1e-15)
    width = {each: each.high - each.low for each in (whole, first, second)}
    assert width[whole] <= 1.5 * (width[first] + width[second]) + 1e-9, "known as its parts"
    if a <= 20.0 <= c:
        from_room = [m.expansion_strain(at) for at in (a, c)]
        together = sum(each.high - each.low for each in from_room)
        assert width[whole] == pytest.approx(together, rel=1e-9, abs=1e-12)


def test_the_sheet(db: Database) -> None:
    sheet = db.ask(
        "material",
        material="sintered-tool-steel",
        to_temperature="150 degC",
        property="compressive_yield",
    )
    assert sheet.key == "sintered-steel-tool-type"
    assert sheet.assumed[0].startswith("the class sintered-tool-steel stands on")
    assert sheet.mean_expansion_per_k.unit == "1/K"
    assert sheet.value.unit == "MPa"
    for figure in (sheet.mean_expansion_per_k, sheet.value, *[u.estimate for u in sheet.usual]):
        assert set(figure.sources) <= set(sheet.facts)
    assert "insert-class.sintered-tool-steel" in sheet.facts


def test_the_sheet_says_what_is_not_known(db: Database) -> None:
    sheet = db.ask("material", material="al-si7mg-t6", property="compressive_yield")
    assert sheet.value is None
    assert "never borrowed" in sheet.unknown["value"]
    with pytest.raises(BadRequest):
        db.ask("material", material="al-si7mg-t6", at="150 degC")


def test_a_copper_ring_comes_with_its_warning(db: Database) -> None:
    keys = {caution.key for caution in db.ask("material", material="C17200").cautions}
    plain = {caution.key for caution in db.ask("material", material="tool-steel-d2").cautions}
    assert keys > plain


def test_a_lookup_loads_nothing_heavy(database: Path) -> None:
    program = (
        "import sys, specdb\n"
        f"m = specdb.open({str(database)!r}).material('al-si7mg-t6')\n"
        "m.usual, m.mean_expansion(20.0, 150.0), m.value('youngs_modulus', 150.0)\n"
        "heavy = {'numpy', 'pint', 'sqlalchemy', 'pydantic'} & set(sys.modules)\n"
        "print(sorted(heavy))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"
