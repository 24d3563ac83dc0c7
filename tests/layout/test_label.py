"""A plan and cards become a chart with words. The cards are invented."""

from __future__ import annotations

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import Box, Exit, Plan, compile_problem
from faultleaf.layout import Chart, ChartExit, label_plan
from faultleaf.layout.label import ANY_ANSWER, variant_words
from faultleaf.words import gravest

from tests.library import make_library


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    repair = {"title": "Replace it", "takes": "50 min", "who": "licensed", "proof": "week", "cautions": ["mains"]}
    other = {"title": "Clean it", "takes": "20 min", "who": "apprentice", "proof": "week"}
    return make_library(
        tmp_path_factory.mktemp("library"),
        {
            "equipment": {
                "feed": {
                    "title": "How water is fed",
                    "asks": "Who feeds the water?",
                    "how": "Follow the pipe from the house main.",
                    "values": {
                        "automatic": {"title": "An automatic feeder", "share": "0.6"},
                        "manual": {"title": "Somebody by hand", "share": "0.4"},
                    },
                }
            },
            "symptoms/overfills": {"title": "Boiler overfills", "variants": {"fed by hand": {"feed": "manual"}}},
            "faults/valve": {
                "title": "Valve passes",
                "symptoms": {"overfills": "often"},
                "found_on": {"feed": "automatic"},
                "repairs": [repair, other],
            },
            "faults/seat": {"title": "Seat worn", "symptoms": {"overfills": "often"}, "repair": other},
            "tests/hold": {
                "title": "Hold the level",
                "asks": "What does the water do?",
                "how": "Shut all water and mark the glass.",
                "outcomes": {"rises": "It climbs", "steady": "It stays", "falls": "It falls"},
                "wait": "4 h",
                "who": "apprentice",
                "cautions": ["drips", "mains"],
            },
            "proofs/week": {},
            "cautions/mains": {"signal": "danger"},
            "cautions/drips": {"signal": "notice", "harms": "property"},
        },
    )


def exits(*ways: tuple[str, float, str | None]) -> tuple[Exit, ...]:
    return tuple(Exit(outcome, share, target) for outcome, share, target in ways)


def held(rises: str, steady: str, falls: str) -> tuple[Exit, ...]:
    return exits(("rises", 0.5, rises), ("steady", 0.4, steady), ("falls", 0.1, falls))


PLAN = Plan(
    (
        Box("b1", "test", ("equipment.feed",), 1, 1.0, exits(("automatic", 0.6, "b2"), ("manual", 0.4, "b5")), ()),
        Box(
            "b2",
            "test",
            ("hold",),
            9,
            0.6,
            exits(("rises", 0.5, "b3"), ("steady", 0.4, "b6"), ("falls", 0.1, "b6")),
            (),
        ),
        Box("b3", "repair", ("valve.2", "valve"), 70, 0.3, exits(("cured", 0.9, None), ("still-there", 0.1, "b4")), ()),
        Box("b4", "hand-on", (), 240, 0.03, (), ()),
        Box("b5", "repair", ("seat",), 20, 0.4, exits(("cured", 0.9, None), ("still-there", 0.1, "b7")), ()),
        Box("b6", "hand-on", (), 240, 0.3, (), ()),
        Box("b7", "hand-on", (), 240, 0.04, (), ()),
    ),
    "b1",
    100.0,
    10.0,
)


@pytest.fixture
def chart(library: Library) -> Chart:
    return label_plan(PLAN, compile_problem(library, ["overfills"]), library, "overfills", {})


def test_boxes_are_numbered_as_they_are_read_and_one_hand_on_is_enough(chart: Chart) -> None:
    assert [(box.number, box.id) for box in chart.boxes] == [(1, "b1"), (2, "b5"), (3, "b2"), (4, "b3"), (5, "b4")]
    assert (chart.title, chart.subtitle, chart.root) == ("Boiler overfills", "", "b1")


def test_a_question_about_the_system(chart: Chart) -> None:
    box = chart.boxes[0]
    assert (box.symbol, box.action) == ("decision", "Follow the pipe from the house main.")
    assert box.question == "Who feeds the water?"
    assert box.exits == (ChartExit("An automatic feeder", "b2", 0.6), ChartExit("Somebody by hand", "b5", 0.4))


def test_a_test_with_its_gravest_hazard_and_answers_that_share_a_way(chart: Chart) -> None:
    box = chart.by_id()["b2"]
    assert (box.symbol, box.action, box.question) == ("decision", "Hold the level", "What does the water do?")
    assert (box.how, box.note) == ("Shut all water and mark the glass.", "5 min + 4 h wait · apprentice")
    assert (box.hazard, box.link, box.reach) == ("DANGER", "../tests/hold.html", 0.6)
    assert box.exits == (ChartExit("It climbs", "b3", 0.5), ChartExit("It stays\nor: It falls", "b4", 0.5))


def test_a_run_of_repairs_has_letters_the_highest_rank_and_all_minutes(chart: Chart) -> None:
    box = chart.by_id()["b3"]
    assert box.steps() == (("a) Valve passes:", "Clean it"), ("b) Valve passes:", "Replace it"))
    assert box.symbol == "process"
    assert (box.note, box.hazard, box.link) == ("up to 1 h 10 min · licensed", "DANGER", "../faults/valve.html")
    assert box.exits == (ChartExit("Cured", None, 0.9), ChartExit("Still there", "b4", 0.1))


def test_a_single_repair_and_the_hand_on(chart: Chart) -> None:
    one, last = chart.by_id()["b5"], chart.by_id()["b4"]
    assert (one.steps(), one.how, one.note, one.hazard) == (
        (("Seat worn:", "Clean it"),),
        "",
        "20 min · apprentice",
        "",
    )
    assert one.exits[1] == ChartExit("Still there", "b4", 0.1)
    assert (last.symbol, last.action, last.exits) == ("terminal", "Hand on: call a licensed boiler contractor", ())


def test_a_test_after_which_all_goes_one_way_has_one_exit(library: Library) -> None:
    first = Box(
        "b1", "test", ("hold",), 9, 1.0, exits(("rises", 0.5, "b2"), ("steady", 0.3, "b2"), ("falls", 0.2, "b2")), ()
    )
    plan = Plan((first, Box("b2", "hand-on", (), 240, 1.0, (), ())), "b1", 249.0, 9.0)
    problem = compile_problem(library, ["overfills"])
    assert label_plan(plan, problem, library, "overfills", {}, base="").boxes[0].exits == (
        ChartExit(ANY_ANSWER, "b2", 1.0),
    )


def test_the_variant_is_named_or_its_equipment_told(library: Library) -> None:
    symptom = library.symptoms["overfills"]
    assert variant_words(symptom, library, {"feed": "manual"}) == "Fed by hand"
    assert variant_words(symptom, library, {"feed": "automatic"}) == "How water is fed: An automatic feeder"


def test_the_gravest_word_stands(library: Library) -> None:
    assert gravest(library, ["drips"]) == "NOTICE"
    assert gravest(library, ["drips", "mains"]) == "DANGER"
    assert gravest(library, []) == ""
