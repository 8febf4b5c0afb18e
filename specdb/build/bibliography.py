"""The sources as CSL-JSON and as BibTeX, for whoever cites a figure.

The data themselves are the first entry. A source that is no document (a rule of the trade, a
recollection, a computation) is cited as what it is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

Source = Mapping[str, str | None]

_CSL = {
    "standard": "standard",
    "handbook": "book",
    "textbook": "book",
    "paper": "article-journal",
    "report": "report",
    "manual": "report",
    "patent": "patent",
    "open-dataset": "dataset",
    "web-reference": "webpage",
    "magazine": "article-magazine",
    "newspaper": "article-newspaper",
}
"""Kind of source -> type in CSL; anything else is a `document`."""
_BIBTEX = {
    "book": "book",
    "article-journal": "article",
    "article-magazine": "article",
    "article-newspaper": "article",
    "report": "techreport",
}
_YEAR = re.compile(r"(?:1[5-9]|20)\d\d")
_ESCAPES = str.maketrans(
    {
        "\\": r"\textbackslash{}",
        "{": r"\{",
        "}": r"\}",
        "&": r"\&",
        "%": r"\%",
        "$": r"\$",
        "#": r"\#",
        "_": r"\_",
        "~": r"\textasciitilde{}",
        "^": r"\textasciicircum{}",
    }
)
TITLE = "Sourced sizes, fits, temperatures and seat geometry for valve-seat work"


def write(folder: Path, sources: Iterable[Source], release: str, digest: str) -> None:
    """`sources.json` (CSL-JSON) and `sources.bib` (BibTeX) into `folder`."""
    entries = [_itself(release, digest), *(_entry(source) for source in sources)]
    text = json.dumps(entries, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    (folder / "sources.json").write_text(text, encoding="utf-8", newline="\n")
    head = f"% Sources of specdb data, release {release}, digest {digest}\n"
    bib = "\n".join([head, *map(_bibtex, entries)])
    (folder / "sources.bib").write_text(bib, encoding="utf-8", newline="\n")


def _itself(release: str, digest: str) -> dict[str, Any]:
    return {
        "id": "specdb-data",
        "type": "dataset",
        "title": TITLE,
        "author": [{"literal": "the specdb contributors"}],
        "version": release,
        "note": f"release {release}; digest sha256:{digest}",
    }


def _entry(source: Source) -> dict[str, Any]:
    """One source in CSL-JSON; empty fields are left out."""
    year = _YEAR.search(source["year"] or "")
    body = source["author_or_body"]
    entry: dict[str, Any] = {
        "id": source["key"],
        "type": _CSL.get(source["kind"] or "", "document"),
        "title": source["title"],
        "author": [{"literal": body}] if body else None,
        "issued": {"date-parts": [[int(year[0])]]} if year else None,
        "number": source["identifier"],
        "URL": _link(source["url"]),
        "genre": source["kind"],
        "note": source["note"],
    }
    return {name: value for name, value in entry.items() if value}


def _link(text: str | None) -> str | None:
    match = re.search(r"https?://\S+", text or "")
    return match[0].rstrip(";,") if match else None


def _bibtex(entry: Mapping[str, Any]) -> str:
    fields = {
        "title": entry["title"],
        "author": "; ".join(each["literal"] for each in entry.get("author", [])),
        "year": str(entry["issued"]["date-parts"][0][0]) if "issued" in entry else "",
        "number": entry.get("number", ""),
        "version": entry.get("version", ""),
        "howpublished": entry.get("genre", ""),
        "note": entry.get("note", ""),
    }
    lines = [
        f"  {name} = {{{'{' if name == 'author' else ''}{value.translate(_ESCAPES)}"
        f"{'}' if name == 'author' else ''}}},"
        for name, value in fields.items()
        if value
    ]
    if "URL" in entry:
        lines.append(f"  url = {{{entry['URL']}}},")
    kind = _BIBTEX.get(entry["type"], "misc")
    return "\n".join([f"@{kind}{{{entry['id']},", *lines, "}", ""])
