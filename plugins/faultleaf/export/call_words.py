"""The words of "Work the call": everything that its page says of a card.

One script holds what every call needs: the site's values, cautions, equipment, symptoms, proofs. Each symptom has
a script with its causes, their repairs, and the tests that may be done on it. The numbers stand in `engine.py`.
"""

from typing import Any, Final

from faultleaf.cards import Caution, Fault, Feature, Library, Proof, Repair, Symptom, Test, Worksheet, card_url
from faultleaf.cards.base import Card
from faultleaf.cards.measuring import WorkedOut
from faultleaf.cards.urls import slug
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis.model.minutes import hands_on_minutes, work_of_repair
from faultleaf.export.engine import data_script
from faultleaf.export.trees import Tree, tree_of
from faultleaf.export.worksheets import WORK_SCRIPTS, end_of
from faultleaf.words import capital, rank_text, wait_words

CALL_WORDS_VERSION: Final = 4
"""Raised when the shape of the data changes; call-view/words.js reads this version only."""
CALL_VIEW_FILES: Final = (
    "dom", "words", "data", "parts", "strip", "stop", "start", "safe", "fitted", "step", "work", "answers", "aside",
    "repair", "end", "trail", "map", "about", "jobs", "report", "frame", "address", "desk", "app",
)  # fmt: skip
"""The scripts of assets/js/call-view, in the order of loading."""
SHARED: Final = "shared"

Data = dict[str, Any]


def call_word_scripts(library: Library) -> dict[str, str]:
    """The scripts by file name: `shared.js`, and `symptoms/ID.js` for each symptom.

    Each assigns one entry of `window.faultleafData`: "words/shared", or "words/symptoms/ID".
    """
    writer = _Writer(library)
    parts = {SHARED: writer.shared()}
    parts |= {f"symptoms/{name}": writer.symptom_words(name) for name in library.symptoms}
    head = {"version": CALL_WORDS_VERSION}
    return {f"{name}.js": data_script(f"words/{name}", {**head, **part}) for name, part in sorted(parts.items())}


def known_faults(library: Library, symptom: str) -> tuple[Fault, ...]:
    """The causes that a call for this symptom may meet, and the faults whose repair mends the instrument of a first
    check on any call (rule 17)."""
    first = {check.test for check in library.symptoms[symptom].first}
    found = {fault.id: fault for fault in library.candidates(symptom)}
    for fault in library.faults.values():
        if any(first & repair.mends.keys() for repair in fault.all_repairs):
            found[fault.id] = fault
    return tuple(found.values())


def known_tests(library: Library, symptom: str) -> tuple[str, ...]:
    """The tests that a call for this symptom may meet, by id: first checks, what its causes show, what those need;
    and those of a danger, which may be seen on any call, with what it still allows (rule 16)."""
    faults = known_faults(library, symptom)
    wanted = [check.test for check in library.symptoms[symptom].first]
    wanted += [name for fault in faults for name in fault.named_tests]
    wanted += [name for fault in faults for repair in fault.all_repairs for name in _conditions(repair)]
    stopping = [test for test in library.tests.values() if test.stops]
    allowed = [name for test in stopping for stop in test.stops.values() for name in stop.allows]
    wanted += [test.id for test in stopping] + [name for name in allowed if name in library.tests]
    found: set[str] = set()
    while wanted:
        name = wanted.pop()
        if name not in found:
            found.add(name)
            wanted += _conditions(library.tests[name])
    return tuple(sorted(found))


def _conditions(step: Test | Repair) -> list[str]:
    restored = step.restore if isinstance(step, Repair) else ()
    return [*step.needs, *step.never_when, *restored]


