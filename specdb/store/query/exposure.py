"""What heat costs a casting: the rows on ageing."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_EXPOSURE = f"""
SELECT id, material, temperature, temperature_unit, time, time_unit, quantity, value, unit
FROM exposure_limits t
WHERE quantity = :quantity AND basis = 'stands' AND {live("t")}
ORDER BY id
"""


def of_quantity(reader: Reader, quantity: str) -> list[dict[str, Any]]:
    """Every row that stands of one quantity; figures as written."""
    return reader.all(_EXPOSURE, quantity=quantity)
