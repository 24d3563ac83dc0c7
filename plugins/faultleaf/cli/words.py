"""Steps in words for the terminal: what is done, and why it is worth its minutes."""

from faultleaf.cards import Library
from faultleaf.diagnosis import ScoredStep


def why_words(library: Library, step: ScoredStep) -> str:
    """Why a step is worth taking, from its data: what it tells or ends, its minutes, what makes it safe.

    For a test that parts the likeliest causes: "splits the two likeliest causes; 5 minutes; nothing to
    lock out".
    """
    if step.kind == "hand-on":
        return "nothing else is cheaper" if step.reason == "cheapest" else "always possible"
    parts = [*_worth(step), _minutes(step.cost_minutes)]
    waits = any(library.cautions[name].setup > 0 for name in library.cautions_of(step.id))
    parts.append("to be made safe first, counted in the minutes" if waits else "nothing to lock out")
    return "; ".join(parts)


def _worth(step: ScoredStep) -> list[str]:
    if step.kind == "repair":
        return [f"ends {step.why.removes:.0%} of such calls"]
    parts = ["every later reading relies on it"] if step.reason == "first" else []
    if step.why.apart:
        parts.append("splits the two likeliest causes")
    elif step.splits:
        parts.append("splits likely causes")
    waiting = len(step.why.opens)
    if waiting:
        parts.append(f"{waiting} other step{'s' * (waiting > 1)} wait{'s' * (waiting == 1)} for it")
    return parts or ["tells little by itself"]


def _minutes(value: float) -> str:
    return "1 minute" if round(value) == 1 else f"{value:.0f} minutes"
