"""The examples of the documents are run; nothing tracked tells of the place it was made in.

A `console` block holds commands after `$ ` and what they print (standard output, then standard
error); `...` stands for any text within a line, a line of it alone for any lines. A `python` block
is run whole, its `>>>` lines as a doctest; the blocks of a document share their names.
"""

from __future__ import annotations

import doctest
import os
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = [
    path
    for path in (
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
        *sorted((ROOT / "data").glob("**/*.md")),
    )
    if path.exists()
]
FENCE = re.compile(r"^```(\w*)[^\n]*\n(.*?)^```\s*$", re.M | re.S)


SERVED = "http://127.0.0.1:8300"
"""The address `specdb serve` takes untold, in examples that need one running."""


class Block(NamedTuple):
    """A fenced block: where, in which language, what."""

    path: Path
    line: int
    language: str
    text: str


def blocks(path: Path, language: str) -> Iterator[Block]:
    """The blocks of a document in one language."""
    text = path.read_text(encoding="utf-8")
    for match in FENCE.finditer(text):
        if match[1] == language:
            yield Block(path, text[: match.start()].count("\n") + 1, match[1], match[2])


def commands(block: Block) -> Iterator[tuple[str, str]]:
    """Each command of a console block (a trailing backslash goes on) and what it should print."""
    for part in re.split(r"^\$ ", block.text.replace("\\\n", " "), flags=re.M)[1:]:
        command, _, expected = part.partition("\n")
        yield command, expected


def matches(expected: str, got: str) -> bool:
    """Whether the output is the expected one, `...` standing for anything."""
    pattern = ""
    for line in expected.strip("\n").splitlines():
        if line.strip() == "...":
            pattern += r"(?:[^\n]*\n)*"
        else:
            pattern += ".*?".join(map(re.escape, line.rstrip().split("..."))) + "\n"
    tidy = "".join(f"{line.rstrip()}\n" for line in got.strip("\n").splitlines())
    return re.fullmatch(pattern, tidy) is not None


