"""What a fit does to thin metal on one side, in figures and in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from specdb.answers.press import FROM_ZERO, Press
from specdb.answers.surroundings import Around, Thin
from specdb.answers.trade_limits import Limit, limits
from specdb.estimate import Estimate, plus_minus, propagate
from specdb.physics import bridge
from specdb.records.fit import BridgeFigures, FitRequest
from specdb.store.asof import Reader

REFUSE, WARN = "bridge-refuse-aluminium", "bridge-warn-aluminium"
SLACK = 0.75
"""Share of the mean pressure below which the ring is said to be held badly beside a bridge."""


GRAVE = 1.5
"""Stress over strength beside thin metal from which the low end of the press is not enough: the
plate it is reckoned by is not that much too hard on it."""
PLATE = (
    "probably high: reckoned as a flat plate, where a head has a floor that helps, and only the "
    "edge of the hole is stretched so far"
)
LITTLE = "stay at the low end of the press, and look for cracks there afterwards"
MUCH = "take the low end of the press, or leave more metal there; look for cracks afterwards"


def figures(
    press: Press, around: Around, main: Mapping[str, Estimate]
) -> tuple[BridgeFigures, ...]:
    """Pressure and stretch at every piece of thin metal told."""
    elastic = main["pressure_formula_mpa"].value * around.hub.pocket.factor.value
    share = main["pressure_mpa"].value / elastic if elastic > 0.0 else 1.0
    return tuple(_figures(press, each, main, share) for each in around.thin)


def _figures(press: Press, thin: Thin, main: Mapping[str, Estimate], share: float) -> BridgeFigures:
    found = thin.factors
    mean = plus_minus(
        found.mean_pressure, found.mean_pressure * bridge.PRESSURE_ERROR, "1", thin.rows
    )
    facing = found.bridge_pressure / found.mean_pressure
    bore = _times(main["pressure_formula_mpa"], found.bore_stretch * share, thin)
    far = _times(main["pressure_formula_mpa"], found.bridge_stretch * share, thin)
    return BridgeFigures(
        kind="neighbour" if thin.kind == "neighbour" else "edge",
        thickness_mm=thin.thickness,
        mean_pressure_factor=mean,
        pressure_mpa=_times(main["pressure_mpa"], facing, thin, bridge.FACING_ERROR),
        facing_share=facing,
        bore_stretch_mpa=bore,
        far_stretch_mpa=far,
        yield_ratio=_ratio(press, max(bore, far, key=lambda each: each.value)),
    )


def _times(
    pressure: Estimate, factor: float, thin: Thin, error: float = bridge.STRETCH_ERROR
) -> Estimate:
    found = propagate(
        lambda pressure, factor: {"at": pressure * factor},
        units={"at": "MPa"},
        limits={"pressure": pressure},
        spreads={"factor": plus_minus(factor, factor * error, "1", thin.rows[:1])},
        bounds={"at": FROM_ZERO},
    )
    return found["at"]


def _ratio(press: Press, stretch: Estimate) -> Estimate | None:
    if press.head.strength is None:
        return None
    found = propagate(
        lambda stretch, strength: {"at": stretch / strength},
        units={"at": "1"},
        limits={"stretch": stretch},
        spreads={"strength": press.head.strength},
        bounds={"at": FROM_ZERO},
    )
    return found["at"]


def trade(reader: Reader, request: FitRequest, head_class: str) -> dict[str, Limit]:
    """The trade's limits of a bridge in an alloy head, where thin metal was told."""
    if head_class != "aluminium" or (request.bridge is None and request.edge is None):
        return {}
    return limits(reader, (REFUSE, WARN))


def remarks(
    request: FitRequest,
    press: Press,
    around: Around,
    found: Sequence[BridgeFigures],
    trade: Mapping[str, Limit],
) -> tuple[str, ...]:
    """What the bridges say, the worst first."""
    texts = [text for each in found for text in _remarks(press, each)]
    return (*_by_trade(request, trade), *texts, *around.unreached)


def _by_trade(request: FitRequest, trade: Mapping[str, Limit]) -> Iterator[str]:
    told = [each for each in (request.bridge, request.edge) if each is not None]
    if not trade or not told:
        return
    least = min(told)
    refuse, warn = trade[REFUSE].value, trade[WARN].value
    if least < refuse:
        yield (
            f"{least:g} mm of metal in an alloy head: refused under {refuse:g} mm unless the head "
            "was made that thin (common practice)"
        )
    elif least < warn:
        yield (
            f"{least:g} mm of metal in an alloy head: it may crack; under {warn:g} mm is a warning "
            "(common practice)"
        )


def _remarks(press: Press, found: BridgeFigures) -> Iterator[str]:
    where = "bridge" if found.kind == "neighbour" else "edge"
    ratio = found.yield_ratio
    if ratio is not None and ratio.high > 1.0:
        cracks = press.head.limit == "cracks"
        may = "may crack" if cracks else "yields" if ratio.value > GRAVE else "may yield"
        if ratio.value <= 1.0:
            may = f"at the tight end {may}"
        most = max(found.bore_stretch_mpa.value, found.far_stretch_mpa.value)
        yield (
            f"the metal at the {where} {may}: stretch {most:.0f} MPa, {ratio.value:.2f} times its "
            f"strength ({PLATE}): {MUCH if cracks or ratio.value > GRAVE else LITTLE}"
        )
    if found.facing_share < SLACK:
        yield (
            f"beside the {where} the ring is held by {found.facing_share:.0%} of the mean "
            "pressure: least grip and least way out for heat there"
        )
