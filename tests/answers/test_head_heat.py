"""One heat for a head: the mildest step that serves every ring, against a search over every step
written here, and what is said where none does."""

from __future__ import annotations

import random

import pytest

from specdb.answers.head_heat import Warmed, Way, settle
from specdb.answers.joint import Joint
from specdb.answers.pairs import Expansion, entry
from specdb.estimate import Estimate, exact, plus_minus, propagate
from specdb.records.head import NO_HEAT, OTHER_HEAT

HAZARD = {"liquid-nitrogen": 3, "dry-ice-isopropanol": 2, "dry-ice-ethanol": 2, "dry-ice": 1}
"""Order of hazard of the trade's notes: nitrogen, dry ice in alcohol, dry ice."""
HEADER = "label,bore_1,bore_2,depth,valve_diameter,head,insert,runout,pit_depth,available\n"
ROWS = (
    "1I,33.870,33.874,6.05,31.0,al-si7mg-t6,sintered-plain,0.03,0,\n"
    "1E,29.962,29.975,6.05,27.0,al-si7mg-t6,sintered-tool-steel,0.08,0.05,\n"
    "2I,33.871,33.912,6.05,31.0,al-si7mg-t6,austenitic-cast-iron,0.04,0,\n"
    "2E,29.881,29.885,6.05,27.0,al-si7mg-t6,high-chrome,0.03,0,\n"
)


@pytest.fixture(scope="module")
def plan(database):
    import specdb

    with specdb.open(database) as db:
        return db.head(readings=HEADER + ROWS)


@pytest.mark.common_practice
def test_the_heat_is_the_mildest_that_serves_every_ring(plan) -> None:
    pairs = {label: each.shrink.pairs for label, each in plan.seats.items()}
    best = None
    for heat in sorted({pair.head_temperature_c for each in pairs.values() for pair in each}):
        chills = [
            {HAZARD.get(pair.chill, 0) for pair in each
             if pair.allowed and pair.head_temperature_c == heat}
            for each in pairs.values()
        ]  # fmt: skip
        if all(chills):
            worst = sorted((min(each) for each in chills), reverse=True)
            if best is None or worst < best[0]:
                best = (worst, heat)
    assert best is not None
    assert plan.head_heat.head_temperature_c == best[1]
    assert plan.head_heat.not_served == ()


def test_every_plan_is_at_the_heat_of_the_head(plan) -> None:
    heat = plan.head_heat
    for label, each in plan.seats.items():
        chosen = each.shrink.chosen
        assert chosen.allowed
        assert chosen.head_temperature_c == heat.head_temperature_c
        assert label in heat.chills[chosen.chill]
        said = next(line.text for line in each.bench if line.what == "heat and chill")
        assert f"head at {heat.head_temperature_c:g} degC" in said


def test_seats_that_alone_need_less_are_named_and_looser(plan, database) -> None:
    import specdb

    heat = plan.head_heat
    with specdb.open(database) as db:
        for label, each in plan.seats.items():
            alone = db.seat(each.readings).shrink.chosen
            less = alone.head_temperature_c < heat.head_temperature_c
            assert (label in heat.looser) == less
            if less and alone.chill == each.shrink.chosen.chill:
                left = each.shrink.chosen.interference_left_mm.value
                assert left <= alone.interference_left_mm.value
    assert heat.looser
    assert heat.looser[0] in heat.why


def test_a_ring_no_common_heat_serves_is_an_exception(db) -> None:
    """Two rings have nitrogen and an oven at 120, one dry ice and an oven at 150, one a tank."""
    has = ("oven-120;liquid-nitrogen", "oven-120;liquid-nitrogen", "oven-150;dry-ice", "oven-80")
    rows = [f"{row}{media}" for row, media in zip(ROWS.splitlines(), has, strict=True)]
    plan = db.head(readings=HEADER + "\n".join(rows))
    served = {label for labels in plan.head_heat.chills.values() for label in labels}
    what = {each.label: each.what for each in plan.exceptions if "heat" in each.what}
    assert served.isdisjoint(what)
    assert served | set(what) == set(plan.seats)
    for label, each in plan.seats.items():
        if what.get(label) == OTHER_HEAT:
            assert label in plan.head_heat.not_served
            assert each.shrink.chosen.head_temperature_c != plan.head_heat.head_temperature_c
            assert any(text.startswith("Not with the others") for text in each.problems)
        elif what.get(label) == NO_HEAT:
            assert each.shrink.chosen is None
    assert OTHER_HEAT in what.values()
    assert NO_HEAT in what.values()


def test_a_ceiling_told_for_one_seat_is_the_castings(db, plan) -> None:
    """Told for the last seat alone, it holds back the oven for every other."""
    assert plan.head_heat.head_temperature_c > 100
    *rest, last = ROWS.splitlines()
    rows = [*(f"{row}," for row in rest), f"{last},100"]
    held = db.head(readings=HEADER.replace("\n", ",heat_limit\n") + "\n".join(rows))
    assert len(held.seats) == len(rows)
    assert held.head_heat is None or held.head_heat.head_temperature_c <= 100
    for each in held.seats.values():
        hotter = [pair for pair in each.shrink.pairs if pair.head_temperature_c > 100]
        assert hotter
        assert not any(pair.allowed for pair in hotter), each.label


