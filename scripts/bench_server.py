"""Goal 7: the shared server, on a PostgreSQL server of this run's own.

The peer is a round trip of `SELECT 1` by the same road, SQLAlchemy over psycopg on a held
connection. What the bare driver needs for it is told beside.
"""

from __future__ import annotations

import random
import sys
import timeit
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from scripts import bench_sizes

RINGS = 100_000
ROUNDS = 30
AT_ONCE = 50


def rows(say: Callable[[str], None]) -> Iterator[tuple[str, str, float | None, float, str]]:
    """What, peer, ratio, limit, note; for `bench.Measured`."""
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    from tests.servers import programs, running

    if programs() is None:
        yield "lookup on the server", "SELECT 1", None, 2.5, "no PostgreSQL server here"
        return
    with running() as server:
        url = server.url()
        yield from _measured(url, say)


def _measured(url: str, say: Callable[[str], None]) -> Iterator[tuple[str, str, float, float, str]]:
    import psycopg
    import sqlalchemy as sa

    import specdb
    from specdb.build import build

    say("loading the data onto a server")
    build(url)
    engine = sa.create_engine(url, isolation_level="AUTOCOMMIT")
    statement = sa.text("SELECT 1")
    plain = psycopg.connect(url.replace("+psycopg", ""), autocommit=True)
    with engine.connect() as held, specdb.open(url) as db, plain:
        lookup, peer, bare = _in_turn(
            lambda: db.material("al-si7mg-t6"),
            lambda: held.execute(statement).scalar_one(),
            lambda: plain.execute("SELECT 1").fetchone(),
        )
        note = f"{lookup / bare:.3g}x that of the bare driver"
        yield "lookup on the server", "SELECT 1", lookup / peer, 2.5, note
        for mix, last in _sizes(url, say):
            what = f"own sizes on the server, {mix}, p99"
            yield what, "SELECT 1", last / peer, 60.0, f"{RINGS} rings"
    engine.dispose()


def _in_turn(*calls: Callable[[], object]) -> list[float]:
    """The best time of each, s; taken in turn, so that a busy moment hits all alike."""
    best = [float("inf")] * len(calls)
    for _ in range(ROUNDS):
        for number, call in enumerate(calls):
            best[number] = min(best[number], timeit.timeit(call, number=AT_ONCE) / AT_ONCE)
    return best


def _sizes(url: str, say: Callable[[str], None]) -> Iterator[tuple[str, float]]:
    """For each mix p99 of the search among a shop's own rings on the server, s."""
    from specdb.answers import sizes
    from specdb.records.sizes import SizesRequest
    from specdb.store.asof import open_reader
    from specdb.store.query import stock
    from specdb.store.stock import write
    from specdb.store.stock.stocked import lists_beside, with_lists

    say(f"a list of {RINGS} invented rings on the server")
    write.replace(url, "invented", "ring", list(bench_sizes._rings(RINGS)))
    reader = with_lists(open_reader(url), url)
    held: Any = lists_beside(reader)
    lists = stock.lists(held)
    for mix, more in bench_sizes.MIXES.items():
        draw, times = random.Random(2), []
        for _ in range(bench_sizes.REQUESTS):
            bore = draw.randint(22_000, 63_000) / 1000
            asked = {"insert": draw.choice(list(bench_sizes.CLASSES)[:5]), **more(bore)}
            request = SizesRequest(
                bore=(bore, bore + 0.006), head="aluminium", position="exhaust", most=6, **asked
            )
            ready = bench_sizes.own_alone(sizes.prepared(reader, request, lists))
            with held.snapshot():
                call = lambda at=ready, of=request: sizes.served(at, of)  # noqa: E731
                times.append(bench_sizes._once(call))
        yield mix, sorted(times)[int(len(times) * 0.99)]
    reader.close()
