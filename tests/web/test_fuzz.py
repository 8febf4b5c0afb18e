"""The API asked at random by its own description: no failure, nothing undescribed.

The usual budget is small and seeded; the soak draws many times as many.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import schemathesis

# imported here, not by the test's first draw: deep in its stack CPython 3.11 may lose count of
# its own recursion while a module is compiled
import schemathesis.specs.openapi.schemas
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import checks

if TYPE_CHECKING:
    import httpx

SOAK = os.environ.get("SPECDB_BUDGET") == "soak"
EXAMPLES = 400 if SOAK else 12


def test_nothing_drawn_from_the_description_fails(ask: httpx.Client) -> None:
    described = schemathesis.openapi.from_url(f"{ask.base_url}/api/v1/openapi.json")
    wanted = [
        checks.not_a_server_error,
        *checks.CHECKS.get_by_names(
            ["status_code_conformance", "content_type_conformance", "response_schema_conformance"]
        ),
    ]
    asked = 0
    for found in described.get_all_operations():
        operation = found.ok()

        def call(case: object) -> None:
            nonlocal asked
            asked += 1
            case.call_and_validate(checks=wanted, timeout=60)  # type: ignore[attr-defined]

        drawn = settings(
            max_examples=EXAMPLES,
            deadline=None,
            database=None,
            derandomize=not SOAK,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        drawn(given(case=operation.as_strategy())(call))()
    assert asked > 50
