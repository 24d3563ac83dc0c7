"""`faultleaf plan`: the cheapest plan of a call, its minutes beside what no plan can beat."""

import argparse
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.cli.project import add_project, read_library
from faultleaf.cli.speak import CommandError, check_equipment, check_known, pairs, say
from faultleaf.cli.words import caution_lines
from faultleaf.diagnosis import (
    HAND_ON,
    Box,
    Plan,
    PlanError,
    Problem,
    Solution,
    compile_problem,
    parse_problem,
    plan,
    solve,
)
from faultleaf.diagnosis.worth.endings import Stopped, endings, stopped_on
from faultleaf.words import ends_text, outcome_words, share_text, step_words

SHOWN_BOXES = 60
STATES = 2000
MET = 1e-9
"""A plan within this share of the minutes that none can beat is the best there is."""


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("plan", help="the cheapest plan of a call, and a proof of how good it is")
    parser.add_argument("what", metavar="SYMPTOM|PROBLEM.json", help="a symptom id, or a problem file")
    parser.add_argument("--has", action="append", metavar="FEATURE=VALUE", help="equipment that is known")
    parser.add_argument("--who", default="licensed", choices=RANKS, metavar="RANK", help="the highest rank at hand")
    parser.add_argument(
        "--boxes", type=_count, metavar="N", help="at most so many boxes (default: as many as it takes)"
    )
    parser.add_argument("--states", type=_count, default=STATES, metavar="N", help="how far to search for the proof")
    parser.add_argument("--json", action="store_true", help="answer as JSON")
    add_project(parser)
    parser.set_defaults(run=run)


def _count(text: str) -> int:
    """A whole number of at least 1; argparse says what is wrong otherwise."""
    if text.isdecimal() and int(text) > 0:
        return int(text)
    raise argparse.ArgumentTypeError(f"expected a whole number of at least 1, found '{text}'")


def run(options: argparse.Namespace) -> int:
    """Print the plan; raises CommandError for a name that is not there or a file that cannot be read."""
    library = None if options.what.endswith(".json") else read_library(options)
    problem = _from_file(options.what) if library is None else _from_cards(library, options)
    best = solve(problem, options.states)
    drawn = best.plan if options.boxes is None else plan(problem, options.boxes)
    if drawn is None and not problem.identify:
        raise PlanError("no plan was found; search further with --states")
    if options.json:
        print(json.dumps(_as_json(problem, best, drawn), indent=1))
    else:
        for line in _lines(library, options.what, problem, best, drawn):
            say(line)
    return 0


def _from_file(name: str) -> Problem:
    try:
        data = json.loads(Path(name).read_text(encoding="utf-8"))
    except OSError as error:
        raise CommandError(f"{name} cannot be read: {error.strerror}") from error
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise CommandError(f"{name} is not JSON: {error}") from error
    return parse_problem(data)


def _from_cards(library: Library, options: argparse.Namespace) -> Problem:
    equipment = pairs(options.has, "--has")
    check_known(options.what, library.symptoms, "symptom")
    check_equipment(library, equipment)
    return compile_problem(library, [options.what], equipment=equipment, who=options.who)


def _minutes(best: Solution, drawn: Plan | None) -> float:
    return best.expected_minutes if drawn is None else drawn.expected_minutes


def _proved(best: Solution, drawn: Plan | None) -> bool:
    return _minutes(best, drawn) <= best.lower_bound * (1 + MET)


def _as_json(problem: Problem, best: Solution, drawn: Plan | None) -> dict[str, Any]:
    return {
        "ends": None if drawn is None else asdict(endings(problem, drawn)),
        "expected_minutes": _minutes(best, drawn),
        "lower_bound": best.lower_bound,
        "proved_optimal": _proved(best, drawn),
        "unlimited_minutes": best.expected_minutes,
        "states": best.states,
        "root": None if drawn is None else drawn.root,
        "boxes": [] if drawn is None else [_box_json(box) for box in drawn.boxes],
    }


def _box_json(box: Box) -> Mapping[str, Any]:
    return {
        "id": box.id,
        "kind": box.kind,
        "step": " + ".join(box.steps) or box.kind,
        "steps": list(box.steps),
        "minutes": box.minutes,
        "reach": box.reach,
        "next": {exit_.outcome: exit_.target for exit_ in box.exits},
    }


def _lines(library: Library | None, what: str, problem: Problem, best: Solution, drawn: Plan | None) -> Iterable[str]:
    minutes, proved = _minutes(best, drawn), _proved(best, drawn)
    if drawn is not None:
        yield ends_text(**asdict(endings(problem, drawn)))
    yield f"The planner's sum: {minutes:.1f} minutes" + (", proved: no plan is cheaper." if proved else ".")
    if not proved:
        over = f"; this one lies {share_text(minutes / best.lower_bound - 1)} above" if best.lower_bound > 0 else ""
        yield f"No plan's sum lies under {best.lower_bound:.1f} minutes{over} ({best.states} states searched)."
    if drawn is None:
        return
    if drawn is not best.plan:
        yield f"Without a limit on boxes: {best.expected_minutes:.1f} minutes."
    if problem.hand_on is not None:
        yield f"In that sum a call handed on counts {problem.hand_on:.0f} minutes and the repair that is still owed."
    if library is not None:
        yield from _before(library, what, drawn)
    stops = stopped_on(problem, drawn)
    for box in drawn.boxes[:SHOWN_BOXES]:
        yield from _box_lines(library, problem, stops, box)
    if len(drawn.boxes) > SHOWN_BOXES:
        yield f"… and {len(drawn.boxes) - SHOWN_BOXES} more boxes; --boxes keeps the plan short, --json gives all."
    if library is not None:
        yield "A hint for the next look, never proof that a boiler is safe. " + library.site.notice


def _before(library: Library, symptom: str, drawn: Plan) -> Iterable[str]:
    """The cautions of everything that the plan asks for, those of the symptom first."""
    steps = [step for box in drawn.boxes for step in box.steps]
    named = dict.fromkeys(library.symptoms[symptom].make_safe)
    named |= dict.fromkeys(name for step in steps for name in library.cautions_of(step))
    yield from caution_lines(library, named)


def _box_lines(library: Library | None, problem: Problem, stops: Stopped, box: Box) -> Iterable[str]:
    others = {repair.id for repair in problem.repairs if repair.by_other}
    titles = [
        f"{'cause named, for others: ' * (step in others)}{step if library is None else step_words(library, step)}"
        for step in box.steps or (HAND_ON,)
    ]
    yield f"{box.id:>5}  {'; then '.join(titles)} ({share_text(box.reach)} of calls)"
    for exit_ in box.exits:
        held = stops.leaving.get((box.id, exit_.outcome), frozenset())
        danger = any((step, exit_.outcome) in active for active in held for step in box.steps)
        words = exit_.outcome if library is None else outcome_words(library, box.steps[0], exit_.outcome)
        goal = exit_.target or "done, cured and proved"
        yield f"         {words} ({share_text(exit_.share)}): {'STOP, then ' * danger}{goal}"
