"""A list goes in whole, says what changed, and comes out as it went in."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from specdb.answers.stock_list import export_list, import_list, lists, remove_list
from specdb.errors import BadData, BadRequest, StoreError, UnknownName
from tests.stock.conftest import PLAIN


def test_a_plain_header_needs_no_help(put, place):
    report = put(PLAIN)
    assert report.columns == {
        "part": "part",
        "outer": "OD",
        "inner": "ID",
        "height": "height",
        "material": "material",
        "qty": "qty",
    }
    assert (report.rings, report.none_left) == (3, 1)
    assert report.added == ("A-1", "A-2", "A-3")
    (note,) = lists(place)
    assert (note.list, note.od_means, note.rings, note.digest) == (
        "shop",
        "ring",
        3,
        report.digest,
    )


def test_four_columns_are_enough(put):
    report = put("No,OD,ID,H\n7,38.1,31,6\n", materials={"": "bronze"})
    assert report.rings == 1
    assert report.materials == {"(empty)": "bronze"}


def test_nobody_guesses_what_the_outside_means(facts, place):
    with pytest.raises(BadRequest) as refused:
        import_list(facts, PLAIN.encode(), "shop", stock=place)
    said = str(refused.value)
    assert "38.16" in said
    assert "ring measures 38.160 mm" in said
    assert "bore is 38.160 mm" in said
    assert refused.value.field == "od_means"
    assert lists(place) == ()


def test_what_the_outside_means_is_remembered_for_that_list_only(put, facts, place):
    put(PLAIN, od_means="counterbore")
    assert put(PLAIN, od_means=None).od_means == "counterbore"
    with pytest.raises(BadRequest):
        put(PLAIN, "another", od_means=None)
    changed = put(PLAIN, od_means="ring")
    assert (changed.od_means_before, changed.od_means) == ("counterbore", "ring")
    told = [(each.part, each.column, each.before, each.after) for each in changed.changed]
    assert told == [(part, "od_means", "counterbore", "ring") for part in ("A-1", "A-2", "A-3")]
    assert changed.unchanged == 0, "every ring is another size now"


def test_the_same_list_again_replaces_it(put, place):
    first = put(PLAIN)
    again = put(PLAIN)
    assert again.digest == first.digest
    assert (again.added, again.changed, again.removed, again.unchanged) == ((), (), (), 3)
    assert [each.rings for each in lists(place)] == [3]


def test_it_says_what_changed(put):
    put(PLAIN)
    new = PLAIN.replace("7.0", "7.2").replace("A-3", "A-4")
    report = put(new)
    (change,) = report.changed
    assert (change.part, change.column, change.before, change.after) == (
        "A-1",
        "height",
        "7.0",
        "7.2",
    )
    assert (report.added, report.removed, report.unchanged) == (("A-4",), ("A-3",), 1)


def test_every_bad_cell_is_reported_and_nothing_enters(put, place):
    put(PLAIN)
    before = export_list("shop", place)
    bad = (
        "part,OD,ID,height,material,qty,tolerance\n"
        "B-1,thick,31,7,sintered-tool-steel,1,\n"
        "B-2,38.1,39,7,unobtainium,1.5,\n"
        ",38.1,31,0,bronze,-1,+0.01\n"
        "B-4,38.1,31,7,bronze,1,\n"
        "B-4,1.5,1.2,0.3,bronze,1,\n"
    )
    with pytest.raises(BadData) as refused:
        put(bad)
    found = {(cell.line, cell.column) for cell in refused.value.cells}
    assert found == {
        (2, "OD"),
        (3, "ID"),
        (3, "material"),
        (3, "qty"),
        (4, "part"),
        (4, "height"),
        (4, "qty"),
        (4, "tolerance"),
        (6, "OD"),
        (6, "height"),
        (6, "part"),
    }
    assert "--units in" in str(refused.value)
    assert export_list("shop", place) == before


def test_units_in_header_cell_and_option_say_the_same(put, place):
    def sizes(text, **more):
        put(text, **more)
        with closing(sqlite3.connect(place)) as connection:
            return connection.execute(
                "SELECT outer_mm, inner_mm, height_mm FROM stock_rings"
            ).fetchone()

    metric = sizes("part,OD,ID,height,material\nA,38.1,30.48,7.62,bronze\n")
    assert metric == (38.1, 30.48, 7.62)
    for text, more in (
        ("part,OD (in),ID [in],height in.,material\nA,1.5,1.2,0.3,bronze\n", {}),
        ("part,OD (in),ID [in],height_mm,material\nA,1.5,1.2,7.62,bronze\n", {}),
        ('part,OD,ID,height,material\nA,1.500 in,"1.2""",300 thou,bronze\n', {}),
        ("part,OD,ID,height,material\nA,1.5,1.2,0.3,bronze\n", {"units": "in"}),
        ("part;OD;ID;height;material\nA;38,1;30,48;7,62;bronze\n", {}),
        ("sep=;\r\n\r\npart;OD;ID;height;material\r\n;;;;\r\nA;38,100;30,480;7,620;bronze\r\n", {}),
        ("\ufeffpart\tOD\tID\theight\tmaterial\nA\t1 1/2 in\t30.48\t7.62\tbronze\n", {}),
    ):
        assert sizes(text, **more) == pytest.approx(metric, abs=1e-9), text


