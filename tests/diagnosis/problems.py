"""Small problems for the tests of the diagnosis room, and the cases with their sources."""

import json
import random
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from faultleaf.diagnosis import Problem, parse_problem

_CASES = json.loads((Path(__file__).parents[1] / "cases" / "diagnosis.json").read_text(encoding="utf-8"))


def answer(case: str) -> Any:
    """The expected values of a case in tests/cases/diagnosis.json (its source stands beside them)."""
    return _CASES["cases"][case]["answer"]


def exact(
    weights: Sequence[float],
    repairs: Sequence[float],
    tests: Iterable[tuple[Iterable[int], float]] = (),
    *,
    hand_on: float | None = None,
    noise: float = 0.0,
    needs: Mapping[str, Mapping[str, str]] | None = None,
) -> dict[str, Any]:
    """A problem file: fault f<i> has repair r<i>; test t<i> says yes for a set of faults, with noise.

    `needs` maps the id of a test or repair to what it needs.
    """
    count = len(weights)
    needs = needs or {}
    data: dict[str, Any] = {
        "faults": [{"id": f"f{i}", "weight": weight} for i, weight in enumerate(weights)],
        "repairs": [
            {"id": f"r{i}", "minutes": minutes, "fixes": {f"f{i}": 1.0}, "needs": needs.get(f"r{i}", {})}
            for i, minutes in enumerate(repairs)
        ],
        "tests": [
            {
                "id": f"t{i}",
                "minutes": minutes,
                "outcomes": ["yes", "no"],
                "given": {f"f{f}": [1 - noise, noise] if f in set(yes) else [noise, 1 - noise] for f in range(count)},
                "needs": needs.get(f"t{i}", {}),
            }
            for i, (yes, minutes) in enumerate((set(yes), minutes) for yes, minutes in tests)
        ],
    }
    return data if hand_on is None else {**data, "hand_on": {"minutes": hand_on}}


def row(draw: random.Random, size: int) -> list[float]:
    """A random distribution that sums to 1 exactly enough for a problem file."""
    parts = [draw.uniform(0.02, 1) for _ in range(size)]
    return [part / sum(parts) for part in parts]


def messy(seed: int, faults: int = 4, tests: int = 3) -> dict[str, Any]:
    """A random problem file with everything in it: needs, never_when, first, restore, imperfect repairs
    that fix several faults, an unlisted cause and handing on."""
    draw = random.Random(seed)
    names = [f"f{i}" for i in range(faults)]
    data: dict[str, Any] = {
        "faults": [{"id": name, "weight": draw.uniform(0.2, 3)} for name in names]
        + [{"id": "unlisted", "weight": draw.uniform(0.05, 0.6)}],
        "hand_on": {"minutes": draw.uniform(60, 200)},
        "tests": [],
        "repairs": [],
        "first": ["t0"] if draw.random() < 0.4 else [],
    }
    for index in range(tests):
        outcomes = [f"o{place}" for place in range(draw.choice([2, 2, 3]))]
        test: dict[str, Any] = {
            "id": f"t{index}",
            "minutes": draw.uniform(1, 25),
            "outcomes": outcomes,
            "given": {name: row(draw, len(outcomes)) for name in names if draw.random() < 0.9},
        }
        if index and draw.random() < 0.4:
            test[draw.choice(["needs", "never_when"])] = {"t0": "o0"}
        data["tests"].append(test)
    for index, name in enumerate(names):
        fixes = {name: draw.choice([1.0, draw.uniform(0.5, 1)])}
        if draw.random() < 0.3:
            fixes[draw.choice(names)] = draw.uniform(0.3, 1)
        repair: dict[str, Any] = {"id": f"r{index}", "minutes": draw.uniform(5, 90), "fixes": fixes}
        if draw.random() < 0.2:
            repair["needs"] = {"t1": "o0"}
        if draw.random() < 0.2:
            repair["restore"] = {"t0": "o0"}
        data["repairs"].append(repair)
    return data


