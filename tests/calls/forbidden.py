"""What must not be done after what was found: a plain second reading of the cards, without the engine.

Rules 5, 16, 17 and 19: needs and `never_when`, stops with what they allow, an instrument that is mended first, looks
that perish; rule 4 for equipment that is not known yet. Steps are ids of tests and repairs.
"""

from collections.abc import Iterator, Mapping, Sequence

from faultleaf.cards import Fault, Library, Repair, Test

Findings = Mapping[str, str]
Card = Test | Repair


class Forbidden:
    """For one call: which steps are forbidden after which findings."""

    def __init__(self, library: Library, symptoms: Sequence[str], equipment: Mapping[str, str]) -> None:
        self.library, self.symptoms, self.equipment = library, symptoms, equipment
        self.steps = dict(self._steps())
        self.first = [check.test for name in symptoms for check in library.symptoms[name].first]
        self._bad = self._bad_outcomes()
        self._banned: dict[tuple[str, str], frozenset[str]] = {}
        self._waiting: dict[str, frozenset[str]] = {}
        needs = {name: self._needs(name) for name in self.steps}
        self._questions = frozenset(f"equipment.{feature}" for feature in library.equipment)
        self._asked = sorted({test for wanted in needs.values() for test in wanted})
        for test in self._asked:
            self._waiting[test] = frozenset(name for name, wanted in needs.items() if test in wanted)
        self._all_needs = needs

    def after(self, findings: Findings, tried: frozenset[str]) -> set[str]:
        """The steps that may not be taken after these findings and these repairs that did not cure."""
        found: set[str] = set()
        for test, outcome in findings.items():
            found |= self._banned_by(test, outcome)
        for test in self._asked:
            if test not in findings:
                found |= self._waiting[test]
        done = {act for name in (*findings, *tried) if name in self.steps for act in self.steps[name].does}
        if done:
            ways = {name for name, card in self.steps.items() if isinstance(card, Test) and done & set(card.perishes)}
            found |= {name for name in ways if self._others_did(name, findings, tried)}
        return found

    def mended_first(self, test: str, outcome: str) -> bool:
        """Whether this outcome says that the test's own instrument is to be mended before anything else."""
        return outcome in self._bad.get(test, ())

    def bad_outcomes(self, test: str) -> frozenset[str]:
        """The outcomes of the test for which its own instrument is mended."""
        return frozenset(self._bad.get(test, ()))

    def _others_did(self, name: str, findings: Findings, tried: frozenset[str]) -> bool:
        """Whether another step than the test itself did what it perishes by."""
        card = self.steps[name]
        others = (self.steps[other] for other in (*findings, *tried) if other in self.steps and other != name)
        return isinstance(card, Test) and any(set(card.perishes) & set(other.does) for other in others)

    def _steps(self) -> Iterator[tuple[str, Card]]:
        yield from self.library.tests.items()
        for fault in self.library.faults.values():
            yield from fault.named_repairs

    def _fault_of(self, name: str) -> Fault | None:
        return next((f for f in self.library.faults.values() for each, _ in f.named_repairs if each == name), None)

    def _needs(self, name: str) -> dict[str, set[str]]:
        """Test or question → the outcomes that the step wants of it."""
        card, fault = self.steps[name], self._fault_of(name)
        wanted = {test: set(outcomes) for test, outcomes in card.needs.items()}
        places = [card.found_on]
        if fault is not None:
            candidate = any(symptom in fault.symptoms for symptom in self.symptoms)
            places.append(fault.place(self.symptoms[0]) if candidate else fault.found_on)
            if isinstance(card, Repair) and not candidate:
                wanted |= {test: set(outcomes) for test, outcomes in card.mends.items() if test in self.first}
        for place in places:
            for feature, values in place.items():
                if feature not in self.equipment:
                    question = f"equipment.{feature}"
                    wanted[question] = wanted.get(question, set(values)) & set(values)
        return wanted

    def _bad_outcomes(self) -> dict[str, set[str]]:
        """`first` test → the outcomes for which some repair of the library mends its instrument."""
        found: dict[str, set[str]] = {}
        for card in self.steps.values():
            for test, outcomes in card.mends.items() if isinstance(card, Repair) else ():
                if test in self.first:
                    found.setdefault(test, set()).update(outcomes)
        return found

    def _banned_by(self, test: str, outcome: str) -> frozenset[str]:
        key = (test, outcome)
        if key not in self._banned:
            banned = frozenset(name for name in self.steps if self._bans(test, outcome, name))
            self._banned[key] = banned | (self._questions if self.stops(test, outcome) else frozenset())
        return self._banned[key]

    def stops(self, test: str, outcome: str) -> bool:
        """Whether after this outcome nothing goes on but what it allows."""
        card = self.library.tests.get(test)
        return (card is not None and outcome in card.stops) or self.mended_first(test, outcome)

    def _bans(self, test: str, outcome: str, name: str) -> bool:
        card, source = self.steps[name], self.library.tests.get(test)
        if outcome in card.never_when.get(test, ()) or outcome not in self._all_needs[name].get(test, {outcome}):
            return True
        if source is not None and (stop := source.stops.get(outcome)) is not None:
            fault = self._fault_of(name)
            if name not in stop.allows and (fault is None or fault.id not in stop.allows):
                return True
        return self.mended_first(test, outcome) and not self._mends(test, name)

    def _mends(self, test: str, name: str) -> bool:
        """Whether the step puts the test's instrument right, or tells what is wrong with it."""
        card = self.steps[name]
        if isinstance(card, Repair):
            return test in card.restore
        return test in card.needs and set(card.needs[test]) <= self._bad[test]
