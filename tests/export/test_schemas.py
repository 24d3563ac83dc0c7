"""export/schemas.py: what an editor is told agrees with what intake takes and refuses."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from faultleaf.cards import CARD_TYPES, Library
from faultleaf.cards.names import kind_named, models_in
from faultleaf.export import card_schemas
from faultleaf.export.schemas import DIALECT

from tests.intake.cases import CASES, SOUND, read_case
from tests.library import read

Schema = dict[str, Any]
FOLDERS = {card_type.folder: f"{card_type.kind}.schema.json" for card_type in CARD_TYPES}
TYPES: dict[str, type | tuple[type, ...]] = {
    "string": str, "number": (int, float), "object": dict, "array": list, "boolean": bool, "null": type(None),
}  # fmt: skip
KNOWN_WORDS = {
    "$defs", "$ref", "$schema", "additionalProperties", "anyOf", "default", "defaultSnippets", "description", "enum",
    "examples", "exclusiveMinimum", "items", "markdownDescription", "maxItems", "maxLength", "maximum", "minItems",
    "minProperties", "minimum", "pattern", "patternProperties", "properties", "propertyNames", "required", "title",
    "type",
}  # fmt: skip


def problems(value: Any, schema: Schema, root: Schema, where: str = "") -> Iterator[str]:
    """What is wrong with a value: a small reading of JSON Schema, as much of it as the schemas use."""
    assert set(schema) <= KNOWN_WORDS
    if target := schema.get("$ref"):
        yield from problems(value, root["$defs"][target.removeprefix("#/$defs/")], root, where)
    if "anyOf" in schema and not any(fits(value, choice, root) for choice in schema["anyOf"]):
        yield f"{where}: fits no choice"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{where}: {value!r} is not one of the choices"
    if "type" in schema and not isinstance(value, TYPES[schema["type"]]):
        yield f"{where}: not of type {schema['type']}"
    elif isinstance(value, str):
        if not re.search(schema.get("pattern", ""), value) or len(value) > schema.get("maxLength", len(value)):
            yield f"{where}: wrong text"
    elif isinstance(value, dict):
        yield from object_problems(value, schema, root, where)
    elif isinstance(value, list):
        if not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value)):
            yield f"{where}: wrong number of items"
        for index, item in enumerate(value):
            yield from problems(item, schema.get("items", {}), root, f"{where}.{index}")
    elif isinstance(value, int | float) and (
        value < schema.get("minimum", value)
        or value > schema.get("maximum", value)
        or value <= schema.get("exclusiveMinimum", value - 1)
    ):
        yield f"{where}: out of range"


def object_problems(value: dict[str, Any], schema: Schema, root: Schema, where: str) -> Iterator[str]:
    yield from (f"{where}: {name} is missing" for name in schema.get("required", []) if name not in value)
    if len(value) < schema.get("minProperties", 0):
        yield f"{where}: too few"
    for name, part in value.items():
        yield from (f"{where}.{name}: {p}" for p in problems(name, schema.get("propertyNames", {}), root))
        matching = [s for pattern, s in schema.get("patternProperties", {}).items() if re.search(pattern, name)]
        inner = [schema["properties"][name]] if name in schema.get("properties", {}) else matching
        other = schema.get("additionalProperties", {})
        if not inner and other is False:
            yield f"{where}.{name}: not known"
        for each in inner or ([other] if isinstance(other, dict) else []):
            yield from problems(part, each, root, f"{where}.{name}")


def fits(value: Any, schema: Schema, root: Schema) -> bool:
    return not list(problems(value, schema, root))


class Editor(yaml.SafeLoader):
    """Knows numbers only, as today's YAML does without its old words for truth and its dates."""


