"""The question `head`: every seat of a head, the fewest settings, the bridges between them.

`HeadRun` goes over the rows as often as it needs to and holds little of each, so that a table of
any length can be planned and written out seat by seat; `head` and `plan_of` gather one into a
`HeadPlan`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Any

from specdb.answers import (
    bench,
    boring,
    head_bridges,
    head_exceptions,
    head_heat,
    head_settings,
    head_survey,
)
from specdb.answers.evidence import conclude, one_stock
from specdb.answers.head_bridges import Bored, Bridges
from specdb.answers.head_rings import RingCount, Supply
from specdb.answers.head_rows import Given, SeatTable, bad_row
from specdb.answers.head_survey import Surveyed, least, nameless
from specdb.answers.look_at import Gathered, in_order
from specdb.answers.neighbours import Place
from specdb.answers.seat import Settled, seat
from specdb.answers.told import Told, nobody
from specdb.answers.trade_limits import limits
from specdb.errors import BadRequest, SpecdbError
from specdb.records.answer import Answer, CautionNote, FactNote
from specdb.records.head import (
    BadRow,
    HeadHeat,
    HeadPlan,
    HeadRequest,
    RingToFetch,
    SeatException,
    Setting,
)
from specdb.records.seat import SeatPlan, SeatReadings
from specdb.store.asof import Reader
from specdb.store.remembered import remembering

FEATURES = (
    "same-size-preference",
    "wall-to-outer-diameter",
    "bridge-warn-aluminium",
    "bridge-refuse-aluminium",
    *boring.FEATURES,
)
"""The limit rows a head is judged by."""
KEPT = 48
"""Answers kept for seats that read alike: one in a long table often does."""


class HeadRun:
    """One head being planned. `rows` is gone over several times and must allow it; `brief`: plans
    are wanted for a line each, without the pairs of heat and chill that are not planned.

    After `prepare` the settings are known; `plans` then yields each seat's plan; `result` closes
    the answer over what was gathered meanwhile.
    """

    def __init__(
        self,
        reader: Reader,
        rows: Iterable[Given],
        told: Told = nobody,
        *,
        brief: bool = False,
    ) -> None:
        self._brief = brief
        self._reader, self._rows, self._told = remembering(reader), rows, told
        self._table = rows if isinstance(rows, SeatTable) else None
        self._trade = limits(reader, FEATURES)
        self._bad: list[BadRow] = []
        self._seats: list[Surveyed] = []
        self._notes: dict[str, CautionNote] = {}
        self._facts: dict[str, FactNote] = {}
        self._stock: dict[str, str] = {}
        self._rings: dict[str, str] = {}
        self._without: list[SeatException] = []
        self._final: dict[int, Bored] = {}
        self._ceiling: float | None = None
        self._count = RingCount()
        self._look_at = Gathered()
        self._shared: list[head_settings.Shared] = []
        self._settled: dict[str, Settled] = {}
        self.heat: HeadHeat | None = None
        """The heat of the head, once `prepare` has settled it."""
        within = self._rule().within
        self._could = lru_cache(KEPT)(lambda asked: head_survey.could(self._reader, asked, within))
        self._warmed = lru_cache(KEPT)(
            lambda asked, settled: head_survey.warmed(self._reader, asked, settled)
        )
        self._plans = lru_cache(KEPT)(self._plan_of)

    @property
    def bad_rows(self) -> tuple[BadRow, ...]:
        """What cannot be planned, in order of row and column."""
        return tuple(sorted(self._bad, key=lambda each: (each.row, each.column)))

    @property
    def total(self) -> int:
        """Seats that will be planned."""
        return sum(not each.dead for each in self._seats)

    def prepare(self) -> HeadRun:
        """Read every row, look up each seat's sizes, settle who shares what."""
        self._read()
        if not self._seats and not self._bad:
            raise BadRequest(
                "the head has no seats: there is no row with readings.",
                hint="Accepted: one row for each seat, below the names of the columns.",
                field="readings",
            )
        self._survey("sizes", {}, lambda at: True)
        self._survey("bridges", *self._grown())
        ready = [each.bored for each in self._seats if each.bored and each.bored.choices]
        supply = Supply()
        for each in self._seats:
            if each.as_found is not None:
                supply.take(each.as_found)
        settled = head_settings.settle(ready, self._rule(), supply)
        self._shared, self.settings_method, self.settings_why = settled
        self._settled = dict(head_settings.decisions(self._shared))
        self._number = {
            label: at for at, each in enumerate(self._shared, start=1) for label in each.rings
        }
        self._warm()
        self._go_without(supply)
        return self

    def _rule(self) -> head_settings.Rule:
        """When a ring of the shelf is as good as another."""
        wall = self._trade["wall-to-outer-diameter"].least or 0.5
        return head_settings.Rule(self._trade["same-size-preference"].value, wall)

    @property
    def rings(self) -> tuple[RingToFetch, ...]:
        """The rings to fetch, once `prepare` has settled them."""
        return self._count.told()

    def counted(self, plan: SeatPlan) -> tuple[int, int | None] | None:
        """How many the head takes of a seat's ring, and how many there are; None without a ring."""
        ring = plan.chosen
        return None if ring is None else self._count.counted(ring, plan.readings.insert)

    def goes_without(self, label: str) -> bool:
        """Whether the shelf has too few rings for this seat too."""
        return self._count.goes_without(label)

    @property
    def settings(self) -> tuple[Setting, ...]:
        """The settings of the boring tool, once `prepare` has settled them; the rings that go in
        are told with the plans."""
        trial = boring.trial_by(self._trade)
        return tuple(head_settings.record(each, self._rings, trial) for each in self._shared)

    @property
    def untried(self) -> dict[int, str]:
        """The numbers of the settings no first cut is taken for, and why."""
        return head_settings.untried(self._shared, boring.trial_by(self._trade))

    @property
    def as_found(self) -> tuple[str, ...]:
        """Seats that keep their counterbore."""
        return tuple(
            each.label for each in self._seats if each.as_found is not None and not each.dead
        )

    def setting(self, label: str) -> int | None:
        """The number of the setting that serves a seat, from 1; None where it is not bored."""
        return self._number.get(label)

    def plans(self) -> Iterator[SeatPlan]:
        """Each seat's plan in the order of the rows, without the evidence that `result` gathers."""
        for done, (at, request) in enumerate(self._alive(), start=1):
            self._told("plans", done)
            plan = self._plan(at, request)
            if plan is not None:
                yield plan

    def result(self, seats: dict[str, SeatPlan]) -> HeadPlan:
        """The answer, once every plan has been yielded; `seats` may be left empty by whoever wrote
        them away already."""
        bridges = tuple(self._bridges.between(self._final))
        gathered = Answer(
            data_release="",
            code_version="",
            cautions=tuple(self._notes.values()),
            facts=self._facts,
            stock=self._stock,
        )
        return conclude(
            HeadPlan,
            self._reader,
            parts=(gathered,),
            topics=("any", *(("bore",) if self._shared else ())),
            assumed=self._table.assumed if self._table else (),
            rows=(limit.row for limit in self._trade.values()),
            seats=seats,
            as_found=self.as_found,
            settings=self.settings,
            settings_method=self.settings_method,
            settings_why=self.settings_why,
            head_heat=self.heat,
            rings=self.rings,
            look_at=self._look_at.told(),
            bridges=bridges,
            exceptions=(
                *self._count.exceptions(),
                *self._without,
                *head_exceptions.alone(self._shared, self._rule().within),
                *self._thin(bridges),
            ),
            bad_rows=self.bad_rows,
            unknown={f"settings.{at}.first_bore_mm": why for at, why in self.untried.items()},
        )

    def _read(self) -> None:
        """First pass: which rows are seats, and where they stand."""
        places: list[Place] = []
        positions: list[str] = []
        called: dict[str, int] = {}
        for line, given in self._rows:
            self._told("rows", len(self._seats))
            if isinstance(given, SeatReadings) and given.label in called:
                given = BadRow(
                    row=line,
                    label=given.label,
                    column="label",
                    reason=f"row {called[given.label]} is called {given.label!r} too",
                )
            if isinstance(given, BadRow):
                self._bad.append(given)
                continue
            called[given.label] = line
            self._seats.append(Surveyed(given.label, line, given.runout))
            places.append(head_bridges.place(given))
            positions.append(given.position)
            self._ceiling = least(self._ceiling, given.heat_limit)
        self._bridges = Bridges(places, positions)
        self._at = {each.label: at for at, each in enumerate(self._seats)}

    def _alive(self) -> Iterator[tuple[int, SeatReadings]]:
        """The rows that are seats, with their place in the list."""
        for line, given in self._rows:
            if isinstance(given, SeatReadings):
                at = self._at[given.label]
                if self._seats[at].line == line and not self._seats[at].dead:
                    yield at, given

    def _survey(self, what: str, grown: dict[int, Bored], worth: Callable[[int], bool]) -> None:
        """Look up the sizes of the seats worth it; `grown` is what their neighbours become."""
        for done, (at, request) in enumerate(self._alive(), start=1):
            self._told(what, done)
            if not worth(at):
                continue
            try:
                self._look(self._seats[at], self._in_this_head(at, request, grown))
            except SpecdbError as error:
                self._fail(at, error)
        self._grown_last = grown

    def _look(self, kept: Surveyed, request: SeatReadings) -> None:
        kept.alloy, kept.as_found, kept.also, bored = self._could(nameless(request))
        kept.bored = (
            None if bored is None else head_settings.Bored(kept.label, request.pilot, *bored)
        )

    def _warm(self) -> None:
        """One heat for all: where each ring goes in, then the mildest step that serves them."""
        alike: dict[head_heat.Ways, head_heat.Ways] = {}
        for done, (at, request) in enumerate(self._alive(), start=1):
            self._told("heat", done)
            asked = self._in_this_head(at, request, self._grown_last)
            try:
                ring, ways = self._warmed(nameless(asked), self._settled.get(request.label))
            except SpecdbError:
                continue  # the plan of the seat says why
            if ring is not None:
                self._count.add(request.label, ring, request.insert)
            self._seats[at].ways = alike.setdefault(ways, ways)
        ready = [head_heat.Warmed(each.label, each.ways) for each in self._seats if not each.dead]
        self.heat = head_heat.settle(ready)

    def _go_without(self, supply: Supply) -> None:
        """What the seats the shelf has too few rings for could take instead."""
        for each in self._seats:
            if not self._count.goes_without(each.label):
                continue
            if found := head_survey.instead(each, self._shared, supply):
                supply.take(found[0])
                self._count.instead(each.label, *found)

    def _in_this_head(
        self, at: int, request: SeatReadings, grown: dict[int, Bored]
    ) -> SeatReadings:
        """A seat's readings with what the whole head adds: the thinnest bridge to its neighbours,
        and the least ceiling told for any seat, which is the casting's."""
        bridge = least(self._bridges.thinnest(at, grown), request.bridge)
        ceiling = least(self._ceiling, request.heat_limit)
        if (bridge, ceiling) == (request.bridge, request.heat_limit):
            return request
        return request.model_copy(update={"bridge": bridge, "heat_limit": ceiling})

    def _grown(self) -> tuple[dict[int, Bored], Callable[[int], bool]]:
        """What the seats to be bored become at the most, and whose sizes that touches."""
        grown = {
            at: Bored(max(choice.most for choice in each.bored.choices), each.runout / 2)
            for at, each in enumerate(self._seats)
            if each.bored and each.bored.choices
        }
        return grown, lambda at: self._bridges.neighbours_bored(at, grown)

    def _plan(self, at: int, request: SeatReadings) -> SeatPlan | None:
        settled = self._settled.get(request.label)
        asked = self._in_this_head(at, request, self._grown_last)
        try:
            plan = self._plans(nameless(asked), settled)
        except SpecdbError as error:
            self._fail(at, error)
            return None
        remark = self._table and self._table.remarks.get(self._seats[at].line)
        problems = in_order([remark, *plan.problems]) if remark else plan.problems
        own = {"label": request.label, "readings": request, "problems": problems}
        plan = plan.model_copy(update=own)
        self._note(at, plan)
        return plan

    def _plan_of(self, request: SeatReadings, settled: Settled | None) -> SeatPlan:
        """A plan without the evidence, which is gathered for the whole head."""
        heat_c = None if self.heat is None else self.heat.head_temperature_c
        plan = seat(self._reader, request, settled=settled, head_heat_c=heat_c, brief=self._brief)
        self._notes.update((note.key, note) for note in plan.cautions)
        self._facts.update(plan.facts)
        self._stock = one_stock(self._stock, plan.stock)
        return plan.model_copy(update={"facts": {}, "cautions": ()})

    def _note(self, at: int, plan: SeatPlan) -> None:
        ring = plan.chosen
        own = (f"{row.what}: {row.text}" for row in plan.bench if row.what == bench.ON_SHELF)
        self._look_at.add(plan.label, plan.readings.position, (*plan.problems, *own))
        self._without += head_exceptions.of_plan(plan, self.heat)
        if ring is not None and plan.boring is not None:
            self._rings[plan.label] = (
                f"{ring.outer_mm:.2f} x {ring.inner_mm:.2f} x {ring.height_mm:.2f}"
            )
            self._final[at] = Bored(plan.boring.bore_mm, self._seats[at].runout / 2)

    def _fail(self, at: int, error: SpecdbError) -> None:
        kept = self._seats[at]
        kept.dead, kept.bored = True, None
        self._bad.append(bad_row(error, kept.line, kept.label))

    def _thin(self, bridges: Sequence[Any]) -> Iterator[SeatException]:
        alloy = {each.label for each in self._seats if each.alloy}
        warn, refuse = (
            self._trade[name].value for name in ("bridge-warn-aluminium", "bridge-refuse-aluminium")
        )
        return head_bridges.exceptions(bridges, alloy, warn, refuse)


def head(reader: Reader, request: HeadRequest) -> HeadPlan:
    """The plan of a head given as the text of a table. Raises `Misuse` for a table that cannot be
    read; a bad row is reported in `bad_rows`."""
    common = {
        name: value
        for name, value in request
        if name != "readings" and value is not None and value != ()
    }
    return plan_of(reader, SeatTable(request.readings.encode(), common, "readings"))


def of_seats(reader: Reader, seats: Iterable[SeatReadings]) -> HeadPlan:
    """The plan of a head from its readings; a seat is told from others by its label."""
    given = list(seats)
    for each in given:
        if not isinstance(each, SeatReadings):
            raise BadRequest(
                f"head: {type(each).__name__} is no readings of a seat.",
                hint="Accepted: specdb.SeatReadings, one for each seat.",
                field="seats",
            )
    return plan_of(reader, list(enumerate(given, start=1)))


def plan_of(reader: Reader, rows: Iterable[Given], told: Told = nobody) -> HeadPlan:
    """The whole plan in memory."""
    run = HeadRun(reader, rows, told).prepare()
    return run.result({plan.label: plan for plan in run.plans()})
