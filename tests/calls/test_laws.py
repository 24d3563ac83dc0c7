"""Laws that the shipped cards obey on every printed kind of system: what may be offered, and what numbers mean.

`python -m tests.bench.forbidden` walks ten times as many calls, and the policy's own plan to its rare ends.
"""

import random
from functools import cache
from math import ceil

import numpy as np
import pytest
from faultleaf.cards import Library, fault_rates, otherwise_rates
from faultleaf.diagnosis import STILL_THERE, UNLISTED, believe, compile_problem, rank_steps

from tests.calls.forbidden import Forbidden
from tests.calls.played import draw_call
from tests.calls.settings import WATER_SIDE, Setting, shipped_settings
from tests.calls.straying import offered, policy_states, seen, strays, wrongly_offered
from tests.cli.calls import shipped_library

WALKS, RANKED, EDGE, SEED = 10_000, 3, 0.05, 20261126


@cache
def shipped() -> Library:
    return shipped_library()


@cache
def settings() -> dict[str, Setting]:
    return {setting.name: setting for setting in shipped_settings(shipped())}


def rules_of(setting: Setting) -> Forbidden:
    return Forbidden(shipped(), [setting.symptom], setting.given["equipment"])


NAMES = sorted(settings())


@pytest.mark.parametrize("name", NAMES)
def test_whatever_is_done_what_is_offered_is_what_the_cards_allow(name: str) -> None:
    """Calls worked in any order that is open: neither a step too many nor one too few, stops and all."""
    setting, draw = settings()[name], random.Random(f"{SEED}/{name}")
    rules, stopped = rules_of(setting), 0
    for _ in range(ceil(WALKS / len(NAMES))):
        for state in strays(setting.problem, draw_call(setting.problem, draw), draw):
            assert not wrongly_offered(setting.problem, rules, state), (seen(state), sorted(state.tried))
            stopped += any(rules.stops(*found) for found in seen(state).items())
    assert stopped > 20 or setting.symptom not in WATER_SIDE


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_fired_or_filled_or_read_by_a_glass_found_bad(name: str) -> None:
    setting, draw, bad = settings()[name], random.Random(f"{SEED}/{name}"), 0
    rules = rules_of(setting)
    for _ in range(200 if setting.symptom in WATER_SIDE else 40):
        for state in strays(setting.problem, draw_call(setting.problem, draw), draw):
            glass = [test for test, outcome in seen(state).items() if rules.mended_first(test, outcome)]
            for step in offered(setting.problem, state) if glass else ():
                bad += 1
                card = rules.steps[step]
                assert step in setting.problem.repair_index or not {"fire", "fill"} & set(card.does), step
                assert set(card.needs.get(glass[0], ())) <= {seen(state)[glass[0]], *rules.bad_outcomes(glass[0])}
    assert bad > 20 or setting.symptom not in WATER_SIDE


@pytest.mark.parametrize("name", [name for name in NAMES if name.startswith(WATER_SIDE) and "unknown" not in name][::3])
def test_policy_offers_nothing_forbidden_on_its_way_nor_beside_it(name: str) -> None:
    setting = settings()[name]
    rules = rules_of(setting)
    for state, steps in policy_states(setting.problem, EDGE):
        assert not wrongly_offered(setting.problem, rules, state), seen(state)
        assert not {step.id for step in steps} & rules.after(seen(state), state.tried), seen(state)


@pytest.mark.parametrize("name", NAMES)
def test_what_forbids_nothing_is_never_dearer_than_its_own_minutes_beside_the_best(name: str) -> None:
    """Rule 21, for every step offered at a few states of a call."""
    setting, draw = settings()[name], random.Random(f"{SEED}/{name}")
    states = [state for _ in range(3) for state in strays(setting.problem, draw_call(setting.problem, draw), draw)]
    ends = ending_things(rules_of(setting))
    for state in draw.sample(states, RANKED):
        findings = {**seen(state), **dict.fromkeys(sorted(state.tried), STILL_THERE)}
        steps = rank_steps(setting.problem, believe(setting.problem, findings))
        best = min((step.expected_minutes for step in steps), default=0.0)
        for step in steps:
            if step.kind == "test" and step.id not in ends:
                assert step.expected_minutes <= best + step.cost_minutes + 1e-6


