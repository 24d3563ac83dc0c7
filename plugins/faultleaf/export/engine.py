"""What the browser's engine knows: the cards' numbers, worked out as far as no call is needed for it.

One script holds what every call needs: tests, equipment, symptoms, the numbers of the policy, and the faults
that show as several symptoms. Each symptom has a script with the faults that show as it alone. So a call loads
the shared script and one for each of its symptoms, and nothing is written twice.
"""

import hashlib
import json
from collections.abc import Mapping
from math import isfinite
from typing import Any, Final

from faultleaf.cards import Fault, Feature, Library, Repair, Symptom, Test, otherwise_rates, outcome_rates
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import belief, compile, leaf, look, minutes, policy, rank

ENGINE_VERSION: Final = 1
"""Raised when the shape of the data changes; engine/compile.js reads this version only."""
ENGINE_FILES: Final = ("problem", "state", "leaf", "look", "policy", "belief", "rank", "compile")
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
        "least_bits": look.LEAST_BITS, "tiny": look.TINY, "near": look.NEAR,
        "trusts": policy.TRUSTS, "kept": policy.KEPT, "work": policy.WORK, "least_stake": policy.LEAST_STAKE,
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
    """The faults that show as this symptom alone; with None those that show as several."""
    wanted = (
        fault
        for fault in library.faults.values()
        if (len(fault.symptoms) > 1 if symptom is None else list(fault.symptoms) == [symptom])
    )
    return [_fault(library, fault) for fault in wanted]


def _feature(feature: Feature) -> Data:
    shares = compile.feature_shares(feature)
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
        "who": test.who,
        "outcomes": list(test.outcomes),
        "titles": list(test.outcomes.values()),
        "otherwise": list(otherwise_rates(test).values()),
        "limits": _limits(test),
        **_conditions(test),
    }


def _limits(test: Test) -> Data | None:
    """Outcome → [low, high), null for no limit; nothing where the test is only looked at."""
    if test.measures is None:
        return None
    ranges = test.measures.limits.items()
    return {outcome: [end if isfinite(end) else None for end in limits] for outcome, limits in ranges}


def _fault(library: Library, fault: Fault) -> Data:
    rows = {name: outcome_rates(library.tests[name], shown) for name, shown in fault.shows.items()}
    return {
        "id": fault.id,
        "title": fault.title,
        "how_common": fault.how_common,
        "symptoms": fault.symptoms,
        "found_on": fault.found_on,
        "place_as": {name: fault.place(name) for name in fault.shows_on},
        "shows": {name: list(row.values()) for name, row in rows.items()},
        "repairs": [_repair(library, fault, name, repair) for name, repair in fault.named_repairs],
    }


def _repair(library: Library, fault: Fault, name: str, repair: Repair) -> Data:
    return {
        "id": name,
        "title": repair.title,
        "minutes": minutes.minutes_of_repair(library, fault, repair),
        "who": repair.who,
        "fixes": {**repair.also_fixes, fault.id: repair.fixes},
        "restore": repair.restore,
        **_conditions(repair),
    }


def _conditions(card: Test | Repair) -> Mapping[str, Any]:
    return {"found_on": card.found_on, "needs": card.needs, "never_when": card.never_when}
