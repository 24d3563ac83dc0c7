"""Asks the scripts of assets/js/call in Chromium."""

from typing import Any

from selenium.webdriver import Chrome

LOADED = """
const { engine, call } = faultleaf, data = faultleafData;
const parts = Object.keys(data).filter((key) => key.startsWith("symptoms/")).map((key) => data[key]);
const library = engine.joinLibrary(data.shared, parts);
"""
REFUSED = """
try { return run(); } catch (error) {
  if (error instanceof call.JobError) return { refused: error.message };
  throw error;
}"""


def asked(driver: Chrome, script: str, *given: Any) -> Any:
    """What the script returns; `library`, `engine` and `call` are at hand, `arguments` is `given`."""
    return driver.execute_script(LOADED + script, *given)


def read(driver: Chrome, text: str) -> Any:
    """The record that a file's text is read as with what changed, or {"refused": reason}."""
    return asked(driver, "const [text] = arguments, run = () => call.readJobFile(text, library);" + REFUSED, text)
