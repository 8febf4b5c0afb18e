"""A cold ring that warms up, solved in time by a library: nothing of `specdb.physics.heat` is used.

`lumped` has one temperature all through the ring, as `heat` takes it; `through_the_wall` solves the
equation of conduction from the bore of the ring to its outside (method of lines, cells of equal
width), so that it tells what one temperature all through is worth.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

STEFAN_BOLTZMANN = 5.670374419e-8
LATENT, LEWIS = 2.84e6, 0.89
"""J/kg from vapour to ice, and the power 2/3 of the Lewis number: as `heat` takes them."""
LONG = 1e5
CELLS = 40


@dataclass(frozen=True)
class Body:
    """A steel ring: lengths in mm, density in kg/m3, J/(kg K) and strain against degC."""

    outer: float
    inner: float
    height: float
    density: float
    specific_heat: Callable[[float], float]
    strain: Callable[[float], float]

    @property
    def mass(self) -> float:
        return math.pi / 4 * (self.outer**2 - self.inner**2) * self.height * self.density * 1e-9

    @property
    def face(self) -> float:
        """One flat face, m2."""
        return math.pi / 4 * (self.outer**2 - self.inner**2) * 1e-6

    @property
    def wall(self) -> float:
        """The outside wall, m2."""
        return math.pi * self.outer * self.height * 1e-6

    @property
    def surface(self) -> float:
        return self.wall * (1 + self.inner / self.outer) + 2 * self.face


def until(
    grown: Callable[[Any], float], rates: Callable[[float, Any], Any], start: Any, **more: int
) -> float:
    """Seconds until `grown` of the state is zero, from below."""

    def touches(_: float, state: Any) -> float:
        return grown(state)

    touches.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        rates, (0.0, LONG), start, "LSODA", events=touches, rtol=1e-8, atol=1e-8, **more
    )
    return float(found.t_events[0][0])


def lumped(body: Body, start: float, size: float, gain: Callable[[float], float]) -> float:
    """Seconds until the ring has grown to `size` [mm], warmed by `gain` [W] at its temperature."""
    return until(
        lambda t: body.outer * (1 + body.strain(t[0])) - size,
        lambda _, t: [gain(t[0]) / (body.mass * body.specific_heat(t[0]))],
        [start],
    )


def air_gain(
    body: Body,
    room: float,
    coefficient: float,
    emissivity: float,
    frost: Callable[[float], float] = lambda t: 0.0,
) -> Callable[[float], float]:
    """Heat [W] into a ring in the air of a room; `frost` in kg/m3 of vapour more than at the
    ring, times what a kg of it brings per m3 of air."""

    def gain(t: float) -> float:
        radiated = STEFAN_BOLTZMANN * ((room + 273.15) ** 4 - (t + 273.15) ** 4)
        return body.surface * (coefficient * (room - t) + emissivity * radiated + frost(t))

    return gain


def film(body: Body, bore: float, t: float, roughness: float) -> float:
    """Air between the walls, m."""
    return (max(0.0, bore - body.outer * (1 + body.strain(t))) / 2 + roughness) * 1e-3


def bore_gain(
    body: Body,
    bore: float,
    head: float,
    conductivity: Callable[[float], float],
    floor: float = 0.0,
    roughness: float = 0.003,
) -> Callable[[float], float]:
    """Heat [W] into a ring in its counterbore [mm]: through the film of air, and from the floor
    [W/(m2 K)]; `conductivity` of air [W/(m K)] against degC."""

    def gain(t: float) -> float:
        across = body.wall * conductivity((t + head) / 2) / film(body, bore, t, roughness)
        return (across + floor * body.face) * (head - t)

    return gain


def through_the_wall(
    body: Body,
    start: float,
    bore: float,
    head: float,
    conductivity: Callable[[float], float],
    metal: float,
    roughness: float = 0.003,
) -> float:
    """Seconds in the bore until the ring touches, its metal conducting `metal` W/(m K).

    A free ring is as large as its area-mean temperature makes it. The film is warmed by the mean
    of the head and the ring's skin.
    """
    edges = np.linspace(body.inner, body.outer, CELLS + 1) / 2e3
    middles = (edges[1:] + edges[:-1]) / 2
    areas = np.pi * (edges[1:] ** 2 - edges[:-1] ** 2)
    between = 2 * np.pi * edges[1:-1] / np.diff(middles) * metal
    skin = metal / (edges[-1] - middles[-1])

    def mean(t: Any) -> float:
        return float((t * areas).sum() / areas.sum())

    def rates(_: float, t: Any) -> Any:
        thick = film(body, bore, mean(t), roughness)
        across = conductivity((t[-1] + head) / 2) / thick
        inward = 2 * np.pi * edges[-1] * (head - t[-1]) / (1 / across + 1 / skin)
        flows = np.r_[0.0, between * np.diff(t), inward]
        heat = np.array([body.specific_heat(each) for each in t])
        return np.diff(flows) / (areas * body.density * heat)

    def grown(t: Any) -> float:
        return body.outer * (1 + body.strain(mean(t))) - bore

    # each cell hangs on its neighbours, and on the mean by the film: seldom looked at, for speed
    return until(grown, rates, np.full(CELLS, start), lband=1, uband=1)
