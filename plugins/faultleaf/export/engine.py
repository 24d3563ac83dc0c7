"""What the browser's engine knows: the cards' numbers, worked out as far as no call is needed for it.

One script holds what every call needs: tests, equipment, symptoms, the numbers of the policy, and the faults
that show as several symptoms or whose repair puts the instrument of a test right, whatever the call is for.
Each symptom has a script with the faults that show as it alone. So a call loads the shared script and one for
each of its symptoms, and nothing is written twice.
"""

import hashlib
import json
from collections.abc import Mapping
from math import isfinite
from typing import Any, Final

from faultleaf.cards import Fault, Feature, Library, Repair, Symptom, Test, otherwise_rates
from faultleaf.cards.models import Stop
from faultleaf.cards.vocabulary import RANKS, WAYS
from faultleaf.diagnosis.model import compile, minutes, prior
from faultleaf.diagnosis.step import belief, leaf, look, policy, preference, rank

ENGINE_VERSION: Final = 2
"""Raised when the shape of the data changes; engine/compile.js reads this version only."""
ENGINE_FILES: Final = (
    "problem", "state", "leaf", "look", "policy", "preference", "belief", "rank", "likelihood", "compile",
)  # fmt: skip
"""The scripts of assets/js/engine, in the order in which a page loads them."""
CALL_FILES: Final = ("entry", "job", "state", "view", "job-file", "store", "on-chart")
"""The scripts of assets/js/call, which follow: the job record and where a call stands."""
SHARED: Final = "shared"
_RENAMED: Final = {"symptoms": "symptom", "tests": "test", "faults": "fault", "cautions": "caution"}

Data = dict[str, Any]


def engine_scripts(library: Library) -> dict[str, str]:
    """The scripts by file name: `shared.js`, and `symptoms/ID.js` for each symptom.

    Each assigns one entry of `window.faultleafData`: "shared", or "symptoms/ID".
    """
    parts = {SHARED: _shared(library)}
    parts |= {f"symptoms/{name}": {"symptom": name, "faults": _faults(library, name)} for name in library.symptoms}
    mark = hashlib.sha256(_json(parts).encode()).hexdigest()[:16]
    head = {"version": ENGINE_VERSION, "fingerprint": mark}
    return {f"{name}.js": data_script(name, {**head, **part}) for name, part in sorted(parts.items())}


def policy_constants() -> Data:
    """Every number that the browser's engine needs and that stands in Python's code."""
    return {
        "asking": compile.ASKING, "same": compile.SAME,
        "unlisted_limit": belief.UNLISTED_LIMIT, "misfit_ratio": belief.MISFIT_RATIO,
        "blind_ratio": belief.BLIND_RATIO,
        "nothing_left": leaf.NOTHING_LEFT, "equal": leaf.EQUAL, "halves": leaf.HALVES,
        "named_at_least": leaf.NAMED_AT_LEAST,
        "least_bits": look.LEAST_BITS, "tiny": look.TINY, "near": look.NEAR,
        "trusts": policy.TRUSTS, "kept": policy.KEPT, "work": policy.WORK, "least_stake": policy.LEAST_STAKE,
        "ways": WAYS, "near_share": preference.NEAR, "near_minutes": preference.NEAR_MINUTES,
        "earned": preference.EARNED, "in_question": preference.IN_QUESTION, "parting": preference.PARTING,
        "likely": preference.LIKELY, "confirming": preference.CONFIRMING, "shown": preference.SHOWN,
        "worth_naming": rank.WORTH_NAMING, "most_named": rank.MOST_NAMED,
    }  # fmt: skip


def data_script(name: str, data: object) -> str:
    """A classic script that assigns `window.faultleafData[name]`."""
    # Every "<" stands inside a string, where the escape means the same and "</script>" cannot arise.
    safe = _json(data).replace("<", "\\u003c")
    return f'(window.faultleafData = window.faultleafData || {{}})["{name}"] = {safe};\n'


def _json(data: object) -> str:
    """Plain ASCII in one line, with keys in the order given."""
    return json.dumps(data, separators=(",", ":"))


def _shared(library: Library) -> Data:
    return {
        "title": library.site.title,
        "constants": policy_constants(),
        "ranks": RANKS,
        "hand_on": library.site.hand_on,
        "equipment": [_feature(feature) for _, feature in sorted(library.equipment.items())],
        "symptoms": [_symptom(symptom) for symptom in library.symptoms.values()],
        "tests": [_test(library, test) for test in library.tests.values()],
        "faults": _faults(library, None),
        "formerly": {folder: _formerly(library, kind) for folder, kind in _RENAMED.items()},
    }


