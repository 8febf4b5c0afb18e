"""What press depends on besides a diameter, and the words a request may use for it.

The allowed words are those of the vocabulary lists of the same names; what a shop says instead
(`trade_words`) is turned into them before they are checked.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from specdb.records import trade_words
from specdb.records.answer import Frozen


def _said(argument: str) -> Any:
    def read(given: object) -> object:
        return trade_words.meant(argument, given) if isinstance(given, str) else given

    return BeforeValidator(read)


Position = Annotated[Literal["intake", "exhaust"], _said("position")]
"""Where the seat is; `inlet` is read as `intake`."""
Part = Annotated[Literal["seat-insert", "valve-guide"], _said("part")]
"""What is pressed into the head: a seat's ring, or a guide, which is one too."""
Cooling = Annotated[Literal["water", "air"], _said("cooling")]
"""What cools the head."""
Retention = Annotated[Literal["none", "peened", "staked"], _said("retention")]
"""How the ring is kept besides its press."""
HeadState = Annotated[Literal["sound", "welded", "soft"], _said("head_state")]
"""What has happened to the casting: welded through a counterbore, or softened by heat."""


class PressCase(Frozen):
    """The pair of metals and the circumstances a range of press is looked up by."""

    head: str = Field(description="Metal of the head: its class, or the alloy itself.")
    insert: str = Field(description="Insert class, or the key of its material.")
    position: Position = Field("exhaust", description="Where it goes; inlet is intake.")
    cooling: Cooling | None = Field(None, description="What cools the head.")
    retention: Retention | None = Field(None, description="What keeps it besides its press.")
    head_state: HeadState | None = Field(None, description="Sound casting, welded, or soft.")
    fuel: str | None = Field(None, description="Fuel the engine burns.")
