"""Loose: short guided answers for a ring that came loose, a bare counterbore, a welded head."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.quantities import Allowance, Diameter, Size
from specdb.records.sizes import Readings

About = Literal["loose-ring", "counterbore", "welded-head"]
Verdict = Literal["go on", "stop", "measure first"]


class LooseRequest(Frozen):
    """What it is about, and what was measured. mm at 20 degC."""

    about: About = Field(
        "loose-ring",
        description="A ring that came loose; a counterbore about to be used; a welded or "
        "overheated head.",
    )
    ring_new: Diameter | None = Field(None, description="Outside of the ring when it was new.")
    ring: Readings = Field((), description="Outside of the ring now.")
    bore_new: Diameter | None = Field(None, description="Counterbore as it was bored.")
    bore: Readings = Field((), description="A reading of the counterbore now.")
    bore_bottom: Readings = Field((), description="A reading near the floor.")
    floor_flatness: Allowance | None = Field(None, description="Unevenness of the floor.")
    corner_radius: Size | None = Field(None, description="Radius between floor and wall.")
    chamfer: Size | None = Field(None, description="Chamfer of the ring's lower edge.")
    hardness_hb: float | None = Field(
        None, gt=0, lt=1000, description="Brinell hardness of the head beside the seat."
    )
    head: str | None = Field(None, description="Head material, by key or class.")


class Step(Frozen):
    """A line of the answer: what to do or to know, and the rows it is taken from."""

    text: str
    seen: str
    sources: tuple[str, ...]


class Check(Frozen):
    """A limit and what was measured against it."""

    what: str
    measured: float | None
    limit: float
    unit: str
    within: bool | None
    sources: tuple[str, ...]


class LooseResult(Answer):
    """A short answer. `found` is what the readings say, `checks` the limits they were held to,
    `steps` the order of work, `never` what is no repair. Every line is a row's own words."""

    about: About
    verdict: Verdict
    why: str
    found: tuple[Step, ...]
    checks: tuple[Check, ...]
    steps: tuple[Step, ...]
    never: tuple[Step, ...]
    sources: tuple[str, ...]
