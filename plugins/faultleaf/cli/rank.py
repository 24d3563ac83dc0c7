"""`faultleaf rank`: the causes of a call by probability, and the next step by expected minutes."""

import argparse
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.cli.project import add_project, read_library
from faultleaf.cli.speak import check_equipment, check_known, pairs, say
from faultleaf.cli.words import caution_lines, done_words, stop_lines, why_words
from faultleaf.diagnosis import UNLISTED, Belief, ScoredStep, believe, compile_problem, rank_steps
from faultleaf.diagnosis.worth.endings import Endings, endings_by
from faultleaf.diagnosis.worth.heuristics import one_step
from faultleaf.words import ends_text, share_text, step_words

SHOWN_STEPS = 8
ONE_STEP = "Worked by a quick rule that looks one step ahead; worked step by step it ends better."


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("rank", help="causes by probability, and the next step")
    parser.add_argument("symptoms", nargs="+", metavar="SYMPTOM", help="symptom ids; the first is what the call is for")
    parser.add_argument("--not", action="append", dest="absent", metavar="SYMPTOM", help="looked for and not there")
    parser.add_argument("--has", action="append", metavar="FEATURE=VALUE", help="equipment that is known")
    parser.add_argument("--found", action="append", metavar="TEST=OUTCOME", help="what a test showed")
    parser.add_argument("--cannot", action="append", metavar="TEST", help="a step that cannot be done here")
    parser.add_argument("--who", default="licensed", metavar="RANK", help="the highest rank at hand")
    parser.add_argument("--json", action="store_true", help="answer as JSON")
    add_project(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the ranking; raises CommandError for a name that the library does not have."""
    library = read_library(options)
    options.symptoms = list(dict.fromkeys(options.symptoms))
    equipment, findings = pairs(options.has, "--has"), pairs(options.found, "--found")
    _check_names(library, options, equipment, findings)
    problem = compile_problem(
        library,
        options.symptoms,
        equipment=equipment,
        absent=options.absent or (),
        cannot=options.cannot or (),
        who=options.who,
    )
    belief = believe(problem, findings)
    steps = rank_steps(problem, belief)
    lost = problem.emergency or belief.impossible
    ends = None if lost else endings_by(problem, belief.state, one_step)
    if options.json:
        answer = _as_json(library, options, equipment, findings, belief, steps)
        print(json.dumps({**answer, "ends": ends and asdict(ends)}, indent=1))
    else:
        for line in _lines(library, belief, steps, ends):
            say(line)
    return 0


def _check_names(
    library: Library, options: argparse.Namespace, equipment: Mapping[str, str], findings: Mapping[str, str]
) -> None:
    for symptom in (*options.symptoms, *(options.absent or ())):
        check_known(symptom, library.symptoms, "symptom")
    check_equipment(library, equipment)
    repairs = (name for fault in library.faults.values() for name, _ in fault.named_repairs)
    steps = [*library.tests, *(f"equipment.{name}" for name in library.equipment), *repairs]
    for step, seen in findings.items():
        check_known(step, steps, "test or repair")
        if step in library.tests:
            check_known(seen, library.tests[step].outcomes, f"outcome of '{step}'")
    for step in options.cannot or ():
        check_known(step, steps, "test or repair")
    check_known(options.who, RANKS, "rank")


def _as_json(
    library: Library,
    options: argparse.Namespace,
    equipment: Mapping[str, str],
    findings: Mapping[str, str],
    belief: Belief,
    steps: tuple[ScoredStep, ...],
) -> dict[str, Any]:
    ranked = dict(belief.ranked())
    return {
        "symptoms": options.symptoms,
        "absent": options.absent or [],
        "equipment": dict(equipment),
        "findings": dict(findings),
        "causes": [{"id": name, "probability": share} for name, share in ranked.items() if name != UNLISTED],
        "unlisted": ranked.get(UNLISTED, 0.0),
        "impossible": belief.impossible,
        "fits": belief.fits,
        "stops": [
            {
                "test": stop.test,
                "outcome": stop.outcome,
                "caution": stop.caution,
                "call": stop.call,
                "allows": sorted(stop.allows),
            }
            for stop in belief.stops
        ],
        "next_step": _step_json(library, steps[0]) if steps else None,
        "steps": [_step_json(library, step) for step in steps],
    }


def _step_json(library: Library, step: ScoredStep) -> dict[str, Any]:
    return {
        "kind": step.kind,
        "id": step.id,
        "expected_minutes": step.expected_minutes,
        "minutes": step.cost_minutes,
        "outcomes": dict(step.outcomes),
        "reason": step.reason,
        "cautions": step.cautions or library.cautions_of(step.id),
        "why": {"apart": step.why.apart, "removes": step.why.removes, "opens": step.why.opens},
    }


def _lines(library: Library, belief: Belief, steps: tuple[ScoredStep, ...], ends: Endings | None) -> Iterable[str]:
    dangers = [stop for stop in belief.stops if stop.caution]
    if dangers:
        # Shares of causes would invite the repair that the stop forbids.
        allowed = {step.id: step_words(library, step.id) for step in steps if step.kind != "hand-on"}
        yield from stop_lines(library, dangers, allowed)
    else:
        yield from _causes(library, belief)
    yield ""
    cautions = library.cautions_of(steps[0].id) if steps and steps[0].kind in ("test", "repair") else ()
    told = {stop.caution for stop in dangers}
    yield from caution_lines(library, [name for name in cautions if name not in told])
    for number, step in enumerate(steps[:SHOWN_STEPS]):
        yield f"{'Next step:' if number == 0 else '       or:'} {done_words(library, step)}"
        yield f"           {why_words(library, step)}"
    if ends is not None and not dangers:
        yield f"{ends_text(**asdict(ends))} ({ONE_STEP})"
    yield "A hint for the next look, never proof that a boiler is safe. " + library.site.notice


def _causes(library: Library, belief: Belief) -> Iterable[str]:
    if belief.impossible:
        yield "No cause, not even an unlisted one, can show these findings. Take them again."
    for name, share in belief.ranked():
        if share > 0:
            title = "something that no card describes" if name == UNLISTED else library.faults[name].title
            yield f"{share_text(share):>9}  {name}: {title}"
    if not (belief.fits or belief.impossible):
        yield "These findings fit no card: look wider, and take the doubtful ones again."
