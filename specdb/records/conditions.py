"""What press depends on besides a diameter, and the words a request may use for it.

The allowed words are those of the vocabulary lists of the same names; what a shop says instead is
turned into them before they are checked.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from specdb.records.answer import Frozen

_POSITIONS = {"inlet": "intake", "in": "intake", "ex": "exhaust", "outlet": "exhaust"}
_RETENTIONS = {"unpeened": "none", "plain": "none", "rolled": "peened", "caulked": "staked"}
_STATES = {"repaired": "welded", "annealed": "soft", "overheated": "soft"}
_PARTS = {
    "insert": "seat-insert",
    "seat": "seat-insert",
    "ring": "seat-insert",
    "guide": "valve-guide",
}
_COOLINGS = {"liquid": "water", "water-cooled": "water", "air-cooled": "air"}


def _said(also: dict[str, str]) -> Any:
    def read(given: object) -> object:
        if not isinstance(given, str):
            return given
        word = given.strip().casefold()
        return also.get(word, word)

    return BeforeValidator(read)


Position = Annotated[Literal["intake", "exhaust"], _said(_POSITIONS)]
"""Where the seat is; `inlet` is read as `intake`."""
Part = Annotated[Literal["seat-insert", "valve-guide"], _said(_PARTS)]
"""What is pressed into the head: a seat's ring, or a guide, which is one too."""
Cooling = Annotated[Literal["water", "air"], _said(_COOLINGS)]
"""What cools the head."""
Retention = Annotated[Literal["none", "peened", "staked"], _said(_RETENTIONS)]
"""How the ring is kept besides its press."""
HeadState = Annotated[Literal["sound", "welded", "soft"], _said(_STATES)]
"""What has happened to the casting: welded through a counterbore, or softened by heat."""


class PressCase(Frozen):
    """The pair of metals and the circumstances a range of press is looked up by."""

    head: str = Field(description="Material key or designation of the head, or its class.")
    insert: str = Field(description="Insert class, or the key of its material.")
    position: Position = Field("exhaust", description="Where it goes; inlet is intake.")
    cooling: Cooling | None = Field(None, description="What cools the head.")
    retention: Retention | None = Field(None, description="What keeps it besides its press.")
    head_state: HeadState | None = Field(None, description="Sound casting, welded, or soft.")
    fuel: str | None = Field(None, description="Fuel the engine burns.")