def test_older_spreadsheets_encoding(put):
    report = put("part,OD,ID,height,material,note\nA,38.1,31,7,bronze,für Ø 38\n".encode("cp1252"))
    assert report.rings == 1


def test_columns_may_be_corrected(put):
    text = "part,size,bore,height,material,maker\nA,38.1,31,7,bronze,x\n"
    with pytest.raises(BadRequest, match="outer, inner"):
        put(text)
    report = put(text, columns={"size": "outer", "bore": "inner"})
    assert report.columns["outer"] == "size"
    assert report.not_used == ("maker",)
    with pytest.raises(UnknownName):
        put(text, columns={"sise": "outer"})
    with pytest.raises(UnknownName):
        put(text, columns={"size": "outr"})


def test_words_of_the_shop_for_materials(put):
    text = "part,OD,ID,height,material\nA,38.1,31,7,TS\nB,38.1,31,7,hard ring\n"
    with pytest.raises(BadData, match="TS"):
        put(text)
    report = put(text, materials={"ts": "sintered-tool-steel"})
    assert report.materials == {"TS": "sintered-tool-steel", "hard ring": "high-chrome"}


def test_out_and_in_again_is_the_same_list(put, place):
    text = (
        "part;OD (in);ID (in);height (in);material;qty;tolerance;note\n"
        'A "x";1,510;1,2;0,3;TS;4;+0,0005/-0;"line, with ; marks"\n'
        "B;1,52;1,2;0,3;bronze;;;\n"
    )
    first = put(text, materials={"TS": "sintered-tool-steel"})
    out = export_list("shop", place)
    again = put(out)
    assert again.digest == first.digest
    assert again.unchanged == 2
    assert export_list("shop", place) == out


def test_remove(put, place):
    put(PLAIN)
    put(PLAIN, "other")
    assert remove_list("shop", place) == 3
    assert [each.list for each in lists(place)] == ["other"]
    with pytest.raises(UnknownName, match="shop"):
        remove_list("shop", place)
    with pytest.raises(UnknownName):
        export_list("shop", place)


@pytest.mark.parametrize("name", ["", "generic", "none", "a\nb", "x" * 61])
def test_names_a_list_cannot_have(put, name):
    with pytest.raises(BadRequest):
        put(PLAIN, name)


def test_an_empty_export_does_not_wipe_the_list(put, place):
    put(PLAIN)
    with pytest.raises(BadRequest, match="no rings"):
        put("part,OD,ID,height,material,qty\n")
    assert lists(place)[0].rings == 3


def test_another_file_is_left_alone(put, place, database, tmp_path):
    for other in (database, _text(tmp_path / "letter.txt")):
        before = other.read_bytes()
        with pytest.raises(StoreError, match="left alone"):
            put(PLAIN, stock=other)
        assert other.read_bytes() == before


def _text(path):
    path.write_text("Dear customer, " * 100)
    return path


def test_a_later_version_is_not_touched(put, place):
    put(PLAIN)
    with closing(sqlite3.connect(place)) as connection, connection:
        connection.execute("UPDATE stock_version SET version_num = '0999'")
    before = place.read_bytes()
    for ask in (lambda: put(PLAIN), lambda: lists(place)):
        with pytest.raises(StoreError, match="0999"):
            ask()
    assert place.read_bytes() == before
