"""The command line: parse, ask, show.

`overview.py` is what `--help` prints; `app.py` is the command group and turns every error into
one message and an exit code; `options.py` prints a question's options from its request record and
`spoken.py` names them in messages as they are typed; `show.py` turns the layout of
`records.layout` into text, `table.py` lines columns up; `data.py` holds the curator's commands.
"""

from __future__ import annotations

import sys

HELP = ("-h", "--help")


def main() -> None:
    """The `specdb` command."""
    if len(sys.argv) == 2 and sys.argv[1] in HELP and _helped():
        return
    from specdb.cli.app import run

    run()


def _helped() -> bool:
    """Print the overview with nothing imported for it; False where it could not be written."""
    from specdb.cli import overview

    try:
        sys.stdout.write(overview.text())
        sys.stdout.flush()
    except (OSError, ValueError):
        return False
    return True
