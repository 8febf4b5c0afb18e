"""A head laid out for reading: settings, heat, a line a seat, exceptions, bad rows, bridges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from specdb.answers import advice, boring, head_heat
from specdb.answers.head import HeadRun
from specdb.answers.head_line import HeadLine
from specdb.answers.steps import NONE, WARM_C
from specdb.cli import table
from specdb.records import layout
from specdb.records.footnotes import Footnotes
from specdb.records.head import HeadPlan
from specdb.units.words import INCH, THOU

BLOCK = 200
"""Seats laid out at once: columns are as wide as the widest cell among them."""
MOST_PROBLEMS = 60
"""Lines of what to look at that stand below the table."""
SEATS = ("seat", "setting", "ring", "bore", "press")
HEATS = ("seat", "ring in", "ring at", "goes in", "in the hand", "in the bore", "by itself")


def beginning(run: HeadRun) -> str:
    """What stands above the seats: the settings, what is left as found, the heat."""
    return "\n\n".join(part for part in (_settings(run), _heat(run)) if part)


def seats(lines: Sequence[HeadLine], run: HeadRun) -> str:
    """The lines of some seats as two tables: rings and bores in mm with the inches below, then what
    is done with heat and cold."""
    rows = [row for each in lines for row in _rows(each, run)]
    heats = [_heat_row(each, run) for each in lines if each.ring_outer_mm is not None]
    told = [table.columns(rows, SEATS), table.columns(heats, HEATS)]
    return "\n\n".join(filter(None, told))


def _rows(each: HeadLine, run: HeadRun) -> Iterator[list[str]]:
    setting = run.setting(each.label)
    if each.bore_mm is not None:
        bore = _both(each.bore_least_mm, each.bore_most_mm)
    else:
        bore = (each.do, "")
    press = (each.press_least_mm, each.press_greatest_mm)
    yield [
        each.label,
        "" if setting is None else str(setting),
        ring(each),
        bore[0],
        _span(*press, 1.0, 3, "mm"),
    ]
    inches = [ring(each, inch=True), bore[1], _span(*press, THOU, 1, "thou")]
    if any(inches):
        yield ["", "", *inches]


def _heat_row(each: HeadLine, run: HeadRun) -> list[str]:
    """What the ring is brought to and how it goes in; the heat of the head where it is not that of
    the others."""
    if each.head_c is None:
        return [each.label, "", "", "no heat and chill serve", "", "", ""]
    alone = run.heat is not None and each.label in run.heat.not_served
    return [
        each.label,
        each.chill or "" if each.ring_c is not None else "as it is",
        "" if each.ring_c is None else f"{each.ring_c} degC",
        (each.entry or "").replace("-", " "),
        each.hand_seconds or "",
        each.bore_seconds or "",
        f"head at {each.head_c} degC" if alone else "",
    ]


def ring(each: HeadLine, *, inch: bool = False) -> str:
    """Outside x inside x height of a line's ring, or that there is none."""
    sizes = (each.ring_outer_mm, each.ring_inner_mm, each.ring_height_mm)
    told = [f"{size / INCH:.4f}" if inch else f"{size:.2f}" for size in sizes if size is not None]
    return f"{' x '.join(told)} {'in' if inch else 'mm'}" if told else "" if inch else "-"


def _both(least: float | None, most: float | None) -> tuple[str, str]:
    """A bore's limits in mm, and in inches rounded inward."""
    if least is None or most is None:
        return "", ""
    low, high = boring.inches(least, most)
    inch = f"{low:.4f} to {high:.4f} in" if high > low else f"{low:.4f} in"
    return f"{least:.3f} to {most:.3f} mm", inch


def _span(low: float | None, high: float | None, unit: float, places: int, name: str) -> str:
    if low is None or high is None:
        return ""
    return f"{low / unit:.{places}f} to {high / unit:.{places}f} {name}"


def _mm(length: float | None, places: int) -> str:
    return "" if length is None else f"{length:.{places}f} mm"


def _inch(length: float | None) -> str:
    return "" if length is None else f"{length / INCH:.4f} in"


def _heat(run: HeadRun) -> str:
    """The one heat of the head, what the rings are chilled in, and why."""
    heat = run.heat
    if heat is None:
        return ""
    at = advice.to_five(heat.head_temperature_c)
    rows = [
        ["as it is" if chill == NONE else chill, head_heat.some(labels)]
        for chill, labels in heat.chills.items()
    ]
    said = [table.paragraph(heat.why + ".")]
    if at > WARM_C:
        said.append(table.paragraph(ONE_GO))
    return f"Head at {at} degC\n{table.columns(rows, ('ring in', 'seats'))}\n" + "\n".join(said)


ONE_GO = (
    "The rings go in at one go: out of the oven the head cools all the while, and the times below "
    "hold for a head at its heat."
)


def rest(plan: HeadPlan, problems: Mapping[str, Sequence[str]], *, everything: bool) -> str:
    """Everything that stands below the seats."""
    parts = []
    if plan.exceptions:
        said = [f"{each.label}: {each.what}: {each.why}" for each in plan.exceptions]
        parts.append(_section("Exceptions", said))
    if plan.bad_rows:
        rows = [[str(e.row), e.label or "", e.column, e.reason] for e in plan.bad_rows]
        header = ("row", "seat", "column", "reason")
        parts.append("Rows not planned\n" + table.columns(rows, header))
    parts.append(_bridges(plan))
    if problems:
        said = [f"{_some(labels)}: {text}" for text, labels in problems.items()]
        parts.append(_section("Look at this", said))
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


def _settings(run: HeadRun) -> str:
    """Which setting of the boring tool serves which seats; what is left as found."""
    left = f"As found, cut nothing: {head_heat.some(run.as_found)}." if run.as_found else ""
    if not run.settings:
        return "\n".join(filter(None, ["Nothing is bored.", left]))
    rows = []
    for number, each in enumerate(run.settings, start=1):
        mm, inch = _both(each.bore_least_mm, each.bore_most_mm)
        labels = head_heat.some(each.labels)
        pilot = each.pilot_mm
        tips = (each.first_tip_over_pilot_mm, each.tip_over_pilot_mm)
        rows.append([str(number), f"{each.bore_mm:.3f} mm", mm, _mm(pilot, 2) or "-"])
        rows[-1] += [*(_mm(tip, 2) or "-" for tip in tips), labels]
        rows.append(["", "", inch, _inch(pilot)])
        rows[-1] += [*(_inch(tip) for tip in tips), ""]
    header = ("setting", "bore to", "limits", "pilot", "first cut: tip", "tip over pilot", "seats")
    how = table.paragraph(f"{run.settings_method}: {run.settings_why}.")
    told = "\n".join(filter(None, [how, left]))
    return f"Settings\n{table.columns(rows, header)}\n{told}"


def _bridges(plan: HeadPlan) -> str:
    if not plan.bridges:
        return ""
    thin = sorted(plan.bridges, key=lambda each: (each.left_mm, each.labels))
    rows = [[" - ".join(b.labels), f"{b.now_mm:.2f} mm", f"{b.left_mm:.2f} mm"] for b in thin]
    more = f"\n  and {len(rows) - layout.FEW} thicker" if len(rows) > layout.FEW else ""
    return "Bridges\n" + table.columns(rows[: layout.FEW], ("between", "now", "left")) + more


def _section(title: str, lines: Sequence[str]) -> str:
    return "\n".join([title, *(table.paragraph(line, "  - ") for line in lines)])
