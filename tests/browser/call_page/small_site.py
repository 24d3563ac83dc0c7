"""A small invented site on which every screen of "Work the call" can be reached, built with the shipped theme."""

from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.library import Entries, write_library
from tests.site.sites import REPOSITORY

FEED = {"feed": "automatic"}
LICENSED = {"takes": "40 min", "who": "licensed", "proof": "week", "fixes": "0.9"}
SMALL: Entries = {
    "site": {
        "title": "Call site", "call": "the licensed firm", "firm": "Invented Boilers", "telephone": "555 0100",
        "hand_on": "12 h", "address": "https://example.org/b",
        "notices": [{"place": "Inventia", "text": "The warden looks first.", "source": "By-law 7, invented",
                     "date": "2026-10-01"}],
    },
    "equipment": {
        "feed": {"title": "How it is fed", "asks": "Does a feeder add the water?", "how": "Follow the cold pipe.",
                 "values": {"automatic": {"title": "Feeder", "share": "0.6"},
                            "manual": {"title": "Filled by hand", "share": "0.4", "also_said": ["no feeder"]}}},
        "coil": {"title": "Coil for tap water", "asks": "Is there a coil in the boiler?",
                 "values": {"none": {"title": "No coil", "share": "0.7"},
                            "fitted": {"title": "Coil fitted", "share": "0.3"}}},
    },
    "symptoms/floods": {
        "title": "Boiler floods", "also_said": ["the glass is full to the top", "it fills by itself"],
        "make_safe": ["scald", "never-fire"], "formerly": ["overflows"], "at_start": "Burner locked off",
        "first": [{"test": "glass", "because": "Every later reading leans on the glass."}],
        "variants": {"with a feeder": {"feed": "automatic", "coil": "none"}},
        "unlisted": "0.05", "otherwise": "0.1",
    },
    "symptoms/starves": {"title": "Burner stops on low water", "make_safe": ["scald"], "otherwise": "0.1",
                         "first": [{"test": "glass", "because": "Every later reading leans on the glass."}]},
    "symptoms/knocks": {"title": "Boiler knocks", "hand_on": "1 min", "unlisted": "0.3"},
    "symptoms/gas": {"title": "Smell of gas", "emergency": "yes", "make_safe": ["leave"]},
    "faults/valve": {
        "title": "Feeder valve passes", "found_on": FEED, "symptoms": {"floods": "0.9"}, "how_common": "common",
        "shows": {"glass": {"true": "0.95"}, "hold": {"rises": "0.95"}, "listen": {"heard": "0.8"},
                  "ohms": {"low": "0.9"}, "night": {"up": "0.9"}},
        "to_owner": "The valve that feeds the boiler had not closed any more.",
        "cue": "The feeder body is cold and wet.", "comes_from": {"strainer": "often"},
        "look_alikes": {"bypass": "A bypass goes on with the feeder shut off."}, "cautions": ["scald"],
        "repair": {**LICENSED, "title": "Renew the feeder valve",
                   "prove_first": ["It rose with the power off", "The bypass is shut"],
                   "parts": ["valve body", "gasket"], "cautions": ["mains"]},
        "body": "## Repair\n\n1. Shut the **fill** valve. See [the glass](../tests/glass.md).\n2. Renew the body.\n",
    },
    "faults/bypass": {
        "title": "Bypass left open", "symptoms": {"floods": "0.8"}, "how_common": "occasional",
        "shows": {"glass": {"true": "0.95"}, "hold": {"rises": "0.9"}, "listen": {"silent": "0.8"},
                  "night": {"same": "0.95"}},
        "repair": {"title": "Close and tag the bypass", "takes": "10 min", "proof": "week", "fixes": "0.95"},
    },
    "faults/probe": {
        "title": "Probe is fouled", "symptoms": {"floods": "0.3", "starves": "0.8", "knocks": "0.3"},
        "how_common": "occasional",
        "shows": {"ohms": {"high": "0.9"}, "hold": {"steady": "0.9"}},
        "repair": {"title": "Clean the probe", "takes": "30 min", "proof": "at-once", "fixes": "0.9"},
    },
    "faults/strainer": {"title": "Strainer is missing", "found_on": FEED,
                        "symptoms": {"starves": "0.3", "knocks": "0.6"}, "how_common": "uncommon",
                        "shows": {"hold": {"steady": "0.8"}},
                        "repair": {"title": "Fit a strainer", "takes": "30 min", "proof": "at-once"}},
    "faults/leak": {"title": "Coil leaks", "found_on": {"coil": "fitted"}, "symptoms": {"floods": "0.8"},
                    "how_common": "occasional", "shows": {"hold": {"rises": "0.9"}, "listen": {"silent": "0.9"}},
                    "repair": {"title": "Retire the coil", "takes": "3 h", "proof": "week"}},
    "faults/cock": {"title": "Glass cock is shut", "symptoms": {"floods": "0.4"}, "how_common": "occasional",
                    "shows": {"glass": {"lies": "0.95"}},
                    "repair": {"title": "Open the cock", "takes": "5 min", "proof": "at-once",
                            "mends": {"glass": "lies"}, "restore": {"glass": "true"}}},
    "faults/header": {"title": "Header is too small", "symptoms": {"starves": "0.5", "knocks": "0.15"},
                      "how_common": "common", "shows": {"width": {"small": "0.95"}},
                      "repair": {"title": "Pipe the header anew", "takes": "8 h", "proof": "week", "quote": "yes"}},
    "tests/glass": {"title": "Blow down the glass", "asks": "Does the level come back at once?", "takes": "5 min",
                    "how": "Drain the glass, time the level.",
                    "outcomes": {"true": "Back at once", "lies": "It creeps"},
                    "otherwise": {"true": "0.9", "lies": "0.1"}, "tools": ["gloves", "flashlight"],
                    "cautions": ["scald"], "who": "owner",
                    "body": "## Steps\n\n1. Shut the cock.\n2. Open it.\n\n## What it tells you\n\nAll **else**.\n"},
    "tests/look": {"title": "Look for water", "asks": "Is water seen in the glass?", "takes": "2 min", "who": "owner",
                   "outcomes": {"seen": "Water is seen", "empty": "No water is seen"}, "cautions": ["never-fire"],
                   "otherwise": {"seen": "0.9", "empty": "0.1"}, "also_said": {"empty": ["no water in the glass"]},
                   "stops": {"empty": {"caution": "dry", "allows": ["cold-look"],
                                       "call": "the licensed firm, and say that it was empty"}}},
    "tests/cold-look": {"title": "Look it over cold", "asks": "Is the iron sound?", "takes": "30 min",
                        "who": "licensed", "outcomes": {"sound": "Sound", "cracked": "Cracked"},
                        "needs": {"look": "empty"}, "renews": {"look": {"sound": "seen"}}, "cautions": ["dry"],
                        "stops": {"cracked": {"caution": "dry"}}},
    "tests/smell": {"title": "Note a gas smell", "asks": "Is gas smelled?", "takes": "1 min", "who": "owner",
                    "outcomes": {"none": "No smell", "gas": "Gas is smelled, or an alarm sounds"},
                    "stops": {"gas": {"caution": "leave", "call": "the fire service, from outside"}}},
    "tests/width": {"title": "Measure the header", "asks": "Is the header wide enough?", "takes": "5 min",
                     "way": "measure", "who": "owner", "outcomes": {"small": "Too narrow", "wide": "Wide enough"},
                     "otherwise": {"small": "0.02", "wide": "0.98"}},
    "tests/night": {"title": "Hold over a night, bypass shut", "asks": "Does it climb by morning?", "takes": "5 min",
                    "wait_from": {"worksheet": "climb", "result": "stand", "given": {"leak": "1 gal/day"}},
                    "read_by": "owner", "outcomes": {"up": "It climbed", "same": "It did not"},
                    "together_with": ["hold"], "otherwise": {"up": "0.1", "same": "0.9"}},
    "tests/hold": {"title": "Hold with the power off", "asks": "Does the water climb?", "takes": "5 min", "wait": "4 h",
                   "way": "run", "read_by": "owner", "together_with": ["night"],
                   "outcomes": {"rises": "It climbs past the mark", "steady": "It stays at the mark"},
                   "otherwise": {"rises": "0.1", "steady": "0.9"}, "cautions": ["mains"],
                   "why": "What climbs without power is a valve.",
                   "works_out": [{
                       "worksheet": "climb", "reads": ["rise", "feed"], "given": {"reading": "1/8"},
                       "decides": {"fast": {"rises": ["2", "inf"]},
                                   "real": {"steady": ["-inf", "0.25"], "rises": ["0.25", "inf"]}}}]},
    "tests/listen": {"title": "Listen at the feeder", "way": "listen", "asks": "Is water heard?", "takes": "3 min",
                     "outcomes": {"heard": "Water is heard", "silent": "It is silent"},
                     "also_said": {"heard": ["you hear it run"]},
                     "otherwise": {"heard": "0.1", "silent": "0.9"}},
    "tests/ohms": {"title": "Measure the probe", "asks": "Does the probe read as wet?", "takes": "10 min",
                   "outcomes": {"low": "Reads as wet", "high": "Reads as dry"},
                   "otherwise": {"low": "0.9", "high": "0.1"},
                   "measures": {"quantity": "resistance", "unit": "ohm", "limits": {"low": ["0", "5000"],
                           "high": ["5000", "inf"]}}},
    "worksheets/climb": {
        "title": "What a climb means", "answers": "Did it really climb?", "cautions": ["scald"],
        "inputs": {
            "rise": {"title": "Rise of the glass", "unit": "in", "where": "Tape", "least": "-9", "most": "9"},
            "hours": {"title": "Hours it stood", "unit": "h", "where": "Clock", "least": "0.5", "most": "72",
                      "usual": "8"},
            "reading": {"title": "A reading is right to", "unit": "in", "where": "Tape", "usual": "1/16"},
            "leak": {"title": "Leak that matters", "unit": "gal/h", "where": "Judgement", "usual": "0.1"},
            "edr": {"title": "Radiators", "unit": "EDR", "where": "Count", "usual": "200"},
            "feed": {"title": "Feed", "unit": "count", "where": "Look", "choices": {"shut": "0", "open": "1"},
                     "usual": "shut"},
        },
        "results": {
            "real": {"title": "Real rise", "unit": "in", "sum": "rise * (1 - feed)"},
            "fast": {"title": "It climbs by", "unit": "in/h", "sum": "real / hours"},
            "stand": {"title": "It must stand", "unit": "h", "sum": "4 * 1 [gal/in] * reading * sqrt(2) / leak"},
        },
    },
    "surveys/house": {
        "title": "Survey", "radiation": "edr",
        "asks": {"edr": {"title": "Radiation", "group": "Radiators", "where": "Count", "unit": "EDR",
                         "fills": ["climb.edr"]}},
    },
    "proofs/week": {"title": "Log the glass for seven days", "takes": "10 min", "over": "7 days",
                    "looks": [{"when": "the day of the repair", "see": "Mark the glass."},
                              {"when": "day 7", "see": "The level stands at the mark."}],
                    "holds_when": "The level has not moved in seven days", "cautions": ["scald"]},
    "proofs/at-once": {"title": "Look twice", "takes": "5 min"},
    "cautions/scald": {"title": "Hot water burns"},
    "cautions/never-fire": {"title": "Never fire a flooded boiler", "signal": "danger", "avoid": "Leave it off"},
    "cautions/leave": {"title": "Leave the house", "signal": "danger", "hazard": "Gas explodes",
            "avoid": "Get out, call from outside"},
    "cautions/dry": {"title": "Dry boiler", "signal": "danger", "hazard": "Red-hot iron.",
                     "consequence": "Water that comes in bursts it.",
                     "avoid": "Shut off the fuel. Add no water. Keep out."},
    "cautions/mains": {"title": "Mains voltage", "setup": "4 min", "hazard": "Mains voltage", "avoid": "Lock it off"},
}  # fmt: skip


def build_small_site(home: Path) -> Path:
    """The folder of the built site below `home`."""
    write_library(home / "content", SMALL)
    config = (REPOSITORY / "mkdocs.yml").read_text(encoding="utf-8")
    # Shaking the numbers takes seconds and tells nothing here.
    config = config.replace("  - faultleaf\n", "  - faultleaf: {shakings: 1}\n")
    (home / "mkdocs.yml").write_text(config, encoding="utf-8")
    build(load_config(str(home / "mkdocs.yml"), site_dir=str(home / "site")))
    assert "script-src 'self' 'sha256-" in (home / "site/work-the-call.html").read_text(encoding="utf-8")
    return home / "site"
