"""The command line: parse, ask, show.

`app.py` is the command group and turns every error into one message and an exit code;
`options.py` prints a question's options from its request record; `show.py` turns the layout of
`records.layout` into text, `table.py` lines columns up; `data.py` holds the curator's commands.
"""

from __future__ import annotations


def main() -> None:
    """The `specdb` command."""
    from specdb.cli.app import run

    run()
