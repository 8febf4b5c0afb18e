"""A head laid out for reading: settings, heat, a line a seat, exceptions, bad rows, bridges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specdb.answers import advice, boring, head_rows
from specdb.answers.bench import GENERIC_SIZE
from specdb.answers.head import HeadRun
from specdb.answers.head_exceptions import alike
from specdb.answers.head_line import HeadLine, past_wanted
from specdb.answers.steps import NONE, WARM_C
from specdb.cli import table
from specdb.records import layout
from specdb.records.footnotes import Footnotes
from specdb.records.head import HeadPlan, LookAt
from specdb.records.sizes import GENERIC
from specdb.records.some import some
from specdb.units.words import INCH, THOU

BLOCK = 200
"""Seats laid out at once: columns are as wide as the widest cell among them."""
SEATS = ("seat", "setting", "ring", "from", "bore", "press", "old ring out: tip")
OLD_RING = SEATS.index("old ring out: tip")
"""A column only where an old ring was told."""
HEATS = ("seat", "ring in", "ring at", "goes in", "in the hand", "in the bore", "only")


def beginning(run: HeadRun) -> str:
    """What stands above the seats: the rings, the settings, what is left as found, the heat."""
    return "\n\n".join(part for part in (_rings(run), _settings(run), _heat(run)) if part)


def _rings(run: HeadRun) -> str:
    """The rings to fetch, how many there are, and who goes without."""
    if not run.rings:
        return ""
    rows, short = [], []
    for each in run.rings:
        sizes = " x ".join(f"{s:.2f}" for s in (each.outer_mm, each.inner_mm, each.height_mm))
        own = each.origin != GENERIC
        there = "not said" if own and each.on_hand is None else "-" if not own else each.on_hand
        name = f"part {each.size} of {each.origin}" if own else GENERIC_SIZE
        rows.append([str(each.needed), str(there), f"{sizes} mm", name, each.insert])
        rows[-1].append(some(each.labels, of=each.needed))
        if each.short:
            short.append(
                f"SHORT: {each.size} of the list {each.origin}: {each.needed} needed, "
                f"{each.on_hand} on hand; without: {some(each.without)}."
            )
            short += (f"{label}: {own} would do." for label, own in each.instead.items())
    header = ("needed", "on hand", "outside, inside, height", "ring", "class", "seats")
    told = table.columns(rows, header)
    return "\n".join(["Rings to fetch", told, *map(table.paragraph, short)])


def seats(lines: Sequence[HeadLine], run: HeadRun) -> str:
    """The lines of some seats as two tables: rings and bores in mm with the inches below, then what
    is done with heat and cold."""
    rows = [row for each in lines for row in _rows(each, run)]
    heats = [_heat_row(each, run) for each in lines if each.ring_outer_mm is not None]
    kept = [at for at in range(len(SEATS)) if at < OLD_RING or any(row[at] for row in rows)]
    rows = [[row[at] for at in kept] for row in rows]
    press = "\n".join(filter(None, [table.columns(rows, [SEATS[at] for at in kept]), _past(lines)]))
    told = [press, table.columns(heats, HEATS)]
    return "\n\n".join(filter(None, told))


PAST = " *"
"""Marks a press that some ring and bore inside their limits leave the wanted range with."""


def _past(lines: Sequence[HeadLine]) -> str:
    """What the mark at a press means, once for each range wanted."""
    wanted: dict[str, list[str]] = {}
    for each in lines:
        if past := past_wanted(each):
            wanted.setdefault(past, []).append(each.label)
    said = "; ".join(f"{span} ({some(labels)})" for span, labels in wanted.items())
    if not said:
        return ""
    return table.paragraph(f"* Past the press wanted, {said}: measure the ring and bore to it.")


def _rows(each: HeadLine, run: HeadRun) -> Iterator[list[str]]:
    setting = run.setting(each.label)
    if each.bore_mm is not None:
        bore = _both(each.bore_least_mm, each.bore_most_mm)
    else:
        bore = (each.do, "")
    press = (each.press_least_mm, each.press_greatest_mm)
    had = _had(each, run)
    yield [
        each.label,
        "" if setting is None else str(setting),
        ring(each),
        had[0],
        bore[0],
        _span(*press, 1.0, 3, "mm") + (PAST if past_wanted(each) else ""),
        _mm(each.old_ring_tip_mm, 2),
    ]
    inches = [ring(each, inch=True), had[1], bore[1], _span(*press, THOU, 1, "thou")]
    if any(inches):
        yield ["", "", *inches, _inch(each.old_ring_tip_mm)]
    if each.measured_ring_less_mm is not None:
        yield ["", "", "", "", f"better: ring - {each.measured_ring_less_mm:.3f} mm", "", ""]


def _had(each: HeadLine, run: HeadRun) -> tuple[str, str]:
    """Where a line's ring is had, on two lines: its part and list, or that it is a generic size."""
    if each.ring_from is None:
        return "", ""
    if each.ring_part is None:
        return "generic size", "(order or make)"
    gone = ": NONE LEFT" if run.goes_without(each.label) else ""
    return f"part {each.ring_part}", f"list {each.ring_from}{gone}"


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
        "; ".join(filter(None, (f"head at {each.head_c} degC" if alone else "", _only(each)))),
    ]


