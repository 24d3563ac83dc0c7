"""intake/front.py: text stays what was written, and every field keeps its line."""

import pytest
from faultleaf.intake.disk import Unreadable
from faultleaf.intake.front import decode, parse_card, parse_yaml_file


def test_scalars_stay_the_text_that_was_written() -> None:
    values = ["yes", "on", "24:00", "012", "1e3", "null", "~", "2026-11-20", "0x1F", "1_000", "'quoted'", '"a\\tb"']
    front = "\n".join(f"f{index}: {value}" for index, value in enumerate(values))
    parsed = parse_card("x.md", f"---\n{front}\n---\n".encode())
    expected = [*values[:-2], "quoted", "a\tb"]
    assert parsed.data == {f"f{index}": value for index, value in enumerate(expected)}
    assert parsed.mistakes == ()


def test_every_field_has_its_line() -> None:
    text = "---\n# note\ntitle: A\n\nshows:\n  hold:\n    rises: often\nlist:\n- one\n- {test: two}\n---\nBody\nend\n"
    parsed = parse_card("x.md", text.encode())
    assert parsed.lines == {
        (): 3, ("title",): 3, ("shows",): 5, ("shows", "hold"): 6, ("shows", "hold", "rises"): 7, ("list",): 8,
        ("list", 0): 9, ("list", 1): 10, ("list", 1, "test"): 10,
    }  # fmt: skip
    assert (parsed.body, parsed.body_line) == ("Body\nend\n", 12)


def test_an_anchor_that_nobody_uses_is_harmless() -> None:
    assert parse_card("x.md", b"---\na: &x b\n---\n") == parse_card("x.md", b"---\na:    b\n---\n")


def test_an_alias_is_shown_where_it_stands_and_grows_nothing() -> None:
    parsed = parse_card("x.md", b"---\na: &x [1, 2]\nb:\n- *x\n- c: *x\n---\n")
    assert parsed.data == {"a": ["1", "2"], "b": [[], {"c": []}]}
    assert [(mistake.line, mistake.field) for mistake in parsed.mistakes] == [(4, "b.0"), (5, "b.1.c")]


def test_a_value_that_holds_itself_is_read_to_its_end() -> None:
    parsed = parse_card("x.md", b"---\na: &x [*x]\n---\n")
    assert parsed.data == {"a": [[]]}
    assert [mistake.code for mistake in parsed.mistakes] == ["yaml-alias"]


def test_two_spellings_of_one_name_cannot_hide_one_another() -> None:
    parsed = parse_card("x.md", b'---\n"a  b": 1\n"a b ": 2\n---\n')
    assert parsed.data == {"a b": "1"}
    assert [mistake.code for mistake in parsed.mistakes] == ["duplicate-field"]


def test_merge_keys_mean_nothing_here() -> None:
    parsed = parse_card("x.md", b"---\n<<: {a: b}\n---\n")
    assert parsed.data == {"<<": {"a": "b"}}


def test_a_file_of_settings_is_all_yaml() -> None:
    assert parse_yaml_file("site.yml", b"title: x\n").data == {"title": "x"}
    assert parse_yaml_file("site.yml", b"").data == {}


def test_two_documents_in_one_file_are_a_mistake() -> None:
    parsed = parse_yaml_file("site.yml", b"a: b\n---\nc: d\n")
    assert parsed.data is None
    assert [(mistake.line, mistake.code) for mistake in parsed.mistakes] == [(2, "broken-yaml")]


def test_line_ends_of_every_system_are_one() -> None:
    assert decode("x", b"a\r\nb\rc\n") == "a\nb\nc\n"


def test_text_of_other_tongues_is_text() -> None:
    text = "Wasserstandsglas \u00dc \u6c34 \U0001f525 \u200b\tend\n"
    assert decode("x", text.encode()) == text


def test_utf16_is_named_as_what_it_is_not() -> None:
    with pytest.raises(Unreadable) as caught:
        decode("x.md", "---\ntitle: x\n".encode("utf-16"))
    assert str(caught.value.mistake) == "x.md:1: byte 0xff is not valid UTF-8. Save the file as UTF-8. [not-utf8]"
