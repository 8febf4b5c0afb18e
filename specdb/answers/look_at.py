"""What to look at: the gravest first, and of a head what many seats share said once.

The texts come from the answers that found something; here they are only put in order, by how they
begin. What begins like none of these is told last.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from specdb.records.head import LookAt

STOPS = (
    "No size serves",
    "No ring listed is high enough",
    "No pair of heat and chill",
    "Not with the others",
    "Old ring",
    "Negative bridge",
    "The bridge is thinner",
)
"""No work goes on before these are settled."""
ACTS = (
    "Which valve",
    "One reading",
    "Not as found: ovality",
    "Not as found: taper",
    "Not as found: pits",
    "Not as found: .* misses by",
    "Your ",
    "Run-out",
    "no press left",
    "the whole wall",
    "this ring yields",
    "the head may crack",
    "a brittle ring past",
    "the head yields",
    r"\d+ HB",
    r"(welded|soft) head",
    r"[\d.]+ degC is above",
    "More than",
    "Some of these leave",
    r"[^:]*: bore window",
    r"[^:]*: [\d.]+ mm higher",
    "The list",
    "Seat:",
    "Only ",
    "at the loose end",
    "at the tight end",
    "lets go",
    "on your shelf",
)
"""What changes what is done."""
_ORDER = tuple(re.compile(each) for each in (*STOPS, *ACTS))
_NUMBER = re.compile(r"(?<![\w.-])-?\d+(?:\.\d+)?(?: to -?\d+(?:\.\d+)?)?(?![\w]|\.\d|-\w)")
"""A figure, or a span of two, that is no part of a name."""
_SIZES = re.compile(r"\d|Not as found: \d|on your shelf|No ring listed")
"""What names a size of a ring."""
_RING = re.compile(r"(?:Not as found: )?\d+\.\d+ mm\b|on your shelf: .* of the list")
"""How what is said of one ring begins: of another ring it is another thing to look at."""
MOST_LABELS = 40
"""Seats named of a text: a head has fewer, a longer table is counted."""


def weight(text: str) -> int:
    """How much a text matters: the less, the more."""
    return next((at for at, each in enumerate(_ORDER) if each.match(text)), len(_ORDER))


def in_order(texts: Iterable[str]) -> tuple[str, ...]:
    """Each text once, the gravest first."""
    return tuple(sorted(dict.fromkeys(texts), key=weight))


@dataclass(slots=True)
class _Kind:
    """Texts that differ in their figures alone: the texts' frame, the least and greatest of each
    figure, and the seats."""

    frame: list[str]
    spans: list[tuple[str, str]]
    labels: list[str] = field(default_factory=list)
    seats: int = 0


class Gathered:
    """What to look at of many seats, each kind of text once. Holds little of each, however many."""

    def __init__(self) -> None:
        self._kinds: dict[tuple[str, ...], _Kind] = {}
        self._seats = 0

    def add(self, label: str, position: str, texts: Iterable[str]) -> None:
        """What is to be looked at of one more seat. Inlets and exhausts take rings of two sizes:
        what names a size is kept apart, and so is what is said of one ring from that of another."""
        self._seats += 1
        mine: set[tuple[str, ...]] = set()
        for text in texts:
            frame, spans = _taken_apart(text)
            ring = _RING.match(text)
            key = (*frame, position if _SIZES.match(text) else "", ring[0] if ring else "")
            kind = self._kinds.setdefault(key, _Kind(frame, spans))
            kind.spans = [_wider(*each) for each in zip(kind.spans, spans, strict=True)]
            if key not in mine:
                mine.add(key)
                kind.seats += 1
                if len(kind.labels) < MOST_LABELS:
                    kind.labels.append(label)

    def told(self) -> tuple[LookAt, ...]:
        """First what stops the work, then what concerns a few seats, then what most share; of each
        the gravest first."""
        found = [
            LookAt(
                text=_whole(kind),
                labels=tuple(kind.labels),
                seats=kind.seats,
                all_seats=kind.seats == self._seats,
            )
            for kind in self._kinds.values()
        ]
        return tuple(sorted(found, key=self._place))

    def _place(self, each: LookAt) -> tuple[bool, bool, int, int, str]:
        at = weight(each.text)
        shared = 2 * each.seats > self._seats and self._seats > 1
        return at >= len(STOPS), shared, at, each.seats, each.text


def _taken_apart(text: str) -> tuple[list[str], list[tuple[str, str]]]:
    """The words of a text, and the figures between them, each as a span."""
    frame = _NUMBER.split(text)
    spans = []
    for found in _NUMBER.findall(text):
        low, _, high = found.partition(" to ")
        spans.append((low, high or low))
    return frame, spans


def _wider(one: tuple[str, str], other: tuple[str, str]) -> tuple[str, str]:
    return min(one[0], other[0], key=float), max(one[1], other[1], key=float)


def _whole(kind: _Kind) -> str:
    said = list(_pieces(kind))
    return "".join(said)


def _pieces(kind: _Kind) -> Iterator[str]:
    yield kind.frame[0]
    for (low, high), words in zip(kind.spans, kind.frame[1:], strict=True):
        yield low if low == high else f"{low} to {high}"
        yield words
