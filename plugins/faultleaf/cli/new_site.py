"""`faultleaf new site`: a site of one's own on top of the steam library, which builds at once."""

import json
from pathlib import Path
from typing import Final

from faultleaf.cards.settings import LocalNotice, SiteValues
from faultleaf.cli.speak import CommandError, say
from faultleaf.plugin.project import installed_libraries

SITE: Final = "site"
LIBRARY: Final = "steam"
_CONFIG: Final = """\
site_name: {name}
docs_dir: content              # your cards and pages; the folder's name is yours to choose
use_directory_urls: false      # pages open from a folder, without a server
theme: {{name: material, font: false}}
plugins:
  - faultleaf:
      library: [{library}]         # what your cards stand on: installed libraries, or folders beside this file
"""
_EXAMPLE: Final = """\
---
title: Order of valves unknown
signal: caution
hazard: Nobody has written down which valve shuts what in this cellar.
consequence: The wrong valve closed drains or starves the boiler.
avoid: Trace each pipe by hand and tag its valve before you turn one.
brief: TRACE the pipe, then turn
key: TRACE
order: the pipe, then turn
harms: [people, property]
rule: common practice, no source
---
An example of a card of your own: rename this file, write your own words, or delete it. Cards of other kinds begin with
'faultleaf new fault "What is wrong"'.
"""
_HEAD: Final = """\
# What your site says instead of the library's own words and values. Take away the '#' before what you want to say;
# what is not said stays as the library has it.
"""
_AS_WRITTEN: Final = {
    "title": "Our boilers", "invented": "Everything on this site is made up.", "return_visit": "60 min",
    "telephone_call": "10 min", "hand_on": "24 h", "review_every": "730 days",
    "notice": "Local code and the authority having jurisdiction prevail.", "call": "our duty fitter",
    "address": "https://example.org/boilers", "firm": "Our firm", "mark": "our-mark", "telephone": "555 0100",
    "place": "Our town", "text": "What the town demands, in its own words.", "source": "Ordinance 12, section 3",
    "date": "2026-11-25",
}  # fmt: skip
"""A value for each field as its author would write it."""


def new_site(folder: Path, name: str) -> None:
    """Write the site's folder and say what comes next; raises CommandError where there is something already."""
    if folder.exists():
        raise CommandError(f"'{folder}' exists already")
    write_new(folder / "mkdocs.yml", _CONFIG.format(name=json.dumps(name, ensure_ascii=False), library=LIBRARY))
    write_new(folder / "content/site.yml", site_text())
    write_new(folder / "content/cautions/order-of-valves-unknown.md", _EXAMPLE)
    write_new(folder / ".gitignore", "/site/\n/.cache/\n")
    if LIBRARY not in installed_libraries():
        say(f"The library is not here yet: pip install faultleaf-{LIBRARY}")
    say(f"Wrote {folder}. Go there, then run 'faultleaf build'.")


def site_text() -> str:
    """A site.yml in which every field stands, explained and not yet said."""
    said = []
    for field, about in SiteValues.model_fields.items():
        said.append(f"\n# {about.description}\n")
        said.append(f"#{field}: {_AS_WRITTEN[field]}\n" if field in _AS_WRITTEN else f"#{field}:\n{_notice()}")
    return _HEAD + "".join(said)


def _notice() -> str:
    lines = [f"{field}: {_AS_WRITTEN[field]}" for field in LocalNotice.model_fields]
    return "".join(f"#  {'- ' if line is lines[0] else '  '}{line}\n" for line in lines)


def write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet; raises CommandError."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists():
            raise CommandError(f"'{path}' exists already")
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CommandError(f"'{path}' cannot be written: {error.strerror}") from None
