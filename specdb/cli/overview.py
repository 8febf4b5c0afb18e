"""What `specdb --help` prints: the commands, from the registry alone.

The text is made here and not by click, so that the plain `specdb --help` need not import it;
`app.py` prints the same text where an option stands before `--help`.
"""

from __future__ import annotations

from specdb.answers.registry import QUESTIONS

SHOP = {
    "stock": "A shop's own lists of rings: import, lists, export, remove, upgrade.",
    "serve": "The web view and the JSON API, on this machine.",
}
CURATOR = {"data": "Build, check and release the reference data (curators)."}

ABOUT = """\
Usage: specdb [OPTIONS] COMMAND [ARGS]...

  Sizes, fits, temperatures and seat geometry for valve-seat work, each with its source.

  Lengths: 38.1 mm, 1.500 in, 5 thou, 38.1 (mm). Temperatures: 150 degC, 300 degF, 150 (degC).
  A list is given by repeating its option. `specdb QUESTION --help` lists what a question takes,
  with an example.
"""
OPTIONS = {"--version": "Show the version and exit.", "-h, --help": "Show this message and exit."}


def text() -> str:
    """The whole help of the command, ending in a line end."""
    questions = {name: each.summary for name, each in QUESTIONS.items()}
    wide = max(map(len, (*OPTIONS, *questions, *SHOP, *CURATOR)))
    parts = {"Options": OPTIONS, "Questions": questions, "Shop": SHOP, "Curators": CURATOR}
    sections = [
        "\n".join([f"{title}:", *(f"  {name:<{wide}}  {said}" for name, said in lines.items())])
        for title, lines in parts.items()
    ]
    return "\n".join([ABOUT, *(f"{section}\n" for section in sections)])
