"""pipeline/letters.py: letters that paper would show as an empty box."""

from pathlib import Path

from tests.intake.cases import check_case

CAUTION = """---
title: Ж is a letter of another script
key: HOT
order: keep off
signal: warning
hazard: Hot ☃ water.
consequence: It burns.
avoid: Keep off, même en été.
rule: common practice, no source
---
## More
Nothing strange.
And ☃.
"""


def test_each_field_with_such_a_letter_is_named_with_its_line(tmp_path: Path) -> None:
    checked = check_case(tmp_path / "case", {"content/cautions/strange.md": CAUTION})
    assert checked.library is not None
    found = [str(one) for one in checked.warnings if one.code == "unprintable-letter"]
    hint = "Charts and sheets show an empty box for it; write it otherwise. [unprintable-letter]"
    path = "content/cautions/strange.md"
    assert found == [
        f"{path}:2: warning: title: the font of sheets lacks 'Ж' (CYRILLIC CAPITAL LETTER ZHE). {hint}",
        f"{path}:6: warning: hazard: the font of sheets lacks '☃' (SNOWMAN). {hint}",
        f"{path}:11: warning: body: the font of sheets lacks '☃' (SNOWMAN). {hint}",
    ]


def test_warnings_stay_sorted_and_sound_cards_have_none(tmp_path: Path) -> None:
    checked = check_case(tmp_path / "case", {})
    assert list(checked.warnings) == sorted(checked.warnings)
    assert "unprintable-letter" not in {one.code for one in checked.warnings}
