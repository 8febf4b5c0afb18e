"""A head on one short screen: settings, heat, a row a seat; then each seat, folded.

A seat's row leads to its section, as the map does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from specdb.answers import advice, boring
from specdb.answers.head_line import HeadLine, line
from specdb.answers.steps import NONE
from specdb.records import layout
from specdb.records.head import HeadHeat, HeadPlan, LookAt, RingToFetch, Setting
from specdb.records.seat import SeatPlan
from specdb.records.sizes import GENERIC
from specdb.records.words import said
from specdb.units.words import INCH
from specdb.web.blocks import Block, Cell, Figure

ANCHOR = "seat-"
"""What the place of a seat's section on the page begins with; its number follows."""
SETTINGS = ("setting", "bore to", "limits", "pilot", "first cut: tip", "tip over pilot", "seats")
RINGS = ("needed", "ring", "from", "on hand", "seats")
SEATS = ("seat", "ring", "from", "bore to", "limits", "tip over pilot", "chill", "look at")


def blocks(plan: HeadPlan, laid: Sequence[Block]) -> list[Block]:
    """The blocks of a head: `laid` holds what every answer has, by field."""
    seats = next((each for each in laid if each.name == "seats"), None)
    bad = [each for each in laid if each.name == "bad_rows"]
    first = (_settings(plan), _heat(plan), _rings(plan), *_plain(laid), _table(plan))
    own = ("", "settings", "head_heat", "seats", "bad_rows", "rings", "look_at")
    rest = [each for each in laid if each.name not in own]
    return [*bad, *filter(None, first), *_look_at(plan), *rest, *_sections(seats)]


def _plain(laid: Sequence[Block]) -> Iterator[Block]:
    """The lines above the tables; how the settings were found is said by their reason."""
    method = said("settings_method")
    for each in laid:
        if not each.name:
            yield replace(each, lines=tuple(line for line in each.lines if line.label != method))


def _rings(plan: HeadPlan) -> Block | None:
    """What to take off the shelf or to order, and who goes without."""
    rows = tuple(_fetched(each) for each in plan.rings)
    return Block("table", "Rings to fetch", "rings", header=RINGS, rows=rows) if rows else None


def _fetched(each: RingToFetch) -> tuple[Cell, ...]:
    hand = Cell("-" if each.on_hand is None else str(each.on_hand))
    if each.short:
        without = ", ".join(each.without)
        hand = replace(hand, strong=f"SHORT: {each.short} missing, for {without}")
    return (
        Cell(str(each.needed)),
        _ring((each.outer_mm, each.inner_mm, each.height_mm)),
        Cell(_origin(each.origin, each.size)),
        hand,
        Cell(", ".join(each.labels)),
    )


def _look_at(plan: HeadPlan) -> Iterator[Block]:
    """What to look at, the gravest first; from the seventh on folded."""
    texts = tuple(f"{_whose(each)}: {each.text}" for each in plan.look_at)
    if texts:
        yield Block("prose", "Look at this", "look_at", prose=texts[: layout.FEW])
    if texts[layout.FEW :]:
        yield Block("prose", "More to look at", prose=texts[layout.FEW :])


def _whose(each: LookAt) -> str:
    if each.all_seats and each.seats > 1:
        return "All seats"
    more = f" and {each.seats - len(each.labels)} more" if each.seats > len(each.labels) else ""
    return ", ".join(each.labels) + more


def _settings(plan: HeadPlan) -> Block | None:
    """What the boring tool is set to; inches as on the cards, limits inward."""
    if not plan.settings:
        left = "Every ring goes in as found." if plan.as_found else "Nothing is bored."
        return Block("prose", prose=(left,)) if plan.seats else None
    rows = tuple(_setting(number, each) for number, each in enumerate(plan.settings, start=1))
    return Block("table", "Settings", "settings", header=SETTINGS, rows=rows)


def _setting(number: int, each: Setting) -> tuple[Cell, ...]:
    return (
        Cell(str(number)),
        Cell(f"{each.bore_mm:.3f} mm", _inch(each.bore_mm)),
        _limits(each.bore_least_mm, each.bore_most_mm),
        _length(each.pilot_mm),
        _length(each.first_tip_over_pilot_mm),
        _length(each.tip_over_pilot_mm),
        Cell(", ".join(each.labels)),
    )


def _heat(plan: HeadPlan) -> Block | None:
    heat = plan.head_heat
    if heat is None:
        return None
    lines = [Figure("head at", (Cell(f"{advice.to_five(heat.head_temperature_c)} °C"),))]
    lines += [Figure(_ring_in(chill, at), (Cell(_some(heat, chill)),)) for chill, at in _cold(heat)]
    if heat.not_served:
        lines.append(Figure("by themselves", (Cell(", ".join(heat.not_served)),)))
    lines.append(Figure("why", (Cell(heat.why),)))
    return Block("lines", "Heat", "head_heat", lines=tuple(lines))


