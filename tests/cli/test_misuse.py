"""Wrong input costs nothing but a clear message: what was given, understood, accepted; no
traceback.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from specdb.cli.app import run

ROOT = Path(__file__).resolve().parents[2]

FIT = {
    "--insert-diameter": "38.16 mm",
    "--bore": "38.02 mm",
    "--insert-inner": "31 mm",
    "--height": "8 mm",
    "--head": "al-si7mg-t6",
    "--insert": "sintered-tool-steel",
}
"""A fit in alloy that every test here changes in one place."""


@pytest.fixture
def specdb(bundled: Path, capsys: pytest.CaptureFixture[str]):
    """Run the command; gives exit code, standard output, standard error."""

    def ask(*args: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as stopped:
            run(list(args))
        out, err = capsys.readouterr()
        return int(stopped.value.code or 0), out, err

    return ask


def fit_with(**changed: str) -> list[str]:
    options = FIT | {f"--{name.replace('_', '-')}": text for name, text in changed.items()}
    return ["fit", *(word for option in options.items() for word in option)]


def test_the_unchanged_fit_is_answered(specdb) -> None:
    code, out, err = specdb(*fit_with(), "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["interference_mm"]["value"] == pytest.approx(0.14)


REFUSED = [
    ({"head": "al-si7mg-t7"}, ["al-si7mg-t7", "Did you mean", "al-si7mg-t6"]),
    ({"bore": "38 kg"}, ["bore", "38 kg", "mass", "Accepted"]),
    ({"bore": "-38"}, ["bore", "-38"]),
    ({"bore": "0"}, ["bore", "0"]),
    ({"bore": "nan"}, ["bore", "nan"]),
    ({"bore": "inf"}, ["bore", "inf"]),
    ({"bore": "1e400 mm"}, ["bore", "1e400"]),
    ({"bore": "38,105 mm"}, ["bore", "38,105", "ambiguous"]),
    ({"bore": "2**3 mm"}, ["bore", "2**3"]),
    ({"bore": "thirty eight"}, ["bore", "thirty eight", "Accepted"]),
    ({"bore": ""}, ["bore"]),
    ({"bore": "38.30 mm"}, ["38.3", "38.16"]),
    ({"bore": "1.498"}, ["--bore", "1.498 mm? did you mean 1.498 in?"]),
    ({"insert_diameter": "1,5"}, ["--insert-diameter", "1.5 mm? did you mean 1.5 in?"]),
    ({"bore": "1498"}, ["--bore", "1498 mm? did you mean 1498 thou?"]),
    ({"bore": "998"}, ["--bore", "998 mm? did you mean 998 thou?"]),
    ({"insert_inner": "39 mm"}, ["39", "38.16"]),
    ({"head_temperature": "2 mm"}, ["--head-temperature", "2 mm"]),
    ({"surface": "wet"}, ["surface", "wet", "dry", "oiled"]),
]


@pytest.mark.parametrize(("changed", "said"), REFUSED, ids=lambda each: str(each)[:40])
def test_a_wrong_argument_is_named_and_nothing_is_printed(specdb, changed, said) -> None:
    code, out, err = specdb(*fit_with(**changed))
    assert code == 2, err
    assert out == ""
    assert "Traceback" not in err
    for words in said:
        assert words in err


def test_a_temperature_outside_the_curve_has_no_answer_and_names_the_range(specdb) -> None:
    code, _, err = specdb(*fit_with(head_temperature="600 degC"))
    assert code == 1
    assert "known from" in err
    assert "300 degC" in err


def test_readings_that_disagree_wildly_are_refused_by_name(specdb) -> None:
    code, _, err = specdb(
        *("sizes", "--bore", "38.05", "--bore", "83.05"),
        *("--head", "aluminium", "--insert", "high-chrome"),
    )
    assert code == 2
    assert "83.05" in err


@pytest.mark.parametrize(
    ("text", "bore_mm"),
    [
        ("38.1", 38.1),
        ("38,1 mm", 38.1),
        ("1.5in", 38.1),
        ('1.5"', 38.1),
        ("1 1/2 in", 38.1),
        ("1500 thou", 38.1),
        ("3.81 cm", 38.1),
    ],
)
def test_ordinary_notation_is_read(specdb, text: str, bore_mm: float) -> None:
    ask = ["sizes", "--bore", text, "--head", "aluminium", "--insert", "high-chrome", "--json"]
    code, out, err = specdb(*ask)
    assert (code, err) == (0, "")
    assert json.loads(out)["measured"]["mean_mm"] == pytest.approx(bore_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["sise"], ["no command is called 'sise'", "sizes"]),
        (["fit"], ["--insert-diameter", "--bore", "--head"]),
        (["material"], ["MATERIAL"]),
        (["material", "unobtainium-9"], ["unobtainium-9"]),
        (["trace", "no.such.row"], ["no.such.row"]),
        (["source", "no-such-source"], ["no-such-source"]),
        (["fit", "--colour", "red"], ["--colour"]),
        (["material", "al-si7mg-t6", "--release", "1999.01"], ["1999.01", "Known: "]),
        (["material", "al-si7mg-t6", "--database", "/no/such/file"], ["/no/such/file"]),
    ],
    ids=lambda each: " ".join(each)[:40],
)
def test_misuse_of_a_command_is_one_message(specdb, args, said) -> None:
    code, out, err = specdb(*args)
    assert code in (1, 2)
    assert out == ""
    assert "Traceback" not in err
    for words in said:
        assert words in err


def test_help_of_every_question_lists_its_arguments(bundled: Path) -> None:
    from specdb.answers.registry import QUESTIONS
    from specdb.cli.app import app

    for question in QUESTIONS.values():
        result = CliRunner().invoke(app, [question.name, "--help"])
        assert result.exit_code == 0, result.output
        for name in question.request_type().model_fields:
            leading = "loose-ring|" if name == "about" else name.upper()
            words = leading if name == question.leading else f"--{name.replace('_', '-')}"
            assert words in result.output


SEAT = ("seat", "--bore", "38.05", "--head", "aluminium", "--insert", "high-chrome")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((*SEAT, "--head", "grey-iron"), ["--head", "2 times", "grey-iron"]),
        ((*SEAT, "--pilot", "45"), ["pilot", "45", "38.05"]),
        ((*SEAT, "--depth", "80"), ["depth", "80"]),
        ((*SEAT, "--stock", "/no/such/file"), ["own lists", "/no/such/file"]),
        (("deck", "--skim", "0.2", "--chamber-area", "45"), ["--chamber-area", "45 mm2", "cm2"]),
        (("deck", "--skim", "0.2", "--swept-volume", "400"), ["--swept-volume", "400"]),
    ],
    ids=lambda each: " ".join(each)[-30:],
)
def test_what_cannot_be_meant_is_refused(specdb, args, said) -> None:
    code, out, err = specdb(*args)
    assert code in (1, 2)
    assert out == ""
    for words in said:
        assert words in err


def test_a_list_is_given_by_repeating_its_option(specdb) -> None:
    shop = ("--available", "domestic-freezer", "--available", "oven-120")
    code, out, _ = specdb("shrink", *fit_with()[1:], *shop, "--json")
    tried = {(pair["chill"], pair["heat"]) for pair in json.loads(out)["pairs"]}
    assert ("domestic-freezer", "oven-120") in tried
    assert code in (0, 1)


def test_an_unsafe_removal_tells_no_setting(specdb) -> None:
    asked = ("removal", "--insert-diameter", "38.25", "--pilot", "6.98", "--runout", "0.5")
    code, out, _ = specdb(*asked, "--wall", "0.2", "--json")
    answer = json.loads(out)
    assert (code, answer["safe"], answer["tip_over_pilot_mm"]) == (1, False, None)
    assert "tip_over_pilot_mm" in answer["unknown"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize(
    "args",
    [
        ["material", "al-si7mg-t6"],
        ["material", "al-si7mg-t6", "--json"],
        fit_with(),
        ["head", "data/demo/pump-engine-two-valve.csv"],
        ["--help"],
    ],
    ids=" ".join,
)
def test_a_disk_that_is_full_is_said_in_one_line(bundled: Path, args: list[str]) -> None:
    command = [sys.executable, "-c", "from specdb.cli import main; main()", *args]
    with open("/dev/full", "w") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert done.returncode == 1, done.stderr
    assert done.stderr.count("\n") == 1, done.stderr
    assert "No space left" in done.stderr


@pytest.mark.parametrize("size", ["1e-300", "1e-9", "0.009 mm", "0.0003 in"])
def test_a_part_thinner_than_a_hair_is_misuse(specdb, size: str) -> None:
    code, out, err = specdb(*fit_with(height=size))
    assert (code, out) == (2, "")
    assert "Traceback" not in err
    assert "height" in err
    assert size in err
    assert "0.01" in err
    assert "Accepted" in err


def test_examples_of_names_are_keys_not_bare_numbers(specdb) -> None:
    _, _, err = specdb("material", "xyz")
    shown = err.partition("for instance ")[2].strip().rstrip(".").split(", ")
    assert len(shown) == 6
    for name in shown:
        assert name[0].isalpha(), name
        assert "-" in name, name
