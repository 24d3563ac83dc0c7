"""A small boiler in cards: five faults, two symptoms; plain, and with all that makes advice safe."""

from typing import Any

from faultleaf.diagnosis import Problem

EQUIPMENT = {
    "feed": {
        "title": "Feed",
        "asks": "How is water fed?",
        "values": {
            "automatic": {"title": "By a feeder", "share": 0.6},
            "manual": {"title": "By hand", "share": 0.4},
        },
    },
    "cutoff": {
        "title": "Cutoff",
        "asks": "Which cutoff?",
        "values": {
            "probe": {"title": "Probe", "share": 0.5},
            "float": {"title": "Float", "share": 0.3},
            "none": {"title": "None", "share": 0.2},
        },
    },
}


def repair(**more: Any) -> dict[str, Any]:
    return {"title": "Mend it", "takes": "30 min", "proof": "log", **more}


def cards() -> dict[str, dict[str, Any]]:
    """A small boiler: five faults, two symptoms, four tests."""
    return {
        "equipment": EQUIPMENT,
        "site": {"return_visit": "60 min", "hand_on": "240 min"},
        "symptoms/overfills": {
            "unlisted": 0.1,
            "otherwise": 0.05,
            "first": [{"test": "glass", "because": "all else relies on it"}],
        },
        "symptoms/bangs": {"otherwise": 0.2, "hand_on": "100 min"},
        "faults/valve": {
            "found_on": {"feed": "automatic"},
            "how_common": 4,
            "symptoms": {"overfills": "often"},
            "shows": {"hold": "rises, nearly-always", "listen": {"hiss": 0.6, "quiet": 0.3}},
            "cautions": ["volts"],
            "repair": repair(who="licensed", also_fixes={"probe-dirty": 0.4}),
        },
        "faults/bypass": {
            "how_common": 2,
            "symptoms": {"overfills": "usually", "bangs": "sometimes"},
            "shows": {"hold": "rises"},
            "repairs": [repair(fixes=0.7), repair(takes="90 min", proof="at-once", restore={"glass": "prompt"})],
        },
        "faults/probe-dirty": {
            "found_on": {"feed": "automatic", "cutoff": ["probe", "float"]},
            "symptoms": {"overfills": "sometimes"},
            "shows": {"probe-look": "dirty, nearly-always"},
            "repair": repair(),
        },
        "faults/glass-shut": {
            "symptoms": {"overfills": "seldom"},
            "shows": {"glass": {"stuck": 0.9}},
            "repair": repair(restore={"glass": "prompt"}),
        },
        "faults/steam-trap": {"symptoms": {"bangs": "often"}, "repair": repair()},
        "tests/glass": {
            "outcomes": {"prompt": "Falls and comes back", "slow": "Slowly", "stuck": "Does not move"},
            "otherwise": "prompt",
            "who": "owner",
        },
        "tests/hold": {
            "outcomes": {"rises": "Rises", "steady": "Stays"},
            "otherwise": "steady",
            "wait": "4 h",
            "needs": {"glass": ["prompt", "slow"]},
            "cautions": ["volts", "heat"],
        },
        "tests/listen": {
            "outcomes": {"hiss": "Hisses", "drip": "Drips", "quiet": "Quiet"},
            "otherwise": {"quiet": 0.8, "drip": 0.15},
            "wait": "20 min",
            "never_when": {"glass": "stuck"},
            "who": "apprentice",
        },
        "tests/probe-look": {
            "outcomes": {"dirty": "Dirty", "clean": "Clean"},
            "otherwise": "clean",
            "found_on": {"cutoff": "probe"},
        },
        "tests/idle": {},
        "proofs/log": {"takes": "10 min", "over": "7 days"},
        "proofs/at-once": {"takes": "10 min", "over": "15 min"},
        "cautions/volts": {"setup": "10 min"},
        "cautions/heat": {"setup": "15 min"},
    }  # fmt: skip


def weights(problem: Problem) -> dict[str, float]:
    return dict(zip(problem.faults, problem.weights.tolist(), strict=True))


def rich_cards() -> dict[str, dict[str, Any]]:
    """The small boiler with all that makes advice safe: stops, what renews, ways of showing, holds by telephone."""
    entries = cards()
    entries["site"] |= {"telephone_call": "10 min", "call": "a licensed contractor"}
    entries["cautions/dry"] = {"signal": "danger"}
    entries["tests/glass"] |= {"does": ["drain"], "way": "look"}
    entries["tests/hold"] |= {
        "read_by": "owner", "together_with": ["second-hold"], "otherwise_on": {"feed=manual": "rises"},
    }  # fmt: skip
    entries["tests/second-hold"] = {
        "outcomes": {"rises": "Rises", "steady": "Stays"}, "otherwise": "steady", "wait": "4 h",
        "otherwise_at": {"overfills": {"rises": 0.25}}, "together_with": ["hold"], "takes": "7 min",
    }  # fmt: skip
    entries["tests/level"] = {
        "outcomes": {"seen": "In the glass", "empty": "No water in sight"}, "otherwise": "seen", "who": "owner",
        "stops": {"empty": {"caution": "dry", "allows": ["cold-look", "valve"]}},
    }  # fmt: skip
    entries["tests/cold-look"] = {
        "outcomes": {"sound": "Sound, the glass lied", "dry": "Dry"}, "otherwise": "sound", "who": "licensed",
        "needs": {"level": "empty"}, "renews": {"level": {"sound": "seen"}}, "wait": "6 h",
    }  # fmt: skip
    entries["tests/glass-taken-out"] = {
        "outcomes": {"dirt": "Dirt in the cock", "clear": "Clear"}, "needs": {"glass": ["stuck", "slow"]},
    }  # fmt: skip
    entries["faults/glass-shut"]["shows"] |= {"glass-taken-out": "clear, always"}
    entries["tests/dust"] = {"outcomes": {"old": "Old dust", "new": "New"}, "otherwise": "new", "perishes": ["drain"]}
    entries["faults/bypass"] |= {
        "modes": {
            "seeps": {"title": "It seeps", "share": 0.7, "shows": {"listen": "quiet", "second-hold": "rises, often"}},
            "runs": {"title": "It runs", "share": 0.3, "shows": {"listen": "hiss, nearly-always"}},
        },
        "shows": {"hold": "rises", "dust": "old"},
    }
    entries["faults/leaking-washer"] = {
        "symptoms": {"bangs": "often"},
        "repair": repair(mends={"glass": ["stuck", "slow"]}, restore={"glass": "prompt"}),
    }
    entries["faults/steam-trap"]["repair"] = repair(quote="yes", proof="looks", fails_at=2, fixes=0.8)
    entries["proofs/looks"] = {
        "takes": "30 min", "over": "7 days",
        "looks": [
            {"when": "At once", "see": "quiet"},
            {"when": "After a quarter hour", "see": "quiet", "after": "15 min"},
            {"when": "After a week", "see": "quiet", "after": "7 days"},
        ],
    }  # fmt: skip
    return entries
