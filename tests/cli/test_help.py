"""What `--help` says of a question: what is typed, what may be chosen, and an example that runs."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from specdb.answers.registry import QUESTIONS, Question
from specdb.cli import options
from specdb.cli.app import app, run

ROOT = Path(__file__).resolve().parents[2]


def helped(question: str) -> str:
    result = CliRunner().invoke(app, [question, "--help"], terminal_width=100)
    assert result.exit_code == 0, result.output
    return result.output


def test_the_overview_lists_every_command_whichever_way_it_is_asked_for() -> None:
    command = [sys.executable, "-c", "from specdb.cli import main; main()"]
    plain = subprocess.run([*command, "--help"], capture_output=True, text=True, check=True)
    by_click = CliRunner().invoke(app, ["--help"])
    assert plain.stdout == by_click.output
    for name in (*QUESTIONS, "stock", "serve", "data", "--version"):
        assert re.search(rf"^  {name} ", plain.stdout, re.MULTILINE), name


@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_the_example_in_the_help_is_answered(
    question: Question, bundled: Path, tmp_path: Path, monkeypatch, capsys: pytest.CaptureFixture
) -> None:
    shown = helped(question.name).partition("Example:\n")[2]
    lines = [line.removeprefix("  ") for line in shown.splitlines()]
    assert lines[0].startswith(f"specdb {question.name}")
    command, typed = "\n".join(lines).replace("\\\n", " "), None
    if "<<END" in command:
        command, _, typed = command.partition("<<END\n")
        typed = typed.partition("\nEND")[0] + "\n"
        readings = tmp_path / "readings.csv"
        readings.write_text(typed)
        command = command.replace(" - ", f" {readings} ")
    words = shlex.split(command)
    with pytest.raises(SystemExit) as stopped:
        run([*words[1:], "--json"])
    out, err = capsys.readouterr()
    assert (stopped.value.code, err) == (0, "")
    assert out.startswith("{")


def test_choices_units_and_defaults_are_in_the_help() -> None:
    assert "loose-ring|counterbore|welded-head" in helped("loose")
    fit = helped("fit")
    for words in (
        "--surface dry|oiled",
        "--bore LENGTH",
        "[default: 20 degC]",
        "a bare number is mm",
    ):
        assert words in fit, words
    assert "--chamber-area AREA" in helped("deck")
    assert "a bare number is mm2" in helped("deck")
    assert "--hardness-hb NUMBER" in fit


@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_an_option_that_takes_a_quantity_says_which_kind(question: Question) -> None:
    """A field whose schema gives examples of a quantity may not be shown as mere TEXT."""
    for made in options.parameters(question):
        if isinstance(made, click.Option) and made.metavar == "TEXT":
            field = question.request_type().model_fields[made.name or ""]
            assert "float" not in str(field.annotation), made.name


def test_arguments_not_given_are_named_as_typed(bundled: Path, capsys) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(["fit", "--bore", "38.02"])
    err = capsys.readouterr().err
    assert stopped.value.code == 2
    assert "--insert-diameter, --insert-inner, --height" in err
    assert "insert_diameter" not in err


def test_http_and_python_name_their_own_parameters(db) -> None:
    from specdb.errors import MissingArguments

    with pytest.raises(MissingArguments, match="insert_diameter, insert_inner") as refused:
        db.fit(bore="38.02 mm")
    assert refused.value.missing[0] == refused.value.field == "insert_diameter"


WRONG = [
    (["fit", "--hub-outer", "60", "--thinnest-metal", "3"], "--hub-outer and --thinnest-metal"),
    (["fit", "--head-temperature", "2 mm"], "--head-temperature: cannot read '2 mm'"),
    (["fit", "--surface", "wet"], "--surface: 'wet' is not accepted.\nAccepted: dry, oiled."),
    (
        ["fit", "--hardness-hb", "soft"],
        "--hardness-hb: 'soft' is not accepted.\nAccepted: a number.",
    ),
    (["fit", "--hardness-hb", "-1"], "Accepted: a number above 0."),
]


@pytest.mark.parametrize(("args", "said"), WRONG, ids=lambda each: str(each)[-30:])
def test_a_wrong_choice_names_the_option_as_typed(bundled: Path, capsys, args, said) -> None:
    joint = shlex.split(
        "--insert-diameter 38.16 --bore 38.02 --insert-inner 31 --height 8 --head al-si7mg-t6 "
        "--insert sintered-tool-steel"
    )
    with pytest.raises(SystemExit) as stopped:
        run([*args, *joint])
    assert stopped.value.code == 2
    assert said in capsys.readouterr().err


def test_an_answer_on_screen_names_options_and_json_names_fields(bundled: Path, capsys) -> None:
    for json in ([], ["--json"]):
        with pytest.raises(SystemExit):
            run(["deck", "--skim", "0.2 mm", *json])
        out = capsys.readouterr().out
        assert ("chamber_volume" in out) == bool(json)
        assert ("--chamber-volume" in out) != bool(json)
