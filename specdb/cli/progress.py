"""Progress of long work on standard error, on a terminal only and once it has taken a second."""

from __future__ import annotations

import sys
import time

AFTER_S = 1.0
EVERY_S = 0.1
WIDE = 28


class Progress:
    """A bar for work of `total` steps; call it with what is done and how far."""

    def __init__(self, total: int | None = None) -> None:
        self.total = total
        self._shown = sys.stderr.isatty()
        self._start = self._last = time.monotonic()
        self._drawn = False

    def __call__(self, what: str, done: int) -> None:
        """Say how far it is, unless that was said a moment ago."""
        now = time.monotonic()
        if not self._shown or now - self._start < AFTER_S or now - self._last < EVERY_S:
            return
        self._last, self._drawn = now, True
        sys.stderr.write(f"\r{self._line(what, done)}\x1b[K")
        sys.stderr.flush()

    def _line(self, what: str, done: int) -> str:
        if not self.total:
            return f"  {what}: {done}"
        full = int(WIDE * min(done / self.total, 1.0))
        return f"  {what} [{'#' * full}{'.' * (WIDE - full)}] {done} of {self.total}"

    def close(self) -> None:
        """Wipe the bar away, so that what follows stands on a clean line."""
        if self._drawn:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