def ways(*told: tuple[float, str]) -> tuple[Way, ...]:
    return tuple(Way(heat, f"oven-{heat:g}", 20.0, chill) for heat, chill in told)


def test_a_heat_that_leaves_a_ring_out_says_so() -> None:
    hard = Warmed("b", ways((150.0, "none"), (120.0, "dry-ice")))
    heat = settle([hard, Warmed("a", ways((150.0, "none"))), Warmed("c", ways((180.0, "none")))])
    assert heat.not_served == ("c",)
    assert "for all of them but c" in heat.why
    assert "together" not in heat.why


@pytest.mark.common_practice
def test_a_warmer_head_comes_before_nitrogen_and_fewest_seats_are_left_out() -> None:
    easy = Warmed("a", ways((20.0, "none"), (120.0, "none"), (150.0, "none")))
    hard = Warmed("b", ways((150.0, "none"), (120.0, "dry-ice"), (20.0, "liquid-nitrogen")))
    heat = settle([easy, hard])
    assert (heat.head_temperature_c, heat.decided_by, heat.looser) == (150.0, ("b",), ("a",))
    other = Warmed("c", ways((180.0, "none")))
    heat = settle([easy, hard, other])
    assert (heat.head_temperature_c, heat.not_served) == (150.0, ("c",))
    assert settle([Warmed("d", ())]) is None
    assert settle([easy, Warmed("d", ())]).head_temperature_c == 20.0


def test_an_iron_head_is_told_nothing_of_ageing(db) -> None:
    iron = db.head(readings=HEADER + ROWS.replace("al-si7mg-t6", "grey-iron-gjl-250"))
    alloy = db.head(readings=HEADER + ROWS)
    assert iron.head_heat.head_temperature_c > 30, "warm, so that it might be told"
    for plan, ages in ((iron, False), (alloy, True)):
        keys = {note.key for note in plan.cautions}
        assert ("aged-head-ceiling" in keys) == ages
        assert "hot-head-lift" in keys
        for each in plan.seats.values():
            assert ("ageing" in each.shrink.head_soak.text) == ages
            assert any("ageing" in text for text in each.shrink.advice) == ages


def test_the_band_of_the_clearance_is_that_of_the_one_method() -> None:
    draw = random.Random(3)
    for _ in range(200):
        joint = Joint(
            plus_minus(38.1 + draw.uniform(-0.05, 0.05), draw.choice([0.0, 0.01]), "mm"),
            plus_minus(38.0, draw.choice([0.0, 0.006]), "mm"),
            31.0,
            8.0,
        )
        ring, head = (
            Expansion(
                plus_minus(draw.uniform(-2e-3, 3e-3), draw.choice([0.0, 1e-4]), "1", [name]),
                Estimate(0.0, -draw.uniform(0, 1e-4), draw.uniform(0, 1e-4), "1"),
            )
            for name in ("ring-row", "head-row")
        )

        def outcome(**at: float) -> dict[str, float]:
            bore = at["bore"] * (1 + at["head"] + at["head_scatter"])
            return {"room": bore - at["ring"] * (1 + at["strain"] + at["ring_scatter"])}

        want = propagate(
            outcome,
            units={"room": "mm"},
            limits={
                "ring": joint.insert_diameter,
                "bore": joint.bore,
                "strain": ring.reached,
                "head": head.reached,
            },
            spreads={"ring_scatter": ring.scatter, "head_scatter": head.scatter},
        )["room"]
        rub = exact(0.1, "1")
        sizes = {"wanted": 0.03, "light_share": 1 / 3, "friction": rub, "newton_per_mm": 1e5}
        assert entry(joint, ring, head, **sizes).clearance == want


def test_a_brief_plan_says_the_same_in_its_line(reader) -> None:
    """A long table is planned without the pairs nobody is told of: not a word may change."""
    from specdb.answers.head import HeadRun
    from specdb.answers.head_line import line
    from specdb.answers.head_rows import SeatTable

    table = SeatTable((HEADER + ROWS).encode(), {}, "rows")
    runs = [HeadRun(reader, table, brief=brief).prepare() for brief in (True, False)]
    short, full = ([(line(p), p.bench, p.problems) for p in run.plans()] for run in runs)
    assert short == full
    assert len(short) == 4


def test_a_seat_of_a_head_is_planned_as_by_itself(db) -> None:
    """Metals, facts and clocks are shared by the seats of a head; alone, nothing is."""
    head = db.head(readings=HEADER + ROWS)
    found = [plan for plan in head.seats.values() if plan.boring is None]
    assert found, "a setting narrows the limits of a bored one; as found, nothing differs"
    for plan in found:
        alone = db.seat(plan.readings)
        assert plan.fit == alone.fit
        assert plan.shrink.pairs == alone.shrink.pairs
        assert plan.shrink.sensitivity == alone.shrink.sensitivity
