"""What a master of the trade would not have done: a story's own judgement of its path, and the house's of all."""

from collections.abc import Iterator, Mapping, Sequence

from faultleaf.cards import Library
from faultleaf.diagnosis import CURED, UNLISTED

from tests.calls.stories import End, Rule, Story, Taken, all_words, words_for

PROOF = "gauge-glass-blowdown"
HOUSE = (
    Rule(step=("firing", "feeding", "drawing", "opening", "repair"), until=("make-safe",),
         after={"low-water-look": ("glass-empty",)}, why="An empty glass may be a dry boiler."),
    Rule(step=("firing", "feeding"), until=("cutoff-repair",),
         after={"cutoff-trip-test": ("stays-on", "slow")}, why="The cutoff does not stop the burner in time."),
    Rule(step=("firing", "feeding"), before={"all": (PROOF,)},
         why="Nobody fires or fills by a glass that was not proved that day."),
    Rule(step=("firing", "feeding"), until=("glass-repair",), after={PROOF: ("stuck", "sluggish")},
         why="A glass that hangs or creeps shows no level."),
    Rule(step=("opening",), before={"all": ("talk",)}, why="People are asked before parts are taken off."),
    Rule(step=("repair",), in_a_row=2, why="After a repair that did not cure comes a test."),
)  # fmt: skip
"""Judged in every story, on whatever is offered. The first by BPVC Section VI (from memory), else common practice."""


def broken(library: Library, story: Story, path: Sequence[Taken]) -> list[str]:
    """Everything that is wrong with the way a story went; [] where a master would accept it."""
    judge = _Judge(library, story, path)
    return [*judge.unknown(), *judge.ruled(), *judge.late(), *judge.ending()]


class _Judge:
    def __init__(self, library: Library, story: Story, path: Sequence[Taken]) -> None:
        self.library, self.story, self.path = library, story, path

    def unknown(self) -> Iterator[str]:
        """Words of the story that mean nothing in these cards."""
        words, rules = all_words(self.library), self.story.never
        used = [word for rule in rules for word in (*rule.step, *rule.until, *rule.apart_from)]
        used += [word for rule in rules for words_before in rule.before.values() for word in words_before]
        used += [word for each in self.story.by_step for word in each.step]
        used += [*self.story.answers, *self.story.known, *(f"repair:{name}" for name in self.story.cures)]
        yield from (f"no step is called {word}" for word in dict.fromkeys(used) if word not in words)
        for test, outcome in (*self.story.answers.items(), *self.story.known.items()):
            if test in self.library.tests and outcome not in self.library.tests[test].outcomes:
                yield f"{test} has no outcome {outcome}"

    def ruled(self) -> Iterator[str]:
        """Rules that a step breaks; the house's hold for whatever is offered beside it, too."""
        for rule in (*HOUSE, *self.story.never):
            for place, step in enumerate(self.path):
                steps = step.offered if rule in HOUSE and not rule.in_a_row else ((step.kind, step.id),)
                wrong = [name for kind, name in steps if self._breaks(rule, place, kind, name)]
                if wrong:
                    yield f"step {step.number}: {', '.join(wrong)}. {rule.why}"
                    break

    def late(self) -> Iterator[str]:
        """Steps that came too late, or not at all."""
        for wanted in self.story.by_step:
            at = next((step.number for step in self.path if self._is(step, wanted.step)), None)
            known = any(self._meant(wanted.step, "test", name) for name in self.story.known)
            if not known and (at or self.path[-1].number) >= wanted.by + (at is not None):
                yield f"{' or '.join(wanted.step)} {f'at step {at}' if at else 'never'}, by {wanted.by}. {wanted.why}"

    def ending(self) -> Iterator[str]:
        """How the call ended, where that is not accepted; the minutes where they are too many."""
        last = self.path[-1]
        if not any(self._accepted(end, last) for end in self.story.end):
            causes = ", ".join(f"{name} {share:.0%}" for name, share in last.causes)
            yield f"step {last.number}: ended by {last.kind} {last.id} [{causes}]"
        if self.story.within is not None and last.minutes > self.story.within:
            yield f"{last.minutes:.0f} hands-on minutes, {self.story.within:.0f} allowed"

    def _meant(self, words: Sequence[str], kind: str, name: str) -> bool:
        return bool(set(words) & words_for(self.library, kind, name))

    def _is(self, step: Taken, words: Sequence[str]) -> bool:
        return self._meant(words, step.kind, step.id)

    def _breaks(self, rule: Rule, place: int, kind: str, name: str) -> bool:
        done = [("test", name) for name in self.story.known] + [(step.kind, step.id) for step in self.path[:place]]
        if not self._meant(rule.step, kind, name) or self._meant(rule.apart_from, kind, name):
            return False
        if any(self._meant(rule.until, *step) for step in done):
            return False
        if rule.after and not self._seen(rule.after, place):
            return False
        if rule.in_a_row:
            return self._repairs_before(place) + 1 >= rule.in_a_row
        met = {
            word: any(self._meant((word,), *step) for step in done) for each in rule.before.values() for word in each
        }
        missing = [word for word in rule.before.get("all", ()) if not met[word]]
        either = rule.before.get("any", ())
        return not rule.before or bool(missing) or (bool(either) and not any(met[word] for word in either))

    def _seen(self, wanted: Mapping[str, Sequence[str]], place: int) -> bool:
        """Whether one of these findings stands before that place; what a repair restored is seen so."""
        seen = dict(self.story.known)
        for step in self.path[:place]:
            pair = self.library.find_repair(step.id)
            seen.update({step.id: step.outcome} if pair is None else pair[1].restore)
        return any(seen.get(test) in outcomes for test, outcomes in wanted.items())

    def _repairs_before(self, place: int) -> int:
        steps = [step for step in self.path[:place] if not step.id.startswith("equipment.")]
        return next((count for count, step in enumerate(reversed(steps)) if step.kind != "repair"), len(steps))

    def _accepted(self, end: End, last: Taken) -> bool:
        if end.hand_on is None:
            cured = last.outcome == CURED and self._done(end.done)
            names = {*end.repair, *(self.story.truth.ids if end.or_truth else ())}
            return cured and last.id.partition(".")[0] in names
        terms = end.hand_on
        if last.kind not in ("hand-on", "named") or not self._done(terms.done):
            return False
        if terms.caution and not set(terms.caution) & self._cautions():
            return False
        if any(not self._seen({test: outcomes}, len(self.path)) for test, outcomes in terms.after.items()):
            return False
        likeliest, share = last.causes[0] if last.causes else (UNLISTED, 0.0)
        return not terms.cause or (likeliest in {*terms.cause, *self.story.truth.ids} and share >= terms.at_least)

    def _done(self, words: Sequence[str]) -> bool:
        return all(any(self._is(step, (word,)) for step in self.path) for word in words)

    def _cautions(self) -> set[str]:
        """The cautions that were shown on the way."""
        safe = {name for symptom in self.story.symptoms for name in self.library.symptoms[symptom].make_safe}
        return safe | {name for step in self.path for name in step.cautions}