def _cold(heat: HeadHeat) -> Iterator[tuple[str, float]]:
    return ((chill, heat.chills_c[chill]) for chill in heat.chills)


def _ring_in(chill: str, at_c: float) -> str:
    if chill == NONE:
        return "ring as it is"
    return f"ring in {chill.replace('-', ' ')} ({at_c:.0f} °C)"


def _some(heat: HeadHeat, chill: str) -> str:
    return ", ".join(heat.chills[chill])


def _table(plan: HeadPlan) -> Block | None:
    told = {label: " ".join(texts) for label, texts in _own(plan).items()}
    rows = tuple(
        _seat(number, each, told.get(each.label, "-"))
        for number, each in enumerate(plan.seats.values(), start=1)
    )
    return Block("table", "Seats", "seats", header=SEATS, rows=rows) if rows else None


def _own(plan: HeadPlan) -> Mapping[str, list[str]]:
    """What to look at of a seat and few others; what most share stands once below the table."""
    found = {each.label: [f"{each.what}: {each.why}."] for each in plan.exceptions}
    most = max(1, len(plan.seats) // 4)
    few = [each for each in plan.look_at if each.seats <= most and not each.all_seats]
    for each in few:
        for label in each.labels:
            told = found.setdefault(label, [])
            if not told:
                told.append(each.text)
    return found


def _seat(number: int, plan: SeatPlan, look_at: str) -> tuple[Cell, ...]:
    """A seat in a row: what to fetch, what to set, how it goes in, and the gravest there is."""
    short = line(plan)
    place = f"#{ANCHOR}{number}"
    if plan.chosen is None:
        bore, limits = Cell("no ring serves"), Cell("-")
    elif short.bore_mm is None:
        bore, limits = Cell("as found, cut nothing"), Cell("-")
    else:
        bore = Cell(f"{short.bore_mm:.3f} mm", _inch(short.bore_mm))
        limits = _limits(short.bore_least_mm, short.bore_most_mm)
    return (
        Cell(plan.label, href=place),
        _ring((short.ring_outer_mm, short.ring_inner_mm, short.ring_height_mm)),
        Cell(_origin(plan.chosen.origin, plan.chosen.size) if plan.chosen else "-"),
        bore,
        limits,
        _length(short.tip_over_pilot_mm),
        Cell(_entry(short)),
        Cell(look_at),
    )


def _ring(sizes: tuple[float | None, ...]) -> Cell:
    """Outside x inside x height."""
    known = [size for size in sizes if size is not None]
    if not known:
        return Cell("-")
    inch = " x ".join(f"{size / INCH:.4f}" for size in known)
    return Cell(f"{' x '.join(f'{size:.2f}' for size in known)} mm", f"{inch} in")


def _origin(origin: str, size: str) -> str:
    """Where a ring lies: a part of the shop's own list, or a generic size to be had."""
    return "generic" if origin == GENERIC else f"{origin}, part {size}"


def _entry(short: HeadLine) -> str:
    """What the ring is chilled in, how it goes in, and the seconds there are."""
    if short.head_c is None:
        return "no heat and chill serve" if short.ring_outer_mm is not None else "-"
    cold = "as it is" if short.ring_c is None else f"{short.chill}, {short.ring_c} °C"
    entry = (short.entry or "").replace("-", " ")
    clocks = (
        f"{short.hand_seconds} in the hand" if short.hand_seconds else "",
        f"{short.bore_seconds} in the bore" if short.bore_seconds else "",
    )
    return "; ".join(filter(None, (cold, entry, *clocks)))


def _sections(seats: Block | None) -> list[Block]:
    if seats is None:
        return []
    return [
        replace(each, title=f"{number}. {each.title}", folded=True, anchor=f"{ANCHOR}{number}")
        for number, each in enumerate(seats.blocks, start=1)
    ]


def _limits(least: float | None, most: float | None) -> Cell:
    if least is None or most is None:
        return Cell("-")
    low, high = boring.inches(least, most)
    inch = f"{low:.4f} to {high:.4f} in" if high > low else f"{low:.4f} in"
    return Cell(f"{least:.3f} to {most:.3f} mm", inch)


def _length(value: float | None) -> Cell:
    return Cell("-") if value is None else Cell(f"{value:.2f} mm", _inch(value))


def _inch(value: float) -> str:
    return f"{value / INCH:.4f} in"
