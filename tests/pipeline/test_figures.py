"""pipeline/figures.py and shelf.py: the same results cold, warm and without a cache, whatever lies in it."""

import gzip
import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path

import pytest
from faultleaf.diagnosis import Effort, Figured, Problem, figured
from faultleaf.pipeline import figures, shelf
from faultleaf.pipeline.figures import BUDGETS, Written, figure_all, key_of, plan_all, write_planned
from faultleaf.pipeline.sheets import charted
from faultleaf.pipeline.shelf import NOTHING_KEPT, Kept, Shelf

from tests.diagnosis.problems import messy_problem
from tests.library import Entries, make_library

QUICK = Effort(states=60, outlook=60, shakings=1)
SEEDS = (1, 2, 5)
SPEAK = """\
import hashlib, json, sys
from dataclasses import asdict
from faultleaf.diagnosis import Effort
from faultleaf.pipeline.figures import figure_all
from faultleaf.pipeline.shelf import NOTHING_KEPT
from tests.diagnosis.problems import messy_problem
found = figure_all([messy_problem(seed) for seed in (1, 2, 5)], NOTHING_KEPT, Effort(states=60, outlook=60, shakings=1))
print(json.dumps([asdict(each) for each in found], sort_keys=True))
"""


@pytest.fixture(scope="module")
def problems() -> list[Problem]:
    return [messy_problem(seed) for seed in SEEDS]


@pytest.fixture(scope="module")
def plain(problems: list[Problem]) -> tuple[Figured, ...]:
    return figure_all(problems, NOTHING_KEPT, QUICK)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[Problem]:
    """The problems that are really worked out."""
    done: list[Problem] = []

    def work_out(problem: Problem, budgets: tuple[int, ...], effort: Effort) -> Figured:
        done.append(problem)
        return figured(problem, budgets, effort)

    monkeypatch.setattr(figures, "figured", work_out)
    return done


def test_same_cold_warm_and_without(
    problems: list[Problem], plain: tuple[Figured, ...], counted: list[Problem], tmp_path: Path
) -> None:
    cold = figure_all(problems, Kept(tmp_path / "deep/kept"), QUICK)
    assert len(counted) == len(SEEDS)
    warm = figure_all(problems, Kept(tmp_path / "deep/kept"), QUICK)
    assert len(counted) == len(SEEDS)
    assert cold == warm == plain
    assert [sorted(each.plans) for each in warm] == [[n for n in BUDGETS if n in each.plans] for each in plain]


def test_only_what_changed_is_worked_out_again(
    problems: list[Problem], plain: tuple[Figured, ...], counted: list[Problem], tmp_path: Path
) -> None:
    figure_all(problems, Kept(tmp_path), QUICK)
    del counted[:]
    other = replace(problems[1], hand_on=77.0)
    again = figure_all([problems[0], other, problems[2]], Kept(tmp_path), QUICK)
    assert counted == [other]
    assert (again[0], again[2]) == (plain[0], plain[2])
    figure_all(problems, Kept(tmp_path), replace(QUICK, states=61))  # more was asked for
    assert len(counted) == 1 + len(SEEDS)


def test_equal_problems_are_worked_out_once(counted: list[Problem]) -> None:
    one, other = figure_all([messy_problem(1), messy_problem(1)], NOTHING_KEPT, QUICK)
    assert one == other
    assert len(counted) == 1


