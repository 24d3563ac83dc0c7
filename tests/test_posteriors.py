"""Posteriors beside pyAgrum's, built from the card fields alone (`tests/oracle.py`): ways of showing, what is seen when
the fault lies elsewhere by equipment and symptom, findings set anew. `make bench` asks many more of the shipped cards.
"""

import random
from pathlib import Path

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import believe, compile_problem

from tests.cli.calls import random_calls, shipped_library
from tests.library import make_library
from tests.oracle import posterior

CALLS, SEED = 100, 20261125
FEED = {"title": "Feed", "asks": "How?", "values": {
    "hand": {"title": "By hand", "share": "0.3"}, "float": {"title": "By a float", "share": "0.5"},
    "probe": {"title": "By a probe", "share": "0.2"},
}}  # fmt: skip
PIPES = {"title": "Pipes", "asks": "How many?", "values": {
    "one": {"title": "One", "share": "0.6"}, "two": {"title": "Two", "share": "0.4"},
}}  # fmt: skip


@pytest.fixture
def library(tmp_path: Path) -> Library:
    """One of each: a test by two features, one by symptom, one that renews another, a fault in three ways."""
    fast = {"title": "Fast", "share": "0.2", "shows": {"hold": "seen", "look": "unseen, always"}}
    slow = {"title": "Slow", "share": "0.5", "shows": {"hold": "unseen, nearly-always"}}
    modes = {"fast": fast, "slow": slow, "else": {"title": "Else", "share": "0.3"}}
    return make_library(tmp_path, {
        "equipment": {"feed": FEED, "pipes": PIPES},
        "symptoms/floods": {}, "symptoms/starves": {},
        "tests/hold": {"otherwise": "unseen", "otherwise_on": {"feed=hand": {"seen": "0.6"}, "pipes=two": "seen"}},
        "tests/look": {"otherwise": {"seen": "0.2"}, "otherwise_at": {"floods": {"seen": "0.35"}}},
        "tests/again": {"renews": {"look": {"seen": "seen"}}},
        "faults/valve": {"symptoms": {"floods": "often"}, "shows": {"look": "seen", "again": "seen, often"},
                         "modes": modes, "found_on": {"feed": ["float", "probe"]}},
        "faults/wire": {"symptoms": {"floods": "half", "starves": "often"}, "found_on": {"pipes": "two"}},
        "faults/trap": {"symptoms": {"floods": "seldom", "starves": "half"}, "shows": {"hold": "seen, sometimes"}},
    })  # fmt: skip


@pytest.mark.parametrize("seed", range(60))
def test_small_library_is_believed_as_pyagrum_says(library: Library, seed: int) -> None:
    draw = random.Random(seed)
    symptom = draw.choice(sorted(library.symptoms))
    known = draw.sample(sorted(library.equipment), draw.randint(0, 2))
    equipment = {name: draw.choice(sorted(library.equipment[name].values)) for name in known}
    findings = {
        name: draw.choice(["seen", "unseen"]) for name in draw.sample(sorted(library.tests), draw.randint(0, 3))
    }
    belief = believe(compile_problem(library, [symptom], equipment=equipment), findings)
    assert belief.by_cause == pytest.approx(posterior(library, symptom, equipment, findings), abs=1e-9)


def test_second_look_sets_the_first_anew_where_it_comes_later(library: Library) -> None:
    """So that the order above does decide something."""
    problem = compile_problem(library, ["floods"])
    later = believe(problem, {"look": "unseen", "again": "seen"})
    alone = believe(problem, {"again": "seen"})
    earlier = believe(problem, {"again": "seen", "look": "unseen"})
    assert later.by_cause == pytest.approx(alone.by_cause)
    assert earlier.by_cause != pytest.approx(alone.by_cause, abs=1e-3)


def test_shipped_cards_are_believed_as_pyagrum_says() -> None:
    shipped, draw = shipped_library(), random.Random(SEED)
    renewing = [test for test in shipped.tests.values() if test.renews]
    for call in random_calls(shipped, CALLS, SEED):
        again = draw.choice(renewing)
        renewed = draw.choice(sorted(again.renews))
        findings = {renewed: draw.choice(sorted(shipped.tests[renewed].outcomes)), **call.findings}
        findings.pop(again.id, None)
        findings[again.id] = draw.choice(sorted(again.outcomes))
        belief = believe(compile_problem(shipped, [call.symptom], equipment=call.equipment), findings)
        expected = posterior(shipped, call.symptom, call.equipment, findings)
        assert belief.by_cause == pytest.approx(expected, abs=1e-9)
