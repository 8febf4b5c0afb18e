"""The printed sheet: whole, self-contained, hazards first, drawn to scale, readable by machines."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from html.parser import HTMLParser

import pytest

import specdb
from specdb.records.answer import CautionNote
from specdb.records.layout import RED, beside, first_dangers
from specdb.records.seat import SeatReadings
from specdb.sheet import render, seats_map, section
from specdb.sheet.checks import CHECKS
from specdb.sheet.section import HEAD_MM, shape_of

SVG = "{http://www.w3.org/2000/svg}"
ODD = 'inlet <b>"1" & more, called by a name that hardly ends and has to break somewhere'
PAGES = ["bench", "record"]


@pytest.fixture(scope="module")
def plans(database):
    """A seat, and a head of three: bored, as found, without a ring; one with a long odd name."""
    alloy = {"head": "al-si7mg-t6", "insert": "sintered-copper-infiltrated", "pilot": "6.98"}
    with specdb.open(database) as db:
        one = db.seat(
            bore=["38.05", "38.06"],
            depth="8.2",
            valve_diameter="34.5",
            margin="1.2",
            old_insert="38",
            **alloy,
        )
        head = db.head(
            [
                SeatReadings(label=ODD, bore=("38.05",), x="0", y="0", position="inlet", **alloy),
                SeatReadings(label="2", bore=("33.872", "33.874"), x="45", y="0", **alloy),
                SeatReadings(label="3", bore=("70",), x="99", y="0", **alloy),
            ]
        )
    return {"seat": one, "head": head}


class Page(HTMLParser):
    """What a page is made of: elements with their attributes, text, and whether all closed."""

    VOID = ("meta", "br", "img", "hr", "input", "link")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self.open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def page(plan, kind: str) -> Page:
    return Page(render(plan, job="job 7", date="2026-11-25", record=kind == "record"))


def both(plans):
    return [(plan, kind) for plan in plans.values() for kind in PAGES]


def test_every_element_is_closed_and_named_for_a_reader(plans) -> None:
    for plan, kind in both(plans):
        found = page(plan, kind)
        assert found.open == []
        kinds = [tag for tag, _ in found.elements]
        assert ("html", {"lang": "en"}) in found.elements
        assert kinds.count("title") >= 1
        assert kinds.count("h1") == 1
        assert kinds.count("main") == 1
        assert all(
            given.get("scope") in ("col", "row") for tag, given in found.elements if tag == "th"
        )
        ids = [given["id"] for _, given in found.elements if "id" in given]
        assert len(ids) == len(set(ids))
        assert all("aria-labelledby" in given for tag, given in found.elements if tag == "svg")


def test_nothing_is_fetched_and_nothing_runs(plans) -> None:
    for plan, kind in both(plans):
        text = render(plan, record=kind == "record")
        bare = text.replace('xmlns="http://www.w3.org/2000/svg"', "")
        assert not re.search(r"https?:|//[a-z]|url\((?!#)|@import", bare)
        assert not re.search(r"<(script|link|img|iframe|object)|\son\w+=|javascript:", bare)


def test_every_caution_and_source_is_there(plans) -> None:
    for plan, kind in both(plans):
        said = page(plan, kind).text
        for note in plan.cautions:
            # one sign for degrees on paper
            assert " ".join(note.text.split()).replace(" degC", " °C") in said, note.key
        assert "degC" not in said
        for row in plan.facts.values():
            assert f"{';'.join(row.source)} ({row.seen})" in said
        assert plan.data_release in said
        assert plan.code_version in said


def test_what_a_user_typed_is_text_and_never_markup(plans) -> None:
    for kind in PAGES:
        text = render(plans["head"], job="<script>x</script>", record=kind == "record")
        assert "<script>" not in text
        assert '<b>"1"' not in text
        assert ODD in page(plans["head"], kind).text


def test_hazards_come_first_and_stress_last(plans) -> None:
    said = page(plans["head"], "bench").text
    order = ["First", "Ring and bore", "Settings", "Heat and cold", "Seat cut", "Height, spring"]
    order += ["Tests", "Found (f) and left (l)", "Why", "Sources"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert said.index("squeeze in the ring") > said.index("Why")
    assert "MPa" not in said[: said.index("Why")]


@pytest.mark.common_practice
def test_a_copper_ring_is_treated_as_beryllium_before_all_else(plans) -> None:
    for plan in plans.values():
        first = first_dangers(plan)
        assert len(first) <= RED
        assert first[0].key.startswith("beryllium")


@pytest.fixture(scope="module")
def cold(database):
    """A seat with a light press out of a freezer, which nitrogen would let drop in, and one that
    takes nitrogen."""
    with specdb.open(database) as db:
        iron = db.seat(head="grey-iron", insert="sintered-plain", bore=["44.3"])
        nitrogen = {"head": "al-si7mg-t6", "insert": "sintered-plain", "chill": "liquid-nitrogen"}
        return iron, db.seat(bore=["30.16"], **nitrogen)


@pytest.mark.common_practice
def test_dangers_of_nitrogen_lead_only_where_the_pair_planned_uses_it(cold) -> None:
    freezer, nitrogen = cold
    assert freezer.shrink.chosen.chill.endswith("freezer")
    assert freezer.shrink.drop_in.chill == "liquid-nitrogen"
    assert not any("itrogen" in note.text for note in first_dangers(freezer))
    aside = [note.text for note in beside(freezer) if note.severity == "danger"]
    assert len([text for text in aside if "itrogen" in text]) >= 2
    said = page(freezer, "bench").text
    instead = said.index("Instead, to drop in")
    for text in aside:
        assert instead < said.index(" ".join(text.split())) < said.index("Seat cut")
        assert said.count(" ".join(text.split())) == 1
    assert "dangers of liquid-nitrogen" in next(
        line.text for line in freezer.bench if line.what == "or drop in"
    )
    assert nitrogen.shrink.chosen.chill == "liquid-nitrogen"
    assert any(note.key.startswith("nitrogen") for note in first_dangers(nitrogen))
    assert beside(nitrogen) == ()


def test_one_danger_of_each_kind_comes_first(cold) -> None:
    keys = ("nitrogen-1", "nitrogen-2", "oven-1", "hard-ring", "sodium")
    notes = tuple(CautionNote(key=key, severity="danger", text=key) for key in keys)
    plan = cold[1].model_copy(update={"cautions": notes})
    assert [note.key for note in first_dangers(plan)] == ["sodium", "oven-1", "nitrogen-1"]


def test_the_sheet_of_a_head_says_its_one_heat(database) -> None:
    rows = (
        "label,bore_1,bore_2,head,insert\n"
        "soft,33.870,33.874,{0},sintered-plain\nhard,29.881,29.885,{0},high-chrome\n"
    )
    with specdb.open(database) as db:
        for head, ages in (("al-si7mg-t6", True), ("grey-iron-gjl-250", False)):
            plan = db.head(readings=rows.format(head))
            said = page(plan, "bench").text
            heat = plan.head_heat.head_temperature_c
            assert f"Head at {heat:g} °C for every ring" in said
            assert {each.shrink.chosen.head_temperature_c for each in plan.seats.values()} == {heat}
            assert ("ageing" in said) == ages
            assert ("age-hardened" in said) == ages


def test_bore_limits_and_setting_stand_as_planned(plans) -> None:
    said, plan = page(plans["seat"], "bench").text, plans["seat"]
    for figure in (plan.boring.bore_mm, plan.boring.bore_least_mm, plan.boring.bore_most_mm):
        assert f"{figure:.3f}" in said
    assert f"{plan.boring.tip_over_pilot_mm:.2f}" in said
    assert f"{plan.removal.tip_over_pilot_mm:.2f}" in said


def test_a_seat_without_a_ring_says_stop(plans) -> None:
    said = page(plans["head"], "bench").text
    assert "STOP: no ring serves" in said
    assert "1 to stop at" in said


def test_the_section_is_to_scale(plans) -> None:
    """The counterbore is as wide on paper as its diameter times the scale printed beside it."""
    plan = plans["seat"]
    root = ElementTree.fromstring(section(plan))
    scale = float(re.search(r"10 mm, ([0-9.]+) : 1", "".join(root.itertext()))[1])
    shape = shape_of(plan)
    across = [
        float(each.get("x2")) - float(each.get("x1"))
        for each in root.iter(f"{SVG}line")
        if each.get("y1") == each.get("y2")
    ]
    for size in (plan.boring.bore_mm, plan.chosen.inner_mm, plan.cut.seat_outer_mm, 10.0):
        assert any(width == pytest.approx(size * scale, abs=0.01) for width in across), size
    widths = [path.get("d") for path in root.iter(f"{SVG}path") if "head" in path.get("fill", "")]
    numbers = [float(each) for each in re.findall(r"-?\d+\.\d+", " ".join(widths))]
    assert max(numbers[::2]) - min(numbers[::2]) == pytest.approx(
        2 * (shape.bore + HEAD_MM) * scale, abs=0.01
    )
    assert root.get("width") == f"{float(root.get('viewBox').split()[2]):.2f}mm"


def test_the_map_places_seats_by_their_coordinates(plans) -> None:
    root = ElementTree.fromstring(seats_map(list(plans["head"].seats.values())))
    circles = list(root.iter(f"{SVG}circle"))[:3]
    x = [float(each.get("cx")) for each in circles]
    assert (x[2] - x[0]) / (x[1] - x[0]) == pytest.approx(99 / 45, rel=1e-3)
    assert len({each.get("stroke-width") for each in circles[:2]}) == 2, "bored stands out"


def test_without_places_the_map_says_so(plans) -> None:
    told = [
        plan.model_copy(update={"readings": plan.readings.model_copy(update={"x": None})})
        for plan in plans["head"].seats.values()
    ]
    assert "x and y were not told" in seats_map(told)


def test_the_same_plan_gives_the_same_sheet(plans) -> None:
    for plan, kind in both(plans):
        once, twice = (render(plan, record=kind == "record") for _ in range(2))
        assert once == twice


def test_the_figures_of_the_tests_are_those_of_their_rows(reader) -> None:
    for check in CHECKS:
        said = {float(each) for each in re.findall(r"\d+(?:\.\d+)?", check.what + check.must)}
        for row in filter(None, check.row.split(";")):
            table = "seat_geometry" if row.startswith("seat.") else "insert_dimensions"
            held = reader.one(f"SELECT * FROM {table} WHERE id = :row", row=row)
            assert held is not None, row
            assert held["basis"] == "stands"
            for end in (held["minimum"], held["maximum"]):
                assert not end or float(end) in said, (row, end, check.must)
