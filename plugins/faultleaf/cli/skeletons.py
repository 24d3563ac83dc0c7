"""The text of a new card: what its kind must have to be filled in, and every other field named beside it."""

import textwrap
from collections.abc import Iterable, Iterator
from typing import Final

from faultleaf.cards import Card, Fault, Library
from faultleaf.cards.base import Model
from faultleaf.cards.models import Repair

_FIELDS: Final = {
    "symptom": "also_said: [what callers say]\nmake_safe: []\nfirst: []\nbasis: judgement\n",
    "fault": (
        "component: COMPONENT-ID\nhow_common: occasional\nsymptoms:\n  SYMPTOM-ID: usually\n"
        "shows:\n  TEST-ID: OUTCOME, usually\n"
        "# modes:            # signs that come or stay away together; the shares add up to 1\n"
        "#   one-way: {title: How it shows then, share: 0.6, shows: {TEST-ID: OUTCOME}}\n"
        "#   other-way: {title: How it shows else, share: 0.4, shows: {TEST-ID: OTHER-OUTCOME}}\n"
        "cue: What an old hand notices first\nto_owner: What had happened, in one plain sentence in the past tense.\n"
        "repair:\n  title: What is done\n  takes: 30 min\n"
        "  who: technician\n  fixes: nearly-always\n  prove_first: [one check, another check, a third check]\n"
        "  proof: PROOF-ID\n  # does: [drain]     drain, fill, fire, open\n"
        "  # fails_at: 2       which look of the proof shows that it did not cure; the first unless told\n"
        "  # quote: yes        a job to quote: the call ends with the cause named\n"
        "  # mends: {TEST-ID: OUTCOME}    a test's own instrument, on any symptom; then also restore: and needs:\n"
        "cautions: []\nbasis: judgement\n# reviewed: YEAR-MONTH-DAY\n"
    ),
    "component": "also_called: []\n# found_on: {FEATURE: VALUE}\n",
    "test": (
        "asks: The one question it answers?\nhow: How, in at most 90 characters, for a chart\n"
        "outcomes:\n  yes-seen: What is seen\n  not-seen: What is seen otherwise\n"
        "otherwise: not-seen\n"
        "# otherwise_on: {FEATURE=VALUE: not-seen}    where it differs on some systems\n"
        "# otherwise_at: {SYMPTOM-ID: not-seen}       where it differs on calls for a symptom\n"
        "# stops:            # an outcome that means danger: nothing but these steps may follow\n"
        "#   yes-seen: {caution: CAUTION-ID, allows: [TEST-ID], call: whom to call}\n"
        "# renews: {OTHER-TEST-ID: {not-seen: OUTCOME}}    what it sets anew elsewhere\n"
        "way: look         # ask, look, listen, feel, measure, open, run\n"
        "# does: [drain]     drain, fill, fire, open\n# perishes: [drain] acts after which it is worth nothing\n"
        "takes: 5 min\n"
        "# wait: 8 h         # then also read_by: owner, where he can read and telephone; together_with: [TEST-ID]\n"
        "who: technician\ncautions: []\nbasis: judgement\n# reviewed: YEAR-MONTH-DAY\n"
    ),
    "proof": (
        "takes: 10 min\nover: 7 days\nlooks:\n  - when: The same day\n    see: What must be seen\n"
        "holds_when: What must be true at the end.\nbasis: judgement\n"
    ),
    "caution": (
        "key: KEYWORD       # stands at each step on paper\norder: what to do, 28 letters\n"
        "signal: warning\nhazard: What is dangerous.\nconsequence: What it can do.\navoid: How to keep clear of it.\n"
        "harms: people\nrule: common practice, no source\n"
    ),
    "worksheet": (
        "answers: The question it answers?\ngroup: Other sums\ninputs:\n  given:\n    title: What is put in\n"
        "    unit: in\n    where: Where it is read\n    usual: 10 ± 1/4\n    least: 0\n    most: 100\nresults:\n"
        "  twice:\n    title: What comes out\n    unit: in\n    sum: 2 * given\nexamples:\n"
        "  - {given: {given: '10'}, gives: {twice: 20 ± 0.01}}\nbasis: judgement\n"
    ),
    "survey": (
        "asks:\n  radiation:\n    title: Radiation of all radiators\n    group: Radiators\n    where: Counted below\n"
        "    unit: EDR\n    fills: []\nradiation: radiation\nchecks: {}\n"
    ),
    "term": "means: What it means, in one sentence.\n",
    "reading": "steps:\n  - read: folder/card-id\n    because: Why it comes here.\n",
    "picture": "file: FILE.svg\nalt: What it shows, in words.\ncredit: Who made it\nlicence: Under which licence\n",
}
_FILLED_IN: Final = ("id", "title", "body")
"""Fields that no author writes as such."""
_BLANKS: Final = {
    "COMPONENT-ID": "component", "SYMPTOM-ID": "symptom", "TEST-ID": "test", "PROOF-ID": "proof",
    "CAUTION-ID": "caution",
}  # fmt: skip
"""Words of the skeletons that stand for an id, and the kind whose ids they are."""
_END_OF_REPAIR: Final = "  proof: PROOF-ID\n"


def skeleton(card_type: type[Card], title: str, library: Library | None = None) -> str:
    """The text of a card to fill in; with a library, the ids that its blanks may take stand below the fields."""
    quoted = title.replace("\\", "\\\\").replace('"', '\\"')
    fields = _FIELDS[card_type.kind]
    if card_type is Fault:
        more = "".join(_left_out(Repair, fields.partition("repair:\n")[2], "  "))
        fields = fields.replace(_END_OF_REPAIR, _END_OF_REPAIR + more)
    fields += "".join(_left_out(card_type, fields)) + "".join(_choices(fields, library) if library else ())
    sections = "".join(f"\n## {heading}\n\n1. …\n" for heading in card_type.sections)
    return f'---\ntitle: "{quoted}"\n{fields}---\n{sections}'


def _left_out(model: type[Model], fields: str, indent: str = "") -> Iterator[str]:
    """A comment for each field that the text does not name, with what it is for."""
    lines = (line.removeprefix(indent).removeprefix("# ") for line in fields.splitlines() if line.startswith(indent))
    named = {line.partition(":")[0] for line in lines}
    for name, field in model.model_fields.items():
        if name not in named and name not in _FILLED_IN:
            yield f"{indent}# {name}:{' ' * max(18 - len(name), 1)}{field.description or ''}".rstrip() + "\n"


def _choices(fields: str, library: Library) -> Iterator[str]:
    """The ids that may stand in the place of each blank, as comments."""
    for blank, kind in _BLANKS.items():
        ids = [name for of, name in library.cards if of == kind]
        if blank in fields and ids:
            yield from _comment(f"{blank}: {', '.join(ids)}")


def _comment(text: str) -> Iterable[str]:
    lines = textwrap.wrap(text, 100, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
    return (f"# {line}\n" for line in lines)
