"""Choose: which class of insert for a duty, a fuel and a valve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from specdb.answers import names
from specdb.answers.evidence import conclude
from specdb.errors import BadRequest, NotKnown, UnknownName
from specdb.records.choose import (
    ChooseRequest,
    ChooseResult,
    ClassChoice,
    OnlyIf,
    Reason,
    Verdict,
)
from specdb.store.asof import Reader
from specdb.store.query import choices as choice_rows

Row = Mapping[str, Any]
GRAVEST_FIRST: tuple[Verdict, ...] = ("never", "avoid", "first", "serves")
"""A word against a class outweighs any for it; of two for it the better one counts."""
USUAL_DUTY = "moderate"
"""Cars and light vehicles: taken when no duty was told."""
ASK_VALVE = "always ask the valve material: the answer is for a valve of the usual steels"


class Case(NamedTuple):
    """What a class is wanted for; None was not told."""

    duty: str
    fuel: str
    position: str
    valve_material: str | None
    head_class: str | None


def choose(reader: Reader, request: ChooseRequest) -> ChooseResult:
    """Insert classes for a duty, best first, those to avoid, and what hangs on the valve.

    Raises `UnknownName` for a word nobody knows, `NotKnown` where no row speaks of the case.
    """
    case, assumed = _case(reader, request)
    every = choice_rows.choices(reader)
    rows = [row for row in every if _speaks(row, case)]
    told = [row for row in rows if not _hangs_on(row, case)]
    judged = [
        _judged(each, [row for row in told if row["insert_class"] == each["key"]])
        for each in choice_rows.insert_classes(reader)
    ]
    for_it = [each for each in judged if each.verdict in ("first", "serves")]
    against = [each for each in judged if each.verdict in ("avoid", "never")]
    if not for_it:
        raise _nobody_says(every, case)
    return conclude(
        ChooseResult,
        reader,
        topics=_topics(for_it, case),
        position=case.position,
        duty=case.duty,
        fuel=case.fuel,
        valve_material=case.valve_material,
        head_class=case.head_class,
        classes=tuple(sorted(for_it, key=_place)),
        against=tuple(sorted(against, key=_place)),
        not_listed=tuple(each for each in judged if each.verdict == "not-listed"),
        only_if=tuple(_only_if(row, case) for row in rows if _hangs_on(row, case)),
        assumed=assumed,
        unknown={} if case.valve_material else {"valve_material": ASK_VALVE},
    )


def _case(reader: Reader, request: ChooseRequest) -> tuple[Case, tuple[str, ...]]:
    duty, fuel = _duty_and_fuel(reader, request)
    assumed = []
    if duty is None:
        duty = USUAL_DUTY
        assumed.append(f"assumed {duty} duty")
    if fuel is None:
        fuel = "diesel" if duty == "heavy" else "petrol"
        assumed.append(f"assumed {fuel} as the fuel")
    valve = request.valve_material
    case = Case(
        duty=duty,
        fuel=fuel,
        position=request.position,
        valve_material=None
        if valve is None
        else names.word(reader, "valve-material", valve, "valve_material"),
        head_class=None if request.head is None else names.head(reader, request.head).head_class,
    )
    return case, tuple(assumed)


def _duty_and_fuel(reader: Reader, request: ChooseRequest) -> tuple[str | None, str | None]:
    """Duty and fuel in what a shop says: `heavy diesel` names both, `petrol` the fuel alone.

    A fuel told on its own counts before one in the duty: a petrol engine may run on gas.
    """
    fuels, duties = names.known_words(reader, "fuel"), names.known_words(reader, "duty")
    found: dict[str, str] = {}
    for part in (request.duty or "").replace("-", " ").casefold().split():
        word = part if part in duties else names.fuel_said(part)
        if word not in duties and word not in fuels:
            raise UnknownName("duty", part, [*duties, *fuels], field="duty")
        kind = "duty" if word in duties else "fuel"
        if found.setdefault(kind, word) != word:
            raise BadRequest(
                f"duty: {request.duty!r} names two, {found[kind]} and {word}.",
                hint=f"Accepted: one {kind}.",
                field="duty",
            )
    if request.fuel is not None:
        found["fuel"] = names.word(reader, "fuel", request.fuel, "fuel")
    return found.get("duty"), found.get("fuel")


def _nobody_says(rows: Sequence[Row], case: Case) -> NotKnown:
    known = sorted({row["fuel"] for row in rows if row["duty"] in (case.duty, "any")} - {"any"})
    return NotKnown(
        f"no insert class is listed for {case.duty} on {case.fuel}, {case.position}.",
        hint=f"Fuels known for {case.duty}: {', '.join(known) or 'none'}.",
    )


def _speaks(row: Row, case: Case) -> bool:
    """Whether a row is about this case, or would be for some valve or head not told."""
    return (
        row["duty"] in (case.duty, "any")
        and row["fuel"] in (case.fuel, "any")
        and row["position"] in (case.position, "any")
        and (case.valve_material is None or row["valve_material"] in (None, case.valve_material))
        and (case.head_class is None or row["head_class"] in (None, "any", case.head_class))
    )


def _hangs_on(row: Row, case: Case) -> list[str]:
    """What has to be told before a row counts. A valve of steel is the usual one."""
    hangs = []
    if case.valve_material is None and row["valve_material"] not in (None, "steel"):
        hangs.append(f"the valve is {row['valve_material']}")
    if case.head_class is None and row["head_class"] not in (None, "any"):
        hangs.append(f"the head is {row['head_class']}")
    return hangs


def _only_if(row: Row, case: Case) -> OnlyIf:
    return OnlyIf(
        when=" and ".join(_hangs_on(row, case)),
        insert_class=row["insert_class"],
        verdict=row["verdict"],
        reason=row["reason"],
        sources=(row["id"],),
    )


def _judged(row: Row, told: Sequence[Row]) -> ClassChoice:
    said = sorted(told, key=lambda each: (GRAVEST_FIRST.index(each["verdict"]), each["id"]))
    return ClassChoice(
        insert_class=row["key"],
        name=row["name"],
        verdict=said[0]["verdict"] if said else "not-listed",
        why=_why(said),
        reasons=tuple(
            Reason(verdict=each["verdict"], reason=each["reason"], sources=(each["id"],))
            for each in said
        ),
        material=row["material"],
        brittle=row["brittle"] == "yes",
        copper_coloured=row["copper_coloured"] == "yes",
        sources=(row["id"],),
    )


def _why(said: Sequence[Row]) -> str | None:
    """The reasons of the verdict that decides, each once."""
    mine = [each["reason"] for each in said if each["verdict"] == said[0]["verdict"]]
    return "; ".join(dict.fromkeys(filter(None, mine))) or None


def _topics(for_it: Sequence[ClassChoice], case: Case) -> list[str]:
    topics = ["copper-ring"] if any(each.copper_coloured for each in for_it) else []
    return [*topics, "sodium-valve"] if case.valve_material == "sodium-filled" else topics


def _place(each: ClassChoice) -> tuple[int, int, str]:
    """Best first; of the equal the one more rows speak for."""
    order = ("first", "serves", "avoid", "never", "not-listed")
    return order.index(each.verdict), -len(each.reasons), each.insert_class
