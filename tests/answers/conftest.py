"""Every question's test runs on the file and on the server."""

from __future__ import annotations

from tests.both import db, reader

__all__ = ["db", "reader"]
