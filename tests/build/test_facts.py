"""What an answer shows of a row whose print was not kept: the figures as written, and the unit."""

from __future__ import annotations

import pytest

from specdb.build.facts import as_written


@pytest.mark.parametrize(
    ("row", "shown"),
    [
        ({"value": "21.50", "uncertainty": "0.5", "unit": "1e-6/K"}, "21.50 +- 0.5 1e-6/K"),
        ({"value": "0.33", "uncertainty": None, "unit": "1"}, "0.33"),
        ({"minimum": "0.003", "maximum": "0.005", "unit": "in"}, "0.003 to 0.005 in"),
        ({"minimum": "0.025", "maximum": "0.025", "unit": "mm"}, "0.025 mm"),
        ({"minimum": None, "maximum": "0.05", "unit": "mm"}, "up to 0.05 mm"),
        ({"minimum": "1.5", "maximum": None, "unit": "mm"}, "from 1.5 mm"),
        ({"minimum": None, "maximum": None, "unit": None, "statement": "clean"}, None),
        ({"low": "0.9", "typical": "0.95", "high": "0.98", "unit": "1"}, "0.9 to 0.98"),
        ({"low": None, "typical": "0.95", "high": None, "unit": None}, "0.95"),
        ({"temperature": "-78.5", "tolerance": "1", "unit": "degC"}, "-78.5 +- 1 degC"),
        ({"temperature": "150", "value": None, "unit": "MPa"}, None),
        ({"extra_percent": "4"}, "4 %"),
        ({"text": "Ventilate."}, None),
    ],
)
def test_the_figures_are_shown_as_written(row, shown) -> None:
    assert as_written(row) == shown
