"""JSON Schemas of the cards, so that an author's editor can complete fields and names and check as he types.

They describe the front matter only: a card's id is its file name, and its body is Markdown. Where a
library is given, every field that names other cards offers the ids that there are. The schemas are a
convenience; what counts is `faultleaf check`, which knows more than a schema can say.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from pydantic import BaseModel

from faultleaf.cards import CARD_TYPES, Card, Library
from faultleaf.cards.names import kind_named, models_in

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
FILLED_IN: Final = ("id", "body")
"""Fields that no author writes."""

Schema = dict[str, Any]


def card_schemas(library: Library | None = None) -> dict[str, Schema]:
    """One schema for each kind of card, by file name (`fault.schema.json`), in the order of the kinds.

    With a library, fields that name cards, features or sources take only ids that it has.
    """
    names = _names(library) if library else {}
    return {f"{card_type.kind}.schema.json": _card_schema(card_type, names) for card_type in CARD_TYPES}


def _names(library: Library) -> dict[str, list[str]]:
    names: dict[str, list[str]] = {card_type.kind: [] for card_type in CARD_TYPES}
    for card in library.cards.values():
        names[card.kind].append(card.id)
    names["equipment"] = list(library.equipment)
    names["source"] = list(library.sources)
    names["step"] = [*names["test"], *names["fault"]]
    names["where"] = [f"{name}={value}" for name, feature in library.equipment.items() for value in feature.values]
    names["card"] = [f"{card.folder}/{card.id}" for card in library.cards.values()]
    return {kind: sorted(ids) for kind, ids in names.items()}


def _card_schema(card_type: type[Card], names: Mapping[str, list[str]]) -> Schema:
    made = card_type.model_json_schema()
    models = {model.__name__: model for model in models_in(card_type)}
    definitions = {
        name: _object(part, models[name], names) for name, part in made.get("$defs", {}).items() if name in models
    }
    schema = {
        "$schema": DIALECT,
        **_object(made, card_type, names),
        "title": f"{card_type.kind.capitalize()} card",
        "defaultSnippets": [_snippet(made)],
    }
    used = {name: part for name, part in sorted(definitions.items()) if f"#/$defs/{name}" in set(_targets(schema))}
    return {**schema, "$defs": used} if used else {key: part for key, part in schema.items() if key != "$defs"}


def _object(made: Schema, model: type[BaseModel], names: Mapping[str, list[str]]) -> Schema:
    """A model's schema without what intake fills in, its fields told what they may name."""
    fields = {name: part for name, part in made["properties"].items() if name not in FILLED_IN}
    kept = {key: part for key, part in made.items() if key not in ("$defs", "properties", "required")}
    return {
        **kept,
        "properties": {
            name: _field(part, names.get(kind), depth)
            for name, part in fields.items()
            for kind, depth in [kind_named(model, name)]
        },
        "required": [name for name in made.get("required", []) if name not in FILLED_IN],
    }


def _field(made: Schema, ids: list[str] | None, depth: int) -> Schema:
    field = _tidy(made)
    if ids is not None:
        field = _naming(field, ids, depth)
    words = field.get("description", "")
    hint = "; ".join([words, *(f"for example `{example}`" for example in field.get("examples", []))]).strip("; ")
    return {**field, "markdownDescription": hint} if hint else field


def _tidy(made: Schema) -> Schema:
    """A field's schema as an author meets it: it may be left out, but not written empty, and keys are ids."""
    field = {key: part for key, part in made.items() if key != "default" or _worth_showing(made)}
    if "patternProperties" in field:
        field["additionalProperties"] = False
    choices = [choice for choice in field.get("anyOf", []) if choice != {"type": "null"}]
    if len(choices) != 1:
        return field
    return {**choices[0], **{key: part for key, part in field.items() if key != "anyOf"}}


def _worth_showing(made: Schema) -> bool:
    """Whether the default is something an author could have written (not minutes, where text is expected)."""
    default = made["default"]
    return default not in (None, [], {}) and not (made.get("type") == "string" and not isinstance(default, str))


def _naming(field: Schema, ids: list[str], depth: int) -> Schema:
    """The field with the ids it may name: as its value, its list's items or its mapping's keys.

    `depth` says how many mappings further down the ids are the keys (one for equipment within a variant).
    """
    if depth:
        return {**field, "additionalProperties": _naming(field["additionalProperties"], ids, depth - 1)}
    if field.get("type") == "array":
        return {**field, "items": {"enum": ids}}
    if field.get("type") == "object":
        return {**field, "propertyNames": {"enum": ids}}
    return {**{key: part for key, part in field.items() if key not in ("pattern", "type")}, "enum": ids}


def _snippet(made: Schema) -> Schema:
    """What an editor puts in to begin a card: the fields that it cannot do without."""
    fields = [name for name in made.get("required", []) if name not in FILLED_IN]
    lines = {name: f"${{{place}:{name}}}" for place, name in enumerate(fields, 1)}
    return {"label": "the fields it must have", "body": lines}


def _targets(part: Any) -> Iterator[str]:
    """Every `$ref` within."""
    inner: Iterable[Any] = part.values() if isinstance(part, dict) else part if isinstance(part, list) else ()
    if isinstance(part, dict) and isinstance(part.get("$ref"), str):
        yield part["$ref"]
    for each in inner:
        yield from _targets(each)