Editor.yaml_implicit_resolvers = {
    letter: [(tag, regex) for tag, regex in resolvers if tag.rpartition(":")[2] in ("int", "float")]
    for letter, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def front_matter(text: str) -> Any:
    """As an editor reads it: numbers are numbers, and dates and yes/no, by today's YAML, are text."""
    return yaml.load(text.split("---\n")[1], Loader=Editor)


SOUND_CARDS = tuple(sorted(SOUND.glob("*/*.md")))


@pytest.fixture(scope="module")
def library() -> Library:
    return read(SOUND)


def test_there_is_a_schema_for_every_kind(library: Library) -> None:
    names = [f"{card_type.kind}.schema.json" for card_type in CARD_TYPES]
    assert list(card_schemas()) == list(card_schemas(library)) == names


@pytest.mark.parametrize("path", SOUND_CARDS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_sound_cards_fit(path: Path, library: Library) -> None:
    data = front_matter(path.read_text(encoding="utf-8"))
    for schemas in (card_schemas(), card_schemas(library)):
        schema = schemas[FOLDERS[path.parent.name]]
        assert list(problems(data, schema, schema)) == []


REFUSED = (
    "unknown-field-near", "unknown-field-in-repair", "wrong-type-list-for-text", "probability-above-one",
    "probability-unknown-word", "rate-zero", "rank-unknown", "unit-missing", "unit-unknown", "bad-id", "one-outcome",
    "reference-in-fault", "reference-in-repair", "reference-in-symptom", "reference-in-test", "wrong-type-truth",
    "caution-words", "limits-badly-written", "unknown-field-in-list", "works-out-of-nothing",
)  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_the_editor_marks_what_intake_refuses(name: str, library: Library) -> None:
    case = read_case(next(path for path in CASES if path.stem == name))
    ((path, text),) = case.files.items()
    schema = card_schemas(library)[FOLDERS[path.split("/")[1]]]
    assert list(problems(front_matter(text), schema, schema)) != []


def test_without_a_library_any_id_may_be_named(library: Library) -> None:
    card = {"title": "T", "component": "elsewhere", "how_common": "rare", "shows": {"any-test": "seen"}}
    free, bound = card_schemas()["fault.schema.json"], card_schemas(library)["fault.schema.json"]
    assert fits(card, free, free)
    assert list(problems(card, bound, bound)) == [
        ".component: 'elsewhere' is not one of the choices",
        ".shows.any-test: : 'any-test' is not one of the choices",
    ]


def test_what_intake_fills_in_is_no_field(library: Library) -> None:
    for schema in card_schemas(library).values():
        assert schema["$schema"] == DIALECT
        assert not {"id", "body"} & (set(schema["properties"]) | set(schema["required"]))
        assert not {"Body", "Section"} & set(schema.get("$defs", {}))


def test_every_field_that_intake_follows_offers_names(library: Library) -> None:
    """The ids that a field may name stand in its schema, whichever model it belongs to."""
    ids: dict[str, set[str]] = {"equipment": set(library.equipment), "source": set(library.sources)}
    for card in library.cards.values():
        ids.setdefault(card.kind, set()).add(card.id)
    schemas, seen = card_schemas(library), set()
    for card_type in CARD_TYPES:
        schema = schemas[f"{card_type.kind}.schema.json"]
        places = {card_type.__name__: schema, **schema.get("$defs", {})}
        for model in models_in(card_type):
            fields = places.get(model.__name__, {}).get("properties", {})
            for name in model.model_fields.keys() & fields.keys():
                kind, _ = kind_named(model, name)
                assert ids.get(kind, set()) <= {str(each) for each in _enums(fields[name])}, (model, name)
                seen.add(kind)
    assert seen >= {"symptom", "fault", "component", "test", "proof", "caution", "equipment", "source"}


def _enums(part: Any) -> Iterator[Any]:
    if isinstance(part, dict):
        yield from part.get("enum", [])
    for each in part.values() if isinstance(part, dict) else part if isinstance(part, list) else ():
        yield from _enums(each)


def test_hints_say_what_the_field_is_for() -> None:
    field = card_schemas()["test.schema.json"]["properties"]["takes"]
    assert field["markdownDescription"] == "Hands-on time; for example `5 min`; for example `4 h`"
    snippet = card_schemas()["component.schema.json"]["defaultSnippets"][0]["body"]
    assert snippet == {"title": "${1:title}"}


def test_an_optional_field_may_be_left_out_but_not_written_empty() -> None:
    assert '"null"' not in json.dumps(card_schemas())


def test_the_same_library_gives_the_same_schemas(library: Library) -> None:
    backwards = Library(
        dict(reversed(list(library.cards.items()))), dict(reversed(list(library.equipment.items()))),
        dict(reversed(list(library.sources.items()))),
    )  # fmt: skip
    assert json.dumps(card_schemas(backwards)) == json.dumps(card_schemas(library))