def messy_problem(seed: int, faults: int = 4, tests: int = 3) -> Problem:
    """The same, parsed."""
    return parse_problem(messy(seed, faults, tests))


def unsteady(seed: int, faults: int = 3, tests: int = 2) -> dict[str, Any]:
    """A random problem file without handing on: noisy tests, repairs that cure only sometimes, and for
    every fault one that cures for certain."""
    data = messy(seed, faults, tests)
    del data["hand_on"]
    data["faults"] = [fault for fault in data["faults"] if fault["id"] != "unlisted"]
    draw = random.Random(seed)
    sure = [
        {"id": f"s{place}", "minutes": draw.uniform(20, 120), "fixes": {fault["id"]: 1.0}}
        for place, fault in enumerate(data["faults"])
    ]
    tries = [{**repair, "needs": {}, "restore": {}} for repair in data["repairs"][:1]]
    return {**data, "repairs": [*tries, *sure]}


def rich(seed: int, faults: int = 5, tests: int = 5) -> dict[str, Any]:
    """A messy problem file with all the rest in it: ways of showing, stops and what lifts them, findings renewed,
    tests that perish or wait together, repairs that fail sooner or are others' work, a mender, and what is owed."""
    draw = random.Random(seed)
    data = messy(seed, faults, tests)
    _show_in_ways(data, draw)
    names = [fault["id"] for fault in data["faults"]]
    data["hand_on"]["owed"] = {name: draw.uniform(0, 120) for name in names if draw.random() < 0.8}
    for test in data["tests"]:
        test["way"] = draw.choice(["ask", "look", "listen", "feel", "measure", "open", "run"])
    for repair in data["repairs"]:
        repair["failed_minutes"] = repair["minutes"] * draw.choice([1.0, draw.uniform(0.3, 1)])
        repair["by_other"] = draw.random() < 0.25
    _order_matters(data, draw)
    return data


def _show_in_ways(data: dict[str, Any], draw: random.Random) -> None:
    """Some faults get a second row, fixed by the same repairs and with rows of its own at the tests."""
    for fault in [fault for fault in data["faults"][:-1] if draw.random() < 0.4]:
        name, share = f"{fault['id']}/b", draw.uniform(0.1, 0.9)
        other = {"id": name, "weight": fault["weight"] * share, "cause": fault["id"]}
        fault["weight"] *= 1 - share
        data["faults"].insert(data["faults"].index(fault) + 1, other)
        for test in data["tests"]:
            if draw.random() < 0.8:
                test["given"][name] = row(draw, len(test["outcomes"]))
        for repair in data["repairs"]:
            if fault["id"] in repair["fixes"]:
                repair["fixes"][name] = repair["fixes"][fault["id"]]


def _order_matters(data: dict[str, Any], draw: random.Random) -> None:
    """Stops, what renews and restores, and what perishes or waits together."""
    tests, steps = data["tests"], [step["id"] for step in (*data["tests"], *data["repairs"])]
    last = tests[-1]
    if draw.random() < 0.5:
        allows = draw.sample(steps, draw.randint(0, 3))
        data["stops"] = [{"test": "t1", "outcome": "o1", "allows": allows, "caution": "scald", "call": "the maker"}]
    if draw.random() < 0.4:
        last["renews"] = {draw.choice(last["outcomes"]): {draw.choice(["t0", "t1"]): "o0"}}
    if draw.random() < 0.4:
        tests[1]["perishes_after"] = draw.sample([step for step in steps if step != "t1"], 2)
    if draw.random() < 0.4:
        last["together"], last["minutes_together"] = [tests[2]["id"]], last["minutes"] / 2
    if data["first"] and draw.random() < 0.6:
        mender = {"id": "mender", "minutes": draw.uniform(5, 40), "fixes": {}, "needs": {"t0": "o1"}}
        data["repairs"].append({**mender, "restore": {"t0": "o0"}})
        data.setdefault("stops", []).append({"test": "t0", "outcome": "o1", "allows": ["mender"]})
