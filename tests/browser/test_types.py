"""The browser's scripts hold to the types that their comments state: TypeScript's checker over plain JavaScript.

The checker comes inside a wheel of the test requirements; nothing of it is shipped, and no Node is needed. It reads
the scripts as a page does, joined in the order of loading.
"""

import json
import os
import subprocess
from pathlib import Path

import pytest
from deno import find_deno_bin
from faultleaf.plugin.files import ASSETS, joined_script, joined_sources

JOINED = ("search", "call", "sums", "worksheet")
OPTIONS = {
    "checkJs": True,
    "strict": True,
    # What goes over `globalThis.faultleaf`, and what is caught, has no type that a comment could give it.
    "noImplicitAny": False,
    "useUnknownInCatchVariables": False,
    "lib": ["es2023", "dom", "dom.iterable"],
    "types": [],
}


def complaints(home: Path, scripts: dict[str, str]) -> str:
    """What the checker says of these scripts by name; empty where all is well."""
    for name, text in scripts.items():
        (home / name).write_text(text, encoding="utf-8")
    (home / "deno.json").write_text(json.dumps({"compilerOptions": OPTIONS}), encoding="utf-8")
    alone = {"DENO_DIR": str(home / "cache"), "DENO_NO_UPDATE_CHECK": "1", "NO_COLOR": "1"}
    asked = [find_deno_bin(), "check", "--quiet", "--no-remote", "--no-npm", "--config", "deno.json", *scripts]
    said = subprocess.run(asked, cwd=home, env=os.environ | alone, capture_output=True, text=True, check=False)
    return said.stdout + said.stderr if said.returncode else ""


def starts(name: str) -> str:
    """At which line of a joined script each of its sources begins: a complaint names the joined line."""
    line, found = 1, []
    for source in joined_sources(name):
        found.append(f"{line} {source.relative_to(ASSETS)}")
        line += source.read_text(encoding="utf-8").count("\n")
    return "\n".join(found)


def test_scripts_hold_to_their_types(tmp_path: Path) -> None:
    alone = {path.name: path.read_text(encoding="utf-8") for path in sorted((ASSETS / "js").glob("*.js"))}
    assert len(alone) >= 3
    if said := complaints(tmp_path, alone | {f"{name}.js": joined_script(name) for name in JOINED}):
        begin = "\n".join(f"{name}.js:\n{starts(name)}" for name in JOINED)
        pytest.fail(f"{said}\nThe sources begin at these lines of\n{begin}", pytrace=False)


def test_slips_in_names_are_found(tmp_path: Path) -> None:
    text = joined_script("call")
    slips = {"context.state": "context.stat", "view.phase": "view.phse", "this.shown === ": "this.shwn === "}
    for right, wrong in slips.items():
        assert right in text
        text = text.replace(right, wrong, 1)
    said = complaints(tmp_path, {"call.js": text})
    assert [wrong for wrong in slips.values() if wrong not in said] == []


def test_every_small_script_is_read_by_some_page() -> None:
    joined = {source for name in JOINED for source in joined_sources(name)}
    folders = {source.parent for source in joined}
    assert joined == {path for folder in folders for path in folder.glob("*.js")}
