"""What a shrink answer says in words: why a pair serves, what was assumed, which cautions."""

from __future__ import annotations

from specdb.answers.heat_limit import HeatLimit
from specdb.answers.metals import Pair
from specdb.answers.pairs import Entry
from specdb.answers.steps import WARM_C
from specdb.estimate import Estimate
from specdb.records.shrink import ShrinkPair, ShrinkRequest


def why(entry: Entry, wanted: float, refused: str | None) -> str:
    """The reason for a pair's verdict, and for not being advised where it is not."""
    tightest = entry.clearance.low
    if entry.verdict == "drop-in":
        text = f"{tightest:.3f} mm of clearance at the tightest end, {wanted:.3f} wanted"
    elif tightest >= 0:
        text = (
            f"goes in with {tightest:.3f} mm at the tightest end, less than the {wanted:.3f} wanted"
        )
    elif entry.verdict == "light-press":
        text = f"{-tightest:.3f} mm of press left at the tightest end"
    else:
        text = f"{-tightest:.3f} mm of press left at the tightest end: more than a light press"
    return f"{text}; {refused}" if refused else text


def topics(
    metals: Pair,
    limit: HeatLimit,
    advised: tuple[ShrinkPair | None, ...],
    request: ShrinkRequest,
) -> set[str]:
    """Caution topics: of the pairs advised, and of the heat and cold asked about."""
    found = {"guide"} if request.part == "valve-guide" else {"press"}
    named = [pair for pair in advised if pair is not None]
    chills = {pair.chill for pair in named} | {request.chill or ""}
    if "liquid-nitrogen" in chills:
        found.add("chill-nitrogen")
    if any(chill.startswith("dry-ice") for chill in chills):
        found.add("chill-dry-ice")
    warmest = max((pair.head_temperature_c for pair in named), default=0.0)
    if max(warmest, request.head_temperature or 0.0) > WARM_C:
        found |= {"oven", "hot-head"}
        if limit.never_c is not None:
            found.add("aged-head")
    if metals.ring.copper_coloured:
        found.add("copper-ring")
    if metals.ring.brittle:
        found.add("brittle-ring")
    return found


def assumed(
    request: ShrinkRequest, metals: Pair, limit: HeatLimit, wanted: Estimate
) -> tuple[str, ...]:
    """What was taken for granted because nobody said otherwise."""
    found = []
    if request.clearance is None:
        found.append(f"clearance wanted: {wanted.value:.3f} mm, a thousandth of the diameter")
    if request.insert_tolerance is None and request.bore_tolerance is None:
        found.append("both diameters exact as given")
    if request.available is None:
        found.append("every medium is in the shop, but for a hot plate")
    if limit.ceiling is not None and limit.reason:
        found.append(limit.reason)
    found.append(
        "the head keeps its temperature; a ring that goes in crooked or touches fingers or a bench "
        "seizes sooner than these seconds"
    )
    return (*found, *metals.head.assumed, *metals.insert.assumed)
