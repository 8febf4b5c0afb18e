"""The command group: one command a question, made when it is called.

Listing the commands reads only the registry, so `specdb --help` imports no record. Data goes to
standard output, everything else to standard error; exit code 0 answered, 1 no answer, 2 misused.
"""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from specdb import __version__
from specdb.answers.registry import QUESTIONS, Question
from specdb.cli import overview
from specdb.cli.overview import CURATOR, SHOP
from specdb.errors import Misuse, SpecdbError


class Commands(click.Group):
    """Questions from the registry, curators' commands from their module, each on first use."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every command, questions first, as the overview has them."""
        return [*QUESTIONS, *SHOP, *CURATOR]

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """The command `name`, imported now; None where there is none."""
        if name in QUESTIONS:
            return _spoken(QUESTIONS[name], _question_command(QUESTIONS[name]))
        if name == "stock":
            from specdb.cli.stock import stock

            return stock
        if name == "serve":
            from specdb.cli.serve import serve

            return serve
        if name == "data":
            from specdb.cli.data import data

            return data
        return None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command asked for. Raises UnknownName, with those meant perhaps."""
        if args and args[0] not in (*QUESTIONS, *SHOP, *CURATOR) and not args[0].startswith("-"):
            from specdb.errors import UnknownName

            raise UnknownName("command", args[0], [*QUESTIONS, *SHOP, *CURATOR])
        return super().resolve_command(ctx, args)

    def get_help(self, ctx: click.Context) -> str:
        """The overview, in place of click's list."""
        return overview.text().rstrip("\n")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, package_name="specdb", prog_name="specdb")
def app() -> None:
    """What it is for, and its commands: see `overview`."""


def _question_command(question: Question) -> click.Command:
    from specdb.cli.options import Explained, parameters

    shared: list[click.Parameter] = [
        click.Option(["--release"], metavar="VERSION", help="Answer from this data release."),
        click.Option(["--database"], metavar="FILE", help="Answer from this database file."),
        click.Option(
            ["--stock"],
            metavar="FILE-OR-URL",
            help="Search the own lists that lie here (none: no lists). "
            "[default: SPECDB_STOCK, else this user's data folder]",
        ),
        click.Option(["--json", "as_json"], is_flag=True, help="Print JSON."),
        click.Option(
            ["--all", "everything"], is_flag=True, help="Show every figure, row and source."
        ),
    ]

    if question.name == "head":
        from specdb.cli import head

        return head.command(question, shared, lambda said: _stock(question, said))
    if question.name == "seat":
        from specdb.cli.paper import sheet_options

        shared += sheet_options()

    def run_question(**given: Any) -> None:
        _answer(question, given)

    return Explained(
        question,
        callback=run_question,
        params=[*parameters(question), *shared],
        help=question.summary,
        short_help=question.summary,
        context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    )


def _spoken(question: Question, command: click.Command) -> click.Command:
    """The command with errors that name options as they are typed."""
    run_it = command.callback
    assert run_it is not None

    def run_question(**given: Any) -> None:
        try:
            run_it(**given)
        except Misuse as error:
            from specdb.cli.spoken import Spoken

            raise Spoken(question).error(error) from None

    command.callback = run_question
    return command


def _answer(question: Question, given: dict[str, Any]) -> None:
    release, where = given.pop("release"), given.pop("database")
    as_json, everything = given.pop("as_json"), given.pop("everything")
    paper = {name: given.pop(name, None) for name in ("sheet", "record", "job", "date")}
    if paper["record"]:
        from specdb.cli.paper import check_paper

        check_paper(paper)
    stock = _stock(question, given.pop("stock"))
    asked = {name: value for name, value in given.items() if value not in (None, ())}
    from specdb.database import open as open_database

    with open_database(where, release=release, stock=stock) as db:
        result = db.ask(question.name, **asked)
    if paper["sheet"]:
        from specdb.cli.paper import write_sheet

        write_sheet(result, paper)
    if as_json:
        from specdb.answers.ask import to_json

        click.echo(to_json(result))
    else:
        from specdb.cli import show
        from specdb.cli.spoken import Spoken

        said = Spoken(question).answer(result)
        click.echo(show.answer(said, everything=everything), nl=False)
    if not result.answered:
        sys.exit(1)


def _stock(question: Question, said: str | None) -> str | Path | None:
    """The lists a question searches: those said, else those found untold."""
    if not question.searches:
        return None
    from specdb.store.stock import place

    return place.searched(said)


def _cannot_write(error: OSError) -> NoReturn:
    """Say why, in a line, and exit 1; what is still unwritten is not tried again at the end."""
    with contextlib.suppress(OSError):
        sys.stdout.close()
    named = f"{error.filename}: " if error.filename else ""
    click.echo(f"specdb: cannot read or write: {named}{error.strerror or error}.", err=True)
    sys.exit(1)


def run(args: list[str] | None = None) -> None:
    """Run the command line; every SpecdbError becomes its message and its exit code."""
    try:
        code = app.main(args, standalone_mode=False)
    except SpecdbError as error:
        click.echo(f"specdb: {error}", err=True)
        sys.exit(error.exit_code)
    except click.ClickException as error:
        error.show()
        sys.exit(2)
    except (click.Abort, KeyboardInterrupt):
        click.echo("specdb: stopped.", err=True)
        sys.exit(130)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
    except OSError as error:
        _cannot_write(error)
    sys.exit(code if isinstance(code, int) else 0)
