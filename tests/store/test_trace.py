"""Sources and rows by name, what became of them and what stands on them."""

from __future__ import annotations

from specdb.store.asof import live
from specdb.store.query import sources, trace


def test_a_source_has_its_citation_and_its_rows(reader) -> None:
    for key in sources.keys(reader)[:40]:
        found = sources.by_key(reader, key)
        assert found is not None
        assert found["title"]
        for row in sources.rows_from(reader, key):
            assert key in row["source"].split(";")
    assert sources.by_key(reader, "nowhere") is None
    assert sources.rows_from(reader, "nowhere") == []


def test_every_fact_is_found_from_its_sources(reader) -> None:
    pairs = {
        (key, row["id"])
        for row in reader.all(f"SELECT id, source FROM facts AS f WHERE {live('f')}")
        for key in row["source"].split(";")
    }
    found = {
        (key, row["id"])
        for key in {key for key, _ in pairs}
        for row in sources.rows_from(reader, key)
    }
    assert found == pairs


def test_a_row_of_any_table_is_found(reader) -> None:
    for table in ("media", "material_properties", "sources", "vocabulary"):
        row = reader.one(f"SELECT * FROM {table} ORDER BY id")
        assert row is not None
        assert trace.by_id(reader, row["id"]) == (table, row)
    assert trace.by_id(reader, "media.phlogiston") is None


def test_what_stands_on_a_row_is_told(reader) -> None:
    node = reader.one("SELECT material, sources FROM curve_nodes WHERE as_of = :ordinal")
    assert node is not None
    for used in node["sources"].split(";"):
        names = [one["name"] for one in trace.derived_from(reader, used)]
        assert f"curve_nodes.{node['material']}" in names
    series = reader.one(
        "SELECT series, count(*) AS n FROM insert_sizes WHERE as_of = :ordinal GROUP BY series"
    )
    assert series is not None
    assert trace.derived_from(reader, series["series"]) == [
        {"name": f"insert_sizes.{series['series']}", "rows": series["n"]}
    ]


def test_a_row_that_stands_has_no_withdrawal(reader) -> None:
    assert trace.withdrawal(reader, "media.dry-ice") is None
    assert trace.replaced(reader, "media.dry-ice") == []
