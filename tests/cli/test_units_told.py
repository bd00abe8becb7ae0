"""Answers of the command line in US customary units. Factors: NIST Special Publication 811, appendix B."""

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import sample_loops
from loopsim.build import save
from loopsim.studies import operating_point
from tests.cli.conftest import Run
from tests.studies.failing.struck import machine

GALLON, PSI = 3.785411784e-3, 6894.757  # in SI
SI = re.compile(r"(?<![\w/])(L/h|kPa|bar|°C|K|mL|mm|m/s|m³/h)(?![\w/])")


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "machine.loop.json"
    save(machine(load=250.0, limit=72.0), path)
    return str(path)


@pytest.mark.parametrize("command", ["solve", "highpoints", "leaktest", "swell", "covers"])
def test_no_answer_keeps_an_si_unit(printed: Callable[..., str], file: str, command: str) -> None:
    lines = [line for line in printed(command, file, "--units", "us").splitlines() if "source:" not in line]
    assert [line for line in lines if SI.search(line)] == []
    assert "\ufdd0" not in "".join(lines)


def test_a_plan_of_filling_is_told_whole(printed: Callable[..., str]) -> None:
    text = printed("fill", str(sample_loops.sample("awkward-riser")), "--units", "us")
    assert [line for line in text.splitlines() if SI.search(line)] == []
    assert "pumping 0" not in text, "nothing is pumped before its pump is flooded"


def test_figures_are_those_of_the_same_machine(printed: Callable[..., str], file: str) -> None:
    text = printed("--units=us", "solve", file)
    point = operating_point(machine(load=250.0, limit=72.0))
    pump = next(line for line in text.splitlines() if line.startswith("Pump ") and "running" in line).split()
    assert float(pump[-4]) == pytest.approx(point.pumps[0].flow * 60 / GALLON, abs=0.006)
    assert float(pump[-3]) == pytest.approx(point.pumps[0].head / 0.3048, abs=0.006)
    most = point.budget[0]
    row = next(line for line in text.splitlines() if line.startswith(f"{most.name} ")).split()
    assert f"{abs(most.dp) / PSI:.3f}" in row


def test_the_choice_holds_for_one_command_only_and_stands_anywhere(printed: Callable[..., str], file: str) -> None:
    plain = printed("check", file)
    assert printed("swell", "--units", "us", file) == printed("--units", "us", "swell", file)
    assert "US fl oz" not in printed("swell", file)
    assert printed("check", file) == plain


def test_what_programs_read_stays_si(printed: Callable[..., str], file: str) -> None:
    in_us = json.loads(printed("swell", file, "--json", "--units", "us"))
    assert in_us == json.loads(printed("swell", file, "--json"))


def test_units_that_nobody_knows_are_refused_in_one_line(run: Run, file: str) -> None:
    status, _, error = run("solve", file, "--units", "imperial")
    assert status == 2
    assert "--units" in error
    assert error.count("\n") == 1
