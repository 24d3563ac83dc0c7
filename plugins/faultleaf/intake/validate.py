"""Text values → a typed model, or mistakes with their lines."""

import itertools
from collections.abc import Iterator, Mapping
from types import NoneType, UnionType
from typing import Annotated, Any, TypeVar, Union, cast, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from faultleaf.cards.mistakes import Loc, Mistake, Origin, did_you_mean, quoted
from faultleaf.cards.models import Model

M = TypeVar("M", bound=Model)
FILLED_IN = ("id", "body")
"""Fields that intake fills in; authors do not write them."""

FOREIGN = {
    "id": ("the id does not stand in the front matter", "The file's name is the id."),
    "body": ("the text does not stand in the front matter", "Write it below the second '---'."),
}
MARKUP = "HTML is not allowed in a field"
MARKUP_HINT = "Write '< 5' with a blank where 'less than' is meant."
_SHAPES = {
    "model_type": "a mapping of fields", "mapping_type": "a mapping of names to values",
    "dict_type": "a mapping of names to values", "tuple_type": "a list", "list_type": "a list",
    "string_type": "a line of text", "model_attributes_type": "a mapping of fields",
}  # fmt: skip


def validate(
    model: type[M], data: Mapping[str, Any], origin: Origin, loc: Loc = (), filled: Mapping[str, Any] | None = None
) -> tuple[M | None, list[Mistake]]:
    """The model, or None and every mistake in `data`.

    `loc` is where `data` stands in its file; `filled` are the values that intake knows (id, body).
    """
    foreign = [name for name in FILLED_IN if name in data]
    mistakes = [origin.mistake((*loc, name), "unknown-field", *FOREIGN[name]) for name in foreign]
    mistakes += [origin.mistake(place, "html-in-card", MARKUP, MARKUP_HINT) for place in _with_markup(data, loc)]
    written = {name: value for name, value in data.items() if name not in FILLED_IN}
    try:
        made = model.model_validate({**written, **(filled or {})})
    except ValidationError as error:
        details = error.errors(include_url=False, include_input=False)
        return None, mistakes + [_translate(model, origin, loc, detail) for detail in details]
    return (None if mistakes else made), mistakes


def salvage(model: type[M], data: Mapping[str, Any]) -> M:
    """What can be saved of data with mistakes: only for asking it which names it uses.

    Fields, entries and items that are wrong by themselves are empty; nobody else may see the result.
    """
    values = {name: _save(_field_type(field), data.get(name)) for name, field in model.model_fields.items()}
    lost = {name: "" for name, field in model.model_fields.items() if field.is_required()}
    saved = {name: value for name, value in values.items() if value is not None}
    return cast("M", model.model_construct(**{**lost, **saved}))


def _field_type(field: FieldInfo) -> Any:
    return Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation


def _save(kind: Any, raw: Any) -> Any:
    """The typed value, else as much of its entries or items as is sound, else None."""
    if raw is None:
        return None
    try:
        return TypeAdapter(kind).validate_python(raw)
    except ValidationError:
        return _save_parts(_core(kind), raw)  # `validate` has said what is wrong


def _save_parts(core: Any, raw: Any) -> Any:
    if isinstance(core, type) and issubclass(core, Model):
        return salvage(core, raw if isinstance(raw, dict) else {})
    if get_origin(core) is Mapping and isinstance(raw, dict) and len(raw) > 1:
        parts = [_save(core, {name: value}) for name, value in raw.items()]
        return {name: value for part in parts if part for name, value in part.items()}
    if get_origin(core) is tuple and isinstance(raw, list):
        saved = [_save(get_args(core)[0], item) for item in raw]
        # An item that is lost keeps its place, so that the others are named by their own number.
        return tuple("" if item is None else item for item in saved)
    return None


def _core(kind: Any) -> Any:
    """The type without what is annotated to it, and without None."""
    if get_origin(kind) is Annotated:
        return _core(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return _core(next(choice for choice in get_args(kind) if choice is not NoneType))
    return kind


def field_names(model: type[BaseModel]) -> list[str]:
    """The fields that an author may write, sorted."""
    return sorted(set(model.model_fields) - set(FILLED_IN))


def _with_markup(data: Any, loc: Loc) -> Iterator[Loc]:
    """Where a text or a name holds what a browser would take for a tag; fields are plain text."""
    if isinstance(data, Mapping):
        for name, value in data.items():
            yield from _with_markup(value, (*loc, name))
            yield from _with_markup(name, loc)
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _with_markup(value, (*loc, index))
    elif any(before == "<" and (after.isalpha() or after in "/!?") for before, after in itertools.pairwise(data)):
        yield loc


def _translate(model: type[Model], origin: Origin, loc: Loc, detail: ErrorDetails) -> Mistake:
    place = (*loc, *(part for part in detail["loc"] if part != "[key]"))
    kind, context = detail["type"], detail.get("ctx", {})
    if "message" in context:
        return origin.mistake(place, kind, context["message"], context.get("hint", ""))
    if kind == "extra_forbidden":
        return _unknown_field(_model_at(model, detail["loc"][:-1]), origin, place)
    if kind == "missing":
        parent, name = place[:-1], place[-1]
        return origin.mistake(parent, "missing-field", f"the field '{name}' is missing", "")
    if kind == "too_long" and context.get("field_type") == "Value":  # pydantic's word for anything with a length
        return _too_long(origin, place, context["max_length"])
    if kind in ("too_short", "too_long"):
        limit = context.get("min_length", context.get("max_length"))
        bound = "at least" if kind == "too_short" else "at most"
        noun = "entry is" if limit == 1 else "entries are"
        return origin.mistake(place, "wrong-count", f"{bound} {limit} {noun} expected")
    if kind == "string_too_long":
        return _too_long(origin, place, context["max_length"])
    return origin.mistake(place, "wrong-type", f"expected {_SHAPES.get(kind, detail['msg'])}")


def _too_long(origin: Origin, place: Loc, most: int) -> Mistake:
    message = f"at most {most} characters are expected"
    return origin.mistake(place, "too-long", message, "Say it shorter: it stands on a chart.")


def _unknown_field(model: type[BaseModel], origin: Origin, place: Loc) -> Mistake:
    names = field_names(model)
    hint = did_you_mean(str(place[-1]), names, f"Fields: {', '.join(names)}.")
    return origin.mistake(place, "unknown-field", f"there is no field {quoted(str(place[-1]))}", hint)


def _model_at(model: type[BaseModel], loc: Loc) -> type[BaseModel]:
    """The model that stands at `loc` below `model`, found through the fields' annotations."""
    for part in loc:
        field = model.model_fields.get(str(part))
        inner = _model_in(field.annotation) if field else None
        model = inner or model
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    arguments = getattr(annotation, "__args__", ())
    return next((found for argument in arguments if (found := _model_in(argument))), None)
