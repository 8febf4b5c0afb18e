"""Tables as people write them, and tables nobody wrote: read, or refused in words, never worse."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specdb.answers.stock_list import export_list, lists
from specdb.errors import SpecdbError
from specdb.store import loose_csv
from tests.stock.conftest import PLAIN


def table(text: str | bytes) -> list[dict[str, str]]:
    read = loose_csv.read(text.encode() if isinstance(text, str) else text)
    return [
        {key: read.quantity(key, cell) for key, cell in row.cells.items()} for row in read.rows()
    ]


def test_lines_are_those_of_the_file():
    read = loose_csv.read(b'\n\na,b\n1,"two\nlines"\n\n3,4\n')
    assert [row.line for row in read.rows()] == [4, 7]


@pytest.mark.parametrize(
    ("header", "key", "unit"),
    [
        ("OD (mm)", "od", "mm"),
        ("OD [in]", "od", "in"),
        ("OD, mm", "od", "mm"),
        ("od_mm", "od", "mm"),
        ('OD"', "od", '"'),
        ("height in.", "height", "in"),
        ("Outside dia.", "outside_dia", ""),
        ("bore 1 (mm)", "bore_1", "mm"),
        ("head temperature °C", "head_temperature", "°C"),
        ("OD (nominal)", "od_nominal", ""),
        ("min", "min", ""),
        ("in", "in", ""),
    ],
)
def test_a_unit_in_the_header(header, key, unit):
    out = io.StringIO()
    csv.writer(out).writerow([header, "part"])
    (column, _) = loose_csv.read(out.getvalue().encode()).columns
    assert (column.key, column.unit) == (key, unit)


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("od;n\n38,105;1\n", {"od": "38.105", "n": "1"}),
        ("od;n\n38,105;1.5\n", {"od": "38,105", "n": "1.5"}),
        ('od,n\n"38,05",1\n', {"od": "38.05", "n": "1"}),
        ('od,n\n"38,105",1\n', {"od": "38,105", "n": "1"}),
        ("od (mm)|n\n38.1|1\n", {"od": "38.1 mm", "n": "1"}),
        ("od (mm)\tn\n1.5 in\t1\n", {"od": "1.5 in", "n": "1"}),
        ("od (in),n\n1 1/2,1\n", {"od": "1 1/2 in", "n": "1"}),
        ("sep=;\nod;n\n38,1;2", {"od": "38.1", "n": "2"}),
        ("od,n\r38.1,2\r", {"od": "38.1", "n": "2"}),
    ],
)
def test_marks_and_decimals(text, cells):
    assert table(text) == [cells]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(encoding):
    assert table("Ø;höhe\n38;7\n".encode(encoding)) == [{"ø": "38", "höhe": "7"}]


def test_a_decimal_comma_between_commas_is_a_row_too_long():
    (row,) = loose_csv.read(b"od,id\n38,05,31\n").rows()
    assert "decimal comma" in row.problems[0].reason


def test_an_open_quotation_mark_does_not_eat_the_file():
    rows = list(loose_csv.read(b'a,b\n1,"2\n' + b"3,4\n" * 100_000).rows())
    assert any(row.problems for row in rows)


ODD = st.one_of(
    st.binary(max_size=400),
    st.text(max_size=200).map(str.encode),
    st.lists(
        st.lists(
            st.sampled_from(
                [
                    "part",
                    "OD",
                    "ID",
                    "height",
                    "material",
                    "qty",
                    "38.1",
                    "38,1",
                    "1e999",
                    "nan",
                    "",
                    " ",
                    '"',
                    "bronze",
                    "=1+1",
                    "-",
                    "\x00",
                    "½",
                    "9" * 50,
                    "A",
                    "B",
                    "1/0",
                ]
            ),
            max_size=8,
        ),
        max_size=8,
    ).map(lambda rows: "\n".join(";".join(row) for row in rows).encode()),
    st.tuples(st.integers(0, len(PLAIN) - 1), st.binary(max_size=6)).map(
        lambda cut: PLAIN.encode()[: cut[0]] + cut[1] + PLAIN.encode()[cut[0] + 1 :]
    ),
)


@settings(max_examples=max(400, settings().max_examples))
@given(raw=ODD)
def test_whatever_comes_it_is_read_or_refused_and_the_old_list_stays(shop, raw):
    put, place, before = shop
    try:
        report = put(raw)
    except SpecdbError:
        assert export_list("shop", place) == before
    else:
        assert report.rings == lists(place)[0].rings > 0
        put(PLAIN)


@pytest.fixture(scope="module")
def shop(facts, tmp_path_factory):
    from specdb.answers.stock_list import import_list

    place = tmp_path_factory.mktemp("fuzzed") / "stock.sqlite"

    def put(raw):
        raw = raw.encode() if isinstance(raw, str) else raw
        return import_list(facts, raw, "shop", stock=place, od_means="ring")

    put(PLAIN)
    return put, place, export_list("shop", place)
