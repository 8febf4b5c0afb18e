"""What Python is told when it gives what cannot be: always an error of the family, never another.

And that nothing given beside records is dropped in silence.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import specdb
from specdb.answers.ask import to_json
from specdb.errors import BadQuantity, BadRequest, MissingArguments, Misuse, UnknownName
from specdb.store.stock import place

ALLOY = {"head": "aluminium", "insert": "sintered-tool-steel"}
TABLE = "label,bore,pilot,head,insert\n1,38.05,7,aluminium,sintered-tool-steel\n"


def seat(**also: Any) -> specdb.SeatReadings:
    return specdb.SeatReadings(**{"label": "1", "bore": ["38.05"], "pilot": "7", **ALLOY, **also})


WRONG: dict[str, Callable[[specdb.Database], object]] = {
    "material none": lambda db: db.material(None),  # type: ignore[arg-type]
    "material number": lambda db: db.material(3),  # type: ignore[arg-type]
    "property number": lambda db: db.material("al-si7mg-t6").value(3),  # type: ignore[arg-type]
    "question none": lambda db: db.ask(None),  # type: ignore[arg-type]
    "search number": lambda db: db.search(3),  # type: ignore[arg-type]
    "known number": lambda db: db.known(3),  # type: ignore[arg-type]
    "known nobody": lambda db: db.known("nosuch"),
    "points number": lambda db: db.expansion_points(3),  # type: ignore[arg-type]
    "diff numbers": lambda db: db.diff(3, 4),  # type: ignore[arg-type]
    "trace number": lambda db: db.trace(3),  # type: ignore[arg-type]
    "source none": lambda db: db.source(None),  # type: ignore[arg-type]
    "seat mapping": lambda db: db.seat({"bore": [38]}),  # type: ignore[arg-type]
    "head number": lambda db: db.head(5),  # type: ignore[arg-type]
    "head numbers": lambda db: db.head([5]),  # type: ignore[list-item]
    "head file": lambda db: db.head("head.csv"),  # type: ignore[arg-type]
    "head one seat": lambda db: db.head(seat()),  # type: ignore[arg-type]
    "readings file": lambda db: db.head(readings="/nope.csv"),
    "readings path": lambda db: db.head(readings=Path("nope.csv")),
    "run text": lambda db: db.head_run("head.csv"),  # type: ignore[arg-type]
    "two ways": lambda db: db.head([seat()], readings=TABLE),
    "release number": lambda db: specdb.open(release=20261),  # type: ignore[arg-type]
    "place number": lambda db: specdb.open(3),  # type: ignore[arg-type]
    "stock yes": lambda db: specdb.open(stock=True),  # type: ignore[arg-type]
}


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.usefixtures("bundled")
def test_a_wrong_kind_of_argument_is_refused_by_the_family(db, wrong) -> None:
    with pytest.raises(Misuse) as refused:
        WRONG[wrong](db)
    assert refused.value.message
    assert refused.value.hint


@pytest.mark.parametrize(
    ("given", "kind", "said"),
    [
        ({"bore": [38]}, MissingArguments, "seat needs the arguments head, insert"),
        ({"bore": [38], **ALLOY, "deph": 8}, UnknownName, "'deph'(.|\n)*did you mean depth"),
        ({"bore": ["wide"], **ALLOY}, BadQuantity, "bore: cannot read 'wide'"),
        ({"bore": [38], **ALLOY, "head": 3}, BadRequest, "head: 3(.|\n)*Accepted: text"),
        ({"bore": [38], **ALLOY, "humidity": 300}, BadRequest, "humidity: 300(.|\n)*at most 100"),
        ({"bore": [], **ALLOY}, BadRequest, "bore(.|\n)*at least one value"),
    ],
)
def test_readings_made_by_hand_are_refused_by_the_family(given, kind, said) -> None:
    with pytest.raises(kind, match=f"(?i){said}"):
        specdb.SeatReadings(**given)


def test_a_file_is_passed_as_the_message_says(db, tmp_path) -> None:
    table = tmp_path / "head.csv"
    table.write_text(TABLE)
    with pytest.raises(BadRequest, match=r"head\(readings=Path\('head.csv'\).read_text\(\)\)"):
        db.head(str(table))
    for name in (str(table), "seats, as measured.csv", table):
        with pytest.raises(BadRequest, match=r"readings: .* is not the text of a table"):
            db.head(readings=name)
    assert list(db.head(readings=table.read_text()).seats) == ["1"]
    assert db.head_run(table).prepare().total == 1


def test_nothing_beside_the_readings_of_a_seat_is_dropped(db) -> None:
    with pytest.raises(UnknownName, match="no argument of 'seat' is called 'nonsense'"):
        db.seat(seat(), nonsense=3)
    with pytest.raises(BadRequest, match="seat: bore given beside SeatReadings"):
        db.seat(seat(), bore=[50.0])


def test_what_is_told_beside_a_list_of_seats_holds_as_it_does_beside_a_table(db) -> None:
    with pytest.raises(UnknownName, match="no argument of 'head' is called 'nonsense'"):
        db.head([seat()], nonsense=1)
    with pytest.raises(BadQuantity, match="heat_limit"):
        db.head([seat()], heat_limit="hot")
    told = {"heat_limit": "100 degC", "available": ["dry-ice"]}
    plan, bare = db.head([seat()], **told), db.head([seat()])
    assert plan.seats["1"].readings.heat_limit == 100.0
    assert to_json(plan.head_heat or plan) != to_json(bare.head_heat or bare)
    table = db.head(readings=TABLE, **told)
    assert plan.head_heat == table.head_heat
    assert plan.seats["1"].shrink == table.seats["1"].shrink


def test_a_seat_that_says_is_left_as_it_is(db) -> None:
    plan = db.head(
        [seat(heat_limit=120), seat(label="2", bore=["38.06"])], pilot="8", reading_error=0
    )
    one, two = plan.seats["1"].readings, plan.seats["2"].readings
    assert (one.heat_limit, two.heat_limit) == (120.0, None)
    assert (one.pilot, two.pilot) == (7.0, 7.0)
    assert (one.reading_error, two.reading_error) == (0.0, 0.0)


def test_the_words_beside_a_list_of_seats_are_echoed(db) -> None:
    plan = db.head([seat()], available="nitrogen")
    assert plan.seats["1"].readings.available == ("liquid-nitrogen",)
    assert any("nitrogen" in said for said in plan.assumed)


def test_the_digest_is_that_of_the_release_asked(database) -> None:
    with specdb.open(database) as newest:
        published = {row["version"]: row["digest"] for row in newest.releases()}
        assert len(set(published.values())) > 1
        whole = newest.database_digest
    for version, digest in published.items():
        with specdb.open(database, release=version) as db:
            assert db.digest == digest
            assert db.database_digest == whole


def test_the_usual_lists_are_those_the_commands_find(database, tmp_path, monkeypatch) -> None:
    monkeypatch.setenv(place.VARIABLE, str(tmp_path / "nowhere.sqlite"))
    with pytest.raises(specdb.SpecdbError, match="no own lists at"):
        specdb.open(database, stock="usual")
    monkeypatch.setenv(place.VARIABLE, "none")
    with specdb.open(database, stock="usual") as db:
        assert not db.has_stock
