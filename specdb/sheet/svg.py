"""Pieces of a drawing in SVG: paths, hatching, words, dimension lines. Units are mm on paper.

Everything is black on white, told apart by line width, dashes and hatching, so that a poor copy
still reads.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

Point = tuple[float, float]
WORDS_MM = 3.1
"""Height of the words of a drawing."""
ARROW_MM = 1.6


def drawing(
    name: str,
    title: str,
    width: float,
    height: float,
    pieces: Iterable[str],
    *,
    role: str = "img",
) -> str:
    """The whole picture, `width` by `height` mm; `name` makes its ids its own on a page. `role` is
    `group` where pieces of it can be followed, which those of an image cannot.
    """
    body = "\n".join(pieces)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="{role}" aria-labelledby="{name}-title" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" width="{width:.2f}mm" height="{height:.2f}mm" '
        f'font-family="Helvetica, Arial, sans-serif" font-size="{WORDS_MM}">'
        f'<title id="{name}-title">{escape(title)}</title>\n{body}\n</svg>'
    )


def link(to: str, name: str, drawn: str) -> str:
    """A piece that leads somewhere, called `name` where it is not seen."""
    return f'<a href="{escape(to)}" aria-label="{escape(name)}">{drawn}</a>'


def hatching(name: str, apart: float, angle: float) -> str:
    """A pattern of thin lines `apart` mm, to fill a shape with."""
    return (
        f'<pattern id="{name}" width="{apart}" height="{apart}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate({angle})"><line x1="0" y1="0" x2="0" y2="{apart}" '
        'stroke="black" stroke-width="0.18"/></pattern>'
    )


def outline(points: Sequence[Point], *, fill: str = "none", wide: float = 0.35) -> str:
    """A closed shape."""
    path = " L".join(f"{x:.3f} {y:.3f}" for x, y in points)
    return f'<path d="M{path} Z" fill="{fill}" stroke="black" stroke-width="{wide}"/>'


def line(one: Point, other: Point, *, wide: float = 0.18, dashes: str = "") -> str:
    """A straight line."""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<line x1="{one[0]:.3f}" y1="{one[1]:.3f}" x2="{other[0]:.3f}" y2="{other[1]:.3f}" '
        f'stroke="black" stroke-width="{wide}"{dashed}/>'
    )


def circle(centre: Point, radius: float, *, fill: str = "white", wide: float = 0.35) -> str:
    """A circle."""
    return (
        f'<circle cx="{centre[0]:.3f}" cy="{centre[1]:.3f}" r="{radius:.3f}" fill="{fill}" '
        f'stroke="black" stroke-width="{wide}"/>'
    )


def words(
    at: Point, text: str, *, anchor: str = "middle", size: float = WORDS_MM, bold: bool = False
) -> str:
    """A line of words, their foot at `at`, on a white ground so that no line runs through."""
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{at[0]:.3f}" y="{at[1]:.3f}" text-anchor="{anchor}" font-size="{size}"{weight} '
        'stroke="white" stroke-width="0.9" paint-order="stroke" stroke-linejoin="round">'
        f"{escape(text)}</text>"
    )


def across(left: float, right: float, at: float, text: str, starts: float) -> list[str]:
    """A horizontal dimension at height `at`, its thin lines drawn from height `starts`."""
    over = 1.0 if at > starts else -1.0
    helpers = [line((x, starts), (x, at + over), wide=0.13) for x in (left, right)]
    return [
        *helpers,
        line((left, at), (right, at)),
        _arrow((left, at), 1, 0),
        _arrow((right, at), -1, 0),
        words(((left + right) / 2, at - 0.9), text),
    ]


def upright(top: float, bottom: float, at: float, text: str, starts: float) -> list[str]:
    """A vertical dimension at `at`, its thin lines drawn from `starts`, the words beside it."""
    over = 1.0 if at > starts else -1.0
    helpers = [line((starts, y), (at + over, y), wide=0.13) for y in (top, bottom)]
    narrow = bottom - top < 2 * ARROW_MM + 1
    arrows = [
        _arrow((at, top), 0, -1 if narrow else 1),
        _arrow((at, bottom), 0, 1 if narrow else -1),
    ]
    anchor = "start" if over > 0 else "end"
    beside = (at + 1.2 * over, (top + bottom) / 2 + WORDS_MM / 3)
    return [*helpers, line((at, top), (at, bottom)), *arrows, words(beside, text, anchor=anchor)]


def _arrow(tip: Point, along: int, down: int) -> str:
    """A slim arrowhead at `tip`, its body lying towards (`along`, `down`)."""
    x, y = tip
    half = ARROW_MM / 6
    back = (x + along * ARROW_MM, y + down * ARROW_MM)
    one = (back[0] + down * half, back[1] + along * half)
    other = (back[0] - down * half, back[1] - along * half)
    path = " L".join(f"{a:.3f} {b:.3f}" for a, b in (tip, one, other))
    return f'<path d="M{path} Z" fill="black"/>'
