"""Tests about the code base itself: sizes, codes and their list, the map of the rooms, and what no file may hold."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from faultleaf.cards import CARD_TYPES
from faultleaf.export import ENGINE_FILES

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "plugins/faultleaf"
SOURCES = sorted(PACKAGE.rglob("*.py"))
PYTHON = [*SOURCES, *sorted((ROOT / "tests").rglob("*.py"))]
OWN_SCRIPTS = [path for path in sorted((PACKAGE / "assets/js").rglob("*.js")) if path.parent.name != "vendor"]
SHIPPED = [
    path for path in sorted(PACKAGE.rglob("*.*"))
    if path.suffix in (".py", ".js", ".css", ".html", ".svg") and path.parent.name != "vendor"
]  # fmt: skip
PURE = ("engine", "physics", "worksheets")
PURE_FILES = ("search/words.js", "search/listen.js", "search/pages.js")
"""Folders of scripts that know nothing of the page."""
LONGEST_FILE, LONGEST_FUNCTION = 420, 45
CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")
SAY_A_CODE = {"refuse": (0,), "mistake": (0, 1), "Mistake": (5,), "_warn": (3,)}
"""Functions that make a mistake or a warning, with the places among their arguments where its code may stand."""

SINGLE_WORDS = {"cycle", "empty", "unreadable"}
KINDS = [*(card_type.kind for card_type in CARD_TYPES), "equipment", "source", "folder", "file", "kind"]
OF_A_KIND = {f"unknown-{kind}" for kind in KINDS}
ENDING = re.compile(r"^\S+:\d+: .* \[([a-z0-9-]+)\]$", re.MULTILINE)
HOSTS = (
    "googleapis",
    "gstatic",
    "jsdelivr",
    "unpkg",
    "cdnjs",
    "cloudflare",
    "bootstrapcdn",
    "fontawesome",
    "typekit",
    "polyfill.io",
    "esm.sh",
    "skypack",
    "rawgit",
    "bunny.net",
)
NOT_IN_SCRIPTS = (
    "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", "import(", "fetch(",
    "XMLHttpRequest", "new Worker", "serviceWorker", "setAttribute(\"on",
)  # fmt: skip


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", PYTHON, ids=shown)
def test_files_are_short(path: Path) -> None:
    assert path.read_text(encoding="utf-8").count("\n") <= LONGEST_FILE


@pytest.mark.parametrize("path", SOURCES, ids=shown)
def test_functions_are_short(path: Path) -> None:
    lengths = [(getattr(node, "name", ""), _length(node)) for node in ast.walk(parsed(path))]
    assert [(name, lines) for name, lines in lengths if lines > LONGEST_FUNCTION] == []


def _length(node: ast.AST) -> int:
    """Lines of a function, its docstring left out; 0 for anything else."""
    if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        return 0
    docstring = node.body[0] if ast.get_docstring(node) else None
    whole = (node.end_lineno or 0) - node.lineno + 1
    return whole - ((docstring.end_lineno or 0) - docstring.lineno + 1 if docstring else 0)


def test_every_public_function_says_what_it_gives_back() -> None:
    silent = [
        f"{shown(path)}: {node.name}"
        for path in SOURCES
        for node in parsed(path).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
    ]
    assert silent == []


def codes_said() -> dict[str, str]:
    """Every code in the source, with the file that says it."""
    return {code: shown(path) for path in SOURCES for code in _codes_in(parsed(path))}


def _codes_in(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            yield from (_text(node.args[at]) for at in SAY_A_CODE.get(name, ()) if at < len(node.args))
            yield from (_text(each.value) for each in node.keywords if each.arg == "code")
        elif isinstance(node, ast.Yield) and isinstance(node.value, ast.Tuple) and len(node.value.elts) == 4:
            yield _text(node.value.elts[1])


def _text(node: ast.expr) -> str:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def documented(heading: str) -> set[str]:
    """The codes that DEVELOPERS.md lists below this heading."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split(f"### {heading}\n", maxsplit=1)[1].split("\n#", maxsplit=1)[0]
    rows = [line.split("|")[1].strip() for line in table.splitlines() if line.startswith("| ")]
    return set(rows[1:])


def test_every_code_that_is_said_is_in_the_list() -> None:
    listed = documented("Mistakes (the site is not built)") | documented("Warnings (the site is built)")
    said = {code: place for code, place in codes_said().items() if CODE.fullmatch(code) or code in SINGLE_WORDS}
    assert len(said) > 45
    assert {code: place for code, place in said.items() if code not in listed and code not in OF_A_KIND} == {}


