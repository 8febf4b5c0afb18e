"""The README's HTTP example works against a real server."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

README = Path(__file__).resolve().parents[2] / "README.md"
ADDRESS = "http://127.0.0.1:8300"


def test_the_http_example_prints_the_recommended_press(
    served: str, capsys: pytest.CaptureFixture[str]
) -> None:
    blocks = re.findall(r"^```python\n(.*?)^```", README.read_text(encoding="utf-8"), re.M | re.S)
    asked = [block for block in blocks if ADDRESS in block]
    assert len(asked) == 1
    exec(compile(asked[0].replace(ADDRESS, served.rstrip("/")), "README.md", "exec"), {})
    least, most, release = capsys.readouterr().out.split()
    assert 0.1 < float(least) < 5 * 0.0254 < float(most)  # 5 thou lies inside (common practice)
    assert release
