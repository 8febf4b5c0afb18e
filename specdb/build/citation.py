"""How the data is cited: `data/CITATION.cff`, printed from the latest release."""

from __future__ import annotations

NAME = "CITATION.cff"


def text(version: str, date: str, digest: str) -> str:
    """The whole file, for a release; before the first one `version` is the draft, undated."""
    lines = [
        "cff-version: 1.2.0",
        "message: If you use these data, please cite them with the release and its digest.",
        "type: dataset",
        "title: Sourced sizes, fits, temperatures and seat geometry for valve-seat work",
        "abstract: >-",
        "  Curated facts for the fitting of valve-seat inserts and guides, each with its source,",
        "  the place in the source and how the source was seen.",
        "authors:",
        "  - name: the specdb contributors",
        "license: CC-BY-4.0",
        f'version: "{version}"',
    ]
    if date:
        lines.append(f"date-released: {date}")
    if digest:
        lines += [
            "identifiers:",
            "  - type: other",
            f"    value: sha256:{digest}",
            "    description: digest over the rows of the release, cell text as written",
        ]
    return "\n".join(lines) + "\n"
