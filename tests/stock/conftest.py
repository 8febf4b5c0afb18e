"""A shop's lists made up for the tests; nothing of it is fact."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from specdb.answers.stock_list import import_list
from specdb.records.stock import ImportReport
from specdb.store.asof import Reader, open_reader

PLAIN = """part,OD,ID,height,material,qty
A-1,38.16,31.0,7.0,sintered-tool-steel,4
A-2,38.26,31.0,8.0,sintered-tool-steel,0
A-3,38.31,30.5,7.5,high-chrome,
"""


@pytest.fixture(scope="module")
def facts(database: Path) -> Iterator[Reader]:
    opened = open_reader(database)
    yield opened
    opened.close()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "shop" / "stock.sqlite"


@pytest.fixture
def put(facts: Reader, place: Path) -> Callable[..., ImportReport]:
    """Import text as the list `shop`, its outside diameter being the ring's."""

    def put(text: str | bytes, name: str = "shop", **more: Any) -> ImportReport:
        raw = text.encode() if isinstance(text, str) else text
        return import_list(facts, raw, name, **{"stock": place, "od_means": "ring", **more})

    return put