def _formerly(library: Library, kind: str) -> dict[str, str]:
    """Old id → the id of today, so that records and printed codes stay alive."""
    return {old: new for (of, old), new in sorted(library.renamed.items()) if of == kind}


def _faults(library: Library, symptom: str | None) -> list[Data]:
    """The faults of this symptom's script; with None those of the shared one."""
    return [_fault(library, fault) for fault in library.faults.values() if _script_of(fault) == symptom]


def _script_of(fault: Fault) -> str | None:
    """The symptom that the fault shows as where it is one alone; None where any call may need the fault."""
    mends = any(repair.mends for repair in fault.all_repairs)
    return None if mends or len(fault.symptoms) != 1 else next(iter(fault.symptoms))


def _feature(feature: Feature) -> Data:
    shares = prior.feature_shares(feature)
    titles = [value.title for value in feature.values.values()]
    return {
        "id": feature.id, "title": feature.title, "values": list(shares), "titles": titles,
        "shares": list(shares.values()),
    }  # fmt: skip


def _symptom(symptom: Symptom) -> Data:
    return {
        "id": symptom.id,
        "title": symptom.title,
        "unlisted": symptom.unlisted,
        "otherwise": symptom.otherwise,
        "hand_on": symptom.hand_on,
        "emergency": symptom.emergency,
        "first": [check.test for check in symptom.first],
        "make_safe": symptom.make_safe,
    }


def _test(library: Library, test: Test) -> Data:
    return {
        "id": test.id,
        "title": test.title,
        "minutes": minutes.minutes_of_test(library, test),
        "minutes_together": minutes.hands_on_minutes(library, test),
        "hands_on": minutes.work_of_test(library, test),
        "who": test.who,
        "way": test.way,
        "outcomes": list(test.outcomes),
        "titles": list(test.outcomes.values()),
        "otherwise": list(otherwise_rates(test).values()),
        "otherwise_on": [_otherwise_on(test, where) for where in test.otherwise_on],
        "otherwise_at": {name: list(otherwise_rates(test, symptom=name).values()) for name in test.otherwise_at},
        "stops": {outcome: _stop(library, stop) for outcome, stop in test.stops.items()},
        "renews": test.renews,
        "only_at": test.only_at,
        "does": test.does,
        "perishes": test.perishes,
        "together": test.together_with,
        "limits": _limits(test),
        **_conditions(test),
    }


def _otherwise_on(test: Test, where: str) -> list[Any]:
    """[feature, value, what is seen on systems with it when the fault lies elsewhere]."""
    feature, _, value = where.partition("=")
    return [feature, value, list(otherwise_rates(test, {feature: {value: 1.0}}).values())]


def _stop(library: Library, stop: Stop) -> Data:
    return {"caution": stop.caution, "allows": stop.allows, "call": stop.call or library.site.call}


def _limits(test: Test) -> Data | None:
    """Outcome → [low, high), null for no limit; nothing where the test is only looked at."""
    if test.measures is None:
        return None
    ranges = test.measures.limits.items()
    return {outcome: [end if isfinite(end) else None for end in limits] for outcome, limits in ranges}


def _fault(library: Library, fault: Fault) -> Data:
    modes = [prior.Row(fault, *row) for row in fault.rows] if fault.modes else []
    return {
        "id": fault.id,
        "title": fault.title,
        "how_common": fault.how_common,
        "symptoms": fault.symptoms,
        "found_on": fault.found_on,
        "place_as": {name: fault.place(name) for name in fault.shows_on},
        "shows": fault.shows,
        "modes": [{"id": row.id, "share": row.share, "shows": fault.modes[row.mode].shows} for row in modes],
        "repairs": [_repair(library, fault, name, repair) for name, repair in fault.named_repairs],
    }


def _repair(library: Library, fault: Fault, name: str, repair: Repair) -> Data:
    return {
        "id": name,
        "title": repair.title,
        "minutes": minutes.minutes_of_repair(library, fault, repair),
        "failed_minutes": minutes.minutes_of_failed(library, fault, repair),
        "hands_on": minutes.work_of_repair(library, fault, repair),
        "who": repair.who,
        "quote": repair.quote,
        "does": repair.does,
        "mends": repair.mends,
        "fixes": {**repair.also_fixes, fault.id: repair.fixes},
        "restore": repair.restore,
        **_conditions(repair),
    }


def _conditions(card: Test | Repair) -> Mapping[str, Any]:
    return {"found_on": card.found_on, "needs": card.needs, "never_when": card.never_when}
