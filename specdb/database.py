"""What `specdb.open()` returns: one method a question, over one release of the data."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from types import TracebackType

    from specdb.answers.expansion_points import ExpansionPoint
    from specdb.answers.head import HeadRun
    from specdb.answers.known import Choice
    from specdb.answers.material import Material
    from specdb.build.history import Diff
    from specdb.errors import BadRequest
    from specdb.records.choose import ChooseResult
    from specdb.records.cut import CutResult
    from specdb.records.deck import DeckResult
    from specdb.records.fit import FitResult
    from specdb.records.guide import GuideResult
    from specdb.records.head import HeadPlan
    from specdb.records.height import HeightResult
    from specdb.records.interference import InterferenceResult
    from specdb.records.loose import LooseResult
    from specdb.records.removal import RemovalResult
    from specdb.records.seat import SeatPlan, SeatReadings
    from specdb.records.shrink import ShrinkResult
    from specdb.records.sizes import SizesResult
    from specdb.records.source import SourceResult
    from specdb.records.trace import TraceResult
    from specdb.store.asof import Reader
    from specdb.store.search import Hit, Index


def open(
    where: str | Path | None = None,
    *,
    release: str | None = None,
    stock: str | Path | None = None,
) -> Database:
    """Open a reference database for reading.

    `where`: None for the bundled data, or the path of a database file. `release`: a version such as
    `2026.11`; None for the latest published, or the draft `next` before the first one. `stock`: the
    file or URL of a shop's own lists, to be searched before the generic sizes; None for none;
    `"usual"` for those the commands and a server search untold, if there are any.
    Raises `StoreError` where there is no usable database, `UnknownName` for an unknown release.
    """
    from specdb.store.asof import open_reader

    for name, given in (("where", where), ("stock", stock)):
        if given is not None and not isinstance(given, str | Path):
            raise _refused(name, given, "text or a path")
    if stock is None:
        return Database(open_reader(where, release=release))
    from specdb.store.stock import place
    from specdb.store.stock.stocked import with_lists

    lists = place.searched(stock) if stock == place.USUAL else place.wanted(stock)
    return Database(with_lists(open_reader(where, release=release), lists))


def _refused(name: str, given: object, accepted: str) -> BadRequest:
    """An argument of a kind that cannot be."""
    from specdb.errors import BadRequest

    return BadRequest(
        f"{name}: {given!r} is not accepted.", hint=f"Accepted: {accepted}.", field=name
    )


def _text(name: str, given: object) -> str:
    """An argument that is text, or a refusal."""
    if not isinstance(given, str):
        raise _refused(name, given, "text")
    return given


class Database:
    """One release of the data, open for reading. A context manager; closing twice is harmless.

    Every question takes its arguments by keyword, as text (`"38.1 mm"`, `"1.5 in"`), or as a
    number in the house unit (mm, degC); `specdb QUESTION --help` lists them. Every method
    raises `Misuse` for arguments that are wrong and `NoAnswer` where the data has none.
    """

    def __init__(self, reader: Reader) -> None:
        self._reader = reader
        self._index: Index | None = None

    @property
    def digest(self) -> str:
        """The digest of the release the answers come from, as `releases` tells it; of the draft,
        that of the database."""
        told = {row["version"]: row["digest"] for row in self.releases()}
        return str(told.get(self.release) or self.database_digest)

    @property
    def database_digest(self) -> str:
        """The digest of the whole content of the database, whatever the release."""
        from specdb.store.query.known import digest

        return digest(self._reader)

    @property
    def release(self) -> str:
        """The version of the data release the answers come from."""
        return self._reader.release.version

    def material(self, key: str) -> Material:
        """A material by key, designation or insert class, with its curve and values."""
        from specdb.answers.material import find_material

        return find_material(self._reader, _text("material", key))

    def interference(self, **asked: Any) -> InterferenceResult:
        """Every range of press that applies to a case, and the recommended one."""
        return cast("InterferenceResult", self.ask("interference", **asked))

    def choose(self, **asked: Any) -> ChooseResult:
        """Insert classes for a duty, best first."""
        return cast("ChooseResult", self.ask("choose", **asked))

    def sizes(self, **asked: Any) -> SizesResult:
        """Rings for a measured counterbore, best first, and the near misses."""
        return cast("SizesResult", self.ask("sizes", **asked))

    def fit(self, **asked: Any) -> FitResult:
        """Pressure, stress, force, hold and the temperature at which a fit lets go."""
        return cast("FitResult", self.ask("fit", **asked))

    def shrink(self, **asked: Any) -> ShrinkResult:
        """Every pair of heating step and chilling medium, with its verdict and clocks."""
        return cast("ShrinkResult", self.ask("shrink", **asked))

    def removal(self, **asked: Any) -> RemovalResult:
        """Cutter and setting for boring an old ring out, and the other ways it comes out."""
        return cast("RemovalResult", self.ask("removal", **asked))

    def cut(self, **asked: Any) -> CutResult:
        """The faces of a seat for a valve: diameters, heights, feeds."""
        return cast("CutResult", self.ask("cut", **asked))

    def deck(self, **asked: Any) -> DeckResult:
        """What a skim leaves, and the published limits side by side."""
        return cast("DeckResult", self.ask("deck", **asked))

    def height(self, **asked: Any) -> HeightResult:
        """Spring shim, tip and lash shim after a seat was cut."""
        return cast("HeightResult", self.ask("height", **asked))

    def guide(self, **asked: Any) -> GuideResult:
        """Wear, press, closing-in and finished bore of a valve guide."""
        return cast("GuideResult", self.ask("guide", **asked))

    def loose(self, **asked: Any) -> LooseResult:
        """Short guided answers: a loose ring, a bare counterbore, a welded head."""
        return cast("LooseResult", self.ask("loose", **asked))

    def seat(self, readings: SeatReadings | None = None, **asked: Any) -> SeatPlan:
        """The whole plan of one seat, from `SeatReadings` or from keywords, never both."""
        if readings is not None:
            from specdb.answers.given import one_seat
            from specdb.answers.seat import seat

            return seat(self._reader, one_seat(readings, asked))
        return cast("SeatPlan", self.ask("seat", **asked))

    def head(self, seats: Iterable[SeatReadings] | None = None, **asked: Any) -> HeadPlan:
        """The plan of a whole head, from its `SeatReadings` or from the text of a table
        (`readings=`). Other arguments hold for every seat that does not say."""
        from specdb.answers import given

        if seats is not None:
            from specdb.answers.ask import echoed
            from specdb.answers.head import of_seats

            told = {name: value for name, value in asked.items() if value is not None}
            return echoed(of_seats(self._reader, given.every_seat(seats, told)), told)
        if asked.get("readings") is not None:
            given.table(asked["readings"])
        return cast("HeadPlan", self.ask("head", **asked))

    def head_run(
        self,
        table: Path | bytes,
        *,
        told: Callable[[str, int], None] = lambda what, done: None,
        name: str = "",
        brief: bool = False,
        **common: Any,
    ) -> HeadRun:
        """A head of any length, planned seat by seat (`HeadRun.prepare`, then `plans`).

        `table`: the file, or its bytes; `common`: what holds for rows that do not say; `brief`:
        plans for a line each, without the pairs of heat and chill that are not planned.
        """
        from specdb.answers import given
        from specdb.answers.head import HeadRun
        from specdb.answers.head_rows import SeatTable

        given.file(table)
        return HeadRun(self._reader, SeatTable(table, common, name), told, brief=brief)

    def trace(self, row: str) -> TraceResult:
        """A row as it was written, and its history."""
        return cast("TraceResult", self.ask("trace", row=row))

    def source(self, source: str) -> SourceResult:
        """A source and every row it gave."""
        return cast("SourceResult", self.ask("source", source=source))

    @property
    def stock_digest(self) -> str:
        """The digests of the shop's lists that are searched, as they are now; empty without."""
        from specdb.store.query.stock import lists
        from specdb.store.stock.stocked import lists_beside

        held = lists_beside(self._reader)
        return " ".join(f"{row['name']}={row['digest']}" for row in lists(held)) if held else ""

    @property
    def has_stock(self) -> bool:
        """Whether a shop's lists are searched too."""
        from specdb.store.stock.stocked import lists_beside

        return lists_beside(self._reader) is not None

    def releases(self) -> list[dict[str, Any]]:
        """The published releases, oldest first: ordinal, version, date, summary, digest."""
        from specdb.build.history import published

        return published(self._reader)

    def diff(self, before: str, after: str) -> Diff:
        """What changed from one release to a later one."""
        from specdb.build.history import diff

        return diff(self._reader, before, after)

    def known(self, argument: str) -> tuple[Choice, ...]:
        """The values known for an argument by its name, for a form to offer."""
        from specdb.answers.known import known

        return known(self._reader, _text("argument", argument))

    def expansion_points(self, material: str) -> tuple[ExpansionPoint, ...]:
        """The printed expansions of a material, as points a curve is drawn against."""
        from specdb.answers.expansion_points import expansion_points

        return expansion_points(self._reader, _text("material", material))

    def search(self, text: str) -> tuple[Hit, ...]:
        """Materials and sources that hold every word of `text`, the closest first."""
        _text("text", text)
        if self._index is None:
            from specdb.store.search import Index

            self._index = Index(self._reader)
        return self._index.find(text)

    def ask(self, question: str, /, **asked: Any) -> Any:
        """Any question by name; what the command line and the web call."""
        from specdb.answers.ask import ask

        return ask(self._reader, _text("question", question), asked)

    def close_with_last_user(self) -> None:
        """Close by itself as soon as nobody holds it: for a server that lets one go while others
        may still be reading it.
        """
        from weakref import finalize

        finalize(self, self._reader.close)

    def close(self) -> None:
        """Let go of the data and of the lists beside it. Closing twice is harmless."""
        self._reader.close()

    def __enter__(self) -> Database:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
