"""Each rule across rows: silent on the project's tables, red on a table broken its way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from specdb.build.computed import computed
from specdb.build.expand import expand, releases
from specdb.build.read import Placed, read_tables
from specdb.build.rules import (
    COMPUTED_RULES,
    ROW_RULES,
    evidence,
    expansion,
    figures,
    history,
    names,
    results,
)
from specdb.build.rules.data import Data
from specdb.records import rows
from tests.tables import unpublished

Tables = dict[str, list[Placed]]


@pytest.fixture(scope="module")
def clean(tmp_path_factory) -> Tables:
    return read_tables(unpublished(tmp_path_factory.mktemp("rules") / "data"))[0]


def data_of(tables: Tables) -> Data:
    return Data(tables, expand(tables)[0], tuple(releases(tables)))


def changed(tables: Tables, table: str, pick: Callable[[Placed], bool], **cells: Any) -> Tables:
    """`tables` with the cells of the first row that `pick` picks set anew, on line 7777."""
    held = list(tables[table])
    at = next(number for number, one in enumerate(held) if pick(one))
    fresh = held[at].row.model_copy(update=cells)
    held[at] = Placed(f"{table}.csv", 7777, fresh)
    return {**tables, table: held}


def added(tables: Tables, table: str, pick: Callable[[Placed], bool], **cells: Any) -> Tables:
    """`tables` with a changed copy of a row put in, on line 7777."""
    model = next(one for one in tables[table] if pick(one)).row
    fresh = Placed(f"{table}.csv", 7777, model.model_copy(update=cells))
    return {**tables, table: [*tables[table], fresh]}


def withdrawn(tables: Tables, **cells: str | None) -> Tables:
    base = {"id": "withdrawal.x", "reason": "misprint", "replacement": None, "release": "next"}
    row = rows.Withdrawal(**{**base, **cells})
    return {**tables, "withdrawals": [Placed("withdrawals.csv", 7777, row)]}


def row(**cells: str) -> Callable[[Placed], bool]:
    return lambda one: all(one.cell(name) == cell for name, cell in cells.items())


def any_row(_: Placed) -> bool:
    return True


PROPERTY = "material_properties"
STRAIN = row(property="expansion_strain", basis="stands", temperature="80", temperature_unit="K")
MEAN = row(property="mean_linear_expansion", basis="stands")
LAST = row(id="property.cobalt-r30006.mean-linear-expansion.500c.1")
BREAKS: list[tuple[Any, Callable[[Tables], Tables], str, str]] = [
    (names.keys_stand_once, lambda t: added(t, "media", any_row, id="media.x"), "key", "already"),
    (
        names.references_resolve,
        lambda t: changed(t, PROPERTY, any_row, material="al-si7mgt6"),
        "material",
        "did you mean al-si7mg-t6",
    ),
    (
        names.references_resolve,
        lambda t: changed(t, PROPERTY, any_row, source="iso-286-1;hearsay"),
        "source",
        "'hearsay' is not a key of 'sources'",
    ),
    (
        names.references_resolve,
        lambda t: changed(t, "interference_ranges", any_row, position="top"),
        "position",
        "'top' is not a word of the vocabulary list 'position'",
    ),
    (
        names.fixed_words_are_defined,
        lambda t: changed(t, "vocabulary", row(list="seen", word="text"), word="read"),
        "word",
        "does not define 'text'",
    ),
    (names.no_fact_stands_twice, lambda t: added(t, PROPERTY, any_row, id="x.1"), "id", "the same"),
    (names.withdrawals_fit, lambda t: withdrawn(t, withdrawn="media.z"), "withdrawn", "no row"),
    (
        names.withdrawals_fit,
        lambda t: withdrawn(t, withdrawn=t["media"][0].id, replacement=t["media"][0].id),
        "replacement",
        "cannot replace itself",
    ),
    (
        names.withdrawals_fit,
        lambda t: withdrawn(t, withdrawn=t["media"][0].id, replacement=t["sources"][0].id),
        "replacement",
        "another table",
    ),
    (
        history.releases_are_in_order,
        lambda t: {**t, "releases": [_release(ordinal="2")]},
        "ordinal",
        "1 is next",
    ),
    (
        history.releases_are_in_order,
        lambda t: {**t, "releases": [_release(), _release(ordinal="2", version="2026.10")]},
        "version",
        "'2026.10' is not after '2026.11'",
    ),
    (
        history.only_releases_have_tables,
        lambda t: {**t, "release_tables": [_release_table("next")]},
        "release",
        "a draft has no record",
    ),
    (
        history.published_digests_hold,
        lambda t: {**t, "releases": [_release()], "media": list(map(_published, t["media"]))},
        "release",
        "published without them",
    ),
    (
        history.published_digests_hold,
        lambda t: {**t, "releases": [_release()], "release_tables": [_release_table("2026.11")]},
        "-",
        "16 rows, now 0",
    ),
    (
        evidence.seen_fits_the_source,
        lambda t: changed(t, PROPERTY, row(seen="memory"), source="memory-general", seen="text"),
        "seen",
        "memory alone",
    ),
    (
        evidence.seen_fits_the_source,
        lambda t: changed(t, "interference_ranges", row(seen="common-practice"), seen="excerpt"),
        "seen",
        "common practice alone",
    ),
    (
        evidence.seen_fits_the_source,
        lambda t: changed(t, PROPERTY, row(seen="text"), seen="derived"),
        "seen",
        "how it was derived",
    ),
    (
        evidence.doubts_are_explained,
        lambda t: changed(t, PROPERTY, any_row, basis="outlier", note=None, condition=None),
        "note",
        "must say why",
    ),
    (
        evidence.nothing_from_the_demo,
        lambda t: added(t, PROPERTY, any_row, id="property.demo.density.1"),
        "id",
        "demonstration",
    ),
    (
        figures.properties_have_a_unit,
        lambda t: changed(t, "vocabulary", row(list="property", word="density"), unit=None),
        "unit",
        "'density' has no house unit",
    ),
    (
        figures.units_are_of_their_kind,
        lambda t: changed(t, "interference_ranges", any_row, diameter_unit="degC"),
        "diameter_unit",
        "not a unit like mm",
    ),
    (
        figures.ends_are_in_order,
        lambda t: changed(t, "interference_ranges", any_row, minimum="5"),
        "minimum",
        "is above maximum",
    ),
    (
        figures.properties_are_possible,
        lambda t: changed(t, PROPERTY, row(property="density"), value="2.7"),
        "value",
        "density of 2.7 is outside",
    ),
    (
        figures.uncertainties_are_not_negative,
        lambda t: changed(t, PROPERTY, any_row, uncertainty="-1"),
        "uncertainty",
        "negative",
    ),
    (
        figures.temperatures_are_possible,
        lambda t: changed(t, "media", row(key="liquid-nitrogen"), temperature="-320"),
        "temperature",
        "-320 degC cannot be",
    ),
    (
        figures.interferences_are_possible,
        lambda t: changed(t, "interference_ranges", row(form="band", unit="in"), maximum="0.05"),
        "maximum",
        "1.27 mm is no press",
    ),
    (
        figures.interferences_are_possible,
        lambda t: changed(t, "interference_ranges", row(form="per-mm"), unit="in"),
        "unit",
        "mm per mm",
    ),
    (
        figures.every_property_says_its_temperature,
        lambda t: changed(t, PROPERTY, MEAN, temperature_from=None),
        "temperature_from",
        "needs it",
    ),
    (
        figures.fits_are_finite,
        lambda t: changed(t, "expansion_fits", any_row, coefficients="a=1;b=x"),
        "coefficients",
        "'b=x'",
    ),
    (
        expansion.strains_rise,
        lambda t: changed(t, PROPERTY, STRAIN, value="0"),
        "value",
        "shorter at",
    ),
    (expansion.means_rise, lambda t: changed(t, PROPERTY, LAST, value="0.1"), "value", "shorter"),
    (
        expansion.forms_agree,
        lambda t: added(
            t, PROPERTY, MEAN, id="x.1", material="al-6061-t6", value="21", uncertainty="0.1",
            temperature="-196.15", temperature_from="20", temperature_unit="degC",
        ),
        "value",
        "within their uncertainties",
    ),
]  # fmt: skip


@pytest.mark.parametrize("rule", ROW_RULES, ids=lambda rule: rule.__name__)
def test_the_project_keeps_the_rule(clean, rule) -> None:
    assert list(rule(data_of(clean))) == []


@pytest.mark.parametrize(
    ("rule", "damage", "column", "said"), BREAKS, ids=lambda part: getattr(part, "__name__", "")
)
def test_the_rule_sees_its_breach(clean, rule, damage, column, said) -> None:
    found = list(rule(data_of(damage(clean))))
    assert [cell for cell in found if cell.column == column and said in cell.reason], found


def test_every_rule_has_a_breach_above() -> None:
    assert {rule for rule, *_ in BREAKS} == set(ROW_RULES)


def test_forms_tell_the_rows_and_how_far_apart(clean) -> None:
    """The mean 20 to -196.15 degC of 6061-T6 by its own strains is 17.9e-6/K, not 21."""
    damaged = BREAKS[-1][1](clean)
    reasons = [cell.reason for cell in expansion.forms_agree(data_of(damaged))]
    assert any("21 here" in why and "property.al-6061-t6." in why for why in reasons), reasons


def test_a_withdrawn_word_no_longer_serves(clean) -> None:
    """A row that lives on in a release may not name what that release has withdrawn."""
    word = next(one for one in clean["vocabulary"] if row(list="position", word="intake")(one))
    held = {
        **{table: [_published(one) for one in placed] for table, placed in clean.items()},
        "releases": [_release()],
    }
    damaged = withdrawn(held, withdrawn=word.id)
    found = {cell.reason for cell in names.references_resolve(data_of(damaged))}
    assert any("'intake' is no longer a word" in reason for reason in found)


def _published(one: Placed) -> Placed:
    return Placed(one.file, one.line, one.row.model_copy(update={"release": "2026.11"}))


def _release(**cells: str) -> Placed:
    base = {"ordinal": "1", "version": "2026.11", "date": "2026-11-30", "summary": "first"}
    made = rows.DataRelease(**{**base, "digest": "0" * 64, **cells})
    return Placed("releases.csv", 2, made)


def _release_table(release: str) -> Placed:
    made = rows.ReleaseTable(
        id="release-table.x",
        table_name="media",
        columns=";".join(rows.columns("media")),
        row_count="16",
        digest="0" * 64,
        release=release,
    )
    return Placed("release_tables.csv", 2, made)


@pytest.fixture(scope="module")
def whole(clean) -> tuple[Data, dict[int, Any]]:
    data = data_of(clean)
    return data, {one.ordinal: computed(data.expanded, one) for one in data.releases}


@pytest.mark.parametrize("rule", COMPUTED_RULES, ids=lambda rule: rule.__name__)
def test_what_is_computed_keeps_the_rule(whole, rule) -> None:
    assert list(rule(*whole)) == []


def test_an_average_of_an_outlier_is_seen(whole) -> None:
    data, tables = whole
    node = next(one for one in tables[1]["curve_nodes"] if one["origin"] == "own")
    used = node["sources"].split(";")[0]
    for basis in ("outlier", "example", "unverified", "superseded", "proxy"):
        place = data.placed[used]
        table = place.file.removesuffix(".csv")
        damaged = data_of(changed(dict(data.tables), table, row(id=used), basis=basis))
        found = list(results.averages_stand(damaged, tables))
        assert [(cell.line, cell.column) for cell in found] == [(7777, "basis")]


@pytest.mark.parametrize(
    ("rule", "table", "damage"),
    [
        (results.curves_rise, "curve_nodes", {"strain": 0.5, "high": 1.0}),
        (results.curves_rise, "curve_nodes", {"low": 0.5}),
        (results.ranges_are_in_order, "recommended_ranges", {"minimum_mm": 5.0}),
        (results.averages_stand, "curve_nodes", {"sources": "property.nowhere.1"}),
    ],
)
def test_a_wrong_result_is_seen(whole, rule, table, damage) -> None:
    data, tables = whole
    held = list(tables[1][table])
    held[3] = held[3] | damage
    assert list(rule(data, {1: {**tables[1], table: held}}))
