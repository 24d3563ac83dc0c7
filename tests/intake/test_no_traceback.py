"""Whatever happens to a card, the check answers: mistakes with places, never a traceback."""

import random
from pathlib import Path

from faultleaf.pipeline.check import check_content

from tests.intake.cases import SOUND, lay_out

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


def test_spoilt_cards_give_mistakes_and_never_a_traceback(tmp_path: Path) -> None:
    chance = random.Random(57)
    layers = lay_out(tmp_path, {})
    seen: set[str] = set()
    for _ in range(250):
        name = chance.choice(TEXTS)
        path, sound = tmp_path / "content" / name, (SOUND / name).read_bytes()
        path.write_bytes(spoil(sound, chance))
        checked = check_content(layers)
        assert (checked.library is None) == bool(checked.mistakes)
        lines = path.read_bytes().replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n") + 1
        for mistake in checked.mistakes:
            if mistake.path == f"content/{name}":
                assert 1 <= mistake.line <= lines, str(mistake)
            seen.add(mistake.code)
        path.write_bytes(sound)
    assert len(seen) > 10
