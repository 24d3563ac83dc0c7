"""The best run of repairs without further tests: what a belief is worth when one stops looking.

Repairs stand in the order of probability over minutes (those paid where it does not cure: what a cure adds
is paid whatever the order), brought up to date after every one that did not cure, and the run stops at the
*best prefix* of that order, where handing on is cheaper than the rest (stopping at the first repair that does
not pay is not exact). Without handing on all are done. Where handing on costs the same for every fault, no
run is better; where what is owed differs, one that leaves a repair out may be, which the searches find.
Reference for the order: J. Kalagnanam and M. Henrion, "A comparison of decision analysis and expert
rules for sequential diagnosis", Uncertainty in Artificial Intelligence 4 (1988).
"""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Context

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats, Places, Problem
from faultleaf.diagnosis.model.state import State, after_failed, open_repairs

Mask = NDArray[np.bool_]
NOTHING_LEFT = 1e-12
"""Weight below this share of a belief counts as nothing: what subtracting floats leaves behind."""
EQUAL = 1 - 1e-9
"""Ratios that differ by less than this factor are equal."""

NAMED_AT_LEAST = 0.5
"""A cause is named, for others to repair, where its repair cures with at least this chance (rule 8)."""
HALVES = 1 + 1e-12
"""Values are taken this many times before they are rounded, so that a half and a little less go the same way."""

_NINE = Context(prec=9, rounding=ROUND_HALF_UP)


def round9(value: float) -> float:
    """The value to 9 significant digits, halves away from zero: how scores are compared (rule 13).

    Round numbers on cards give scores that lie on a half. What floats leave behind must not decide there,
    so whatever is a part in 10¹² or less below a half goes the way of the half.

    >>> round9(1234567894.5), round9(1258.645725), round9(1258.6457249999999)
    (1234567890.0, 1258.64573, 1258.64573)
    """
    return float(_NINE.create_decimal_from_float(value * HALVES))


def rounded(values: Floats) -> Floats:
    """Every value to 9 significant digits, for choosing among many; infinities stay."""
    finite = np.isfinite(values) & (values != 0)
    safe = np.where(finite, np.abs(values), 1.0)
    unit = 10.0 ** (np.floor(np.log10(safe)) - 8)
    return np.where(finite, np.round(np.where(finite, values, 1.0) * HALVES / unit) * unit, values)


def leaf_values(problem: Problem, weights: Floats, allowed: Mask) -> tuple[Floats, NDArray[np.int_]]:
    """Minutes (weight × minutes, not normalised) and length of the best run, for N beliefs at once.

    `weights` is (N, F), `allowed` (N, R) says which repairs may be done. Infinite minutes where there
    is no handing on and something stays unrepaired. O(N·(F·R + R·log R)) beside the few repairs that share faults;
    O(N·F·R²) where what a repair sets forbids others.
    """
    if problem.by_others.any():
        allowed = allowed & may_be_named(problem, weights)
    return (_forbidding_runs if problem.restoring else _sorted_runs)(problem, weights, allowed)


def may_be_named(problem: Problem, weights: Floats) -> Mask:
    """(N, R): False for a repair by others whose fault is not likely enough yet to be named (rule 8)."""
    cured = weights @ problem.fixes.T
    sure: Mask = cured >= NAMED_AT_LEAST * EQUAL * weights.sum(axis=-1, keepdims=True)
    return sure | ~problem.by_others


