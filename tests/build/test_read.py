"""Reading the CSV tables: every bad cell is told with file, line, column and reason."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.build.read import read_table, read_tables
from specdb.records import rows
from specdb.store import assets

HEADER = "id,withdrawn,reason,replacement,release\n"
GOOD = "withdrawal.1,media.a,misprint,media.b,next\n"


def told(folder: Path, content: str | bytes, table: str = "withdrawals") -> list[tuple[int, str]]:
    """(line, column) of everything found wrong, and the reasons kept for `match`."""
    path = folder / f"{table}.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return [(cell.line, f"{cell.column}: {cell.reason}") for cell in read_table(path, table)[1]]


@pytest.mark.parametrize(
    ("content", "line", "said"),
    [
        (HEADER.replace("reason,", "") + "withdrawal.1,media.a,,next\n", 1, "reason: column is mi"),
        (HEADER.replace("reason,", "reason,why,"), 1, "why: column is not one"),
        (HEADER.replace("reason,", "reason,reason,"), 1, "reason: column stands twice"),
        ("withdrawn,id,reason,replacement,release\n", 1, "-: columns out of order"),
        ("", 1, "id: column is missing"),
        (HEADER + GOOD + "withdrawal.2,media.a,x\n", 3, "-: 3 cells where the header has 5"),
        (HEADER + "withdrawal.1,media.a,x,y,next,z\n", 2, "-: 6 cells where the header has 5"),
        (HEADER + GOOD + "\n", 3, "-: 0 cells where the header has 5"),
        (HEADER.encode() + b"withdrawal.1,media.a,caf\xe9,,next\n", 2, "-: not UTF-8: byte 0xe9"),
        (b"\xef\xbb\xbf" + (HEADER + GOOD).encode(), 1, "-: starts with a byte order mark"),
        ((HEADER + GOOD).replace("\n", "\r\n"), 1, "-: a carriage return"),
        (HEADER + GOOD.rstrip("\n"), 2, "-: the last line does not end in a newline"),
        (HEADER + GOOD + 'withdrawal.2,media.a,"x"y,,next\n', 3, "-: not CSV"),
        (HEADER + GOOD + 'withdrawal.2,media.a,"x,,next\n', 3, "-: not CSV"),
        (HEADER + "withdrawal.1,Media A,x,,next\n", 2, "withdrawn: 'Media A' is not an id"),
        (HEADER + "withdrawal.1,media.a,,,next\n", 2, "reason: may not be empty"),
        (HEADER + "withdrawal.1,media.a,x,,soon\n", 2, "release: 'soon' is not a release"),
        (HEADER + GOOD.replace(".1", ".2") + GOOD, 3, "id: 'withdrawal.1' stands after"),
    ],
)
def test_what_is_wrong_with_a_file_is_told(tmp_path, content, line, said) -> None:
    found = told(tmp_path, content)
    assert [one for one in found if one[0] == line and one[1].startswith(said)], found


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("-78,5", "temperature: '-78,5' is not a finite number"),
        ("nan", "temperature: 'nan' is not a finite number"),
        ("inf", "temperature: 'inf' is not a finite number"),
        ("1_0", "temperature: '1_0' is not a finite number"),
        (" 5", "temperature: ' 5' is not a finite number"),
    ],
)
def test_a_number_is_a_finite_number(tmp_path, cell, said) -> None:
    row = dict.fromkeys(rows.columns("media"), "x") | {
        "kind": "chill", "temperature": cell, "tolerance": "1", "seen": "text",
        "basis": "stands", "release": "next",
    }  # fmt: skip
    text = io.StringIO()
    writer = csv.DictWriter(text, row, lineterminator="\n")
    writer.writeheader()
    writer.writerow(row)
    (found,) = told(tmp_path, text.getvalue(), "media")
    assert found[0] == 2
    assert found[1].startswith(said)


def test_the_rest_of_a_file_is_read_on(tmp_path) -> None:
    path = tmp_path / "withdrawals.csv"
    path.write_text(HEADER + "withdrawal.0,Media A,,,soon\n" + GOOD, encoding="utf-8")
    placed, bad = read_table(path, "withdrawals")
    assert [one.id for one in placed] == ["withdrawal.1"]
    assert [cell.column for cell in sorted(bad)] == ["reason", "release", "withdrawn"]


def test_missing_and_strange_files_and_ids_used_twice_are_told(tmp_path) -> None:
    for table in rows.TABLES:
        text = ",".join(rows.columns(table)) + "\n"
        (tmp_path / f"{table}.csv").write_text(text, encoding="utf-8")
    (tmp_path / "withdrawals.csv").write_text(HEADER + GOOD + GOOD, encoding="utf-8")
    (tmp_path / "vocabulary.csv").write_text(
        "id,list,word,definition,unit,release\nwithdrawal.1,seen,text,read,,next\n",
        encoding="utf-8",
    )
    (tmp_path / "wishes.csv").write_text("a\n", encoding="utf-8")
    (tmp_path / "media.csv").unlink()
    found = [str(cell) for cell in read_tables(tmp_path)[1]]
    assert found == [
        "media.csv:1: -: the file is missing",
        "wishes.csv:1: -: no table has this name",
        "withdrawals.csv:2: id: 'withdrawal.1' is already the id of vocabulary.csv:2",
        "withdrawals.csv:3: id: 'withdrawal.1' is already the id of vocabulary.csv:2",
    ]


CELLS = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\r"), min_size=1, max_size=20
)


@given(reasons=st.lists(CELLS, min_size=1, max_size=8))
def test_cells_come_back_as_written_with_their_lines(tmp_path_factory, reasons) -> None:
    path = tmp_path_factory.getbasetemp() / "withdrawals.csv"
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(rows.columns("withdrawals"))
    lines = []
    for number, reason in enumerate(reasons):
        lines.append(text.getvalue().count("\n") + 1)
        writer.writerow([f"withdrawal.{number}", "media.a", reason, "", "next"])
    path.write_text(text.getvalue(), encoding="utf-8", newline="")
    placed, bad = read_table(path, "withdrawals")
    assert bad == []
    assert [one.cell("reason") for one in placed] == reasons
    assert [one.cell("replacement") for one in placed] == [None] * len(reasons)
    assert [one.line for one in placed] == lines


@given(content=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_no_file_at_all_brings_the_reader_down(tmp_path_factory, content) -> None:
    path = tmp_path_factory.getbasetemp() / "withdrawals.csv"
    path.write_bytes(content)
    placed, bad = read_table(path, "withdrawals")
    assert bad
    assert not placed


def test_the_tables_of_the_project_are_clean() -> None:
    assert read_tables(assets.data())[1] == []
