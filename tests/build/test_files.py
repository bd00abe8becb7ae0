"""The file of a build: read, written, refused."""

import json
import os
import re
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import sample_loops
from loopsim.build import Build, files, from_text, load, save, schema, to_text
from loopsim.errors import FileError, LoopsimError


def test_a_saved_build_is_read_back_the_same(build: Build, tmp_path: Path) -> None:
    path = tmp_path / "one.loop.json"
    save(build, path)
    assert load(path) == build
    assert to_text(load(path)) == path.read_text()


@pytest.mark.parametrize("name", sample_loops.names())
def test_samples_are_in_the_form_in_which_they_would_be_saved(name: str) -> None:
    text = sample_loops.sample(name).read_text(encoding="utf-8")
    assert to_text(from_text(text)) == text
    assert "nvented" in from_text(text).note


def test_one_changed_number_is_one_changed_line(build: Build) -> None:
    before = to_text(build)
    changed = json.loads(before)
    changed["parts"][1]["curve"]["points"][2]["head_m"] = 3.5
    after = to_text(from_text(json.dumps(changed)))
    differing = [line for line in zip(before.splitlines(), after.splitlines(), strict=True) if line[0] != line[1]]
    assert len(differing) == 1


def test_the_schema_accepts_what_is_saved_and_refuses_unknown_keys(build: Build) -> None:
    document = json.loads(to_text(build))
    jsonschema.validate(document, schema())
    document["parts"][0]["colour"] = "red"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, schema())


def at(*steps: Any, value: Any) -> Callable[[dict[str, Any]], None]:
    """A change of one value deep inside."""

    def change(data: Any) -> None:
        for step in steps[:-1]:
            data = data[step]
        data[steps[-1]] = value

    return change


def twice(data: dict[str, Any]) -> None:
    data["parts"].append(data["parts"][0])


PUMP, RUNS = ("parts", 1), ("layouts", 0, "runs")
BAD = {
    "negative size": (at(*PUMP, "length_mm", value=-60), "part 'Pump': length_mm is -60, must be above 0 mm"),
    "unknown key": (at(*PUMP, "bore", value=9), "part 'Pump': unknown key 'bore'; did you mean 'bore_mm'?"),
    "unknown key above": (at("enclosre", value={}), "unknown key 'enclosre'; did you mean 'enclosure'?"),
    "unknown kind": (at(*PUMP, "kind", value="pmp"), "got 'pmp'; did you mean 'pump'?"),
    "not a number": (
        at(*PUMP, "curve", "points", 1, "head_m", value=float("nan")),
        "part 'Pump': curve.points[1].head_m is nan, must be a finite number",
    ),
    "text for a number": (at(*PUMP, "bore_mm", value="wide"), "part 'Pump': bore_mm is 'wide', must be a valid number"),
    "one point": (
        at(*PUMP, "curve", "points", value=[{"flow_l_h": 0, "head_m": 4}]),
        "part 'Pump': curve.points: a pump curve needs at least 2 points, got 1",
    ),
    "rising head": (
        at(*PUMP, "curve", "points", value=[{"flow_l_h": 0, "head_m": 1}, {"flow_l_h": 9, "head_m": 4}]),
        "part 'Pump': curve.points: the head never falls (from 1 m to 4 m)",
    ),
    "missing port": (
        at(*RUNS, 0, "end", value="pump.inle"),
        "layout 'layout 1', tube run 'run_1', end 'pump.inle': part 'Pump' has no port 'inle'; did you mean 'inlet'?",
    ),
    "missing part": (
        at(*RUNS, 0, "end", value="pumpe.inlet"),
        "tube run 'run_1', end 'pumpe.inlet': this build has no part 'pumpe'; did you mean 'pump'?",
    ),
    "missing tube": (at(*RUNS, 0, "tube", value="tt"), "this build has no tube 'tt'"),
    "port taken": (at(*RUNS, 0, "end", value="block.inlet"), "port 'block.inlet' holds two tube runs"),
    "one id twice": (twice, "part 'reservoir' stands here twice"),
    "newer schema": (at("schema_version", value=99), "written by a newer Loopsim (schema_version 99"),
    "missing coordinate": (
        at(*RUNS, 2, "corners", value=[{"x_mm": 1}]),
        "layout 'layout 1', tube run 'run_3': corners[0].y_mm is missing",
    ),
    "no layout": (at("layouts", value=[]), "a build has at least one layout"),
    "loop flow nowhere": (at("layouts", 0, "loop_flow_at", value="blok"), "does not place a part 'blok'"),
}


@pytest.mark.parametrize(("change", "words"), BAD.values(), ids=BAD.keys())
def test_bad_input_is_refused_in_one_clear_line(
    build: Build, tmp_path: Path, change: Callable[[dict[str, Any]], None], words: str
) -> None:
    data = json.loads(to_text(build))
    change(data)
    path = tmp_path / "bad.loop.json"
    path.write_text(json.dumps(data))
    with pytest.raises(FileError) as caught:
        load(path)
    message = str(caught.value)
    assert words in message
    assert message.startswith("bad.loop.json: ")
    assert "\n" not in message


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is not JSON"),
        ("{", "is not JSON: Expecting property name enclosed in double quotes in line 1, column 2"),
        ("[1]", "should hold one JSON object, got a list"),
        ('{"name": "a", "name": "b"}', "the key 'name' stands twice"),
        ("{}", "name is missing"),
    ],
)
def test_text_that_is_no_build_is_refused(text: str, words: str) -> None:
    with pytest.raises(LoopsimError, match=re.escape(words)):
        from_text(text)


def test_a_missing_file_a_folder_and_a_picture_are_refused(tmp_path: Path) -> None:
    (tmp_path / "picture").write_bytes(b"\x89PNG\xff\xfe")
    for name, words in (("none", "cannot be read"), (".", "cannot be read"), ("picture", "not a text file")):
        with pytest.raises(FileError, match=words):
            load(tmp_path / name)


def test_an_error_names_part_and_field_for_the_editor(build: Build) -> None:
    data = json.loads(to_text(build))
    data["parts"][1]["bore_mm"] = -1
    with pytest.raises(FileError) as caught:
        from_text(json.dumps(data))
    assert (caught.value.part, caught.value.field) == ("pump", "bore_mm")


def test_a_write_that_fails_halfway_leaves_the_old_file(
    build: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "one.loop.json"
    save(build, path)
    before = path.read_text()

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="No space left on device"):
        save(build.with_values(name="other"), path)
    assert path.read_text() == before
    assert [each.name for each in tmp_path.iterdir()] == ["one.loop.json"]


def test_saving_keeps_the_permissions_and_follows_a_link(build: Build, tmp_path: Path) -> None:
    real, link = tmp_path / "real.loop.json", tmp_path / "link.loop.json"
    save(build, real)
    real.chmod(0o640)
    link.symlink_to(real)
    save(build.with_values(name="other"), link)
    assert link.is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert load(real).name == "other"


def test_a_folder_that_is_not_there_is_said(build: Build, tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be written"):
        save(build, tmp_path / "nowhere" / "one.loop.json")


def test_the_file_ending_says_what_it_is() -> None:
    assert files.FILE_ENDING == ".loop.json"
