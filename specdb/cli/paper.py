"""The sheet on paper: its options, the same for a seat and a head, and the file it goes to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from specdb.errors import BadRequest

if TYPE_CHECKING:
    from specdb.records.head import HeadPlan
    from specdb.records.seat import SeatPlan


def sheet_options() -> list[click.Parameter]:
    """The options of a printed sheet, the same for a seat and a head."""
    return [
        click.Option(["--sheet"], metavar="FILE.html", help="Write the sheet for the bench too."),
        click.Option(
            ["--record"], is_flag=True, help="Make the sheet the record for the customer."
        ),
        click.Option(["--job"], metavar="TEXT", help="Job, as it stands on the sheet."),
        click.Option(["--date"], metavar="TEXT", help="Date, as it stands on the sheet."),
    ]


def check_paper(paper: dict[str, Any]) -> None:
    """Raises BadRequest where a record is asked for and no file to write it to."""
    if paper["record"] and not paper["sheet"]:
        raise BadRequest(
            "--record says what the sheet is to be, and none is asked for.",
            hint="Accepted: --sheet FILE.html with it.",
            field="record",
        )


def write_sheet(plan: SeatPlan | HeadPlan, paper: dict[str, Any], head: str = "") -> None:
    """Write the sheet of a plan; a file that cannot be written is said plainly."""
    from specdb.sheet import render

    text = render(
        plan,
        job=paper["job"] or "",
        head=head,
        date=paper["date"] or "",
        record=paper["record"],
    )
    try:
        Path(paper["sheet"]).write_text(text, encoding="utf-8")
    except OSError as error:
        raise BadRequest(
            f"sheet: {paper['sheet']} cannot be written: {error.strerror or error}.",
            hint="Accepted: a file in a folder that this user may write to.",
            field="sheet",
        ) from None
    click.echo(f"{paper['sheet']} written.", err=True)
