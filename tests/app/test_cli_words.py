"""The command line: help, version, wrong words, the window that cannot open, defects."""

import argparse
import io
import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import hazardreport
from hazardreport.app import cli, cli_commands, cli_evidence
from hazardreport.app.terminal import clock_from

Answered = Callable[..., Any]
SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


def test_the_version_is_the_programs(answered: Answered) -> None:
    answer = answered("--version")

    assert answer.code == 0
    assert answer.out == f"hazardreport {hazardreport.__version__}\n"


@pytest.mark.parametrize("command", cli.COMMANDS)
def test_every_command_has_help_with_an_example(answered: Answered, command: str) -> None:
    answer = answered(command, "--help")

    assert answer.code == 0
    assert f"Example:\n  hazardreport {command} " in answer.out
    assert answer.err == ""


def test_help_names_every_command_and_the_exit_codes(answered: Answered) -> None:
    answer = answered("--help")

    assert answer.code == 0
    assert all(f"\n    {command} " in answer.out or f"\n    {command}\n" in answer.out for command in cli.COMMANDS)
    assert "Exit codes: 0 done" in answer.out


@pytest.mark.parametrize(
    "words",
    [
        ("assess",),
        ("assess", "a", "b"),
        ("assess", "--jsn", "a"),
        ("export", "a"),
        ("export", "a", "--for", "eu-maker-notice", "--out", "x.pdf", "--paper", "foolscap"),
        ("new",),
        ("add-pictures", "a"),
        ("--nonsense",),
        ("new", "a", "--tit", "abbreviated"),
    ],
)
def test_wrong_words_are_told_with_exit_code_2(answered: Answered, words: tuple[str, ...]) -> None:
    answer = answered(*words)

    assert answer.code == 2
    assert answer.err.startswith("This is not how the command is used: ")
    assert "--help shows an example" in answer.err


def test_a_word_that_is_neither_command_nor_folder_is_told(answered: Answered) -> None:
    answer = answered("asses")

    assert answer.code == 2
    assert "“asses” is neither a command nor the folder of a case" in answer.err
    assert "import-readings" in answer.err


@pytest.mark.parametrize("words", [(), ("demo",), ("open", "demo"), ("--debug",)])
def test_the_window_is_not_tried_where_there_is_no_screen(
    answered: Answered, monkeypatch: pytest.MonkeyPatch, demo: Path, words: tuple[str, ...]
) -> None:
    for name in SCREENS:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(cli_commands.sys, "platform", "linux")

    answer = answered(*(str(demo) if word == "demo" else word for word in words))

    assert answer.code == 2
    assert "The window cannot be opened: there is no screen" in answer.err


@pytest.mark.parametrize(("words", "handed_over"), [((), []), (("demo",), ["demo"]), (("open", "demo"), ["demo"])])
def test_without_a_command_or_with_a_folder_the_window_opens(
    answered: Answered, monkeypatch: pytest.MonkeyPatch, demo: Path, words: tuple[str, ...], handed_over: list[str]
) -> None:
    seen: list[list[str]] = []
    monkeypatch.setattr(cli_commands, "start_window", lambda argv: seen.append(list(argv)) or 0)

    answer = answered(*(str(demo) if word == "demo" else word for word in words))

    assert answer.code == 0
    assert seen == [[str(demo) if word == "demo" else word for word in handed_over]]


def test_a_case_that_is_not_there_is_not_opened(answered: Answered, tmp_path: Path) -> None:
    answer = answered("open", tmp_path / "none")

    assert answer.code == 3
    assert "none holds no case" in answer.err


def readme_commands() -> list[str]:
    """Every command that README shows, without comments."""
    text = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    found = re.findall(r"-m hazardreport((?: [^`\n#]*)?)", text)
    return sorted({words.strip() for words in found if words.strip()})


@pytest.mark.parametrize("words", readme_commands())
def test_the_commands_in_readme_are_understood(words: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-demo").mkdir()

    options = cli._parser(io.StringIO()).parse_args(cli._with_command(shlex.split(words)))

    assert options.command in cli.COMMANDS


def broken(options: argparse.Namespace, terminal: object) -> int:
    raise ZeroDivisionError


def test_a_defect_is_a_sentence_with_the_version(answered: Answered, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HAZARDREPORT_DEBUG", raising=False)
    monkeypatch.setattr(cli_evidence, "verify", broken)

    answer = answered("verify", "x")

    assert answer.code == 70
    assert f"A defect in hazardreport {hazardreport.__version__} stopped this command: ZeroDivisionError." in answer.err
    assert "--debug" in answer.err


@pytest.mark.parametrize("way", ["word", "environment"])
def test_a_defect_shows_its_place_when_asked(monkeypatch: pytest.MonkeyPatch, way: str) -> None:
    monkeypatch.setattr(cli_evidence, "verify", broken)
    monkeypatch.setenv("HAZARDREPORT_DEBUG", "1" if way == "environment" else "")
    err = io.StringIO()

    code = cli.run(["--debug", "verify", "x"] if way == "word" else ["verify", "x"], io.StringIO(), err)

    assert code == 70
    assert "ZeroDivisionError" in err.getvalue()
    assert "in broken" in err.getvalue()


def test_an_interrupt_ends_quietly(answered: Answered, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(options: argparse.Namespace, terminal: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli_evidence, "verify", interrupted)

    answer = answered("verify", "x")

    assert (answer.code, answer.err) == (1, "Stopped.\n")


def test_the_clock_can_be_fixed_from_outside() -> None:
    assert clock_from({"SOURCE_DATE_EPOCH": "1780315200"})().isoformat() == "2026-06-01T12:00:00+00:00"
    assert clock_from({"SOURCE_DATE_EPOCH": "never"})().year >= 2026
