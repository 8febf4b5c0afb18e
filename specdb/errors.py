"""The one family of errors that leaves specdb.

    SpecdbError
    |-- Misuse                exit 2, HTTP 400   the question itself is wrong
    |   |-- BadQuantity       text that cannot be read as the quantity asked for
    |   |-- BadRequest        arguments that contradict each other or are out of the possible
    |   |   `-- MissingArguments  arguments that were not given
    |   `-- UnknownName       a name that is not in the database ("did you mean")
    |-- NoAnswer              exit 1, HTTP 422   a good question the data cannot answer
    |   |-- OutOfRange        outside the range a curve or table is known in
    |   `-- NotKnown          no row holds what was asked
    |-- BadData               exit 1             rows that may not enter the database
    `-- StoreError            exit 1, HTTP 503   the database is missing, foreign or damaged

Each message says what was given, what was understood and what would be accepted.
Errors of the libraries below are never let through: whoever calls a library translates.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class SpecdbError(Exception):
    """Root of the family; `exit_code` is for the shell, `status` and `slug` for HTTP problems."""

    exit_code = 1
    status = 500
    slug = "error"

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.message}\n{self.hint}" if self.hint else self.message


class Misuse(SpecdbError):
    """The question cannot be understood or contradicts itself."""

    exit_code = 2
    status = 400
    slug = "misuse"

    def __init__(self, message: str, *, hint: str = "", field: str = "") -> None:
        super().__init__(message, hint=hint)
        self.field = field


class BadQuantity(Misuse):
    """Text that cannot be read as a quantity of the kind asked for."""

    slug = "bad-quantity"

    def __init__(
        self, given: object, *, understood: str, accepted: str, field: str = "", why: str = ""
    ) -> None:
        named = f"{field}: " if field else ""
        reason = f" ({why})" if why else ""
        super().__init__(
            f"{named}cannot read {given!r}{reason}.",
            hint=f"Understood: {understood}. Accepted: {accepted}.",
            field=field,
        )
        self.given, self.understood, self.accepted = given, understood, accepted
        self.why = why

    def at(self, field: str) -> BadQuantity:
        """The same refusal, naming the argument it belongs to."""
        return BadQuantity(
            self.given,
            understood=self.understood,
            accepted=self.accepted,
            field=field,
            why=self.why,
        )


class BadRequest(Misuse):
    """Arguments that contradict each other, or a size that cannot be."""

    slug = "bad-request"


class MissingArguments(BadRequest):
    """Arguments a question cannot do without and did not get."""

    def __init__(self, question: str, missing: Sequence[str], *, hint: str = "") -> None:
        super().__init__("", hint=hint, field=missing[0])
        self.question, self.missing = question, tuple(missing)
        self.say(self.missing)

    def say(self, names: Sequence[str]) -> None:
        """Name them so: a face calls its arguments as its users type them."""
        many = "s" if len(names) > 1 else ""
        self.message = f"{self.question} needs the argument{many} {', '.join(names)}."


class UnknownName(Misuse):
    """A name nobody here knows; carries the nearest known ones."""

    status = 404
    slug = "unknown-name"

    def __init__(self, kind: str, given: str, known: Iterable[str], *, field: str = "") -> None:
        names = sorted(set(known))
        near = nearest(str(given), names)
        if near:
            hint = "Did you mean " + " or ".join(near) + "?"
        elif not names:
            hint = "None is known yet."
        elif len(names) <= 24:
            hint = f"Known: {', '.join(names)}."
        else:
            hint = f"{len(names)} are known, for instance {', '.join(_telling(names))}."
        super().__init__(f"no {kind} is called {given!r}.", hint=hint, field=field)
        self.kind, self.given, self.near = kind, given, near


def _telling(names: Sequence[str], most: int = 6) -> list[str]:
    """A few names as examples, spread over all: keys before bare numbers, which say little."""
    keys = [name for name in names if name[:1].isalpha() and "-" in name and " " not in name]
    shown = keys if len(keys) >= most else names
    return [shown[at * len(shown) // most] for at in range(most)]


class NoAnswer(SpecdbError):
    """A good question that the data at hand cannot answer."""

    status = 422
    slug = "no-answer"


class OutOfRange(NoAnswer):
    """Outside the range a curve or a table is known in."""

    slug = "out-of-range"


class NotKnown(NoAnswer):
    """No row holds what was asked for."""

    slug = "not-known"


class StoreError(SpecdbError):
    """The database is missing, is not one of ours, is damaged or cannot be reached."""

    status = 503
    slug = "store"


@dataclass(frozen=True, slots=True, order=True)
class BadCell:
    """One reason why a row may not enter: file, line (1 = header), column, reason."""

    file: str
    line: int
    column: str
    reason: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.column}: {self.reason}"


class BadData(SpecdbError):
    """Every bad cell of a load, all of them, in order."""

    slug = "bad-data"

    def __init__(self, cells: Sequence[BadCell]) -> None:
        self.cells = tuple(sorted(cells))
        count = len(self.cells)
        lines = "\n".join(str(cell) for cell in self.cells)
        super().__init__(f"{count} problem{'s' if count != 1 else ''} in the data:\n{lines}")


def nearest(given: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Up to `most` known names that look like `given`, best first."""
    names = list(known)
    folded = {name.casefold(): name for name in names}
    given = given.casefold()
    hits = difflib.get_close_matches(given, list(folded), n=most, cutoff=0.6)
    hits += [name for name in folded if len(given) > 2 and given in name and name not in hits]
    return [folded[hit] for hit in hits[:most]]