def _sorted_runs(problem: Problem, weights: Floats, allowed: Mask) -> tuple[Floats, NDArray[np.int_]]:
    whole = weights.sum(axis=1)
    if not problem.repairs:
        return _ends(whole, weights @ _finite_ending(problem), whole, problem), np.zeros(len(weights), dtype=np.int_)
    cured = np.where(allowed, weights @ problem.fixes.T, 0.0)
    spared = np.where(allowed, weights @ (problem.fixes * _finite_ending(problem)).T, 0.0)
    for repairs, faults in problem.kin:
        _one_after_another(problem, weights[:, faults], allowed, repairs, faults, cured, spared)
    # The last one to be done comes first, so that a running sum is what is left. Equal ones in any order:
    # the minutes are the same.
    order = np.argsort(cured / problem.failed_minutes, axis=1)
    rows = np.arange(len(weights))[:, None]
    at = order + rows * order.shape[1]
    cured, spared = cured.ravel().take(at), spared.ravel().take(at)
    failed, more = problem.failed_minutes.take(order), (problem.repair_minutes - problem.failed_minutes).take(order)
    last = np.maximum(whole - cured.sum(axis=1), 0.0)
    left = np.cumsum(cured, axis=1) + last[:, None]
    paid = failed * left + more * cured
    if problem.hand_on is None:
        return paid.sum(axis=1) + _ends(last, last, whole, problem), np.count_nonzero(cured, axis=1)
    spent, left = np.cumsum(paid[:, ::-1], axis=1), left[:, ::-1]
    price = weights @ problem.ending
    owing = np.maximum(price[:, None] - np.cumsum(spared[:, ::-1], axis=1), 0.0)
    totals = np.empty((len(weights), spent.shape[1] + 1))
    totals[:, 0], totals[:, 1:] = _ends(whole, price, whole, problem), spent
    totals[:, 1:-1] += _ends(left[:, 1:], owing[:, :-1], whole[:, None], problem)
    totals[:, -1] += _ends(last, owing[:, -1], whole, problem)
    lengths = totals.argmin(axis=1)
    return totals[rows[:, 0], lengths], lengths


def _one_after_another(
    problem: Problem, live: Floats, allowed: Mask, repairs: Places, faults: Places, cured: Floats, spared: Floats
) -> None:
    """Set what each of the `repairs`, which share `faults`, cures and spares after those before it.

    Among themselves they stand in the order of probability over minutes, brought up to date after each. What one
    does never raises another's ratio, so that all repairs sorted by these ratios are the order of the whole run.
    """
    fixes, ending = problem.fixes[np.ix_(repairs, faults)], _finite_ending(problem)[faults]
    failed, free, rows = problem.failed_minutes[repairs], allowed[:, repairs].copy(), np.arange(len(live))
    cured[:, repairs] = spared[:, repairs] = 0.0
    for _ in repairs:
        ratios = np.where(free, live @ fixes.T, 0.0) / failed
        # Of equal ones the first: what floats leave behind must not decide (rule 13).
        pick = (ratios >= ratios.max(axis=1, keepdims=True) * EQUAL).argmax(axis=1)
        taken = np.where(free[rows, pick, None], live * fixes[pick], 0.0)
        at = rows, repairs[pick]
        cured[at], spared[at] = cured[at] + taken.sum(axis=1), spared[at] + taken @ ending
        free[rows, pick] = False
        live = live - taken


def _forbidding_runs(problem: Problem, live: Floats, allowed: Mask) -> tuple[Floats, NDArray[np.int_]]:
    """The same where repairs forbid others: one after another, the order brought up to date after each."""
    whole, rows, free = live.sum(axis=1), np.arange(len(live)), allowed.copy()
    spent, lengths = np.zeros(len(live)), np.zeros(len(live), dtype=np.int_)
    best = _ends(whole, live @ _finite_ending(problem), whole, problem)
    for done in range(1, len(problem.repairs) + 1):
        cured = np.where(free, live @ problem.fixes.T, 0.0)
        going = np.asarray(cured.any(axis=1))
        if not going.any():
            break
        ratios = cured / problem.failed_minutes
        pick = (ratios >= ratios.max(axis=1, keepdims=True) * EQUAL).argmax(axis=1)
        spent += np.where(going, (problem.repair_spent[pick] * live).sum(axis=1), 0.0)
        live = np.where(going[:, None], live * (1 - problem.fixes[pick]), live)
        free[rows, pick] = False
        free &= ~problem.forbidding[pick]
        total = spent + _ends(live.sum(axis=1), live @ _finite_ending(problem), whole, problem)
        better = going & (total < best)
        best, lengths = np.where(better, total, best), np.where(better, done, lengths)
    return best, lengths


