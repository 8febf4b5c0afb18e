"""The bench questions as commands: refused in the exit code, answered in the words of the shop."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from specdb.cli.app import run

Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def specdb(database: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Run a question; gives exit code, standard output, standard error."""

    def ask(*args: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as stopped:
            run([*args, "--database", str(database)])
        out, err = capsys.readouterr()
        return int(stopped.value.code or 0), " ".join(out.split()), err

    return ask


OLD = ("removal", "--insert-diameter", "1.500 in", "--pilot", "6.98mm", "--wall", "0.4mm")


def test_a_cutter_that_could_touch_the_head_is_exit_1_with_the_figures(specdb: Ask) -> None:
    code, out, err = specdb(*OLD, "--runout", "0.9 mm", "--json")
    found = json.loads(out)
    assert (code, err) == (1, "")
    assert found["safe"] is False
    assert found["wall_min_mm"] == pytest.approx(-0.05)
    assert "refused" in found["why"]


def test_a_safe_one_is_exit_0_with_setting_and_hazards(specdb: Ask) -> None:
    code, out, _ = specdb(*OLD, "--runout", "4 thou")
    assert code == 0
    assert "tip over pilot 22.140 mm 0.8717 in" in out
    assert "phosgene" in out
    assert "beryllium" in out


def test_both_readings_of_the_same_thing_are_misuse(specdb: Ask) -> None:
    code, out, err = specdb(*OLD, "--runout", "0.1mm", "--eccentricity", "0.05mm")
    assert (code, out) == (2, "")
    assert "one of them" in err


def test_a_cut_says_what_the_insert_does_not_carry(specdb: Ask) -> None:
    code, out, _ = specdb(
        "cut",
        "--valve-diameter",
        "29",
        "--margin",
        "1.2",
        "--recess",
        "0.3",
        "--seat-width",
        "1.5",
        "--inset",
        "0.5",
        "--insert-diameter",
        "32",
        "--height",
        "6",
    )
    assert code == 0
    assert "top cut runs off the insert into the head" in out
    assert "seat edge in from valve edge, each side 0.500 mm" in out
    assert "insert left below the seat 2.939 mm" in out


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("deck", "--skim", "10 thou", "--chamber-area", "50 cm2"), "volume lost 1.27 cm3"),
        (("height", "--stem-old", "40", "--stem-new", "40.2"), "spring shim 0.200 mm"),
        (("guide", "--guide-middle", "7.2", "--stem-middle", "7"), "worn out"),
        (("loose", "welded-head", "--hardness-hb", "60"), "60, wanted 70 HB"),
    ],
)
def test_every_bench_question_answers_in_its_own_words(
    specdb: Ask, asked: tuple[str, ...], words: str
) -> None:
    code, out, err = specdb(*asked)
    assert (code, err) == (0, "")
    assert words in out