class _Writer:
    """One library's words."""

    def __init__(self, library: Library) -> None:
        self._library = library

    def shared(self) -> Data:
        """What every call needs."""
        library, site = self._library, self._library.site
        return {
            "site": {
                "title": site.title, "invented": site.invented or "", "notice": site.notice, "call": site.call,
                "firm": site.firm or "", "telephone": site.telephone or "",
                "notices": [
                    {"place": one.place, "text": one.text, "source": one.source, "date": one.date.isoformat()}
                    for one in site.notices
                ],
            },
            "ranks": {rank: rank_text(rank) for rank in RANKS},
            "equipment": {name: _feature(feature) for name, feature in library.equipment.items()},
            "cautions": {name: _caution(caution) for name, caution in library.cautions.items()},
            "dangers": [_danger(library, test, outcome) for test in library.tests.values() for outcome in test.stops],
            "worksheets": {name: _titles(library.worksheets[name]) for name in _worked_with(library)},
            "worksheet_scripts": WORK_SCRIPTS,
            "proofs": {name: self._proof(proof) for name, proof in library.proofs.items()},
            "symptoms": {name: self._symptom(symptom) for name, symptom in library.symptoms.items()},
        }  # fmt: skip

    def symptom_words(self, symptom: str) -> Data:
        """What a call for this symptom needs besides."""
        faults = known_faults(self._library, symptom)
        return {
            "tests": {name: self._test(self._library.tests[name]) for name in known_tests(self._library, symptom)},
            "faults": {fault.id: self._fault(fault) for fault in faults},
            "repairs": {
                name: self._repair(fault, name, repair) for fault in faults for name, repair in fault.named_repairs
            },
        }

    def _symptom(self, symptom: Symptom) -> Data:
        return {
            "title": symptom.title, "said": symptom.also_said, "make_safe": symptom.make_safe,
            "at_start": symptom.at_start or "", "emergency": symptom.emergency,
            "first": {check.test: check.because for check in symptom.first},
            "charts": bool(symptom.variants) and not symptom.emergency,
            "variants": {slug(name): equipment for name, equipment in symptom.variants.items()},
            "url": card_url(symptom),
        }  # fmt: skip

    def _test(self, test: Test) -> Data:
        return {
            "title": test.title, "asks": test.asks, "how": test.how or "", "why": test.why or "",
            "tools": test.tools, "who": test.who, "minutes": hands_on_minutes(self._library, test), "wait": test.wait,
            "wait_from": _wait_from(self._library, test), "works_out": [self._worked(one) for one in test.works_out],
            "way": test.way, "read_by": test.read_by or test.who, "together": test.together_with,
            "outcomes": test.outcomes, "measures": _measures(test), "cautions": test.cautions,
            "steps": self._tree(test, "Steps"), "tells": self._tree(test, "What it tells you"),
            "at": test.at or "", "url": card_url(test),
        }  # fmt: skip

    def _worked(self, one: WorkedOut) -> Data:
        """How a worksheet works a test out: what is put in at first, and which result means which outcome."""
        card = self._library.worksheets[one.worksheet]
        return {
            "worksheet": card.id, "title": card.title, "answers": card.answers, "cautions": card.cautions,
            "url": card_url(card), "reads": one.reads, "given": one.given,
            "decides": [
                [result, [[outcome, end_of(low), end_of(high)] for outcome, (low, high) in limits.items()]]
                for result, limits in one.decides.items()
            ],
        }  # fmt: skip

    def _fault(self, fault: Fault) -> Data:
        return {
            "title": fault.title, "component": self._library.components[fault.component].title, "cue": fault.cue or "",
            "to_owner": fault.to_owner or "",
            "comes_from": [self._named(name) for name in fault.comes_from],
            "look_alikes": [[*self._named(name), tell] for name, tell in fault.look_alikes.items()],
            "confirm": self._tree(fault, "How to confirm"), "stays_away": self._tree(fault, "So that it stays away"),
            "url": card_url(fault),
        }  # fmt: skip

    def _repair(self, fault: Fault, name: str, repair: Repair) -> Data:
        proof = self._library.proofs[repair.proof]
        return {
            "fault": fault.id, "at": fault.component, "title": repair.title, "who": repair.who, "quote": repair.quote,
            "minutes": work_of_repair(self._library, fault, repair) - proof.takes,
            "mends": [*repair.mends],
            "parts": repair.parts, "prove_first": repair.prove_first, "proof": repair.proof,
            "cautions": self._library.cautions_of(name), "steps": self._tree(fault, "Repair"),
        }  # fmt: skip

    def _proof(self, proof: Proof) -> Data:
        return {
            "title": proof.title, "takes": proof.takes, "over": proof.over,
            "looks": [[look.when, look.see] for look in proof.looks], "holds_when": proof.holds_when,
            "cautions": proof.cautions, "how": self._tree(proof, "How to prove it"), "url": card_url(proof),
        }  # fmt: skip

    def _named(self, fault: str) -> list[str]:
        card = self._library.faults[fault]
        return [card.title, card_url(card)]

    def _tree(self, card: Card, section: str) -> list[Tree]:
        part = card.body.section(section)
        return tree_of(part.text, card.folder) if part else []


def _feature(feature: Feature) -> Data:
    values = {name: value.title for name, value in feature.values.items()}
    return {"title": feature.title, "asks": feature.asks, "how": feature.how or "", "values": values}


def _caution(caution: Caution) -> Data:
    return {
        "signal": caution.signal, "title": caution.title, "hazard": caution.hazard, "consequence": caution.consequence,
        "avoid": caution.avoid, "brief": caution.brief or "", "setup": caution.setup, "url": card_url(caution),
        "symbol": capital(caution.symbol.replace("-", " ")) if caution.symbol != "general" else "",
    }  # fmt: skip


def _danger(library: Library, test: Test, outcome: str) -> Data:
    """An outcome that stops a call: what to do then, whom to call, and what may still be done."""
    stop = test.stops[outcome]
    return {
        "test": test.id, "outcome": outcome, "title": test.outcomes[outcome], "asks": test.asks,
        "caution": stop.caution, "call": stop.call or library.site.call,
    }  # fmt: skip


def _worked_with(library: Library) -> list[str]:
    """The worksheets that work some test out, by id."""
    return sorted({one.worksheet for test in library.tests.values() for one in test.works_out})


def _titles(card: Worksheet) -> Data:
    """What a job's record of a worksheet is read with."""
    inputs = {name: each.title for name, each in card.inputs.items()}
    return {"title": card.title, "inputs": inputs, "results": {name: each.title for name, each in card.results.items()}}


def _wait_from(library: Library, test: Test) -> str:
    """Where a test's wait comes from, in words; "" where no worksheet gives it."""
    wanted = test.wait_from
    return f"{wait_words(library.worksheets[wanted.worksheet], wanted)}." if wanted else ""


def _measures(test: Test) -> Data | None:
    """Quantity and unit; the limits stand in the engine's data."""
    return {"quantity": test.measures.quantity, "unit": test.measures.unit} if test.measures else None
