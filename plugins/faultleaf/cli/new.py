"""`faultleaf new`: a card to fill in, with the fields that its kind must have."""

import argparse
from pathlib import Path

from pydantic_core import PydanticCustomError

from faultleaf.cards import CARD_TYPES, Card, did_you_mean
from faultleaf.cards.urls import slug
from faultleaf.cards.values import parse_line
from faultleaf.cli.speak import CommandError, say

_FIELDS = {
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


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("new", help="start a card")
    parser.add_argument("kind", help="fault, test, symptom, component, proof, caution, term, reading …")
    parser.add_argument("title", help="the name people read")
    parser.add_argument("--content", default="content", metavar="FOLDER", help="the content folder")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the card and say where; never over another file."""
    kinds = {card_type.kind: card_type for card_type in CARD_TYPES}
    if options.kind not in kinds:
        raise CommandError(f"there is no kind '{options.kind}'. {did_you_mean(options.kind, kinds)}")
    title = _title(options.title)
    path = Path(options.content) / kinds[options.kind].folder / f"{_id(title)}.md"
    _write_new(path, skeleton(kinds[options.kind], title))
    say(f"Wrote {path}. Fill it in, then run 'faultleaf check'.")
    return 0


def _title(given: str) -> str:
    try:
        return parse_line(given)
    except PydanticCustomError as error:
        raise CommandError(f"the title cannot be used: {(error.context or {})['message']}") from None


def _id(title: str) -> str:
    name = slug(title)
    if not name:
        raise CommandError(f"the title '{title}' has no letter or digit to make an id of")
    if name == "index":
        raise CommandError("the id 'index' is kept for the folder's own page; choose another title")
    return name


def _write_new(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists():
            raise CommandError(f"'{path}' exists already")
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CommandError(f"'{path}' cannot be written: {error.strerror}") from None


def skeleton(card_type: type[Card], title: str) -> str:
    """The text of a card to fill in."""
    quoted = title.replace("\\", "\\\\").replace('"', '\\"')
    sections = "".join(f"\n## {heading}\n\n1. …\n" for heading in card_type.sections)
    return f'---\ntitle: "{quoted}"\n{_FIELDS[card_type.kind]}---\n{sections}'