def test_another_engine_keeps_nothing_of_the_old(
    problems: list[Problem], counted: list[Problem], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    figure_all(problems, Kept(tmp_path), QUICK)
    monkeypatch.setattr(figures, "_engine", lambda: "another")
    figure_all(problems, Kept(tmp_path), QUICK)
    assert len(counted) == 2 * len(SEEDS)


HARMS: Mapping[str, Callable[[bytes], bytes]] = {
    "empty": lambda file: file[:0],
    "cut off": lambda file: file[: len(file) // 2],
    "not packed": gzip.decompress,
    "one digit changed": lambda file: repacked(file, lambda text: text.replace(b"1", b"2", 1)),
    "another digest": lambda file: repacked(file, lambda text: b"x" * 64 + text[64:]),
    "no digest": lambda file: repacked(file, lambda text: text[65:]),
}


def repacked(file: bytes, change: Callable[[bytes], bytes]) -> bytes:
    return gzip.compress(change(gzip.decompress(file)))


@pytest.mark.parametrize("harm", HARMS.values(), ids=HARMS)
def test_damaged_files_are_worked_out_and_written_again(
    harm: Callable[[bytes], bytes],
    problems: list[Problem],
    plain: tuple[Figured, ...],
    counted: list[Problem],
    tmp_path: Path,
) -> None:
    figure_all(problems[:1], Kept(tmp_path), QUICK)
    (file,) = tmp_path.iterdir()
    whole = file.read_bytes()
    file.write_bytes(harm(whole))
    assert figure_all(problems[:1], Kept(tmp_path), QUICK) == plain[:1]
    assert len(counted) == 2
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [whole]


def test_whole_file_of_another_shape_counts_as_not_there(tmp_path: Path) -> None:
    text = json.dumps({"plans": {"five": []}, "worth": 3})
    (tmp_path / "key.json.gz").write_bytes(gzip.compress(f"{shelf._digest(text.encode())}\n{text}".encode()))
    (tmp_path / "raw.json.gz").write_bytes(gzip.compress(b"\xff\xfe\x00"))
    (tmp_path / "folder.json.gz").mkdir()
    assert [Shelf(tmp_path).take(key) for key in ("key", "raw", "folder", "none")] == [None] * 4


def test_folder_that_cannot_be_written_only_keeps_nothing(
    problems: list[Problem], plain: tuple[Figured, ...], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert figure_all(problems, Kept(tmp_path / "file/kept"), QUICK) == plain
    assert (tmp_path / "file").read_text(encoding="utf-8") == "in the way"


def test_what_was_not_used_for_longest_goes_first(
    problems: list[Problem], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf, "MOST_KEPT", 4)
    for number in range(6):
        (tmp_path / f"old{number}.json.gz").write_text("foreign", encoding="utf-8")
        os.utime(tmp_path / f"old{number}.json.gz", (number, number))
    (tmp_path / "note.txt").write_text("not ours", encoding="utf-8")
    figure_all(problems, Kept(tmp_path), QUICK)
    left = sorted(path.name for path in tmp_path.iterdir() if len(path.name) < 60)
    assert left == ["note.txt", "old5.json.gz"]
    assert len(list(tmp_path.glob("*.json.gz"))) == 4


def test_other_processes_give_the_same(
    problems: list[Problem], plain: tuple[Figured, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(figures, "WORTH_PROCESSES", 0)
    assert figure_all(problems, NOTHING_KEPT, QUICK) == plain


def test_where_no_process_can_be_started_the_work_is_done_here(
    problems: list[Problem], plain: tuple[Figured, ...], counted: list[Problem], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError("no semaphores")

    monkeypatch.setattr(figures, "WORTH_PROCESSES", 0)
    monkeypatch.setattr(figures, "ProcessPoolExecutor", refuse)
    assert figure_all(problems, NOTHING_KEPT, QUICK) == plain
    assert len(counted) == len(SEEDS)


def test_another_hash_seed_gives_the_same(plain: tuple[Figured, ...]) -> None:
    for seed in ("1", "77"):
        said = subprocess.run(
            [sys.executable, "-c", SPEAK], capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
        ).stdout  # fmt: skip
        assert said == json.dumps([asdict(each) for each in plain], sort_keys=True) + "\n"


def test_plans_beside_the_cards_are_read_only_and_hold_no_others(
    problems: list[Problem], plain: tuple[Figured, ...], counted: list[Problem], tmp_path: Path
) -> None:
    theirs, ours = tmp_path / "library/planned", tmp_path / "own/planned"
    both, base = Kept(None, (theirs, ours)), Kept(None, (theirs,))
    assert write_planned(problems[:2], theirs, NOTHING_KEPT, NOTHING_KEPT, QUICK) == Written(own=2, new=2)
    assert write_planned(problems, ours, both, base, QUICK) == Written(own=1, new=1)
    assert write_planned(problems[1:], ours, both, base, QUICK) == Written(own=1, new=0)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.gz")}
    assert len(counted) == len(before) == 3
    assert figure_all(problems, Kept(tmp_path / "builds", (theirs, ours)), QUICK) == plain
    assert not (tmp_path / "builds").exists()
    assert write_planned(problems[:1], ours, both, base, QUICK) == Written(own=0, new=0)
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.gz")} == {
        path: whole for path, whole in before.items() if path.parent == theirs
    }
    assert len(counted) == 3


def test_what_only_explains_the_engine_does_not_count() -> None:
    plain = "def one(a):\n    return a + 1\n"
    told = '"""Why."""\n\n\ndef one(a):\n    """More."""\n    # still more\n    return a + 1\n'
    assert figures.statements(plain) == figures.statements(told) != figures.statements(plain.replace("1", "2"))


def test_cards_of_another_symptom_leave_the_kept_plans_alone(tmp_path: Path) -> None:
    """A new stop, and a new repair that drains where a test of the first symptom perishes by draining."""
    here: Entries = {
        "symptoms/low": {"variants": {"plain": {}}},
        "proofs/watch": {},
        "tests/look": {"perishes": ["drain"]},
        **{f"faults/{name}": {"symptoms": {"low": "often"}, "shows": {"look": shown}}
           for name, shown in (("leak", "seen"), ("habit", "unseen"))},
    }  # fmt: skip
    repair = {"title": "Drain it", "takes": "9 min", "proof": "watch", "does": ["drain"]}
    there: Entries = {
        "symptoms/high": {},
        "cautions/hot": {},
        "tests/smell": {"only_at": ["high"], "stops": {"seen": {"caution": "hot", "allows": ["look"]}}},
        "faults/valve": {"symptoms": {"high": "often"}, "shows": {"smell": "seen"}, "repair": repair},
    }
    libraries = [make_library(tmp_path / "before", here), make_library(tmp_path / "after", {**here, **there})]
    before, after = (charted(library)["low", "plain"] for library in libraries)
    assert len(after.stops) > len(before.stops)
    assert key_of(after, QUICK) == key_of(before, QUICK)


def test_charts_alone_are_kept_apart_from_figures(
    problems: list[Problem], plain: tuple[Figured, ...], tmp_path: Path
) -> None:
    """The other sides of sheets: their plans lie in a folder of their own, and are taken from there."""
    over = tmp_path / "planned/overleaf"
    assert write_planned(problems[:1], over, NOTHING_KEPT, NOTHING_KEPT, None) == Written(own=1, new=1)
    kept = Kept(planned=(over,))
    assert kept.take(key_of(problems[0], None)) is not None
    assert kept.take(key_of(problems[0], QUICK)) is None
    (charts,) = plan_all(problems[:1], kept)
    assert charts == {boxes: plan for boxes, plan in plain[0].plans.items() if boxes in charts}
    assert len(charts) >= len(plain[0].plans) - 2
