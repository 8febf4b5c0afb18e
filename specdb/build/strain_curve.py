"""One smooth, rising expansion curve through everything a material's own rows say.

The unknowns are slopes (instantaneous expansion) at closely spaced temperatures, straight lines
between them; the strain is their integral from 20 degC. Every span says what the integral over it
should be, every steepness what the slope should be, each with its standard deviation. To these a
weak wish is added: that the slope, divided by the *shape*, runs straight. The shape is that of
the declared stand-in where there is one, else the usual one of metals; so one mean expansion from
20 to 300 degC is spread over the span as its family spreads it. The slope may bend more the
colder it is, where all metals bend, and little above room temperature, where an odd figure is
more likely than a bend. This is linear least squares: one answer, no starting values, no wiggles.

What it cannot do: rows whose span does not reach back to room temperature through other rows say
nothing about the strain from 20 degC, and stay off the curve.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from specdb.build.observations import ROOM_C, Observations, Span

Array = NDArray[np.float64]

ABSOLUTE_ZERO_C = -273.15
USUAL_C = (-196.0, -195.8, -78.5, -78.0, 20.0, 100.0, 150.0, 200.0, 300.0)
"""Temperatures asked for most: always a node, so that their figures are not interpolated."""
NEAR = 10.0
"""Two spans meet when their ends are this close, K."""
UNSPREAD = 3e-4
"""How far, per K, the slope inside a span may lean away from the curve, as a share."""
USUAL_RISE = 5e-4
"""Rise of the slope per K above 20 degC, as a share: copper 5e-4, tool steel 6e-4, aluminium 8e-4,
plain steel 10e-4 (this package's own curves of those held best, and common knowledge)."""
LEAST_SLOPE = 1e-3
"""Where the fit would be flat or fall (metals near absolute zero), 1e-6/K."""


class Strain(NamedTuple):
    """Nodes of a curve: degC, strain, half-band (1e-6), slope (1e-6/K), rows, borrowed or not."""

    at: float
    strain: float
    half: float
    slope: float
    rows: tuple[str, ...]
    borrowed: bool


def reach(spans: Sequence[Span]) -> tuple[float, float]:
    """The stretch of temperature round 20 degC that the spans cover without a gap, degC."""
    low = high = ROOM_C
    growing = True
    while growing:
        growing = False
        for span in spans:
            if span.lower > high + NEAR or span.upper < low - NEAR:
                continue
            if span.lower < low or span.upper > high:
                low, high = min(low, span.lower), max(high, span.upper)
                growing = True
    return low, high


def connected(seen: Observations) -> Observations:
    """Only what can be tied to the strain at 20 degC."""
    low, high = reach(seen.spans)
    spans = [each for each in seen.spans if low <= each.lower and each.upper <= high]
    slopes = [each for each in seen.slopes if low <= each.at <= high]
    return Observations(tuple(spans), tuple(slopes))


def knots(low: float, high: float) -> Array:
    """Temperatures of the nodes from `low` to `high`, closer together in the cold, degC."""
    grid = [low, high, *(at for at in USUAL_C if low <= at <= high)]
    at = ROOM_C
    while at < high:
        grid.append(at)
        at += 20.0
    at = ROOM_C
    while at > low:
        grid.append(at)
        at -= 5.0 if at - ABSOLUTE_ZERO_C < 110.0 else 10.0
    inner = sorted({round(each, 3) for each in grid})
    kept = [low]
    for each in inner:
        apart = min(each - kept[-1], high - each)
        if apart >= 1.5 or (each in USUAL_C and apart >= 0.1):
            kept.append(each)
    return np.array([*kept, high])


def integral(grid: Array, upper: float) -> Array:
    """Weights w so that w . slopes is the integral of the slopes from grid[0] to `upper`."""
    weights = np.zeros_like(grid)
    for k in range(len(grid) - 1):
        left, right = grid[k], grid[k + 1]
        if upper <= left:
            break
        end = min(upper, right)
        part = (end - left) / (right - left)
        weights[k] += (end - left) * (1.0 - part / 2.0)
        weights[k + 1] += (end - left) * part / 2.0
    return weights


def freedom(at: Array) -> Array:
    """How much more a slope may change at `at` degC than at room temperature and above."""
    kelvin = np.clip(at - ABSOLUTE_ZERO_C, 4.0, 293.15)
    return (293.15 / kelvin) ** 2


def wishes(grid: Array, shape: Array, *, meeting: bool) -> Array:
    """The lines of the weak wish that slope over shape runs straight, and is not steep.

    Standard deviations at room temperature and above: of the second derivative 1.5e-4 (1e-6/K per
    K2: a slope of 20 rising to 25 by 300 degC and then turning flat is about that), of the
    first 2e-3 of the slope per K, both over 100 K; the colder, the freer. Where own rows stand on
    both sides (`meeting`), room temperature is where measurements by different hands meet: a
    step in slope just there is more likely than wrong figures on either side.
    """
    level = float(np.mean(shape))
    scaled = level / shape
    lines = []
    for k in range(1, len(grid)):
        step = grid[k] - grid[k - 1]
        middle = (grid[k] + grid[k - 1]) / 2.0
        line = np.zeros_like(grid)
        line[k - 1], line[k] = -1.0 / step, 1.0 / step
        allowed = 2e-3 * level * float(freedom(middle)) * np.sqrt(100.0 / step)
        lines.append(line * scaled / allowed)
    for k in range(1, len(grid) - 1):
        before, after = grid[k] - grid[k - 1], grid[k + 1] - grid[k]
        middle = (before + after) / 2.0
        line = np.zeros_like(grid)
        line[k - 1], line[k + 1] = 1.0 / before, 1.0 / after
        line[k] = -line[k - 1] - line[k + 1]
        allowed = 1.5e-4 * float(freedom(grid[k])) * np.sqrt(100.0 / middle)
        if meeting and ROOM_C - 10.0 <= grid[k] <= ROOM_C + 30.0:
            allowed *= 20.0
        lines.append(line / middle * scaled / allowed)
    return np.array(lines)


def slopes_through(seen: Observations, grid: Array, shape: Array) -> Array:
    """The least-squares slopes at `grid`, 1e-6/K; `shape` is brought to their level first."""
    lines = [
        (integral(grid, span.upper) - integral(grid, span.lower)) / span.weight
        for span in seen.spans
    ]
    targets = [span.growth / span.weight for span in seen.spans]
    for each in seen.slopes:
        line = np.array([np.interp(each.at, grid, unit) for unit in np.eye(len(grid))])
        lines.append(line / each.half)
        targets.append(each.slope / each.half)
    wanted = sum(span.growth for span in seen.spans)
    outlined = sum(
        float((integral(grid, span.upper) - integral(grid, span.lower)) @ shape)
        for span in seen.spans
    )
    meeting = grid[0] < ROOM_C - 20.0 and grid[-1] > ROOM_C + 40.0
    wish = wishes(grid, shape * (wanted / outlined), meeting=meeting)
    everything = np.vstack([np.array(lines), wish])
    solution = np.linalg.lstsq(everything, np.r_[targets, np.zeros(len(wish))], rcond=None)[0]
    rising: Array = np.maximum(solution, LEAST_SLOPE)
    return rising


def usual_shape(at: Array) -> Array:
    """The shape where no stand-in is declared: flat below 20 degC, rising slowly above."""
    rise: Array = 1.0 + USUAL_RISE * np.maximum(at - ROOM_C, 0.0)
    return rise


def strain_curve(seen: Observations, shape: Callable[[Array], Array] | None = None) -> list[Strain]:
    """The nodes of the curve through `seen`, or none where nothing reaches room temperature.

    `shape` gives the stand-in's slope at temperatures, in any unit.
    """
    seen = connected(seen)
    if not seen.spans:
        return []
    grid = knots(*reach(seen.spans))
    outline = usual_shape(grid) if shape is None else shape(grid)
    steep = slopes_through(seen, grid, outline)
    zero = integral(grid, ROOM_C)
    strain = np.array([(integral(grid, at) - zero) @ steep for at in grid])
    width = mean_bands(seen, grid, strain)
    nodes = []
    halves = width * np.abs(grid - ROOM_C)
    for figures in zip(grid, strain, halves, steep, strict=True):
        at, grown, half, slope = (float(each) for each in figures)
        nodes.append(Strain(at, grown, half, slope, _rows(seen, at), False))
    return nodes


def _rows(seen: Observations, at: float) -> tuple[str, ...]:
    """The rows that shape the curve on the side of 20 degC where `at` lies."""
    hot = at >= ROOM_C
    rows = {
        row
        for span in seen.spans
        for row in span.rows
        if (span.upper > ROOM_C + NEAR if hot else span.lower < ROOM_C - NEAR)
    }
    rows |= {row for each in seen.slopes for row in each.rows if (each.at >= ROOM_C) == hot}
    return tuple(sorted(rows or set(seen.ids())))


def mean_bands(seen: Observations, grid: Array, strain: Array) -> Array:
    """Half-band of the mean expansion from 20 degC to each node, 1e-6/K.

    At the far end of every span: the best single uncertainty of the spans that end there, or, if
    greater, the largest distance of one of them from the curve. Straight lines between far
    ends, and as wide as the outermost beyond. Inside the nearest end nobody says how the growth is
    spread over the span: the band grows by 3e-4 of the slope per K for half the missing stretch.
    Ends closer than 30 K to 20 degC count only where there are no others, because a mean over
    so short a span is mostly reading error.
    """
    ends = {hot: _ends(seen, grid, strain, hot=hot) for hot in (True, False)}
    width = np.empty_like(grid)
    for hot, other in ((True, False), (False, True)):
        points = ends[hot] or ends[other]
        side = grid >= ROOM_C if hot else grid < ROOM_C
        distance = np.abs(grid[side] - ROOM_C)
        width[side] = np.interp(distance, [at for at, _ in points], [half for _, half in points])
        missing = np.maximum(points[0][0] - distance, 0.0)
        width[side] += UNSPREAD * missing / 2.0 * abs(strain[-1] - strain[0]) / (grid[-1] - grid[0])
    return width


def _ends(
    seen: Observations, grid: Array, strain: Array, *, hot: bool
) -> list[tuple[float, float]]:
    """(distance from 20 degC, half-band of the mean) where spans of one side end, in order."""
    found: list[tuple[float, float, float]] = []
    for span in seen.spans:
        far = span.upper if hot else span.lower
        distance = (far - ROOM_C) if hot else (ROOM_C - far)
        if distance < 2.0:
            continue
        drawn = np.interp(span.upper, grid, strain) - np.interp(span.lower, grid, strain)
        length = span.upper - span.lower
        found.append((distance, span.half / length, abs(drawn - span.growth) / length))
    found = [each for each in found if each[0] >= 30.0] or found
    clusters: list[list[tuple[float, float, float]]] = []
    for each in sorted(found):
        if clusters and each[0] - clusters[-1][0][0] <= 15.0:
            clusters[-1].append(each)
        else:
            clusters.append([each])
    return [
        (
            sum(each[0] for each in cluster) / len(cluster),
            max(min(each[1] for each in cluster), *(each[2] for each in cluster)),
        )
        for cluster in clusters
    ]
