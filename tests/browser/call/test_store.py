"""assets/js/call/store.js: whatever the browser's storage does, the call goes on and nothing is lost."""

from typing import Any

from selenium.webdriver import Chrome

from tests.browser.call.asking import asked
from tests.browser.call.records import entry, new_job

FAKE = """
class Fake {
  constructor(room, start) { this.room = room; this.kept = new Map(Object.entries(start)); }
  get length() { return this.kept.size; }
  key(place) { return [...this.kept.keys()][place] ?? null; }
  getItem(key) { return this.kept.has(key) ? this.kept.get(key) : null; }
  setItem(key, value) {
    if (value.length > this.room) throw new DOMException("full", "QuotaExceededError");
    this.kept.set(key, value);
  }
  removeItem(key) { this.kept.delete(key); }
}
const blocked = new Proxy({}, { get() { throw new DOMException("denied", "SecurityError"); } });
"""
FULL = "This browser's storage is full. Save the job as a file, or delete old jobs."
BLOCKED = "This browser keeps nothing for this page. Save the job as a file before you close it."


def tried(driver: Chrome, script: str, *given: Any) -> Any:
    return asked(driver, FAKE + script, *given)


def test_jobs_are_kept_found_newest_first_and_removed(engine: Chrome) -> None:
    early = {**new_job([entry("closed", minute=1)]), "id": "early"}
    late = {**new_job([entry("closed", minute=9)]), "id": "late"}
    script = """
        const storage = new Fake(1e6, { other: "of another page" }), store = call.openStore(storage, library);
        const saved = arguments[0].map((job) => store.save(job));
        const found = call.openStore(storage, library).list();
        return [saved, found, store.load("early"), store.load("none"), store.remove("early"), store.list().jobs.length,
          store.trouble(), storage.getItem("other")];"""
    saved, found, loaded, none, removed, left, trouble, other = tried(engine, script, [early, late])
    assert saved == [{"kept": True, "reason": None, "job": early}, {"kept": True, "reason": None, "job": late}]
    assert found == {"jobs": [late, early], "damaged": []}
    assert (loaded, none, removed, left, trouble, other) == (early, None, True, 1, None, "of another page")


def test_a_full_storage_is_said_and_the_last_good_state_stays(engine: Chrome) -> None:
    small, large = new_job([]), new_job([entry("note", text="x" * 3000)])
    script = """
        const store = call.openStore(new Fake(2000, {}), library);
        const first = store.save(arguments[0]), second = store.save(arguments[1]);
        return [first.kept, second, store.load("job-1"), store.trouble()];"""
    first, second, loaded, trouble = tried(engine, script, small, large)
    assert first is True
    assert second == {"kept": False, "reason": FULL, "job": large}
    assert loaded == small
    assert trouble == FULL


def test_a_blocked_storage_is_said_and_nothing_throws(engine: Chrome) -> None:
    script = """
        return [blocked, null].map((storage) => {
          const store = call.openStore(storage, library), saved = store.save(arguments[0]);
          return [saved, store.list(), store.load("x"), store.remove("x"), store.trouble()];
        });"""
    for saved, found, loaded, removed, trouble in tried(engine, script, new_job([])):
        assert saved == {"kept": False, "reason": BLOCKED, "job": new_job([])}
        assert (found, loaded, removed, trouble) == ({"jobs": [], "damaged": []}, None, False, BLOCKED)


def test_a_damaged_job_is_named_and_left_as_it_is(engine: Chrome) -> None:
    script = """
        const storage = new Fake(1e6, { "faultleaf-job:job-1": "{broken", "faultleaf-job:b": "{}" });
        const store = call.openStore(storage, library), saved = store.save(arguments[0]);
        return [store.list(), saved.job.id, storage.getItem("faultleaf-job:job-1")];"""
    found, name, left = tried(engine, script, new_job([]))
    assert found["damaged"] == ["b", "job-1"]
    assert [job["id"] for job in found["jobs"]] == ["job-1-2"]
    assert (name, left) == ("job-1-2", "{broken")


def test_two_tabs_with_one_job_lose_nothing(engine: Chrome) -> None:
    """One that goes on where the other stopped replaces it; where both went on, both are kept."""
    start = [entry("symptom", symptom="boiler-overfills", present=True)]
    ahead = new_job([*start, entry("note", text="ahead")])
    aside = new_job([*start, entry("note", text="aside")])
    script = """
        const store = call.openStore(new Fake(1e6, {}), library);
        const saved = arguments[0].map((job) => store.save(job));
        return [saved.map(({ job }) => job.id), store.list().jobs.map((job) => [job.id, job.log.length])];"""
    names, kept = tried(engine, script, [new_job(start), ahead, new_job(start), aside])
    assert names == ["job-1", "job-1", "job-1", "job-1-2"]
    assert sorted(kept) == [["job-1", 2], ["job-1-2", 2]]


def test_a_field_left_undefined_makes_no_second_job(engine: Chrome) -> None:
    script = """
        const [job, at] = arguments, store = call.openStore(new Fake(1e6, {}), library);
        const once = store.save(call.add(job, { note: undefined, text: "x", what: "note", at })).job;
        const twice = store.save(call.add(once, { what: "closed", at })).job;
        return [once.id, twice.id, store.list().jobs.length, store.load("job-1").log.length];"""
    job = new_job([])
    assert tried(engine, script, job, job["opened"]) == ["job-1", "job-1", 1, 2]


def test_what_a_tab_that_is_behind_says_of_the_job_is_kept_too(engine: Chrome) -> None:
    ahead = new_job([entry("note", text="ahead")])
    ahead["about"].update(address="1 Mill Lane", customer="A")
    behind = new_job([])
    behind["about"].update(customer="B", technician="C")
    script = """
        const store = call.openStore(new Fake(1e6, {}), library);
        arguments[0].forEach((job) => store.save(job));
        return store.list().jobs;"""
    (kept,) = tried(engine, script, [ahead, behind])
    assert kept["log"] == ahead["log"]
    assert kept["about"] == {**ahead["about"], "customer": "B", "technician": "C"}


def test_a_full_storage_is_known_by_both_names(engine: Chrome) -> None:
    """NS_ERROR_DOM_QUOTA_REACHED: Firefox's name of old (MDN, Storage.setItem; from memory)."""
    script = """
        return ["QuotaExceededError", "NS_ERROR_DOM_QUOTA_REACHED", "SecurityError"].map((name) => {
          const storage = new Fake(1e6, {});
          storage.setItem = () => { throw new DOMException("no", name); };
          return call.openStore(storage, library).save(arguments[0]).reason;
        });"""
    assert tried(engine, script, new_job([])) == [FULL, FULL, BLOCKED]


def test_the_browsers_own_storage_is_used_or_said_to_be_blocked(engine: Chrome) -> None:
    assert asked(engine, "return call.browserStorage() === localStorage;") is True
