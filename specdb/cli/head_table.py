"""A head laid out for reading: a line a seat, then settings, bridges, exceptions, bad rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from specdb.answers.head import HeadRun
from specdb.answers.head_line import HeadLine
from specdb.cli import table
from specdb.records import layout
from specdb.records.footnotes import Footnotes
from specdb.records.head import HeadPlan

BLOCK = 200
"""Seats laid out at once: columns are as wide as the widest cell among them."""
MOST_PROBLEMS = 60
"""Lines of what to look at that stand below the table."""
SEATS = ("seat", "ring", "do", "limits", "tip over pilot", "head", "ring at", "time", "setting")


def seats(lines: Sequence[HeadLine], run: HeadRun) -> str:
    """The lines of some seats as a table."""
    return table.columns([_row(each, run.setting(each.label)) for each in lines], SEATS)


def _row(each: HeadLine, setting: int | None) -> list[str]:
    bore = "" if each.bore_mm is None else f" {each.bore_mm:.3f}"
    return [
        each.label,
        ring(each),
        f"{each.do}{' to' if bore else ''}{bore}",
        f"{each.bore_least_mm:.3f}-{each.bore_most_mm:.3f}" if bore else "",
        "" if each.tip_over_pilot_mm is None else f"{each.tip_over_pilot_mm:.2f}",
        "" if each.head_c is None else f"{each.head_c} degC",
        _ring_at(each),
        _clock(each),
        "" if setting is None else str(setting),
    ]


def ring(each: HeadLine) -> str:
    """Outside x inside x height of a line's ring, or that there is none."""
    sizes = (each.ring_outer_mm, each.ring_inner_mm, each.ring_height_mm)
    return " x ".join(f"{size:.2f}" for size in sizes if size is not None) or "-"


def _ring_at(each: HeadLine) -> str:
    if each.head_c is None:
        return ""
    return "as it is" if each.ring_c is None else f"{each.chill} {each.ring_c}"


def _clock(each: HeadLine) -> str:
    if each.entry is None:
        return "no heat serves" if each.ring_outer_mm is not None else ""
    hand = f", {each.hand_seconds} hand" if each.hand_seconds else ""
    bore = f", {each.bore_seconds} bore" if each.bore_seconds else ""
    return f"{each.entry}{hand}{bore}"


def rest(plan: HeadPlan, problems: Mapping[str, Sequence[str]], *, everything: bool) -> str:
    """Everything that stands below the seats."""
    parts = [_settings(plan), _bridges(plan)]
    if plan.exceptions:
        said = [f"{each.label}: {each.what}: {each.why}" for each in plan.exceptions]
        parts.append(_section("Exceptions", said))
    if problems:
        said = [f"{_some(labels)}: {text}" for text, labels in problems.items()]
        parts.append(_section("Look at this", said))
    if plan.bad_rows:
        parts.append(_section("Rows not planned", list(bad_rows(plan))))
    shown, left = layout.cautions(plan, everything=everything)
    cautions = [f"{note.severity.upper()}: {note.text}" for note in shown]
    if left:
        cautions.append(f"and {left} more that apply; --all shows them.")
    parts.append(_section("Cautions", cautions))
    notes = Footnotes(plan.facts, each_row=everything)
    parts.append("Sources\n" + table.columns(list(notes.lines())))
    parts.append(f"Data release {plan.data_release}, specdb {plan.code_version}.")
    return "\n\n".join(part for part in parts if part)


def _some(labels: Sequence[str]) -> str:
    more = f" and {len(labels) - layout.FEW} more" if len(labels) > layout.FEW else ""
    return ", ".join(labels[: layout.FEW]) + more


def bad_rows(plan: HeadPlan) -> Iterator[str]:
    """Each bad row with its column and reason."""
    for each in plan.bad_rows:
        label = f" ({each.label})" if each.label else ""
        yield f"row {each.row}{label}: {each.column}: {each.reason}"


def _settings(plan: HeadPlan) -> str:
    if not plan.settings:
        return "Nothing is bored."
    rows = [
        [
            str(number),
            f"{each.bore_mm:.3f}",
            f"{each.bore_least_mm:.3f}-{each.bore_most_mm:.3f}",
            "-" if each.pilot_mm is None else f"{each.pilot_mm:.2f}",
            "-" if each.tip_over_pilot_mm is None else f"{each.tip_over_pilot_mm:.2f}",
            ", ".join(each.labels),
        ]
        for number, each in enumerate(plan.settings, start=1)
    ]
    header = ("setting", "bore", "limits", "pilot", "tip over pilot", "seats")
    how = table.paragraph(f"{plan.settings_method}: {plan.settings_why}")
    return f"Settings\n{table.columns(rows, header)}\n{how}"


def _bridges(plan: HeadPlan) -> str:
    if not plan.bridges:
        return ""
    thin = sorted(plan.bridges, key=lambda each: (each.left_mm, each.labels))
    rows = [[" - ".join(b.labels), f"{b.now_mm:.2f} mm", f"{b.left_mm:.2f} mm"] for b in thin]
    more = f"\n  and {len(rows) - layout.FEW} thicker" if len(rows) > layout.FEW else ""
    return "Bridges\n" + table.columns(rows[: layout.FEW], ("between", "now", "left")) + more


def _section(title: str, lines: Sequence[str]) -> str:
    return "\n".join([title, *(table.paragraph(line, "  - ") for line in lines)])
