"""The one place that knows typst: a template of ours and data of anybody's → a PDF, or what a template measured.

Data reaches the templates as one JSON text and is only ever shown as text: a card that is full of typst's own
markup prints that markup.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final, Literal

import typst

from faultleaf.layout import Memory, remembered

TEMPLATES: Final = Path(__file__).parent / "templates"
MAIN: Final = TEMPLATES / "main.typ"
LACKING: Final = "could not be displayed with font"
TIMESTAMP: Final = 0
"""Seconds since 1970 that stand in every file as its date: no output depends on the clock."""


class SheetError(ValueError):
    """A sheet that cannot be made; one sentence."""


class Press:
    """Sets templates with the fonts of one folder and no others.

    What `memory` keeps is not set again; it must hold results of these templates and fonts alone.
    """

    def __init__(self, fonts: Path, memory: Memory | None = None) -> None:
        self._fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts)])
        self._measured: dict[str, Any] = {}
        self._memory = memory

    def pdf(self, data: Mapping[str, Any]) -> bytes:
        """The document that `kind` names as a tagged PDF/UA-1 file; the same bytes for the same data.

        A letter that the shipped font lacks shows as an empty box, and the file then claims no conformity.
        Raises SheetError where typst refuses.
        """
        inputs = _inputs(data)
        return remembered(self._memory, f"pdf {inputs['data']}", lambda: self._printed(inputs))

    def _printed(self, inputs: dict[str, str]) -> bytes:
        try:
            return self._compile(inputs, "ua-1")
        except typst.TypstError as error:
            if LACKING not in error.message:
                raise SheetError(f"the sheet cannot be set: {error.message}") from None
        return self._compile(inputs, None)

    def _compile(self, inputs: dict[str, str], standard: Literal["ua-1"] | None) -> bytes:
        made = typst.compile(
            str(MAIN),
            format="pdf",
            root=str(TEMPLATES),
            font_paths=self._fonts,
            sys_inputs=inputs,
            pdf_standards=standard or [],
            timestamp=TIMESTAMP,
        )
        assert isinstance(made, bytes)  # one format, no output file
        return made

    def measure(self, data: Mapping[str, Any]) -> Any:
        """The value that the document leaves under the label `measured`. Raises SheetError as `pdf` does.

        What was measured once is remembered: a sheet and the field book ask for the same backs.
        """
        inputs = _inputs(data)
        key = inputs["data"]
        if key not in self._measured:
            self._measured[key] = json.loads(remembered(self._memory, f"measure {key}", lambda: self._query(inputs)))
        return self._measured[key]

    def _query(self, inputs: dict[str, str]) -> bytes:
        try:
            text = typst.query(
                str(MAIN),
                "<measured>",
                field="value",
                one=True,
                root=str(TEMPLATES),
                font_paths=self._fonts,
                sys_inputs=inputs,
            )
        except typst.TypstError as error:
            raise SheetError(f"the sheet cannot be set: {error.message}") from None
        return text.encode()


def _inputs(data: Mapping[str, Any]) -> dict[str, str]:
    return {"data": json.dumps(data, ensure_ascii=False, sort_keys=True)}
