"""Whatever happens to a card, the check answers: mistakes with places, never a traceback."""

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from faultleaf.pipeline.check import check_content

from tests.intake.cases import SOUND, lay_out
from tests.library import card_text, yaml_text

TEXTS = tuple(sorted(path.relative_to(SOUND).as_posix() for path in SOUND.rglob("*.*") if path.suffix != ".svg"))
SPLINTERS = (
    b"\x00", b"\xff", b"[", b"]", b"{", b"}", b":", b": ", b"- ", b"#", b"'", b'"', b"&a ", b"*a", b"!x ", b"|", b">",
    b"\n", b"\r\n", b"\t", b"---\n", b"<<: ", b"? ", b"~", b"inf", b"-1", b"1e999", b"<b", b"`", b"](", b"\\", b"%",
    b"title:", b"shows:", b"\xe2\x80\xa8", b"\xef\xbb\xbf", b"yes", b"[[[[", b",", b"\n  ",
)  # fmt: skip


def spoil(raw: bytes, chance: random.Random) -> bytes:
    """The text with a few bytes cut out, put in or doubled."""
    for _ in range(chance.randint(1, 4)):
        at = chance.randint(0, len(raw))
        to = min(len(raw), at + chance.randint(0, 12))
        middle = chance.choice([b"", chance.choice(SPLINTERS), raw[at:to] * 2])
        raw = raw[:at] + middle + raw[to:]
    return raw


VALUES: tuple[Any, ...] = (
    "x", "", [], {}, ["a", "b"], {"a": "b"}, [["a"]], {"a": {"b": ["c"]}}, "0.5", "inf", "nan", "a, b", "yes", "1 h",
    [{"a": "b"}], ["0", "1"], "x" * 400, "two\n\nlines", "<b>", "2026-02-30",
)  # fmt: skip
NAMES = ("x", "title", "id", "body", "A b", "", "basis_of", "repairs", "shows_on")


def bend(data: Any, chance: random.Random) -> Any:
    """The fields with one value somewhere changed for another shape, one field lost, or one put in."""
    if not data or not isinstance(data, dict | list) or chance.random() < 0.2:
        return chance.choice(VALUES)
    if isinstance(data, list):
        at = chance.randrange(len(data))
        return [bend(item, chance) if index == at else item for index, item in enumerate(data)]
    name = chance.choice(list(data))
    if chance.random() < 0.3:
        rest = {key: value for key, value in data.items() if key != name}
        return {**rest, chance.choice(NAMES): chance.choice(VALUES)}
    return {**data, name: bend(data[name], chance)}


def bend_text(raw: bytes, chance: random.Random) -> bytes:
    """A card or a file of settings, well written but with a field of the wrong kind."""
    parts = raw.decode("utf-8").split("---\n", 2)
    fields = bend(yaml.load(parts[-2] if len(parts) > 1 else parts[0], Loader=yaml.BaseLoader), chance)
    while not isinstance(fields, dict):
        fields = {"title": fields}
    return (card_text(fields, parts[2]) if len(parts) > 1 else yaml_text(fields)).encode("utf-8")


@pytest.mark.parametrize("change", [spoil, bend_text])
def test_spoilt_cards_give_mistakes_and_never_a_traceback(
    change: Callable[[bytes, random.Random], bytes], tmp_path: Path
) -> None:
    chance = random.Random(57)
    layers = lay_out(tmp_path, {})
    seen: set[str] = set()
    for _ in range(200):
        name = chance.choice(TEXTS)
        path, sound = tmp_path / "content" / name, (SOUND / name).read_bytes()
        path.write_bytes(change(sound, chance))
        checked = check_content(layers)
        assert (checked.library is None) == bool(checked.mistakes)
        lines = path.read_bytes().replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n") + 1
        for mistake in checked.mistakes:
            assert "\n" not in str(mistake)
            if mistake.path == f"content/{name}":
                assert 1 <= mistake.line <= lines, str(mistake)
            seen.add(mistake.code)
        path.write_bytes(sound)
    assert len(seen) > 10
