"""The ways an old ring comes out, and which of them this ring and head allow.

What each is like is said by rows of `insert_dimensions`; here is only which of them speak against
which metal.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from specdb.answers.names import Ring
from specdb.records.removal import MethodVerdict, RemovalMethod
from specdb.store.asof import Reader
from specdb.store.query import cautions as caution_rows
from specdb.store.query import limits as limit_rows

FEATURES = {
    "boring": "removal-boring",
    "puller": "removal-puller",
    "weld-bead": "removal-weld-bead",
    "splitting": "removal-splitting",
}


HAZARDS = {
    "boring": ("depth-stop", "swarf-hot-sharp"),
    "puller": ("hard-ring-splinters", "puller-off-ring"),
    "weld-bead": ("weld-no-chlorinated-solvent", "weld-fume-fire", "weld-guard-faces"),
    "splitting": ("hard-ring-splinters",),
}
"""Cautions of each method, by key."""
COPPER = ("beryllium-until-known", "beryllium-no-dust")
"""Besides, for every method, where the ring is copper-coloured or nobody knows."""


class Judged(NamedTuple):
    """How a method suits, and why."""

    verdict: MethodVerdict
    why: str


def methods(reader: Reader, ring: Ring | None, head_class: str | None) -> tuple[RemovalMethod, ...]:
    """Every way, the first choice first; None: not told."""
    rows = limit_rows.insert_features(reader, tuple(FEATURES.values()))
    judged = {
        "boring": Judged("first", "harms the head least"),
        "puller": Judged("serves", "for a ring with an inner lip to grip"),
        "weld-bead": _weld_bead(ring, head_class),
        "splitting": _splitting(ring),
    }
    topics_of_all = ("remove-ring", "weld-bead", "copper-ring")
    cautions = {row["key"]: row for row in caution_rows.for_topics(reader, topics_of_all)}
    copper = COPPER if ring is None or ring.copper_coloured else ()
    found = []
    for method, feature in FEATURES.items():
        mine = [row for row in rows if row["feature"] == feature and row["basis"] == "stands"]
        hazards = [cautions[key] for key in (*copper, *HAZARDS[method]) if key in cautions]
        found.append(
            RemovalMethod(
                method=method,
                verdict=judged[method].verdict,
                why=judged[method].why,
                statements=tuple(row["statement"] for row in mine),
                hazards=tuple(row["text"] for row in hazards),
                sources=tuple(row["id"] for row in (*mine, *hazards)),
            )
        )
    order: tuple[MethodVerdict, ...] = ("first", "serves", "avoid", "never")
    return tuple(sorted(found, key=lambda each: order.index(each.verdict)))


def _weld_bead(ring: Ring | None, head_class: str | None) -> Judged:
    if ring is not None and ring.copper_coloured:
        return Judged("never", "a copper alloy: it may hold beryllium")
    if ring is not None and ring.brittle:
        return Judged("never", "a brittle ring")
    if head_class == "aluminium":
        return Judged("avoid", "an aluminium head beside an arc is easily lost")
    if ring is None or head_class is None:
        return Judged(
            "avoid", "only once ring and head are known: iron head, ring that can be welded"
        )
    return Judged("serves", "a hard ring in an iron or steel head; no chlorinated solvent near")


def _splitting(ring: Ring | None) -> Judged:
    if ring is not None and not ring.brittle:
        return Judged("never", "not a brittle ring: only those split")
    if ring is None:
        return Judged("avoid", "for brittle rings only, and manuals disagree")
    return Judged("avoid", "manuals disagree: one splits brittle rings, one forbids the chisel")


def topics(ring: Ring | None, found: Sequence[RemovalMethod]) -> list[str]:
    """The caution topics of taking this ring out. An unknown ring may be a copper one."""
    told = ["remove-ring"]
    if ring is None or ring.copper_coloured:
        told.append("copper-ring")
    if ring is None or ring.brittle:
        told.append("brittle-ring")
    bead = next(each for each in found if each.method == "weld-bead")
    if bead.verdict != "never":
        told.append("weld-bead")
    return told