def test_every_code_that_a_broken_card_gives_is_in_the_list() -> None:
    """Also those that the source puts together or hands on in a variable."""
    listed = documented("Mistakes (the site is not built)")
    cases = sorted((ROOT / "tests/intake/broken").glob("*.case"))
    given = {code for path in cases for code in ENDING.findall(path.read_text(encoding="utf-8"))}
    assert len(given) > 30
    assert given - listed - OF_A_KIND == set()


def test_no_code_is_listed_that_nothing_says() -> None:
    texts = {
        node.value
        for path in SOURCES
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    mistakes, warnings = documented("Mistakes (the site is not built)"), documented("Warnings (the site is built)")
    assert mistakes & warnings == set()
    assert "unknown-*kind*" in mistakes
    assert (mistakes | warnings) - texts - {"unknown-*kind*"} == set()


def test_lists_of_codes_are_sorted() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Codes\n", maxsplit=1)[1]
    rows = [line.split("|")[1].strip() for line in text.splitlines() if line.startswith("| ")]
    tables = " ".join(rows).split("code ")[1:]
    assert len(tables) == 2
    for codes in ([code for code in table.split() if "*" not in code] for table in tables):
        assert codes == sorted(codes)


def rooms_on_the_map() -> dict[str, int]:
    """The rooms as DEVELOPERS.md draws them, with their levels."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return {name: int(level) for name, level in re.findall(r"^  (\w+)/ +(\d+)  ", text, flags=re.MULTILINE)}


def test_map_of_the_rooms_is_true() -> None:
    rooms = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert set(rooms_on_the_map()) == rooms
    for place in ("content", "site_demo", "tests", "plugins/faultleaf", "plugins/faultleaf/assets"):
        assert (ROOT / place).is_dir(), place


def test_import_rule_has_the_levels_of_the_map() -> None:
    rule = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"][0]
    layers = [[name.strip(" ()") for name in layer.split("|")] for layer in reversed(rule["layers"])]
    levels = {name: level for level, names in enumerate(layers, start=1) for name in names}
    assert {name: levels[name] for name in rooms_on_the_map()} == rooms_on_the_map()


def test_every_room_has_tests() -> None:
    for room in rooms_on_the_map():
        assert list((ROOT / "tests" / room).glob("test_*.py")), room


@pytest.mark.parametrize("path", SHIPPED, ids=shown)
def test_nothing_comes_from_elsewhere(path: Path) -> None:
    text = path.read_text(encoding="utf-8").lower()
    assert [host for host in HOSTS if host in text] == []
    assert "@import" not in text


@pytest.mark.parametrize("path", OWN_SCRIPTS, ids=shown)
def test_scripts_run_under_the_policy_from_a_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert [word for word in NOT_IN_SCRIPTS if word in text] == []
    assert [line for line in text.splitlines() if line.startswith(("import ", "export "))] == []


def test_pure_scripts_do_not_touch_the_page() -> None:
    pure = [path for path in OWN_SCRIPTS if path.parent.name in PURE or shown(path).endswith(PURE_FILES)]
    assert len(pure) > len(ENGINE_FILES)
    for path in pure:
        live = re.sub(r"//[^\n]*|/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        assert not re.search(r"\b(document|window)\b\s*\.\s*(?!faultleaf)", live), shown(path)


def test_browser_engine_has_no_numbers_of_its_own() -> None:
    """The policy's constants come with the data. Left are counts, 9 digits, and how long a stretch is sorted by
    insertion, which changes no answer."""
    engine = [path for path in OWN_SCRIPTS if path.parent.name == "engine"]
    assert sorted(path.stem for path in engine) == sorted(ENGINE_FILES)
    for path in engine:
        live = re.sub(r"//[^\n]*|/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        numbers = set(re.findall(r"(?<![\w.])\d[\w.]*", live))
        assert numbers <= {"0", "1", "2", "9", "12"}, shown(path)


@pytest.mark.parametrize("path", SOURCES, ids=shown)
def test_no_exception_is_swallowed_and_nothing_is_left_to_the_clock(path: Path) -> None:
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.ExceptHandler):
            assert node.type is not None
            assert getattr(node.type, "id", "") not in ("Exception", "BaseException")
        if isinstance(node, ast.Attribute):
            assert node.attr not in ("now", "utcnow", "today", "perf_counter"), f"line {node.lineno}"
        if isinstance(node, ast.Global):
            pytest.fail(f"line {node.lineno}: global")
