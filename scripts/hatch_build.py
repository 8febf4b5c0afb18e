"""Builds the database into the wheel, from the tables in `data/`, while the wheel is made.

Works from any exported tree: no version control, no installed specdb, nothing but the source
tree and the build requirements of pyproject.toml. An editable install gets no database: a checkout
builds its own with `specdb data build`.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class DatabaseHook(BuildHookInterface[Any]):
    """Adds `data/`, `schema/` and the database to the wheel, inside the package.

    Not to an editable install, where copies would only grow old beside the checkout's own.
    """

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build into a temporary folder and have it included; bad rows stop the wheel."""
        if version == "editable":
            return
        for name in ("data", "schema"):
            build_data["force_include"][str(Path(self.root) / name)] = f"specdb/_{name}"
        self._folder = tempfile.TemporaryDirectory(prefix="specdb-wheel-")
        path = Path(self._folder.name) / "specdb.sqlite"
        self._build(path)
        build_data["force_include"][str(path)] = "specdb/_database/specdb.sqlite"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Clear the temporary folder away."""
        if version != "editable":
            self._folder.cleanup()

    def _build(self, path: Path) -> None:
        sys.path.insert(0, self.root)
        try:
            from specdb.build import build

            build(path, self.app.display_info, data_dir=Path(self.root) / "data")
        finally:
            sys.path.remove(self.root)
