"""A folder as one zip archive, the same bytes for the same files."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

_DAY = (1980, 1, 1, 0, 0, 0)
"""The first day a zip can name; the files' own times would differ from export to export."""


def pack(folder: Path, target: Path) -> None:
    """Put every file of `folder` below its name into `target`, whole or not at all."""
    fresh = target.with_name(f".{target.name}.{os.getpid()}.packing")
    try:
        with zipfile.ZipFile(fresh, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in sorted(folder.rglob("*")):
                if path.is_file():
                    name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
                    entry = zipfile.ZipInfo(name, _DAY)
                    entry.compress_type = zipfile.ZIP_DEFLATED
                    entry.external_attr = 0o644 << 16
                    archive.writestr(entry, path.read_bytes())
        os.replace(fresh, target)
    finally:
        fresh.unlink(missing_ok=True)
