"""The commands of a shop's own lists, as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from specdb.cli.app import run

TEXT = "part,OD,ID,height,material,qty\nS-1,38.26,30.9,7,sintered-tool-steel,2\n"
SIZES = [
    "sizes",
    "--bore",
    "38.05",
    "--bore",
    "38.06",
    "--head",
    "aluminium",
    "--insert",
    "sintered-tool-steel",
]


@pytest.fixture
def specdb(bundled: Path, capsys: pytest.CaptureFixture[str], monkeypatch, tmp_path):
    """Run the command; gives exit code, standard output, standard error. `SPECDB_STOCK` names a
    place of the test's own."""
    monkeypatch.setenv("SPECDB_STOCK", str(tmp_path / "own" / "stock.sqlite"))

    def ask(*args: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as stopped:
            run(list(args))
        out, err = capsys.readouterr()
        return int(stopped.value.code or 0), out, err

    return ask


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "list.csv"
    path.write_text(TEXT)
    return str(path)


def test_import_search_export_remove(specdb, file):
    code, out, err = specdb("stock", "import", file, "--list", "shop")
    assert (code, out) == (2, "")
    assert "--od-means" in err
    assert "38.260 mm" in err
    code, out, _ = specdb("stock", "import", file, "--list", "shop", "--od-means", "ring")
    assert code == 0
    assert "outer      from column 'OD'" in out
    assert "added 1: S-1" in out
    code, out, _ = specdb("stock", "lists", "--json")
    (note,) = json.loads(out)["lists"]
    assert note["list"] == "shop"
    code, out, _ = specdb(*SIZES, "--json")
    answer = json.loads(out)
    assert answer["candidates"][0]["origin"] == "shop"
    assert answer["stock"] == {"shop": note["digest"]}
    code, out, _ = specdb(*SIZES)
    assert f"Own lists searched: shop (digest {note['digest'][:12]})." in out
    assert "shop: S-1\n" in out, "the part is what is fetched"
    code, out, _ = specdb(*SIZES, "--json", "--stock", "none")
    assert json.loads(out)["stock"] == {}
    code, out, _ = specdb("stock", "export", "--list", "shop")
    assert out.splitlines()[1].startswith("S-1,38.26,30.9,7,")
    assert specdb("stock", "export", "shop")[1] == out
    code, out, _ = specdb("stock", "remove", "shop")
    assert (code, out) == (0, "shop: 1 ring taken out.\n")
    assert specdb("stock", "remove", "--list", "shop")[0] == 2


@pytest.mark.parametrize("more", [(), ("--all",)])
def test_a_diameter_reckoned_from_a_counterbore_is_marked_in_its_row(specdb, file, more):
    specdb("stock", "import", file, "--list", "shop", "--od-means", "counterbore")
    mark = "reckoned: measure"
    code, out, _ = specdb(*SIZES, *more)
    assert code == 0
    assert mark in out
    specdb("stock", "import", file, "--list", "shop", "--od-means", "ring")
    assert mark not in specdb(*SIZES, *more)[1]


@pytest.mark.parametrize("command", ["remove", "export"])
def test_one_list_is_named_either_way(specdb, file, command):
    specdb("stock", "import", file, "--list", "shop", "--od-means", "ring")
    for names in ((), ("shop", "--list", "other")):
        code, out, err = specdb("stock", command, *names)
        assert (code, out) == (2, "")
        assert "NAME or --list NAME" in err
    assert specdb("stock", command, "shop", "--list", "shop")[0] == 0, "one name twice is one"


def test_a_word_no_class_is_called_by_points_to_the_option_that_says_it(specdb, tmp_path):
    path = tmp_path / "words.csv"
    path.write_text(TEXT.replace("sintered-tool-steel", "ST"))
    asked = ("stock", "import", str(path), "--list", "shop", "--od-means", "ring")
    assert specdb(*asked, "--material", "ST=sintered-tool-steel")[0] == 0
    code, out, err = specdb(*asked)
    assert (code, out) == (1, "")
    assert "--material ST=CLASS" in err, "what an import was told is not kept"


@pytest.mark.parametrize(
    "more",
    [
        ["--map", "OD"],
        ["--map", "OD=outr"],
        ["--map", "DO=outer"],
        ["--units", "furlong?"],
        ["--od-means", "both"],
        ["--stock", "mysql://somewhere/else"],
        ["--stock", "none"],
        ["--list", "generic"],
    ],
)
def test_misuse_is_one_message(specdb, file, more):
    code, out, err = specdb("stock", "import", file, "--list", "shop", "--od-means", "ring", *more)
    assert code in (1, 2)
    assert out == ""
    assert err.startswith("specdb: ")
    assert "Traceback" not in err


def test_a_file_that_is_not_there(specdb, tmp_path):
    code, _, err = specdb("stock", "import", str(tmp_path / "no.csv"), "--list", "shop")
    assert code == 2
    assert "no.csv" in err


def test_untold_it_lies_in_the_users_data_folder(specdb, file, monkeypatch, tmp_path):
    monkeypatch.delenv("SPECDB_STOCK")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert json.loads(specdb(*SIZES, "--json")[1])["stock"] == {}
    code, _, _ = specdb("stock", "import", file, "--list", "shop", "--od-means", "ring")
    assert code == 0
    assert (tmp_path / "data" / "specdb" / "stock.sqlite").exists()
    assert list(json.loads(specdb(*SIZES, "--json")[1])["stock"]) == ["shop"]


def test_an_import_shows_how_far_it_is_on_a_terminal_once_it_takes_a_second(
    specdb, file, monkeypatch
):
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    asked = ("stock", "import", file, "--list", "shop", "--od-means", "ring")
    code, _, err = specdb(*asked)
    assert (code, err) == (0, ""), "quick work shows nothing"
    monkeypatch.setattr("specdb.cli.progress.AFTER_S", 0.0)
    monkeypatch.setattr("specdb.cli.progress.EVERY_S", 0.0)
    code, _, err = specdb(*asked)
    assert code == 0
    assert "rows: 1" in err
    assert "writing: 1" in err
    assert err.endswith("\r\x1b[K"), "and is wiped away"
