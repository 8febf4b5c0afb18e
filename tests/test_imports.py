"""What importing specdb and looking a material up may load: the cost of every start."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import specdb

HEAVY = ("numpy", "pint", "sqlalchemy", "alembic", "scipy", "datasette", "rich")


def loaded(script: str, *arguments: str) -> set[str]:
    """The top-level modules in a fresh process after `script`."""
    report = "import sys; print(*sorted({name.split('.')[0] for name in sys.modules}))"
    done = subprocess.run(
        [sys.executable, "-c", f"{script}\n{report}", *arguments],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stdout.splitlines()[-1].split())


def test_importing_the_package_loads_the_standard_library_only() -> None:
    bare, ours = loaded(""), loaded("import specdb")
    foreign = {name for name in ours - bare if name not in sys.stdlib_module_names}
    assert foreign == {"specdb"}


@pytest.mark.parametrize(
    "script",
    [
        "import specdb, sys; specdb.open(sys.argv[1]).material('al-si7mg-t6').value('density')",
        "import specdb, sys; db = specdb.open(sys.argv[1]);"
        "db.material('al-si7mg-t6').mean_expansion('20 degC', '300 degF')",
    ],
    ids=["value", "expansion"],
)
def test_looking_a_material_up_loads_nothing_heavy(script: str, database: Path) -> None:
    assert loaded(script, str(database)).isdisjoint(HEAVY)


def test_help_loads_nothing_heavy() -> None:
    script = (
        "import sys; sys.argv = ['specdb', '--help']\n"
        "from specdb.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass"
    )
    assert loaded(script).isdisjoint((*HEAVY, "pydantic"))


def test_every_public_name_is_there_and_listed() -> None:
    assert set(dir(specdb)) == set(specdb.__all__)
    for name in specdb.__all__:
        assert getattr(specdb, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        specdb.nothing  # noqa: B018
