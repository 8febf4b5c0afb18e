"""The wheel, installed elsewhere: it carries the database, the tables and the schema, and answers.

The tree is exported without version control first, as a packager would have it.
"""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import sysconfig
import venv
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from specdb.build.expand import releases
from specdb.build.read import read_tables
from specdb.records import rows
from specdb.store.asof import choose_release

ROOT = Path(__file__).resolve().parent.parent
EXPORTED = (
    "specdb",
    "data",
    "schema",
    "scripts",
    "tests",
    "pyproject.toml",
    "README.md",
    "LICENSE",
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel built from an exported tree, with what is installed here; nothing is fetched."""
    tree = tmp_path_factory.mktemp("exported")
    for name in EXPORTED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copyfile(ROOT / name, tree / name)
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out)]
    done = subprocess.run([*command, str(tree)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = out.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def elsewhere(wheel, tmp_path_factory) -> Path:
    """A fresh environment with the wheel in it; the libraries below it are lent by this one."""
    home = tmp_path_factory.mktemp("elsewhere")
    venv.create(home / "env", with_pip=False)
    python = home / "env" / "bin" / "python"
    site = Path(
        subprocess.run(
            [str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
    )
    command = [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps"]
    quiet = ["--no-index", "--quiet", "--disable-pip-version-check", "--root-user-action=ignore"]
    subprocess.run([*command, *quiet, str(wheel)], check=True)
    lent = sysconfig.get_path("purelib")
    # a plain path line: the .pth files of the lender, its editable specdb among them, stay unread
    (site / "lent.pth").write_text(f"{lent}\n", encoding="utf-8")
    return python


def latest() -> str:
    """The release a fresh database answers from."""
    known = releases(read_tables(ROOT / "data")[0])
    return choose_release(known, None).version


def ask(python: Path, *arguments: str) -> str:
    done = subprocess.run(
        [str(python), *arguments],
        cwd=python.parent,
        env={"PATH": os.environ["PATH"], "HOME": str(python.parent)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_wheel_carries_what_it_must(wheel) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    wanted = {f"specdb/_data/{table}.csv" for table in rows.TABLES}
    wanted |= {
        "specdb/py.typed",
        "specdb/_data/datapackage.json",
        "specdb/_data/LICENSE",
        "specdb/_data/CITATION.cff",
        "specdb/_database/specdb.sqlite",
        "specdb/_schema/reference/env.py",
        "specdb/_schema/reference/script.py.mako",
    }
    wanted |= {
        f"specdb/_schema/reference/versions/{path.name}"
        for path in (ROOT / "schema" / "reference" / "versions").glob("*.py")
    }
    assert wanted <= names, sorted(wanted - names)
    strangers = [
        name
        for name in names
        if "__pycache__" in name or not name.startswith(("specdb/", "specdb-"))
    ]
    assert strangers == []


def test_the_database_in_the_wheel_is_the_one_a_checkout_builds(wheel, database) -> None:
    carried = zipfile.ZipFile(wheel).read("specdb/_database/specdb.sqlite")
    assert carried == database.read_bytes()


@pytest.mark.published
def test_the_installed_package_answers_a_question(elsewhere) -> None:
    script = (
        "import json, specdb;"
        "db = specdb.open();"
        "e = db.material('al-si7mg-t6').mean_expansion('20 degC', '100 degC');"
        "print(json.dumps([specdb.__file__, db.release, e.value, e.low, e.high, e.unit]))"
    )
    where, release, value, low, high, unit = json.loads(ask(elsewhere, "-c", script))
    assert str(ROOT) not in where
    assert release == latest()
    assert unit == "1/K"
    assert low <= value <= high
    # bs-1490-1988-lm-data-sheets prints 22e-6/K, engineering-materials-textbook-table-b6 21.5e-6/K
    assert 21e-6 < value < 22.5e-6


def test_the_installed_command_answers(elsewhere) -> None:
    script = elsewhere.parent / "specdb"
    answer = json.loads(ask(elsewhere, str(script), "material", "al-si7mg-t6", "--json"))
    assert answer["data_release"] == latest()
    assert answer["facts"]


def test_the_installed_package_can_build_and_check(elsewhere, tmp_path, database) -> None:
    target = tmp_path / "own.sqlite"
    script = (
        f"from pathlib import Path; from specdb.build import build; build(Path({str(target)!r}))"
    )
    ask(elsewhere, "-c", script)
    assert target.read_bytes() == database.read_bytes()


def test_the_installed_command_finds_a_turned_byte(elsewhere) -> None:
    """In the free space of an index of `media`: what the rows say is whole, the releases hold."""
    script = "from specdb.store import assets; print(assets.target())"
    carried = Path(ask(elsewhere, "-c", script).strip())
    whole = carried.read_bytes()
    with closing(sqlite3.connect(carried)) as connection:
        (page,) = connection.execute(
            "SELECT pageno FROM dbstat WHERE name = 'sqlite_autoindex_media_1' LIMIT 1"
        ).fetchone()
    turned, start = bytearray(whole), (page - 1) * 4096
    cells = int.from_bytes(whole[start + 3 : start + 5], "big")
    free = start + 8 + 2 * cells
    assert whole[free : free + 9] == bytes(9)
    turned[free + 4] ^= 1
    try:
        carried.write_bytes(turned)
        command = [str(elsewhere), str(elsewhere.parent / "specdb"), "data", "verify", "--json"]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
    finally:
        carried.write_bytes(whole)
    found = json.loads(done.stdout)
    assert done.returncode == 1
    assert {finding["table"] for finding in found["findings"]} == {"media"}
    assert "bytes changed since it was built" in found["findings"][0]["reason"]
    assert latest() in found["holds"]
    assert [Path(name).name for name in found["looked_at"]] == ["_data", "specdb.sqlite"]
