"""Seats given to Python as records: what may stand beside them, and what is no seat at all."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from specdb.answers.ask import request_of
from specdb.answers.registry import find
from specdb.errors import BadRequest, UnknownName
from specdb.records.seat import SeatReadings

AS_FILE = "A file: head(readings=Path('head.csv').read_text()), or head_run(Path('head.csv'))."

_NAME = re.compile(r"[^\r\n,;\t]+|[^\r\n]+\.(csv|tsv|txt)", re.I)


def one_seat(given: object, beside: Mapping[str, Any]) -> SeatReadings:
    """The readings of one seat; raises `Misuse` for anything else, and for arguments beside."""
    if not isinstance(given, SeatReadings):
        raise BadRequest(
            f"seat: {_short(given)} is no readings of a seat.",
            hint="Accepted: specdb.SeatReadings, or its fields by keyword: seat(bore=..., ...).",
            field="readings",
        )
    known = SeatReadings.model_fields
    for name in beside:
        if name not in known:
            raise UnknownName("argument of 'seat'", name, known, field=name)
    if beside:
        raise BadRequest(
            f"seat: {', '.join(beside)} given beside SeatReadings, which already say all.",
            hint="Accepted: SeatReadings that hold it, or every argument by keyword.",
            field=next(iter(beside)),
        )
    return given


def every_seat(given: object, beside: Mapping[str, Any]) -> list[SeatReadings]:
    """The readings of a head's seats; `beside` is what holds for those that do not say, as it does
    for the rows of a table. Raises `Misuse` for what is no seat and for unknown arguments."""
    if isinstance(given, str | bytes | Path | SeatReadings) or not isinstance(given, Iterable):
        raise _no_seats(given)
    seats = list(given)
    for each in seats:
        if not isinstance(each, SeatReadings):
            raise _no_seats(each)
    return [_with(each, _common(beside)) for each in seats] if beside else seats


def _common(beside: Mapping[str, Any]) -> dict[str, Any]:
    """What holds for every seat, read and checked as it is beside a table."""
    if "readings" in beside:
        raise BadRequest(
            "head: readings is a table given beside a list of seats.",
            hint="Accepted: one of them.",
            field="readings",
        )
    common = request_of(find("head"), {"readings": "", **beside})
    return {name: value for name, value in common if name != "readings" and name in beside}


def _with(seat: SeatReadings, common: Mapping[str, Any]) -> SeatReadings:
    """The readings with what they do not say themselves."""
    new = {name: value for name, value in common.items() if name not in seat.model_fields_set}
    return seat.model_copy(update=new)


def table(given: object) -> None:
    """Refuse what is no text, and a single name where a table should be: that of a file. What is
    wrong with a table its reader says."""
    if not isinstance(given, str) or _NAME.fullmatch(given):
        raise BadRequest(
            f"readings: {_short(given)} is not the text of a table.",
            hint=f"Accepted: the names of the columns and a line for each seat. {AS_FILE}",
            field="readings",
        )


def file(given: object) -> None:
    """Refuse what is neither the path of a table nor its bytes."""
    if not isinstance(given, Path | bytes):
        raise BadRequest(
            f"table: {_short(given)} is neither a path nor bytes.",
            hint="Accepted: pathlib.Path('head.csv'), or the bytes of a table.",
            field="table",
        )


def _no_seats(given: object) -> BadRequest:
    return BadRequest(
        f"head: {_short(given)} is no readings of a seat.",
        hint=f"Accepted: a list of specdb.SeatReadings, one for each seat. {AS_FILE}",
        field="seats",
    )


def _short(given: object) -> str:
    """What was given, cut short."""
    text = repr(given)
    return text if len(text) <= 60 else f"{text[:57]}..."