def run(command: str) -> str:
    """What a `specdb` command prints, run as this interpreter would."""
    words = shlex.split(command, comments=True)
    assert words[0] == "specdb", f"only specdb is run in an example, not {words[0]!r}"
    done = subprocess.run(
        [sys.executable, "-c", "from specdb.cli import main; main()", *words[1:]],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={**os.environ, "COLUMNS": "100", "PYTHONPATH": str(ROOT), "NO_COLOR": "1"},
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout + done.stderr


CONSOLE = [
    pytest.param(command, expected, id=f"{path.name}:{block.line}:{command[:40]}")
    for path in DOCUMENTS
    for block in blocks(path, "console")
    for command, expected in commands(block)
    if not command.startswith(("scripts/", "pip ", "python", ".venv/", "git "))
]


def test_the_first_page_asks_one_real_question_in_each_way() -> None:
    readme = ROOT / "README.md"
    assert any(command.startswith("specdb ") for command, _ in _commands_of(readme))
    assert any("specdb.open" in block.text for block in blocks(readme, "python"))


def _commands_of(path: Path) -> list[tuple[str, str]]:
    return [each for block in blocks(path, "console") for each in commands(block)]


@pytest.mark.parametrize(("command", "expected"), CONSOLE)
@pytest.mark.usefixtures("bundled")
def test_a_console_example_prints_what_the_document_says(command: str, expected: str) -> None:
    got = run(command)
    assert matches(expected, got), f"$ {command}\nexpected:\n{expected}\ngot:\n{got}"


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
@pytest.mark.usefixtures("bundled")
def test_the_python_examples_run(path: Path) -> None:
    names: dict[str, object] = {}
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    for block in blocks(path, "python"):
        if SERVED in block.text:
            continue  # asked of a real server by tests/web/test_readme.py
        where = f"{path.name}:{block.line}"
        if ">>>" in block.text:
            test = doctest.DocTestParser().get_doctest(
                block.text, names, where, str(path), block.line
            )
            said: list[str] = []
            runner.run(test, out=said.append, clear_globs=False)
            names.update(test.globs)
            assert not said, "".join(said)
        else:
            exec(compile(block.text, where, "exec"), names)


@pytest.mark.parametrize(
    ("expected", "got", "same"),
    [
        ("a\nb\n", "a\nb\n", True),
        ("a\nb\n", "a\nc\n", False),
        ("a\n", "a\nb\n", False),
        ("a\n...\n", "a\nb\nc\n", True),
        ("a\n...\nd\n", "a\nb\nc\n", False),
        ("grip ... mm\n", "grip 0.05 mm\n", True),
        ("grip ... mm\n", "grip 0.05 in\n", False),
        ("", "a\n", False),
    ],
)
def test_the_comparison_itself(expected: str, got: str, same: bool) -> None:
    assert matches(expected, got) is same


PLACE = re.compile(
    r"(?<![\w.~*$}\])>-])(?:/(?:home|root|work|tmp|var/tmp|mnt|srv|opt|Users|private)"
    r"|[A-Z]:\\(?:Users|Temp))[/\\][\w.-]*"
)
"""A file in somebody's home, at their work, in a temporary folder: it is on one machine only."""
HOST = re.compile(
    r"https?://([\w.-]+)|(?<![\w@./-])((?:[a-z0-9-]+\.)+(?:org|com|net|io|dev))\b(?!\()",
    re.I,
)
"""The host of an address, or a name that looks like one."""
HOSTS = frozenset(
    {
        "127.0.0.1",
        "localhost",
        "creativecommons.org",  # the licence of the data
        "wiki.creativecommons.org",  # named in its legal code
        "www.apache.org",  # the licence of the code
        "www.w3.org",  # the names of SVG and of XML
    }
)


def cited() -> frozenset[str]:
    """The hosts of the sources' own addresses."""
    return frozenset(
        match[1] or match[2]
        for match in HOST.finditer((ROOT / "data" / "sources.csv").read_text(encoding="utf-8"))
    )


def telling(line: str, hosts: frozenset[str]) -> list[str]:
    """The places and hosts of a line that are not everybody's; a name without a dot is nobody's."""
    found = [match[0] for match in PLACE.finditer(line)]
    named = (match[1] or match[2] for match in HOST.finditer(line))
    return [*found, *(host for host in named if "." in host and host.lower() not in hosts)]


def tracked() -> list[Path]:
    """The files under version control, or in an exported tree all that is not hidden."""
    try:
        done = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
        )
    except (OSError, subprocess.CalledProcessError):
        found = (path.relative_to(ROOT) for path in ROOT.rglob("*") if path.is_file())
        return [path for path in found if not any(part[0] in "._" for part in path.parts[:-1])]
    return [Path(name) for name in done.stdout.split("\0") if name]


def test_nothing_tracked_tells_of_the_place_it_was_made_in() -> None:
    hosts = HOSTS | cited()
    found = []
    for path in tracked():
        if not (ROOT / path).is_file() or ROOT / path == Path(__file__).resolve():
            continue
        try:
            text = (ROOT / path).read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        for number, line in enumerate(text.splitlines(), 1):
            found += [f"{path}:{number}: {each}" for each in telling(line, hosts)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("see /home/somebody/notes", ["/home/somebody"]),
        ("open('/tmp/x.csv')", ["/tmp/x.csv"]),
        (r"C:\Users\somebody", [r"C:\Users\somebody"]),
        ("pip install from https://packages.example.org/simple", ["packages.example.org"]),
        ("from packages.example.org", ["packages.example.org"]),
        ("/dev/full, /no/such/file, data/home/x, ../tmp/x", []),
        ("http://127.0.0.1:8300/seat, http://localhost/, http://elsewhere/", []),
        ("https://creativecommons.org/licenses/by/4.0/", []),
    ],
)
def test_what_tells_of_a_place(line: str, told: list[str]) -> None:
    assert telling(line, HOSTS) == told
