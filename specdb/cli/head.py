"""`specdb head FILE...`: plan every seat of a head from a table of readings.

Seats are written as they are planned, so that a table of any length needs little memory: JSON is
put down in a temporary file first, because its keys stand in order.
"""

from __future__ import annotations

import csv
import json
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import IO, Any

import click

from specdb.answers.ask import to_json
from specdb.answers.head import HeadRun
from specdb.answers.head_line import HeadLine, line
from specdb.answers.registry import Question
from specdb.cli import head_table
from specdb.cli.options import Explained, parameters
from specdb.cli.paper import check_paper, sheet_options, write_sheet
from specdb.cli.progress import Progress
from specdb.errors import BadRequest
from specdb.records.head import HeadPlan
from specdb.records.seat import SeatPlan

Lists = Callable[[str | None], str | Path | None]
"""From what was said of a shop's own lists to where they are."""


def command(question: Question, shared: list[click.Parameter], lists: Lists) -> click.Command:
    """The command; its options are what holds for every row that does not say otherwise."""

    def run_head(**given: Any) -> None:
        _run(lists(given.pop("stock")), given)

    own: list[click.Parameter] = [
        click.Option(
            ["--csv", "as_csv"],
            is_flag=True,
            help="Print a CSV row for each seat; not with --json.",
        ),
        *sheet_options(),
    ]
    files = click.Argument(["readings"], nargs=-1, required=True, metavar="READINGS...")
    common = [each for each in parameters(question) if each.name != question.leading]
    return Explained(
        question,
        callback=run_head,
        params=[files, *common, *own, *shared],
        help=f"{question.summary}\n\nREADINGS is a CSV file with a row for each seat ('-' for "
        "standard input); its columns are called like the options of `specdb seat`, of several "
        "readings bore_1, bore_2, ..., or as a shop heads them: Seat, Valve, Valve dia (mm), "
        "Counterbore 1, Depth.",
        short_help=question.summary,
        context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    )


def _run(stock: str | Path | None, given: dict[str, Any]) -> None:
    release, where = given.pop("release"), given.pop("database")
    files = given.pop("readings")
    how = {name: given.pop(name) for name in ("as_json", "as_csv", "everything")}
    paper = {name: given.pop(name) for name in ("sheet", "record", "job", "date")}
    common = {name: value for name, value in given.items() if value not in (None, ())}
    _refuse(how, paper, files)
    from specdb.database import open as open_database

    brief = not (how["as_json"] or paper["sheet"])
    answered = True
    with open_database(where, release=release, stock=stock) as db:
        for file in files:
            progress = Progress()
            source, name = _source(file), _name(file)
            run = db.head_run(source, told=progress, name=name, brief=brief, **common).prepare()
            progress.total = run.total
            plan = _write(run, progress, name, how, paper)
            answered = answered and plan.answered
    if not answered:
        sys.exit(1)


def _refuse(how: dict[str, bool], paper: dict[str, Any], files: Sequence[str]) -> None:
    """Options that contradict each other: none of them wins silently."""
    if how["as_json"] and how["as_csv"]:
        raise BadRequest("--json and --csv both ask for the output.", hint="Accepted: one of them.")
    check_paper(paper)
    if paper["sheet"] and len(files) > 1:
        raise BadRequest("sheet: one sheet is of one head.", hint="Accepted: one file of readings.")


def _source(file: str) -> Path | bytes:
    return sys.stdin.buffer.read() if file == "-" else Path(file)


def _name(file: str) -> str:
    return "standard input" if file == "-" else Path(file).name


def _write(
    run: HeadRun, progress: Progress, name: str, how: dict[str, bool], paper: dict[str, Any]
) -> HeadPlan:
    """Print what was asked for; where a sheet was asked for too, keep the plans for it."""
    seats: dict[str, SeatPlan] = {}
    plans = _kept(run.plans(), seats) if paper["sheet"] else run.plans()
    if how["as_json"]:
        whole = _json(run, plans, progress)
    elif how["as_csv"]:
        whole = _csv(run, plans, progress)
    else:
        whole = _table(run, plans, progress, name, everything=how["everything"])
    if paper["sheet"]:
        write_sheet(whole.model_copy(update={"seats": seats}), paper, head=Path(name).stem)
    return whole


def _kept(plans: Iterable[SeatPlan], seats: dict[str, SeatPlan]) -> Iterator[SeatPlan]:
    for plan in plans:
        seats[plan.label] = plan
        yield plan


def _json(run: HeadRun, plans: Iterable[SeatPlan], progress: Progress) -> HeadPlan:
    """The same bytes as `to_json` of the whole plan."""
    with tempfile.TemporaryFile("w+", encoding="utf-8", newline="") as kept:
        places: dict[str, tuple[int, int]] = {}
        for plan in plans:
            start = kept.tell()
            kept.write(to_json(plan))
            places[plan.label] = (start, kept.tell())
        progress.close()
        whole = run.result({})
        _spliced(whole, kept, places, sys.stdout)
    return whole


def _spliced(
    whole: HeadPlan, kept: IO[str], places: dict[str, tuple[int, int]], out: IO[str]
) -> None:
    for at, (name, value) in enumerate(sorted(whole.model_dump(mode="json").items())):
        out.write("{" if at == 0 else ",")
        out.write(f"{json.dumps(name)}:")
        if name != "seats":
            out.write(_compact(value))
            continue
        for number, label in enumerate(sorted(places)):
            start, end = places[label]
            kept.seek(start)
            out.write(f"{'{' if number == 0 else ','}{_compact(label)}:{kept.read(end - start)}")
        out.write("}" if places else "{}")
    out.write("}\n")


def _compact(value: Any) -> str:
    return json.dumps(
        value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
    )


def _csv(run: HeadRun, plans: Iterable[SeatPlan], progress: Progress) -> HeadPlan:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow([*HeadLine._fields, "setting", "ring_needed", "ring_on_hand", "ring_there"])
    for plan in plans:
        row = line(plan)
        cells = (
            *row,
            run.setting(row.label),
            *(run.counted(plan) or (None, None)),
            _there(run, plan),
        )
        writer.writerow(["" if cell is None else cell for cell in cells])
    progress.close()
    whole = run.result({})
    for text in head_table.bad_rows(whole):
        click.echo(f"specdb: {text}", err=True)
    return whole


def _there(run: HeadRun, plan: SeatPlan) -> str | None:
    """Whether the shelf has the ring of a seat; None where nobody says how many there are."""
    if plan.chosen is None or plan.chosen.left is None:
        return None
    return "no" if run.goes_without(plan.label) else "yes"


def _table(
    run: HeadRun, plans: Iterable[SeatPlan], progress: Progress, name: str, *, everything: bool
) -> HeadPlan:
    progress.close()
    click.echo(f"{name}: {run.total} seat{'' if run.total == 1 else 's'}\n")
    click.echo(head_table.beginning(run) + "\n")
    for block in _blocks(line(plan) for plan in plans):
        progress.close()
        click.echo(head_table.seats(block, run) + "\n")
    progress.close()
    whole = run.result({})
    click.echo(head_table.rest(whole, everything=everything))
    return whole


def _blocks(lines: Iterator[HeadLine]) -> Iterator[list[HeadLine]]:
    block: list[HeadLine] = []
    for each in lines:
        block.append(each)
        if len(block) == head_table.BLOCK:
            yield block
            block = []
    if block:
        yield block
