"""A picture and what it says in words; the paper, pens and colours every one is drawn with.

Colours are names of the style sheet: the drawing library is given stand-ins, replaced in
the finished text, so that a picture follows the dark theme and the printer. Lines differ by dash
and marker as well as by colour, for whoever sees colours differently.
"""

from __future__ import annotations

import io
import os
import re
import tempfile
import threading
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, FAINT, MAIN, BAND, OTHER, PAPER = (
    "#010101", "#020202", "#030303", "#040404", "#050505", "#060606",
)  # fmt: skip
_NAMES = {
    INK: "--ink",
    FAINT: "--line",
    MAIN: "--accent",
    BAND: "--accent-soft",
    OTHER: "--second",
    PAPER: "--paper",
}
SERIES = (("#010101", "o", "-"), ("#030303", "s", "--"), ("#050505", "^", "-."))
"""Pen, marker and dash of lines that are told apart."""
_LOCK = threading.Lock()


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as SVG text, its title, what it shows in words, and the figures behind it."""

    key: str
    title: str
    svg: str
    words: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    on_paper: bool = False
    """Drawn in black for white paper, whatever the theme."""


@cache
def _import_library() -> None:
    """Import the drawing library without leaving anything on the disk.

    While it is imported it makes folders in the home of whoever runs it and puts its list of fonts
    there. Told of a folder that goes right after, it keeps the list in memory.
    """
    place = "MPLCONFIGDIR"
    if os.environ.get(place):  # somebody wants it kept
        import matplotlib.font_manager

        return
    with tempfile.TemporaryDirectory(prefix="specdb-fonts-") as folder:
        os.environ[place] = folder
        try:
            import matplotlib.font_manager  # noqa: F401
        finally:
            del os.environ[place]


def paper(height: float) -> tuple[Figure, Axes]:
    """An empty drawing 6.4 inches wide, with quiet axes."""
    with _LOCK:
        _import_library()
    from matplotlib.figure import Figure

    figure = Figure(figsize=(6.4, height), layout="constrained")
    axes = figure.add_subplot()
    figure.patch.set_alpha(0)
    axes.patch.set_alpha(0)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(FAINT)
    axes.tick_params(colors=INK, labelsize=10)
    axes.grid(visible=True, color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    return figure, axes


def labelled(axes: Axes, across: str, up: str) -> None:
    """Names on the two axes, with their units."""
    axes.set_xlabel(across, color=INK, fontsize=11)
    axes.set_ylabel(up, color=INK, fontsize=11)


def key(axes: Axes, **options: Any) -> None:
    """A key to lines and marks."""
    axes.legend(frameon=False, labelcolor=INK, fontsize=10, **options)


def svg(figure: Figure, name: str, title: str, words: str) -> str:
    """The finished drawing, the same text every time; `name` keeps its ids apart from others'."""
    import matplotlib

    options: Any = {"svg.fonttype": "none", "svg.hashsalt": name, "font.family": "sans-serif"}
    out = io.StringIO()
    with _LOCK, matplotlib.rc_context(options):
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return _themed(out.getvalue(), name, title, words)


def _themed(text: str, name: str, title: str, words: str) -> str:
    from html import escape

    body = text[text.index("<svg") :]
    body = re.sub(r"<metadata>.*?</metadata>", "", body, flags=re.S)
    for stand_in, colour in _NAMES.items():
        body = body.replace(stand_in, f"var({colour})")
    body = re.sub(r"(\bid=\"|url\(#|href=\"#)", rf"\g<1>{name}-", body)
    body = re.sub(r"font: ([\d.]+)px [^;\"]*", r"font: \1px sans-serif", body)
    head = re.match(r"<svg[^>]*>", body)
    box = re.search(r'viewBox="([^"]*)"', body)
    start = (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'viewBox="{box.group(1) if box else "0 0 460 300"}" role="img" '
        f'aria-labelledby="{name}-title {name}-words" class="drawing">'
        f'<title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-words">{escape(words)}</desc>'
    )
    return start + body[head.end() if head else 0 :]
