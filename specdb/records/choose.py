"""Choose: which class of insert for a duty, a fuel and a valve."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import Position

Verdict = Literal["first", "serves", "avoid", "never"]


class ChooseRequest(Frozen):
    """What the seat has to stand: duty, fuel, valve and head."""

    position: Position = Field(description="Where it goes; inlet is intake.")
    duty: str | None = Field(
        None, description="light, moderate or heavy; heavy diesel says the fuel too."
    )
    fuel: str | None = Field(None, description="Fuel: petrol, diesel, gas (lpg, cng), ...")
    valve_material: str | None = Field(None, description="What the valve is made of. Always ask.")
    head: str | None = Field(None, description="Material or class of the head.")


class Reason(Frozen):
    """One row of the table of choices that speaks of the class."""

    verdict: Verdict
    reason: str
    sources: tuple[str, ...]


class ClassChoice(Frozen):
    """An insert class and how it suits: `first`, `serves`, `avoid`, `never`, or `not-listed`.

    A reason against outweighs every one for it. `material` is what the class stands on in every
    calculation here.
    """

    insert_class: str
    name: str
    verdict: Literal["first", "serves", "avoid", "never", "not-listed"]
    why: str | None
    """The reasons of that verdict, in a line."""
    reasons: tuple[Reason, ...]
    material: str
    brittle: bool
    copper_coloured: bool
    sources: tuple[str, ...]


class OnlyIf(Frozen):
    """What would change for a valve, or head, nobody has told us of."""

    when: str
    insert_class: str
    verdict: Verdict
    reason: str
    sources: tuple[str, ...]


class ChooseResult(Answer):
    """`classes`: those that serve, best first. `against`: those to avoid, then never to use.
    `only_if`: rows that hang on a valve material or head that was not told."""

    position: str
    duty: str
    fuel: str
    valve_material: str | None
    head_class: str | None
    classes: tuple[ClassChoice, ...]
    against: tuple[ClassChoice, ...]
    not_listed: tuple[ClassChoice, ...]
    only_if: tuple[OnlyIf, ...]
