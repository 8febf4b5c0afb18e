"""`specdb head`: what is printed, what is written as it is planned, and what junk does to it."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.answers.ask import to_json
from specdb.cli.app import run
from specdb.cli.progress import Progress

DEMO = sorted((Path(__file__).resolve().parents[2] / "data" / "demo").glob("*.csv"))
ROWS = "label,bore_1,bore_2\n1E,38.05,38.06\nbad,x,y\n2E,38.07,38.08\n"
ALLOY = ["--head", "al-si7mg-t6", "--insert", "sintered-tool-steel", "--stock", "none"]


@pytest.fixture
def head(bundled: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path):
    """Run `specdb head` on the text of a table; gives exit code, output, complaints."""

    def ask(text: str | bytes, *args: str) -> tuple[int, str, str]:
        file = tmp_path / "readings.csv"
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        with pytest.raises(SystemExit) as stopped:
            run(["head", str(file), *args])
        out, err = capsys.readouterr()
        return int(stopped.value.code or 0), out, err

    return ask


def test_json_written_seat_by_seat_is_the_whole_plan_byte_for_byte(head, db) -> None:
    code, out, _ = head(ROWS, *ALLOY, "--json")
    assert code == 1, "a row was bad"
    whole = db.head(readings=ROWS, head="al-si7mg-t6", insert="sintered-tool-steel")
    assert out == to_json(whole) + "\n"
    assert list(json.loads(out)["seats"]) == ["1E", "2E"]


def test_csv_has_a_row_for_each_seat_and_complains_elsewhere(head) -> None:
    code, out, err = head(ROWS, *ALLOY, "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert code == 1
    assert [row["label"] for row in rows] == ["1E", "2E"]
    assert {row["setting"] for row in rows} == {"1"}
    assert "row 3 (bad): bore_1" in err


def test_a_press_past_the_range_wanted_is_marked(head) -> None:
    rows = {
        row["label"]: row for row in csv.DictReader(io.StringIO(head(ROWS, *ALLOY, "--csv")[1]))
    }
    past = [
        label
        for label, row in rows.items()
        if float(row["press_least_mm"]) < float(row["press_wanted_least_mm"])
        or float(row["press_greatest_mm"]) > float(row["press_wanted_greatest_mm"])
    ]
    assert past, "a generic ring has a tolerance of its own"
    table = head(ROWS, *ALLOY)[1]
    marked = [line.split()[0] for line in table.splitlines() if line.rstrip().endswith(" mm *")]
    assert marked == past
    assert "* Past the press wanted, " in table


def test_both_ends_of_where_it_lets_go_have_a_column(head, db) -> None:
    """`look_at` tells the middle, and so does `lets_go_c`; the worst has a name of its own."""
    plan = db.head(readings=ROWS, head="al-si7mg-t6", insert="sintered-tool-steel")
    for row in csv.DictReader(io.StringIO(head(ROWS, *ALLOY, "--csv")[1])):
        lost = plan.seats[row["label"]].fit.grip_lost_c
        assert (lost is None) == (row["lets_go_c"] == "")
        if lost is not None:
            assert abs(int(row["lets_go_c"]) - lost.value) <= 5.0
            assert abs(int(row["lets_go_from_c"]) - lost.low) <= 5.0


@pytest.mark.parametrize("how", [["--json"], ["--csv"], []], ids=["json", "csv", "table"])
def test_a_sheet_is_written_besides_what_is_printed(head, tmp_path: Path, how: list[str]) -> None:
    plain = head(ROWS, *ALLOY, *how)
    sheet = tmp_path / "sheet.html"
    code, out, err = head(ROWS, *ALLOY, *how, "--sheet", str(sheet))
    # a sheet is told of chills not taken too: the table then counts more cautions and sources
    assert (code, out.partition("\nCautions")[0]) == (plain[0], plain[1].partition("\nCautions")[0])
    assert err == f"{plain[2]}{sheet} written.\n"
    paper = sheet.read_text()
    assert all(label in paper for label in ("1E", "2E", "bore_1"))


@pytest.mark.parametrize("two", [("--json", "--csv"), ("--record",)], ids="".join)
def test_options_that_contradict_are_refused(head, two: tuple[str, ...]) -> None:
    code, out, err = head(ROWS, *ALLOY, *two)
    assert (code, out) == (2, "")
    assert all(option in err for option in two)


def test_what_all_seats_lack_is_asked_for_as_it_is_typed(head) -> None:
    code, out, err = head(ROWS, "--insert", "high-chrome")
    assert (code, out) == (2, "")
    assert "--head" in err
    assert "insert" not in err


def test_the_table_names_settings_bad_rows_and_sources(head) -> None:
    code, out, err = head(ROWS, *ALLOY)
    assert code == 1
    assert err == ""
    for words in ("Settings", "Rows not planned", "Cautions", "Sources"):
        assert words in out
    bad = next(line for line in out.splitlines() if " bad " in line)
    assert bad.split()[:3] == ["3", "bad", "bore_1"]


def test_the_sources_are_counted_and_listed_only_when_all_is_asked_for(head) -> None:
    _, out, _ = head(ROWS, *ALLOY)
    brief = out.partition("\nSources\n")[2]
    assert len(brief.splitlines()) <= 5
    assert "--all" in brief
    _, every, _ = head(ROWS, *ALLOY, "--all")
    rows = every.partition("\nSources\n")[2]
    stated = int(brief.split()[0])
    assert max(int(each) for each in re.findall(r"^  \[(\d+)\]", rows, re.MULTILINE)) == stated


def test_the_table_begins_with_settings_then_heat_then_seats_with_units(head) -> None:
    _, out, _ = head(ROWS, *ALLOY)
    titles = ("Settings", "Head at ", "1E ", "Rows not planned", "Cautions")
    places = [out.index(f"\n{title}") if title[0] != "1" else out.index(f"  {title}")
              for title in titles]  # fmt: skip
    assert places == sorted(places)
    for unit in (" mm", " in", " thou", " degC"):
        assert unit in out[: out.index("\nRows not planned")]


def test_the_demo_heads_are_answered(bundled: Path, capsys) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(["head", *map(str, DEMO), "--stock", "none"])
    out, err = capsys.readouterr()
    assert (stopped.value.code or 0, err) == (0, "")
    assert all(file.name in out for file in DEMO)


def test_a_missing_file_is_one_message(head, tmp_path: Path, capsys) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(["head", str(tmp_path / "none.csv"), "--stock", "none"])
    assert stopped.value.code == 2
    assert "none.csv" in capsys.readouterr().err


def test_progress_says_nothing_where_nobody_watches(capsys) -> None:
    progress = Progress(total=10)
    progress("plans", 5)
    progress.close()
    assert capsys.readouterr().err == ""


def test_progress_is_drawn_on_a_terminal_after_a_second(capsys, monkeypatch) -> None:
    clock = iter([0.0, 0.5, 1.5, 1.55, 2.0])
    monkeypatch.setattr("specdb.cli.progress.time.monotonic", lambda: next(clock))
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    progress = Progress(total=10)
    progress("plans", 1)
    assert capsys.readouterr().err == ""
    progress("plans", 5)
    assert "5 of 10" in capsys.readouterr().err
    progress("plans", 6)
    assert capsys.readouterr().err == "", "not drawn again within a tenth of a second"
    progress.close()
    assert capsys.readouterr().err.startswith("\r")


JUNK = st.one_of(
    st.binary(max_size=200),
    st.lists(
        st.lists(
            st.sampled_from(
                ["38.05", "38,05", "", "x", '"', "1e9", "-3", "nan", "é", "38 mm", "\x00"]
            ),
            max_size=5,
        ),
        max_size=5,
    ).map(lambda rows: "\n".join(["label,bore_1,depth,position", *map(",".join, rows)]).encode()),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(JUNK)
def test_junk_is_refused_or_named_never_a_traceback(head, junk: bytes) -> None:
    code, out, err = head(junk, *ALLOY, "--csv")
    assert code in (0, 1, 2)
    assert "Traceback" not in err + out
    if code == 2:
        assert err.startswith("specdb: ")
