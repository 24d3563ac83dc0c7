"""Random problem files with all rules on, small enough for the slow references."""

import itertools
from contextlib import suppress
from typing import Any

from faultleaf.diagnosis import Problem, ProblemError, parse_problem

from tests.diagnosis.problems import rich


def with_all_rules(
    seed: int, faults: int, tests: int, *, others: bool = False, menders: bool = True
) -> tuple[dict[str, Any], Problem]:
    """Stops, renewing, ways of showing, what is owed, failed minutes, perishing, menders; `others`: repairs by others.

    Without tests that wait together, whose price in boxes is another one. A file that asks for what nobody can meet is
    replaced by a later one.
    """
    for number in itertools.count(seed, 10_000):
        data = rich(number, faults, tests)
        for step in (*data["tests"], *data["repairs"]):
            step.pop("together", None)
            if not others:
                step.pop("by_other", None)
        if not menders:
            data["repairs"] = [repair for repair in data["repairs"] if repair["id"] != "mender"]
            data["stops"] = [stop for stop in data.get("stops", []) if stop["allows"] != ["mender"]]
        with suppress(ProblemError):
            return data, parse_problem(data)
    raise AssertionError
