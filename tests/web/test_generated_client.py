"""A client made from our description by a generator for any API, which knows nothing of ours."""

from __future__ import annotations

import importlib
import subprocess
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from specdb.answers.registry import QUESTIONS
from specdb.web.openapi import takes_table

if TYPE_CHECKING:
    import httpx

pytest.importorskip("openapi_python_client")

PACKAGE = "made_from_the_description"
UNREAD = "Unsupported content type text/csv"
"""The one thing the generator leaves out: the table of a head as CSV. It takes it as JSON."""


@pytest.fixture(scope="module")
def made(ask: httpx.Client, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The name of the generated package, and that the generator had nothing to say but `UNREAD`."""
    place = tmp_path_factory.mktemp("client")
    described, settings = place / "openapi.json", place / "settings.yml"
    described.write_bytes(ask.get("/api/v1/openapi.json").content)
    settings.write_text("post_hooks: []\n")
    run = "from openapi_python_client.cli import app; app()"
    given = ["--path", str(described), "--config", str(settings), "--meta", "none"]
    to = ["--output-path", str(place / PACKAGE), "--fail-on-warning"]
    command = [sys.executable, "-c", run, "generate", *given, *to]
    done = subprocess.run(command, capture_output=True, text=True)
    said = done.stdout + done.stderr
    assert said.count("WARNING") == said.count(UNREAD) == 1, said
    sys.path.insert(0, str(place))
    yield PACKAGE
    sys.path.remove(str(place))


@pytest.fixture
def client(made: str, served: str) -> Iterator[Any]:
    opened = importlib.import_module(f"{made}.client").Client(
        base_url=served, timeout=60, raise_on_unexpected_status=True
    )
    with opened:
        yield opened


def part(made: str, name: str) -> Any:
    return importlib.import_module(f"{made}.{name}")


def test_a_question_is_asked(made: str, client: Any) -> None:
    models, api = part(made, "models"), part(made, "api.questions.fit")
    got = api.sync(
        client=client,
        insert_diameter="38.16 mm",
        bore=38.02,
        insert_inner="31 mm",
        height="8 mm",
        head="al-si7mg-t6",
        insert="sintered-tool-steel",
        position=models.FitPosition.EXHAUST,
    )
    assert isinstance(got, models.FitResult)
    assert isinstance(got.interference_mm, models.Estimate)
    assert got.interference_mm.value == pytest.approx(38.16 - 38.02)
    assert got.interference_mm.low <= got.interference_mm.value <= got.interference_mm.high
    named = {row for each in (got.pressure_mpa, got.grip_lost_c) if each for row in each.sources}
    assert named
    assert named <= set(got.facts.additional_properties), "every row is told of"


def test_a_list_is_a_repeated_parameter(made: str, client: Any) -> None:
    got = part(made, "api.questions.sizes").sync(
        client=client, bore=["38.05", 38.06], head="aluminium", insert="sintered-tool-steel"
    )
    assert (got.measured.smallest_mm, got.measured.largest_mm) == (38.05, 38.06)


def test_a_head_is_posted(made: str, client: Any) -> None:
    models = part(made, "models")
    rows = [
        models.SeatRow(label=label, bore=[bore, bore + 0.01], depth=8.2)
        for label, bore in (("1E", 38.05), ("2E", 38.07))
    ]
    body = models.HeadRequest(rows, head="al-si7mg-t6", insert="sintered-tool-steel")
    got = part(made, "api.questions.head").sync(client=client, body=body)
    assert isinstance(got, models.HeadPlan)
    assert list(got.seats.additional_properties) == ["1E", "2E"]
    assert got.bad_rows == []


def test_a_refusal_arrives_as_a_problem(made: str, client: Any) -> None:
    models, api = part(made, "models"), part(made, "api.questions.interference")
    got = api.sync_detailed(client=client, head="aluminium", insert="bronze", diameter="38.05 kg")
    assert got.status_code == 400
    assert isinstance(got.parsed, models.Problem)
    assert got.parsed.field == "diameter"
    assert got.parsed.type_.value == "/api#bad-quantity"


@pytest.mark.parametrize(
    "name", [each.name for each in QUESTIONS.values() if not takes_table(each)]
)
def test_no_field_of_an_answer_is_lost(made: str, ask: httpx.Client, name: str) -> None:
    question = QUESTIONS[name]
    plain = ask.get(f"/api/v1/{name}", params=question.example).json()
    model = getattr(part(made, "models"), question.result_type().__name__)
    record = model.from_dict(plain)
    assert getattr(record, "additional_properties", {}) == {}
    assert record.to_dict() == plain
