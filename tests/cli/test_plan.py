"""cli/plan.py and the words of steps: what is printed, as JSON and as text, and a sentence for every slip."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cli import main

from tests.diagnosis.problems import exact, messy
from tests.library import write_library
from tests.stopping import CARDS

SMALL: dict[str, dict[str, Any]] = {
    "symptoms/overfills": {"unlisted": 0.1},
    "symptoms/gas": {"emergency": "yes"},
    "faults/valve": {
        "symptoms": {"overfills": "often", "gas": "often"}, "shows": {"hold": {"rises": "1", "steady": "0"}},
        "repair": {"title": "Rebuild the valve", "takes": "30 min", "proof": "log"},
    },
    "faults/bypass": {
        "symptoms": {"overfills": "often"}, "cautions": ["hot"],
        "repair": {"title": "Close the bypass", "takes": "5 min", "proof": "log"},
    },
    "proofs/log": {},
    "cautions/hot": {"setup": "10 min"},
    "tests/hold": {"outcomes": {"rises": "It climbs", "steady": "It stays"}, "otherwise": {"rises": 0, "steady": 1}},
}  # fmt: skip
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_library(tmp_path_factory.mktemp("small") / "content", SMALL)


@pytest.fixture
def run(small: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """A command over the small library: exit code, what was said, and what was complained about."""

    def call(*arguments: str) -> tuple[int, str, str]:
        code = main([*arguments, "--content", str(small)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def problem_file(folder: Path, data: object) -> str:
    path = folder / "problem.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return str(path)


def test_a_problem_file_as_json(run: Run, tmp_path: Path) -> None:
    name = problem_file(tmp_path, exact((1, 2), (30, 30), [({0}, 2)]))
    code, out, _ = run("plan", name, "--json")
    answer = json.loads(out)
    assert code == 0
    assert answer["expected_minutes"] == pytest.approx(32)
    assert answer["lower_bound"] == pytest.approx(32)
    assert answer["proved_optimal"] is True
    assert [(box["id"], box["step"], box["minutes"]) for box in answer["boxes"]] == [
        ("b1", "t0", 2), ("b2", "r1", 30), ("b3", "r0", 30),
    ]  # fmt: skip
    assert answer["boxes"][0]["next"] == {"yes": "b3", "no": "b2"}
    assert answer["boxes"][1]["next"] == {"cured": None}


def test_a_limit_on_boxes_costs_minutes_and_is_not_called_proved(run: Run, tmp_path: Path) -> None:
    name = problem_file(tmp_path, exact((1, 2), (30, 30), [({0}, 2)]))
    answer = json.loads(run("plan", name, "--json", "--boxes", "1")[1])
    assert len(answer["boxes"]) == 1
    assert answer["expected_minutes"] == pytest.approx(40)
    assert answer["unlimited_minutes"] == pytest.approx(32)
    assert answer["proved_optimal"] is False


def test_identifying_alone_has_minutes_and_no_boxes(run: Run, tmp_path: Path) -> None:
    data = {**exact((1, 1, 1, 1), (1, 1, 1, 1), [({0, 1}, 1), ({0, 2}, 1)]), "stop": "identified"}
    answer = json.loads(run("plan", problem_file(tmp_path, data), "--json")[1])
    assert answer["expected_minutes"] == pytest.approx(2)
    assert answer["boxes"] == []


def test_every_box_leads_to_boxes_that_are_there(run: Run, tmp_path: Path) -> None:
    answer = json.loads(run("plan", problem_file(tmp_path, messy(4)), "--json")[1])
    names = {box["id"] for box in answer["boxes"]}
    targets = {target for box in answer["boxes"] for target in box["next"].values() if target is not None}
    assert targets == names - {answer["root"]}


def test_a_symptom_in_words_with_its_cautions_and_the_notice(run: Run) -> None:
    code, out, _ = run("plan", "overfills")
    assert code == 0
    assert "proved: no plan is cheaper" in out
    assert "Close the bypass" in out
    assert out.startswith("Of 100 such calls about ")
    assert "The planner's sum: " in out
    assert "It climbs (" in out
    assert "WARNING: Scalding water burns the skin Let it cool" in out
    assert "Local code" in out


def test_a_plan_says_where_it_stops_and_whose_cause_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = write_library(tmp_path / "content", CARDS)
    assert main(["plan", "stops", "--content", str(root)]) == 0
    out = capsys.readouterr().out
    assert "No water (" in out
    assert ": STOP, then b" in out
    assert "cause named, for others: Mend it" in out
    assert main(["plan", "stops", "--json", "--content", str(root)]) == 0
    ends = json.loads(capsys.readouterr().out)["ends"]
    assert sum(ends[name] for name in ("cured", "named", "handed_on", "stopped")) == pytest.approx(1)


def test_the_same_bytes_again(run: Run, tmp_path: Path) -> None:
    name = problem_file(tmp_path, messy(7, 5, 4))
    assert run("plan", name, "--json") == run("plan", name, "--json")


def test_why_a_step_is_worth_it(run: Run) -> None:
    _, out, _ = run("rank", "overfills")
    assert "splits the two likeliest causes; 5 min; nothing to lock out" in out
    assert "to be made safe first, counted in the minutes" in out


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (("overfill",), "there is no symptom 'overfill'. Did you mean 'overfills'?"),
        (("gas",), "this is an emergency: make safe and hand on"),
        (("nowhere.json",), "nowhere.json cannot be read"),
        (("overfills", "--has", "feed=manual"), "there is no feature 'feed'"),
    ],
)
def test_slips_get_a_sentence(run: Run, arguments: tuple[str, ...], complaint: str) -> None:
    code, _, err = run("plan", *arguments)
    assert code == 1
    assert complaint in err


def test_a_problem_file_with_mistakes_names_the_entry(run: Run, tmp_path: Path) -> None:
    data = exact((0, 0), (30, 30))
    code, _, err = run("plan", problem_file(tmp_path, {**data, "stop": "maybe"}))
    assert code == 1
    assert "the weights are all zero" in err
    assert "stop: expected 'repaired' or 'identified'" in err