def _finite_ending(problem: Problem) -> Floats:
    """What handing on costs by fault; nothing where it is not possible, which `_ends` makes infinite."""
    return problem.ending if problem.hand_on is not None else np.zeros(len(problem.faults))


def _ends(left: Floats, price: Floats, whole: Floats, problem: Problem) -> Floats:
    """Minutes × weight of handing on what is left, `price` where that is anything; infinite where it cannot be."""
    some = left > NOTHING_LEFT * whole
    return np.where(some, price if problem.hand_on is not None else np.inf, 0.0)


def _may_pay(problem: Problem, live: Floats, least: Floats | float) -> Mask:
    """(…, R): False where doing the repair cannot pay now nor later on the way.

    What it saves of handing on only shrinks; what it costs, minutes × weight left, never falls below
    minutes × the weight that no repair at all removes. So a run may stop where all are False.
    """
    if problem.hand_on is None:
        return np.asarray(live @ problem.fixes.T > 0)
    return np.asarray(live @ problem.saved.T > problem.failed_minutes * least)


def best_run(problem: Problem, state: State) -> tuple[tuple[int, ...], float]:
    """The repairs of the best run from one state, in order, and its minutes (not normalised).

    Equal scores (9 significant digits) go by id.
    """
    if not state.best:
        state.best.append(_best_prefix(problem, state))
    return state.best[0]


def _best_prefix(problem: Problem, state: State) -> tuple[tuple[int, ...], float]:
    spent, live, whole = 0.0, state.weights, state.total
    run: list[int] = []
    best = (_end(problem, live, whole), 0)
    for repair, after in repair_order(problem, state):
        spent += float(problem.repair_spent[repair] @ live)
        live = after
        run.append(repair)
        best = min(best, (spent + _end(problem, live, whole), len(run)))
    return tuple(run[: best[1]]), best[0]


def repair_order(problem: Problem, state: State) -> Iterator[tuple[int, Floats]]:
    """Repairs that may cure something, best first, each with the weights left when it did not cure."""
    if problem.disjoint and not problem.restoring:
        return _fixed_order(problem, state)
    return _live_order(problem, state)


def _end(problem: Problem, live: Floats, whole: float) -> float:
    if float(live.sum()) <= NOTHING_LEFT * whole:
        return 0.0
    return float("inf") if problem.hand_on is None else float(live @ problem.ending)


def _fixed_order(problem: Problem, state: State) -> Iterator[tuple[int, Floats]]:
    """Repairs by probability over minutes with the weights left after each; nothing changes the order."""
    cured = (problem.fixes @ state.weights).tolist()
    sure = may_be_named(problem, state.weights)
    ranked = sorted(
        (-round9(cured[index] / problem.repairs[index].failed_minutes), problem.repairs[index].id, index)
        for index in open_repairs(problem, state)
        if cured[index] > 0 and sure[index]
    )
    live = state.weights
    for _, _, index in ranked:
        live = live * (1 - problem.fixes[index])
        yield index, live


def _live_order(problem: Problem, state: State) -> Iterator[tuple[int, Floats]]:
    """The same with the order brought up to date after every repair that did not cure."""
    least = float(state.weights @ problem.stubborn)
    sure = may_be_named(problem, state.weights)
    places = [place for place in open_repairs(problem, state) if sure[place]]
    while places:
        cured = problem.fixes @ state.weights
        if not (_may_pay(problem, state.weights, least) & (cured > 0))[places].any():
            return
        index = _best_of(problem, places, (cured / problem.failed_minutes).tolist())
        state = after_failed(problem, state, index)
        yield index, state.weights
        places = [place for place in places if place != index and not problem.forbidding[index, place]]


def _best_of(problem: Problem, places: list[int], ratios: list[float]) -> int:
    """The place with the highest ratio; those equal to 9 significant digits go by id."""
    near = max(ratios[place] for place in places) * (1 - 1e-7)
    rivals = [place for place in places if ratios[place] >= near]
    if len(rivals) == 1:
        return rivals[0]
    return min(rivals, key=lambda place: (-round9(ratios[place]), problem.repairs[place].id))
