"""Temperatures of running engines."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from specdb.store.asof import Reader, live

RUNNING = f"""
SELECT id, place, head_class, state, engine, minimum_c, maximum_c, condition
FROM operating_temperatures t
WHERE basis = 'stands' AND maximum_c IS NOT NULL AND head_class IN (:head_class, 'any')
  AND {live("t")}
ORDER BY id
"""


def temperatures(reader: Reader, head_class: str, places: Iterable[str]) -> list[dict[str, Any]]:
    """Rows with a highest temperature (degC) for heads of this class at any of `places`."""
    wanted = set(places)
    rows = reader.all(RUNNING, head_class=head_class)
    return [row for row in rows if row["place"] in wanted]
