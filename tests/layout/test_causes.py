"""layout/causes.py: order, numbers and words of what hangs from a symptom."""

from __future__ import annotations

from faultleaf.layout.causes import UNLISTED, Origin, read_causes

from tests.layout.graphs import CHAIN, FORK, NUMBERS, SYMPTOM, causes_of, share_map


def test_the_chain_leads_to_its_end_and_the_last_component_is_taken_in() -> None:
    causes = causes_of("chain")
    assert [(group.node, [cause.node for cause in group.causes]) for group in causes.groups] == [
        ("component:feeder", ["fault:valve", "fault:passages"]),
        ("component:pipe", ["fault:strainer"]),
        ("", [UNLISTED]),
    ]
    valve, passages, strainer, rest = causes.causes().values()
    assert (valve.comes_from, passages.comes_from) == (
        (Origin("fault:passages", "often"),), (Origin("fault:strainer", "usually"),),
    )  # fmt: skip
    assert (valve.told_by, passages.told_by, strainer.told_by) == (("test:hold", "test:listen"), ("test:hold",), ())
    assert valve.share is not None
    assert (passages.share, strainer.share) == (None, None)
    assert (rest.title, rest.url) == NUMBERS


def test_the_component_with_the_largest_share_comes_first_and_in_it_the_likeliest_fault() -> None:
    causes = causes_of("fork")
    assert [(cause.number, cause.node) for cause in causes.causes().values()] == [
        (1, "fault:c"), (2, "fault:a"), (3, "fault:b"), (4, UNLISTED),
    ]  # fmt: skip


def test_equal_shares_stand_by_id() -> None:
    shares = share_map({"fault:a": 0.3, "fault:b": 0.6, "fault:c": 0.3})
    order = [cause.node for cause in read_causes(FORK, SYMPTOM, shares, NUMBERS).causes().values()]
    assert order == ["fault:a", "fault:c", "fault:b"]


def test_a_strength_without_a_word_is_told_by_its_number() -> None:
    assert [cause.comes_from[0].often for cause in causes_of("collider").causes().values() if cause.comes_from] == [
        ".35", "sometimes",
    ]  # fmt: skip


def test_without_an_unlisted_cause_none_is_told() -> None:
    assert UNLISTED not in read_causes(CHAIN, SYMPTOM, {}, NUMBERS).causes()
