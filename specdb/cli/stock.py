"""A shop's own lists: import, show, export and remove them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from specdb.records.some import some

if TYPE_CHECKING:
    from specdb.records.stock import ImportReport

FEW = 10
"""Parts of a long list shown."""


def _where(command: Callable[..., Any]) -> Callable[..., Any]:
    return click.option(
        "--stock",
        metavar="FILE-OR-URL",
        help="Where the lists lie; default: SPECDB_STOCK, else this user's data folder.",
    )(command)


def _json(command: Callable[..., Any]) -> Callable[..., Any]:
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def _list(command: Callable[..., Any]) -> Callable[..., Any]:
    """A list's name, said alone or as `--list`, as an import has it."""
    named = click.option("--list", "listed", metavar="NAME", help="NAME, said as an import does.")
    return click.argument("name", required=False)(named(command))


def _named(name: str | None, listed: str | None) -> str:
    """The list meant. Raises BadRequest where none is named, or two are."""
    said = {each for each in (name, listed) if each}
    if len(said) == 1:
        return said.pop()
    from specdb.errors import BadRequest

    raise BadRequest(
        "list: two are named." if said else "list: which?",
        hint="Accepted: one name, as NAME or --list NAME; `specdb stock lists` prints all.",
        field="list",
    )


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
def stock() -> None:
    """A shop's own lists of rings, searched together with the generic sizes.

    Of sizes alike (no more than 0.10 mm apart on diameter, no lower in the counterbore, no thinner)
    those on the shelf come first; where a generic size takes less metal than that, the plan of a
    seat names the best on the shelf beside it.

    They lie in a file of the shop's, or on a server that several shops may share:
    postgresql+psycopg://ROLE@HOST/DATABASE?shop=NAME. There each shop's lists are kept apart, by
    the NAME, or by the ROLE where no shop is named.
    """


@stock.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--list", "name", required=True, metavar="NAME", help="What the list is called.")
@_where
@click.option(
    "--od-means",
    metavar="ring|counterbore",
    help="Whether the outside diameter is the ring as it is, or the counterbore it is meant for. "
    "Said once for a list.",
)
@click.option(
    "--map",
    "columns",
    multiple=True,
    metavar="COLUMN=FIELD",
    help="What a column holds: part, outer, inner, height, material, class, qty, tolerance, note. "
    "May be repeated.",
)
@click.option("--units", metavar="UNIT", default="", help="Unit of plain numbers. [default: mm]")
@click.option(
    "--material",
    "materials",
    multiple=True,
    metavar="[WORD=]CLASS",
    help="What a word of the list means (ST=sintered-tool-steel), or what every empty cell means "
    "(high-chrome). May be repeated.",
)
@click.option("--database", metavar="FILE", help="Take classes and materials from this database.")
@_json
def import_(file: Path, name: str, database: str | None, as_json: bool, **given: Any) -> None:
    """Put FILE in as the list NAME, whole or not at all; again replaces it.

    FILE is CSV with a line of column names: part, OD, ID, height are needed; material, class, qty,
    tolerance, note are read if there. Units may stand in the header or in the cell.
    """
    from specdb.answers.stock_list import import_list
    from specdb.cli.progress import Progress
    from specdb.store.asof import open_reader

    reader, progress = open_reader(database), Progress()
    try:
        report = import_list(
            reader,
            file,
            name,
            stock=given["stock"],
            od_means=given["od_means"],
            columns=dict(_pair(each, "map") for each in given["columns"]),
            materials=dict(_pair(each, "material", alone=True) for each in given["materials"]),
            units=given["units"],
            told=progress,
        )
    finally:
        progress.close()
        reader.close()
    if as_json:
        _print_json(report.model_dump(mode="json"))
    else:
        click.echo("\n".join(_report(report)))


@stock.command()
@_where
@_json
def lists(stock: str | None, as_json: bool) -> None:
    """Every list: what its outside diameter means, how many rings, what it adds up to."""
    from specdb.answers.stock_list import lists as every_list

    found = every_list(stock)
    if as_json:
        _print_json({"lists": [each.model_dump(mode="json") for each in found]})
        return
    for each in found:
        click.echo(
            f"{each.list}: {each.rings} ring{_s(each.rings)}, outside diameter is the "
            f"{each.od_means}, put in {each.imported_at}, digest {each.digest}"
        )
    if not found:
        click.echo("no lists.", err=True)


@stock.command()
@_list
@_where
def remove(name: str | None, listed: str | None, stock: str | None) -> None:
    """Take the list NAME out."""
    from specdb.answers.stock_list import remove_list

    name = _named(name, listed)
    rings = remove_list(name, stock)
    click.echo(f"{name}: {rings} ring{_s(rings)} taken out.")


@stock.command()
@_where
def upgrade(stock: str | None) -> None:
    """Bring lists made by an earlier specdb up to date; nothing they hold is lost."""
    from specdb.answers.stock_list import upgrade as bring_up_to_date

    where, version = bring_up_to_date(stock)
    click.echo(f"{where}: of version {version}.")


@stock.command()
@_list
@_where
def export(name: str | None, listed: str | None, stock: str | None) -> None:
    """Print the list NAME as CSV, which an import reads back the same."""
    from specdb.answers.stock_list import export_list

    click.echo(export_list(_named(name, listed), stock), nl=False)


def _report(report: ImportReport) -> Iterable[str]:
    yield f"{report.list}: {report.rings} ring{_s(report.rings)} in {report.stock}"
    yield f"  read with {report.written}"
    for field, header in report.columns.items():
        yield f"  {field:<10} from column {header!r}"
    if report.not_used:
        yield f"  not used: {', '.join(report.not_used)}"
    yield f"  outside diameter is the {report.od_means}" + (
        f" (it was the {report.od_means_before} before)" if report.od_means_before else ""
    )
    for word, meant in report.materials.items():
        if word != meant:
            yield f"  material {word!r} is {meant}"
    if report.none_left:
        yield f"  not offered, quantity 0: {report.none_left}"
    yield f"  added {_parts(report.added)}"
    yield f"  changed {_parts(sorted({each.part for each in report.changed}))}"
    for each in report.changed[:FEW]:
        yield f"    {each.part}: {each.column} {each.before!r} -> {each.after!r}"
    yield f"  removed {_parts(report.removed)}"
    yield f"  unchanged {report.unchanged}"
    yield f"  digest {report.digest}"


def _parts(parts: Iterable[str]) -> str:
    listed = list(parts)
    return f"{len(listed)}" + (f": {some(listed, FEW)}" if listed else "")


def _pair(given: str, option: str, *, alone: bool = False) -> tuple[str, str]:
    left, mark, right = given.rpartition("=")
    if (mark and left.strip() and right.strip()) or (alone and not mark and given.strip()):
        return left.strip(), right.strip()
    from specdb.errors import BadRequest

    wanted = "[WORD=]CLASS" if alone else "COLUMN=FIELD"
    raise BadRequest(
        f"{option}: {given[:60]!r} is not accepted.", hint=f"Accepted: {wanted}.", field=option
    )


def _s(count: int) -> str:
    return "" if count == 1 else "s"


def _print_json(value: Any) -> None:
    import json

    click.echo(json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
