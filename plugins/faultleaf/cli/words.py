"""Steps, stops and cautions in words for the terminal: what is done, why it is worth its minutes, what ends a call."""

from collections.abc import Iterable, Iterator, Mapping

from faultleaf.cards import Library
from faultleaf.diagnosis import ScoredStep
from faultleaf.diagnosis.model.problem import Stop
from faultleaf.words import minutes_text, rank_text, share_text, step_words


def done_words(library: Library, step: ScoredStep) -> str:
    """What a step is, after its kind, with the id that the command takes."""
    if step.kind == "hand-on":
        stands = "; the STOP stands" if step.cautions else ""
        return f"hand on to {library.site.call}{stands}"
    if step.kind in ("repair", "named") and (found := library.find_repair(step.id)):
        fault, repair = found
        if step.kind == "repair":
            return f"repair {step.id}: {fault.title}, {minutes_text(step.cost_minutes)} with its proof"
        done = "to quote" if repair.quote else f"to be done by: {rank_text(repair.who)}"
        return f"cause named {step.id}: {fault.title}. {repair.title}, {done}; the call ends here"
    waited = "test " if step.id in library.tests else "ask "
    return f"{waited}{step.id}: {step_words(library, step.id)}, {minutes_text(step.cost_minutes)}"


def why_words(library: Library, step: ScoredStep) -> str:
    """Why a step is worth taking, from its data: what it tells or ends, its minutes, what makes it safe.

    For a test that parts the likeliest causes: "splits the two likeliest causes; 5 min; nothing to lock out".
    """
    if step.kind == "hand-on":
        if step.cautions:
            return "what the stop allows comes before, nothing else"
        return "nothing else is cheaper" if step.reason == "cheapest" else "always possible"
    if step.kind == "named":
        return _worth(step)[0]
    parts = [*_worth(step), minutes_text(step.cost_minutes)]
    waits = any(library.cautions[name].setup > 0 for name in library.cautions_of(step.id))
    parts.append("to be made safe first, counted in the minutes" if waits else "nothing to lock out")
    return "; ".join(parts)


def caution_lines(library: Library, ids: Iterable[str]) -> Iterator[str]:
    """One line for each caution, in this order: signal word, hazard, consequence, how to keep clear of it."""
    for name in dict.fromkeys(ids):
        caution = library.cautions[name]
        yield f"{caution.signal.upper()}: {caution.hazard} {caution.consequence} {caution.avoid}"


def stop_lines(library: Library, stops: Iterable[Stop], allowed: Mapping[str, str]) -> Iterator[str]:
    """The stops of a call, before anything else: what was seen, what to do now, whom to call, what is still allowed.

    `allowed`: the ids of the steps that may still be done, with their words.
    """
    for stop in stops:
        test = library.tests[stop.test]
        yield f"STOP. {test.title}: {test.outcomes[stop.outcome]}"
        yield from (f"  {line}" for line in caution_lines(library, [stop.caution]))
        yield f"  Call: {stop.call}."
    words = "; ".join(f"{name}: {title}" for name, title in allowed.items())
    yield f"  After that these alone: {words}." if words else "  Nothing else is done on this call."


def _worth(step: ScoredStep) -> list[str]:
    if step.kind in ("repair", "named"):
        return [f"removes what lies behind {share_text(step.why.removes)} of such calls"]
    begins = {"first": ["every later reading relies on it"], "stop": ["the stop allows it"]}
    parts = [*begins.get(step.reason, [])]
    if step.why.apart:
        parts.append("splits the two likeliest causes")
    elif step.splits:
        parts.append("splits likely causes")
    waiting = len(step.why.opens)
    if waiting:
        parts.append(f"{waiting} other step{'s' * (waiting > 1)} wait{'s' * (waiting == 1)} for it")
    return parts or ["tells little by itself"]
