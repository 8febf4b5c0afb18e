"""The curator's commands: build and check the reference data."""

from __future__ import annotations

from pathlib import Path

import click


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def data() -> None:
    """Build, check and release the reference data (curators)."""


@data.command()
@click.option(
    "--to",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Where to; default: this checkout's own.",
)
def build(to: Path | None) -> None:
    """Build the database from data/, whole or not at all."""
    from specdb.build import build as build_database

    report = build_database(to, progress=_progress)
    click.echo(
        f"{report.path}: {report.rows} rows in {report.tables} tables, digest {report.digest}"
    )


@data.command()
def check() -> None:
    """Check the rules across rows; prints every finding, exit code 1 if there is one."""
    from specdb.build import check as check_data

    findings = check_data(progress=_progress)
    for finding in findings:
        click.echo(str(finding))
    click.echo(f"{len(findings)} finding{'' if len(findings) == 1 else 's'}.", err=True)
    if findings:
        raise SystemExit(1)


def _progress(text: str) -> None:
    click.echo(f"  {text}", err=True)
