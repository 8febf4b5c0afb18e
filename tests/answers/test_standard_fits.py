"""The nearest standard fit, against interferences printed elsewhere than in the tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from specdb.answers import standard_fits

if TYPE_CHECKING:
    from specdb.database import Database
    from specdb.store.asof import Reader

# The same four as in tests/physics/test_limits.py: machine-elements-examples-companion,
# machine-design-examples-companion, mechanical-engineering-design-8-solutions.
ISO = [
    ("H7/s6", 50.0, 0.018, 0.059),
    ("H7/r6", 25.0, 0.007, 0.041),
    ("H7/s6", 40.0, 0.018, 0.059),
    ("H7/u6", 40.0, 0.035, 0.076),
]
# ansi-b4-1-force-fits-in-handbook-27, thou, for sizes over 1.19 up to 1.58 in
INCH = [("FN2", 0.8, 2.4), ("FN4", 1.5, 3.1), ("FN5", 1.4, 4.0)]


@pytest.mark.published
@pytest.mark.parametrize(("name", "size", "least", "most"), ISO)
def test_a_printed_fit_is_nearest_to_its_own_press(reader: Reader, name, size, least, most) -> None:
    iso, _ = standard_fits.nearest(reader, size, least, most)
    assert (iso.name, iso.interference_min_mm, iso.interference_max_mm) == (name, least, most)
    assert iso.within
    assert {row.split(".")[0] for row in iso.sources} == {"deviation", "grade"}
    assert len(iso.sources) == 4


@pytest.mark.published
@pytest.mark.parametrize(("name", "least", "most"), INCH)
def test_an_inch_fit_is_nearest_to_its_own_press(reader: Reader, name, least, most) -> None:
    _, inch = standard_fits.nearest(reader, 38.0, least * 0.0254, most * 0.0254)
    assert inch.name == name
    assert inch.interference_min_mm == pytest.approx(least * 0.0254, abs=1e-12)
    assert inch.interference_max_mm == pytest.approx(most * 0.0254, abs=1e-12)
    assert inch.within


@pytest.mark.published  # H7/u6 at 40 mm as above, beside a range it overlaps on one side or both
@pytest.mark.parametrize(
    ("least", "most", "within", "says"),
    [
        (0.030, 0.080, True, "within"),
        (0.038, 0.077, False, "its loosest is 0.003 mm below the range"),
        (0.030, 0.070, False, "its tightest is 0.006 mm above it"),
        (0.040, 0.070, False, "its loosest is 0.005 mm below the range; its tightest is 0.006 mm"),
    ],
)
def test_whether_it_lies_within_the_range(reader: Reader, least, most, within, says) -> None:
    iso, _ = standard_fits.nearest(reader, 40.0, least, most)
    assert (iso.name, iso.within) == ("H7/u6", within)
    assert says in iso.says


def test_tables_end_somewhere(reader: Reader) -> None:
    assert standard_fits.nearest(reader, 400.0, 0.1, 0.2) == ()


def test_the_question_names_the_fit_nearest_to_what_it_recommends(db: Database) -> None:
    found = db.interference(head="aluminium", insert="high-chrome", diameter="40 mm")
    assert {fit.standard for fit in found.standard_fits} == {standard_fits.ISO, standard_fits.INCH}
    for fit in found.standard_fits:
        inside = (
            fit.interference_min_mm >= found.interference_min_mm
            and fit.interference_max_mm <= found.interference_max_mm
        )
        assert fit.within == inside
        assert set(fit.sources) <= set(found.facts)
    nothing = db.interference(head="aluminium", insert="high-chrome", diameter="400 mm")
    assert nothing.standard_fits == ()
