"""Loose: short guided answers, every line a row of `insert_dimensions`.

The words are the rows'; here is only which rows speak to which question, in which order, and what
readings are held to which limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from specdb.answers import names
from specdb.answers.evidence import conclude
from specdb.answers.trade_limits import Limit, pick
from specdb.physics import stem
from specdb.records.loose import About, Check, LooseRequest, LooseResult, Step, Verdict
from specdb.store.asof import Reader
from specdb.store.query import limits as limit_rows

Row = Mapping[str, Any]
STEPS: dict[About, tuple[str, ...]] = {
    "loose-ring": (
        "loose-ring-test",
        "loose-ring-reading",
        "loose-causes",
        "counterbore-gate",
        "used-bore-rule",
        "loose-ring-repair",
        "same-fit-at-oversize",
        "replace-when",
    ),
    "counterbore": ("counterbore-gate", "counterbore-check", "crack-policy", "used-bore-rule"),
    "welded-head": ("welded-head-rule", "counterbore-gate"),
}
"""Features whose statements make the answer, in the order of the work."""
OVALITY, TAPER, FLOOR = "as-found-ovality", "as-found-taper", "floor-flatness"
CORNER, SOFT, ERROR = "floor-corner-radius", "hardness-warn-welded-head", "reading-error"
LIMITS = (OVALITY, TAPER, FLOOR, CORNER, SOFT, ERROR)
READING = "loose-ring-reading"
NEVER = ("never", "forbid", "not to be")
"""A statement with one of these words says what is no repair."""
FLOAT_MM = 1e-9


def loose(reader: Reader, request: LooseRequest) -> LooseResult:
    """What to look at, what the readings say, what to do and what never to do.

    Raises `UnknownName` for a head nobody knows.
    """
    head = None if request.head is None else names.head(reader, request.head)
    features = STEPS[request.about]
    rows = [
        row
        for row in limit_rows.insert_features(reader, features)
        if row["basis"] == "stands" and row["statement"]
    ]
    rows.sort(key=lambda row: features.index(row["feature"]))
    trade = pick(limit_rows.insert_features(reader, LIMITS))
    checks = tuple(_checks(request, trade))
    found = tuple(_found(request, rows, trade))
    soft = head is None or head.head_class == "aluminium"
    checks = tuple(check for check in checks if soft or check.what != SOFT_SAID)
    verdict, why = _verdict(request, checks, found)
    steps = [row for row in rows if row["feature"] != READING or not found]
    return conclude(
        LooseResult,
        reader,
        topics=_topics(request),
        rows=tuple(limit.row for limit in trade.values()),
        unknown=_unknown(request),
        about=request.about,
        verdict=verdict,
        why=why,
        found=found,
        checks=checks,
        steps=tuple(_step(row) for row in steps if not _forbids(row)),
        never=tuple(_step(row) for row in steps if _forbids(row)),
        sources=tuple(limit.row for limit in trade.values()),
    )


def _step(row: Row) -> Step:
    return Step(text=row["statement"], seen=row["seen"], sources=(row["id"],))


def _forbids(row: Row) -> bool:
    return any(word in row["statement"] for word in NEVER)


OVAL_SAID, TAPER_SAID, FLOOR_SAID = "ovality", "taper", "floor, out of flat"
CORNER_SAID, SOFT_SAID = "corner radius under the ring's chamfer", "hardness beside the seat"


def _checks(request: LooseRequest, trade: Mapping[str, Limit]) -> Iterator[Check]:
    """Every limit that bears on the question, with the reading where there is one."""
    if request.about != "welded-head":
        yield _most(OVAL_SAID, _ovality(request), trade[OVALITY])
        yield _most(TAPER_SAID, _taper(request), trade[TAPER])
        yield _most(FLOOR_SAID, request.floor_flatness, trade[FLOOR])
        yield _corner(request, trade[CORNER])
    hardness, least = request.hardness_hb, trade[SOFT].value
    yield Check(
        what=SOFT_SAID,
        measured=hardness,
        limit=least,
        unit="HB, at least",
        within=None if hardness is None else hardness >= least,
        sources=(trade[SOFT].row,),
    )


def _most(what: str, measured: float | None, limit: Limit) -> Check:
    return Check(
        what=what,
        measured=measured,
        limit=limit.value,
        unit="mm at most",
        within=None if measured is None else measured <= limit.value + FLOAT_MM,
        sources=(limit.row,),
    )


def _corner(request: LooseRequest, limit: Limit) -> Check:
    """The ring's own chamfer decides where it was told, else the trade's figure."""
    if request.chamfer is None:
        return _most(CORNER_SAID, request.corner_radius, limit)
    radius = request.corner_radius
    return Check(
        what=CORNER_SAID,
        measured=radius,
        limit=request.chamfer,
        unit="mm, under",
        within=None if radius is None else radius < request.chamfer,
        sources=(limit.row,),
    )


def _ovality(request: LooseRequest) -> float | None:
    levels = [level for level in (request.bore, request.bore_bottom) if len(level) > 1]
    return max((stem.spread_mm(level) for level in levels), default=None)


def _taper(request: LooseRequest) -> float | None:
    if not request.bore or not request.bore_bottom:
        return None
    means = [sum(level) / len(level) for level in (request.bore, request.bore_bottom)]
    return stem.spread_mm(means)


def _found(
    request: LooseRequest, rows: Sequence[Row], trade: Mapping[str, Limit]
) -> Iterator[Step]:
    """What ring and counterbore say, beyond the error of reading them."""
    if request.about != "loose-ring":
        return
    error = trade[ERROR].greatest or 0.0
    sizes = [row for row in rows if row["feature"] == READING]
    shrunk = grown = 0.0
    if request.ring_new is not None and request.ring:
        shrunk = request.ring_new - sum(request.ring) / len(request.ring)
    if request.bore_new is not None and request.bore:
        grown = sum(request.bore) / len(request.bore) - request.bore_new
    for change, word in ((shrunk, "smaller"), (grown, "bigger")):
        for row in sizes:
            if change > error + FLOAT_MM and word in row["statement"]:
                yield Step(
                    text=f"{change:.3f} mm {word}: {row['statement']}",
                    seen=row["seen"],
                    sources=(row["id"], trade[ERROR].row),
                )


def _verdict(
    request: LooseRequest, checks: Sequence[Check], found: Sequence[Step]
) -> tuple[Verdict, str]:
    failed = [check for check in checks if check.within is False]
    missing = [check.what for check in checks if check.within is None]
    beyond = [
        f"{check.what} {check.measured:g}, wanted {check.limit:g} {check.unit}" for check in failed
    ]
    if request.about == "loose-ring":
        causes = "; ".join([*(step.text for step in found), *beyond])
        why = causes or "the cause is not found yet"
        return "stop", f"an oversize ring, and the cause written down: {why}"
    if failed:
        return "stop", "; ".join(beyond)
    if missing:
        return "measure first", f"not measured: {', '.join(missing)}"
    return "go on", "every limit is kept; crack test, pits and fretting are still yours to look at"


def _topics(request: LooseRequest) -> tuple[str, ...]:
    return {
        "loose-ring": ("fit", "remove-ring", "bore"),
        "counterbore": ("bore", "measure"),
        "welded-head": ("welded-head", "aged-head", "bore"),
    }[request.about]


def _unknown(request: LooseRequest) -> dict[str, str]:
    if request.about != "loose-ring":
        return {}
    ring = request.ring_new is not None and request.ring
    bore = request.bore_new is not None and request.bore
    if ring and bore:
        return {}
    missing = [
        words
        for words, known in (
            ("the ring's size when new (ring_new)", request.ring_new is not None),
            ("its readings now (ring)", request.ring),
            ("the counterbore's size when new (bore_new)", request.bore_new is not None),
            ("its readings now (bore)", request.bore),
        )
        if not known
    ]
    return {"found": f"not told: {', '.join(missing)}. Whichever of the two changed gave way"}
