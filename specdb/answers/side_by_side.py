"""Published ranges side by side for one case and diameter, each with why it decides or does not."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from specdb.answers.recommended import Case
from specdb.records.interference import RangeRow

Row = Mapping[str, Any]


def laid_out(
    rows: Iterable[Row], case: Case, diameter_mm: float, behind: Collection[str]
) -> tuple[RangeRow, ...]:
    """The rows that speak of such a pair, as they read at this diameter.

    `behind` are the rows the recommended range rests on; of these one whose head was only assumed
    has half a say and does not count as deciding. Deciding rows come first, then those given for
    this diameter, then the others by how far off they are.
    """
    held = [
        _as_it_reads(row, case, diameter_mm, row["id"] in behind)
        for row in rows
        if row["insert_class"] in case.insert_classes or row["id"] in behind
        if row["position"] in (case.position, "any") or row["id"] in behind
    ]
    held.sort(key=lambda row: (not row.decides, not row.covers, _off(row, diameter_mm), row.row))
    return tuple(held)


def _as_it_reads(row: Row, case: Case, diameter_mm: float, behind: bool) -> RangeRow:
    per_mm = row["form"] == "per-mm"
    factor = diameter_mm if per_mm else 1.0
    covers = _names_a_diameter(row) and distance(row, diameter_mm) == 0.0
    return RangeRow(
        row=row["id"],
        head_class=row["head_class"],
        insert_class=row["insert_class"],
        position=row["position"],
        diameter_from_mm=row["diameter_from_mm"],
        diameter_to_mm=row["diameter_to_mm"],
        minimum_mm=row["minimum_mm"] * factor,
        maximum_mm=row["maximum_mm"] * factor,
        form=row["form"],
        rule_minimum=row["minimum_mm"] if per_mm else None,
        rule_maximum=row["maximum_mm"] if per_mm else None,
        retention=row["retention"],
        seat_in=row["seat_in"],
        printed=row["printed"] or f"{row['minimum']} to {row['maximum']} {row['unit']}",
        seen=row["seen"],
        basis=row["basis"],
        covers=covers,
        decides=behind and row["head_known"] != "assumed",
        why=_why(row, case, covers, behind),
        sources=(row["id"],),
    )


def distance(row: Row, diameter_mm: float) -> float:
    """How far the diameter lies outside the row's, mm; 0 inside, or where the row has none."""
    low, high = row["diameter_from_mm"], row["diameter_to_mm"]
    below = low - diameter_mm if low is not None else 0.0
    above = diameter_mm - high if high is not None else 0.0
    return max(below, above, 0.0)


def _names_a_diameter(row: Row) -> bool:
    return row["diameter_from_mm"] is not None or row["diameter_to_mm"] is not None


def _off(row: RangeRow, diameter_mm: float) -> float:
    spans = {"diameter_from_mm": row.diameter_from_mm, "diameter_to_mm": row.diameter_to_mm}
    return distance(spans, diameter_mm)


def _why(row: Row, case: Case, covers: bool, behind: bool) -> str:
    if behind and row["head_known"] == "assumed":
        return "has half a say: its head material is only assumed"
    if behind:
        return "decides: " + _standing(row)
    against = _against(row, case)
    if not _names_a_diameter(row):
        against.append("it names no diameter")
    elif not covers:
        against.append(f"given for {_span(row)}")
    return "does not decide: " + (", ".join(against) or "a row that counts for more is known")


def _standing(row: Row) -> str:
    if row["seen"] in ("common-practice", "memory"):
        return f"a rule of the trade ({row['seen']}), no published range counts for more here"
    return f"published ({row['seen']})"


def _against(row: Row, case: Case) -> list[str]:
    """Why a row may not decide, whatever the diameter."""
    against = []
    if row["basis"] != "stands":
        against.append(f"marked {row['basis']}")
    if row["head_known"] == "assumed":
        against.append("its head material is only assumed")
    if row["seat_in"] != "head":
        against.append("the seat sits in a cylinder block")
    if row["seen"] == "memory":
        against.append("it is only recalled")
    if row["work"] == "production":
        against.append("a maker's figure for a new casting")
    if row["retention"] != "none" and case.retention == "none":
        against.append("the ring is peened or staked besides")
    if row["retention"] == "none" and case.retention != "none":
        against.append("the ring is held by its press alone")
    return against


def _span(row: Row) -> str:
    low, high = row["diameter_from_mm"], row["diameter_to_mm"]
    if low is not None and high is not None and high - low < 1.0:
        return f"about {(low + high) / 2:.1f} mm"
    if low is None:
        return f"up to {high:.1f} mm"
    return f"{low:.1f} mm and up" if high is None else f"{low:.1f} to {high:.1f} mm"
