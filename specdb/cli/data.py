"""The curator's commands: build, check, publish, compare, verify and export the reference data."""

from __future__ import annotations

import json
from contextlib import closing
from pathlib import Path
from typing import Any

import click

_folder = click.option(
    "--data",
    "data_dir",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="The tables; default: this checkout's data/.",
)
_database = click.option(
    "--database", metavar="WHERE", help="A database file or a server's URL; default: the bundled."
)
_json = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def data() -> None:
    """Build, check and release the reference data (curators)."""


@data.command()
@click.option("--to", metavar="WHERE", help="A file, or a server's URL; default: the bundled.")
@_folder
def build(to: str | None, data_dir: Path | None) -> None:
    """Build the database from data/, whole or not at all.

    On a server, postgresql+psycopg://USER@HOST/DATABASE, readers see the old data until the new are
    complete.
    """
    from specdb.build import build as build_database

    report = build_database(to, progress=_progress, data_dir=data_dir)
    click.echo(
        f"{report.where}: {report.rows} rows in {report.tables} tables, digest {report.digest}"
    )


@data.command()
@_folder
def check(data_dir: Path | None) -> None:
    """Check the rules across rows; prints every finding, exit code 1 if there is one."""
    from specdb.build import check as check_data

    findings = check_data(data_dir, progress=_progress)
    for finding in findings:
        click.echo(str(finding))
    click.echo(f"{len(findings)} finding{'' if len(findings) == 1 else 's'}.", err=True)
    if findings:
        raise SystemExit(1)


@data.command()
@_database
@_json
def releases(database: str | None, as_json: bool) -> None:
    """List the published releases, oldest first."""
    from specdb.build.history import published
    from specdb.store.asof import open_reader

    with closing(open_reader(database)) as reader:
        found = published(reader)
    if as_json:
        _print_json({"releases": found})
        return
    from specdb.cli import table

    lines = [
        [str(row["ordinal"]), row["version"], row["date"], row["digest"][:16], row["summary"]]
        for row in found
    ]
    header = ["no.", "release", "date", "digest begins", "summary"]
    click.echo(table.columns(lines, header) or "  no release is published yet; the rows are 'next'")


@data.command()
@click.argument("summary", required=False)
@click.option("--summary", "said", metavar="TEXT", help="What is new, in a line.")
@click.option("--version", metavar="YYYY.MM[.N]", help="Default: the date's month, numbered.")
@click.option("--date", metavar="YYYY-MM-DD", help="Default: today.")
@_folder
def publish(
    summary: str | None,
    said: str | None,
    version: str | None,
    date: str | None,
    data_dir: Path | None,
) -> None:
    """Turn the draft rows into the next release, after every check.

    Writes the release, what each table holds in it, and the digests; refuses with reasons, and
    never touches a row of an earlier release. SUMMARY says what is new in a line.
    """
    from specdb.build.publish import publish as publish_data

    made = publish_data(summary or said or "", version=version, date=date, data_dir=data_dir)
    click.echo(
        f"release {made.version}, number {made.ordinal}, of {made.date}: {made.drafts} new rows, "
        f"{sum(made.rows.values())} in {len(made.rows)} tables, digest {made.digest}"
    )
    click.echo("  build the database again: specdb data build", err=True)


@data.command()
@click.argument("before", metavar="A")
@click.argument("after", metavar="B")
@_database
@_json
@click.option("--markdown", is_flag=True, help="Print Markdown, for a changelog.")
def diff(before: str, after: str, database: str | None, as_json: bool, markdown: bool) -> None:
    """What came, was corrected and was withdrawn from release A to release B."""
    from specdb.build import history
    from specdb.store.asof import open_reader

    with closing(open_reader(database)) as reader:
        found = history.diff(reader, before, after)
    if as_json:
        _print_json(found.as_json())
    elif markdown:
        click.echo(history.markdown(found), nl=False)
    else:
        from specdb.cli import changes

        click.echo(changes.shown(found), nl=False)


@data.command()
@click.argument("where", metavar="[PATH|URL]", required=False)
@_json
def verify(where: str | None, as_json: bool) -> None:
    """Whether every published digest still holds, and every byte is as built.

    Default: the bundled database and the tables beside it. Also a database file, a folder of
    tables, or a server's URL. Exit code 1 where something does not hold.
    """
    from dataclasses import asdict

    from specdb.build.verify import verify as verify_data

    found = verify_data(where)
    if as_json:
        _print_json(asdict(found))
    else:
        for version, digest in found.holds.items():
            click.echo(f"release {version} holds: {digest}")
        for finding in found.findings:
            click.echo(str(finding))
    count = len(found.findings)
    for name in found.looked_at:
        click.echo(f"  looked at {name}", err=True)
    click.echo(f"{count} finding{'' if count == 1 else 's'}.", err=True)
    if count:
        raise SystemExit(1)


@data.command()
@click.argument("to", metavar="DIR")
@click.option("--zip", "zipped", is_flag=True, help="One archive, DIR.zip, instead of a folder.")
@click.option("--parquet", is_flag=True, help="Parquet files besides (the extra 'parquet').")
@click.option("--release", metavar="VERSION", help="Up to this release; default: the latest.")
@_database
def export(to: str, zipped: bool, parquet: bool, release: str | None, database: str | None) -> None:
    """Write the data in open formats: a Data Package, SQLite, JSON, and the sources to cite."""
    from specdb.build.export import export as export_data

    made = export_data(
        Path(to), release=release, where=database, zipped=zipped, parquet=parquet, say=_progress
    )
    click.echo(f"{made.path}: release {made.release}, {made.files} files, digest {made.digest}")


def _print_json(record: Any) -> None:
    click.echo(
        json.dumps(
            record, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
        )
    )


def _progress(text: str) -> None:
    click.echo(f"  {text}", err=True)