def ending_things(rules: Forbidden) -> set[str]:
    """Tests after which something may be impossible that was possible before, read from the cards."""
    found: set[str] = set()
    for card in rules.library.tests.values():
        perished = any(set(other.perishes) & set(card.does) for other in rules.library.tests.values())
        if card.stops or card.renews or perished or any(rules.mended_first(card.id, seen) for seen in card.outcomes):
            found.add(card.id)
    return found | {test for card in rules.steps.values() for test in card.never_when}


@pytest.mark.parametrize("name", NAMES)
def test_ways_of_showing_add_up_to_their_card(name: str) -> None:
    setting = settings()[name]
    problem, library = setting.problem, shipped()
    assert problem.faults[-1] == UNLISTED
    for cause, rows in problem.cause_rows.items():
        if cause == UNLISTED:
            continue
        whole, fault = float(problem.weights[list(rows)].sum()), library.faults[cause]
        shares = [share for _, share, _ in fault.rows]
        assert sum(shares) == pytest.approx(1)
        assert problem.weights[list(rows)] == pytest.approx(whole * np.array(shares), rel=1e-12)
        fixed = [problem.fixes[:, row] for row in rows]
        assert all((row == fixed[0]).all() for row in fixed)
        for test in problem.tests:
            if test.id in fault.named_tests:
                otherwise = dict(zip(test.outcomes, _otherwise(setting, test.id, rows), strict=True))
                card = fault_rates(library.tests[test.id], fault, otherwise)
                assert np.array(shares) @ test.table[list(rows)] == pytest.approx(list(card.values()), abs=1e-12)
    belief = believe(problem, {})
    assert sum(belief.by_cause.values()) == pytest.approx(1)


def _otherwise(setting: Setting, test: str, rows: tuple[int, ...]) -> list[float]:
    """What is seen at the test on the systems of this cause when the fault lies elsewhere."""
    library, problem = shipped(), setting.problem
    place = library.faults[problem.causes[rows[0]]].place(setting.symptom)
    systems = {}
    for name, feature in library.equipment.items():
        known = setting.given["equipment"].get(name)
        allowed = (known,) if known else place.get(name, tuple(feature.values))
        whole = sum(feature.values[value].share for value in allowed)
        systems[name] = {value: feature.values[value].share / whole for value in allowed}
    return list(otherwise_rates(library.tests[test], systems, setting.symptom).values())


def test_what_is_seen_otherwise_on_unknown_equipment_is_mixed_from_the_known_kinds() -> None:
    library, compared = shipped(), 0
    for symptom in library.symptoms:
        unknown = compile_problem(library, [symptom])
        for feature, card in library.equipment.items():
            whole = sum(value.share for value in card.values.values())
            known = {name: compile_problem(library, [symptom], equipment={feature: name}) for name in card.values}
            for test in library.tests.values():
                if any(where.startswith(f"{feature}=") for where in test.otherwise_on):
                    place = unknown.test_index[test.id]
                    parts = [
                        value.share / whole * known[name].tests[known[name].test_index[test.id]].otherwise
                        for name, value in card.values.items()
                    ]
                    assert sum(parts) == pytest.approx(unknown.tests[place].otherwise, abs=1e-12)
                    compared += 1
    assert compared


def test_order_of_findings_counts_only_where_a_step_sets_another_anew_or_a_repair_failed() -> None:
    for setting in settings().values():
        problem, draw = setting.problem, random.Random(SEED)
        tests = draw.sample([test for test in problem.tests if not test.renews], 6)
        call = draw_call(problem, draw)
        findings = {test.id: call.shows[test.id] for test in tests}
        backwards = dict(reversed(findings.items()))
        assert believe(problem, findings).weights.tobytes() == believe(problem, backwards).weights.tobytes()
