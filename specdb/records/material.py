"""Material: what it is, how it expands, its values at a temperature."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.estimate import Estimate
from specdb.records.answer import Answer, Frozen
from specdb.records.quantities import Temperature


class MaterialRequest(Frozen):
    """Which metal, and where on its curves."""

    material: str = Field(
        description="Key, standard's designation, or insert class (the material it stands on)."
    )
    from_temperature: Temperature | None = Field(
        None,
        description="Start of the stretch to give the expansion of; 20 degC if only its end is.",
    )
    to_temperature: Temperature | None = Field(
        None, description="End of the stretch to give the expansion of."
    )
    property: str | None = Field(None, description="A property to give, such as youngs_modulus.")
    at: Temperature | None = Field(None, description="Temperature of the property; 20 degC.")
    state: Literal["running", "short"] = Field(
        "running", description="For strengths: hours at the temperature, or minutes."
    )


class UsualValue(Frozen):
    """A figure asked for most. `from_c` to `at_c` for a mean, `at_c` alone for a value.

    `origin`: `own`, `minimum` (a guaranteed minimum) or `proxy` (borrowed: wider, and not its own).
    """

    property: str
    from_c: float | None
    at_c: float
    estimate: Estimate
    origin: str


class StandIn(Frozen):
    """What is borrowed, from which material, and by how much the band is widened for it."""

    property: str
    material: str
    extra_percent: float
    row: str


class MaterialResult(Answer):
    """A material. Fields of what was not asked are None without an entry in `unknown`."""

    key: str
    name: str
    insert_class: str | None
    family: str
    material_class: str
    designations: tuple[str, ...]
    condition: str | None
    composition: str | None
    fails_by: str
    age_hardened: bool
    note: str | None
    curve_from_c: float | None
    curve_to_c: float | None
    usual: tuple[UsualValue, ...]
    stand_ins: tuple[StandIn, ...]
    from_c: float | None = None
    to_c: float | None = None
    mean_expansion_per_k: Estimate | None = None
    expansion_strain: Estimate | None = None
    expansion_origin: str | None = None
    property: str | None = None
    at_c: float | None = None
    value: Estimate | None = None
    value_origin: str | None = None
