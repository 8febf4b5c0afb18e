"""How likely a fit lies outside its recommended range, from the tolerances told.

Each tolerance is taken as three standard deviations of a bell-shaped scatter round the figure
given, ring, bore and reading independent of each other: so makers set a tolerance that their
process keeps.
"""

from __future__ import annotations

import math

from specdb.answers.beside_range import Beside
from specdb.estimate import Estimate, exact
from specdb.records.fit import FitRequest

SIGMAS = 3.0
NO_TOLERANCE = "no tolerance of ring or bore was told"
ASSUMED = (
    "chance of lying outside the range: tolerances are three standard deviations, bell-shaped, "
    "ring and bore independent"
)


def outside(request: FitRequest, found: Beside) -> tuple[Estimate | None, str]:
    """The chance (%) that the cold press lies outside its range, or None and the reason."""
    error = request.reading_error or 0.0
    told = (request.insert_tolerance or 0.0, request.bore_tolerance or 0.0, error, error)
    spread = math.hypot(*told) / SIGMAS
    if spread == 0.0:
        return None, NO_TOLERANCE
    held = found.range
    if held is None:
        return None, found.why_not
    middle = request.insert_diameter - request.bore
    chance = outside_share(middle, spread, held.minimum_mm, held.maximum_mm)
    return exact(100.0 * chance, "%", held.sources), ""


def outside_share(middle: float, deviation: float, least: float, most: float) -> float:
    """Share of a bell round `middle` that lies below `least` or above `most`; any one length."""
    root = deviation * math.sqrt(2.0)
    below = math.erfc((middle - least) / root) / 2.0
    above = math.erfc((most - middle) / root) / 2.0
    return below + above
