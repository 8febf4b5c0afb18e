"""A sum over every page of a SQLite file, kept in the file: any byte that turns is found.

SQLite itself checks the shape of its trees, not their bytes. The sums stand as text in `meta`, in
rows `pages.0000` and up, eight digits a page. They are put in last, in the place of stand-ins of
the same length, and every sum is taken with the stand-ins in place.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Iterator
from pathlib import Path

from specdb.errors import StoreError

KEY = "pages."
_ROW = 400
"""Sums a row: the text stays inside one page."""
_DIGITS = 8
_WHOLE = f"{KEY}all"
"""Key of the digest over all sums, which tells a turned sum from a turned page."""
_STAND_IN = "unsealed" * 8


def stand_ins(pages: int) -> dict[str, str]:
    """Rows of `meta` for a file of so many pages, to be sealed."""
    rows = {_key(start): f"seal{start:04}" * count for start, count in _spans(pages)}
    return {**rows, _WHOLE: _STAND_IN}


def _spans(pages: int) -> Iterator[tuple[int, int]]:
    for number, first in enumerate(range(0, pages, _ROW)):
        yield number, min(_ROW, pages - first)


def _key(number: int) -> str:
    return f"{KEY}{number:04}"


def seal(path: Path) -> None:
    """Put the sums into a file that holds the stand-ins for its own number of pages."""
    data = bytearray(path.read_bytes())
    size, pages = _shape(data)
    sums = _sums(bytes(data), size, pages)
    for key, text in stand_ins(pages).items():
        at = data.index(f"{key}{text}".encode()) + len(key)
        data[at : at + len(text)] = _sealed(key, sums).encode()
    path.write_bytes(data)


def broken_pages(path: Path) -> list[int]:
    """The pages (1 is the first) whose bytes are not those the file was made with.

    Raises StoreError where the sums themselves are missing or damaged.
    """
    data = bytearray(path.read_bytes())
    size, pages = _shape(data)
    said = ""
    whole = ""
    for key, text in stand_ins(pages).items():
        at = data.find(key.encode(), size) + len(key)
        while at >= len(key) and not _looks_sealed(data[at : at + len(text)]):
            at = data.find(key.encode(), at) + len(key)
        if at < len(key):
            raise StoreError(f"{path}: table meta: the sums over the pages are missing ({key}).")
        found = data[at : at + len(text)].decode()
        data[at : at + len(text)] = text.encode()
        if key == _WHOLE:
            whole = found
        else:
            said += found
    if hashlib.sha256(said.encode()).hexdigest() != whole:
        raise StoreError(f"{path}: table meta: the sums over the pages are damaged.")
    now = _sums(bytes(data), size, pages)
    parts = range(0, len(said), _DIGITS)
    return [
        number
        for number, start in enumerate(parts, 1)
        if said[start : start + _DIGITS] != now[start : start + _DIGITS]
    ]


def _looks_sealed(text: bytes | bytearray) -> bool:
    return len(text) > 0 and not set(text) - set(b"0123456789abcdef")


def _shape(data: bytes | bytearray) -> tuple[int, int]:
    """Bytes a page and number of pages, by the header."""
    size = int.from_bytes(data[16:18], "big")
    return (65536 if size == 1 else size), int.from_bytes(data[28:32], "big")


def _sums(data: bytes, size: int, pages: int) -> str:
    return "".join(
        f"{zlib.crc32(data[page * size : (page + 1) * size]):08x}" for page in range(pages)
    )


def _sealed(key: str, sums: str) -> str:
    if key == _WHOLE:
        return hashlib.sha256(sums.encode()).hexdigest()
    row = int(key.removeprefix(KEY)) * _ROW * _DIGITS
    return sums[row : row + _ROW * _DIGITS]
