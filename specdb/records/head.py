"""Head: every seat of a head at once, with the fewest settings and the bridges between them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import Cooling, HeadState
from specdb.records.quantities import Allowance, Diameter, Temperature
from specdb.records.seat import SeatPlan
from specdb.records.shrink import Media
from specdb.records.sizes import Temperatures

NO_SIZE = "no size serves"
"""What `SeatException.what` says of a seat without a ring."""
OTHER_HEAT = "not at the head's heat"
"""What it says of a ring that does not go in at the heat of the others."""
NO_HEAT = "no heat and chill serve"
"""What it says of a ring that goes in with no pair the limits allow."""

TOO_LOW = "no ring high enough"
"""What it says of a seat whose ring does not fill the counterbore."""
SHORT = "none left on the shelf"
"""What it says of a seat whose ring the shelf has too few of."""

Method = Literal["exact", "greedy", "none"]


class HeadRequest(Frozen):
    """A head as a table, one row a seat, and what holds for every row that does not say.

    `readings` is the text of the table: its columns are called like the arguments of `seat`, of
    several readings `bore_1`, `bore_2`, ..., `bore_bottom_1`, ...
    """

    readings: str = Field(description="Table of readings, a row a seat; columns as in seat.")
    head: str | None = Field(None, description="Head material, for rows that name none.")
    insert: str | None = Field(None, description="Insert class, for rows that name none.")
    cooling: Cooling | None = Field(None, description="What cools the head.")
    head_state: HeadState | None = Field(None, description="Sound casting, welded, or soft.")
    fuel: str | None = Field(None, description="Fuel the engine burns.")
    pilot: Diameter | None = Field(None, description="Pilot diameter, for rows that give none.")
    reading_error: Allowance | None = Field(None, description="Error of a reading, each way.")
    measured_at: Temperatures = Field((), description="Temperature of the head, then of the ring.")
    available: Media | None = Field(None, description="A medium the shop has.")
    heat_limit: Temperature | None = Field(None, description="Ceiling for the head.")


class Setting(Frozen):
    """One setting of the boring tool and the seats it serves. mm; bores on diameter.

    Every seat takes its ring anywhere from `bore_least_mm` to `bore_most_mm`. The first cut is
    chosen by the largest hole of its seats, and None where two clean cuts are not to be had there:
    the plan's `unknown` says so.
    """

    bore_mm: float
    bore_least_mm: float
    bore_most_mm: float
    pilot_mm: float | None
    tip_over_pilot_mm: float | None
    first_tip_over_pilot_mm: float | None
    first_bore_mm: float | None
    rings: dict[str, str]
    """Label -> the ring that goes in, outside x inside x height."""
    labels: tuple[str, ...]


class HeadHeat(Frozen):
    """The one heat every ring goes in at: the mildest step that serves them all together.

    `chills`: what the rings are chilled in, and whose; `chills_c`: how cold that is, degC (a ring
    as it is, the shop); `decided_by`: seats that would not go in, or
    only with a graver chill, with the head at the next milder step; `looser`: seats that alone
    would need less heat; `not_served`: seats that need another heat.
    """

    head_temperature_c: float
    heat: str
    """Media key of the heating step; `given` where a temperature was asked for."""
    chills: dict[str, tuple[str, ...]]
    chills_c: dict[str, float]
    decided_by: tuple[str, ...]
    looser: tuple[str, ...]
    not_served: tuple[str, ...]
    why: str


class BridgeBetween(Frozen):
    """Metal between two counterbores, as measured and once both are bored. mm; below zero they
    overlap."""

    labels: tuple[str, str]
    centre_distance_mm: float
    now_mm: float
    left_mm: float
    overlaps: bool
    say: str | None


class SeatException(Frozen):
    """A seat that does not go like the others, and why."""

    label: str
    what: str
    why: str


class RingToFetch(Frozen):
    """Rings of one kind a head takes: how many, how many are on hand, who goes without.

    `origin` is `generic` (a size to order or make) or the name of a shop's own list; `size` is then
    its part number. mm. `on_hand` is None where nobody says how many there are: a list without a
    quantity, a generic size. The seats `without` are the last of `labels`, in the order of the
    table; `instead` names what else on the shop's lists, not spoken for, would do for one of them.
    """

    outer_mm: float
    inner_mm: float
    height_mm: float
    insert: str
    origin: str
    size: str
    needed: int
    on_hand: int | None
    without: tuple[str, ...]
    labels: tuple[str, ...]
    instead: dict[str, str] = Field(default_factory=dict)

    @property
    def short(self) -> int:
        """How many are missing."""
        return 0 if self.on_hand is None else max(self.needed - self.on_hand, 0)


class LookAt(Frozen):
    """What to look at, once for all the seats it is said of: their figures as a span. `labels` are
    the first forty of the `seats`."""

    text: str
    labels: tuple[str, ...]
    seats: int
    all_seats: bool


class BadRow(Frozen):
    """A row that was not planned. `row` is the line of the table as an editor counts (the names of
    the columns are line 1), or the place in the list given, from 1."""

    row: int
    label: str | None
    column: str
    reason: str


class HeadPlan(Answer):
    """The plans of a head by label, and what is common to them.

    `as_found` seats keep their counterbore: none is enlarged to make a set alike. `settings` are
    the fewest that serve the rest; `settings_method` says whether that is exact or greedy, `why`
    how it was found. `head_heat` is what the head is warmed to for all rings at one go; each plan's
    chosen pair is at that heat, but for the seats it names as not served. `rings` are those to
    fetch; `look_at` is what the plans' `problems` come to. The plans' sources and cautions are
    gathered here.
    """

    seats: dict[str, SeatPlan]
    as_found: tuple[str, ...]
    settings: tuple[Setting, ...]
    settings_method: Method
    settings_why: str
    head_heat: HeadHeat | None
    rings: tuple[RingToFetch, ...]
    look_at: tuple[LookAt, ...]
    bridges: tuple[BridgeBetween, ...]
    exceptions: tuple[SeatException, ...]
    bad_rows: tuple[BadRow, ...]

    @property
    def answered(self) -> bool:
        """Whether every row was read and every seat has its ring."""
        return not self.bad_rows and not any(each.what == NO_SIZE for each in self.exceptions)