def _only(each: HeadLine) -> str:
    """For which bore heat and chill hold."""
    return "bored to the measured ring" if each.measured_ring_less_mm is not None else ""


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


def _chill(chill: str, at_c: float) -> str:
    return "as it is" if chill == NONE else f"{chill} ({at_c:.0f} degC)"


def _heat(run: HeadRun) -> str:
    """The one heat of the head, what the rings are chilled in, and why."""
    heat = run.heat
    if heat is None:
        return ""
    at = advice.to_five(heat.head_temperature_c)
    rows = [
        [_chill(chill, heat.chills_c[chill]), some(labels)] for chill, labels in heat.chills.items()
    ]
    said = [table.paragraph(heat.why + ".")]
    if at > WARM_C:
        said.append(table.paragraph(ONE_GO))
    return f"Head at {at} degC\n{table.columns(rows, ('ring in', 'seats'))}\n" + "\n".join(said)


ONE_GO = (
    "The rings go in at one go: out of the oven the head cools all the while, and the times below "
    "hold for a head at its heat."
)


def rest(plan: HeadPlan, *, everything: bool) -> str:
    """Everything that stands below the seats."""
    parts = []
    if plan.exceptions:
        said = [f"{each.labels}: {each.what}: {each.why}" for each in alike(plan.exceptions)]
        parts.append(_section("Exceptions", said))
    if plan.bad_rows:
        rows = [list(each) for each in head_rows.alike(plan.bad_rows)]
        header = ("row", "seat", "column", "reason")
        parts.append("Rows not planned\n" + table.columns(rows, header))
    parts.append(_bridges(plan))
    if plan.look_at:
        said = [f"{_seats(each)}: {each.text}" for each in plan.look_at]
        parts.append(_section("Look at this", said))
    if plan.assumed:
        parts.append(_section("Taken for granted", plan.assumed))
    shown, left = layout.cautions(plan, everything=everything)
    cautions = [f"{note.severity.upper()}: {note.text}" for note in shown]
    if left:
        cautions.append(f"and {left} more that apply; --all shows them.")
    parts.append(_section("Cautions", cautions))
    parts.append(_sources(plan, everything=everything))
    parts.append(f"Data release {plan.data_release}, specdb {plan.code_version}.")
    return "\n\n".join(part for part in parts if part)


def _sources(plan: HeadPlan, *, everything: bool) -> str:
    """Every row behind a plan; briefly, how many there are: no figure of a head's table bears the
    number of one, and each seat's own plan does."""
    if everything:
        notes = Footnotes(plan.facts, each_row=True)
        return "Sources\n" + table.columns(list(notes.lines()))
    sources = {key for note in plan.facts.values() for key in note.source}
    said = (
        f"{len(plan.facts)} rows of {len(sources)} sources stand behind this: --all lists them, "
        "`specdb seat` shows which figure rests on which, trace ROW opens one."
    )
    return "Sources\n" + table.paragraph(said)


def _seats(each: LookAt) -> str:
    """Whose it is to look at."""
    if each.all_seats and each.seats > 1:
        return f"all {each.seats} seats"
    return some(each.labels, of=each.seats)


def bad_rows(plan: HeadPlan) -> Iterator[str]:
    """What is wrong, with its rows and column."""
    for each in head_rows.alike(plan.bad_rows):
        label = f" ({each.labels})" if each.labels else ""
        many = "s" if "," in each.rows else ""
        yield f"row{many} {each.rows}{label}: {each.column}: {each.reason}"


def _settings(run: HeadRun) -> str:
    """Which setting of the boring tool serves which seats; what is left as found."""
    left = f"As found, cut nothing: {some(run.as_found)}." if run.as_found else ""
    if not run.settings:
        return "\n".join(filter(None, ["Nothing is bored.", left]))
    rows = []
    for number, each in enumerate(run.settings, start=1):
        mm, inch = _both(each.bore_least_mm, each.bore_most_mm)
        labels = some(each.labels)
        pilot = each.pilot_mm
        tips = (each.first_tip_over_pilot_mm, each.tip_over_pilot_mm)
        rows.append([str(number), f"{each.bore_mm:.3f} mm", mm, _mm(pilot, 2) or "-"])
        rows[-1] += [*(_mm(tip, 2) or "-" for tip in tips), labels]
        rows.append(["", "", inch, _inch(pilot)])
        rows[-1] += [*(_inch(tip) for tip in tips), ""]
    header = ("setting", "bore to", "limits", "pilot", "first cut: tip", "tip over pilot", "seats")
    how = table.paragraph(f"{run.settings_why[:1].upper()}{run.settings_why[1:]}.")
    firsts = [table.paragraph(f"Setting {at}: {why}.") for at, why in run.untried.items()]
    told = "\n".join(filter(None, [how, *firsts, left]))
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
