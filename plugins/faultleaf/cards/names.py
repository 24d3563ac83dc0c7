"""Fields that name other cards say so in their type; references, schemas and checks are read from there.

`proof: ProofId` names a proof; `needs: Mapping[TestId, Outcomes]` names tests with some of their outcomes.
"""

import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from faultleaf.cards.mistakes import Loc
from faultleaf.cards.values import Basis, Choices, Line, Shown, Slug, Where


@dataclass(frozen=True)
class Names:
    """Marks a text that names a card of this kind, a feature of the equipment or a source.

    Kinds of its own are "card" (folder/id), "step" (a test, or a fault whose repair is meant), "where" (a feature and
    its value) and "basis" (where numbers come from).
    """

    kind: str


@dataclass(frozen=True)
class OutcomesThere:
    """Marks outcomes of the test, or values of the feature, that the key above names."""


SymptomId = Annotated[Slug, Names("symptom")]
FaultId = Annotated[Slug, Names("fault")]
ComponentId = Annotated[Slug, Names("component")]
TestId = Annotated[Slug, Names("test")]
ProofId = Annotated[Slug, Names("proof")]
CautionId = Annotated[Slug, Names("caution")]
WorksheetId = Annotated[Slug, Names("worksheet")]
PictureId = Annotated[Slug, Names("picture")]
SourceId = Annotated[Slug, Names("source")]
FeatureId = Annotated[Slug, Names("equipment")]
StepId = Annotated[Slug, Names("step")]
CardPath = Annotated[Line, Names("card")]
FeatureValue = Annotated[Where, Names("where")]
Provenance = Annotated[Basis, Names("basis")]
Outcome = Annotated[Slug, OutcomesThere()]
Outcomes = Annotated[Choices, OutcomesThere()]
ShownThere = Annotated[Shown, OutcomesThere()]


@dataclass(frozen=True)
class Reference:
    """A field that names another card: its place, the kind, the id, the outcomes (or values) named with it."""

    loc: Loc
    kind: str
    target: str
    outcomes: tuple[str, ...] = ()


def references_in(model: BaseModel, loc: Loc = ()) -> Iterator[Reference]:
    """Every card that a model's fields name, those of the models within it included; `loc` is where it stands."""
    for name, field in type(model).model_fields.items():
        yield from _within(_declared(field), getattr(model, name, None), (*loc, name))


def kind_named(model: type[BaseModel], field: str) -> tuple[str, int]:
    """The kind of card that a field names, "" for none, and how many mappings stand above that name."""
    return _outermost(_declared(model.model_fields[field]))


def models_in(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """The model and every model that stands in its fields."""
    yield model
    for field in model.model_fields.values():
        for part in _parts(field.annotation):
            if isinstance(part, type) and issubclass(part, BaseModel):
                yield from models_in(part)


_NOTHING: Final = ("", 0)


def _parts(kind: Any) -> Iterator[Any]:
    yield kind
    for part in get_args(kind):
        yield from _parts(part)


def _declared(field: FieldInfo) -> Any:
    """A field's type with the marks that pydantic keeps beside it."""
    return Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation


def _bare(kind: Any) -> tuple[Any, tuple[Any, ...]]:
    """The type without `| None` and without its marks, and the marks."""
    if get_origin(kind) in (Union, types.UnionType):
        kind = next(part for part in get_args(kind) if part is not type(None))
    if get_origin(kind) is not Annotated:
        return kind, ()
    inner, marks = _bare(get_args(kind)[0])
    return inner, (*marks, *kind.__metadata__)


def _mark(kind: Any) -> str:
    return next((mark.kind for mark in _bare(kind)[1] if isinstance(mark, Names)), "")


def _within(kind: Any, value: Any, loc: Loc) -> Iterator[Reference]:
    bare, _ = _bare(kind)
    if isinstance(value, BaseModel):
        yield from references_in(value, loc)
    elif isinstance(value, str):
        yield from _reference(_mark(kind), value, loc, ())
    elif isinstance(value, Mapping) and get_origin(bare) is Mapping:
        key, inside = get_args(bare)
        for name, each in value.items():
            yield from _reference(_mark(key), name, (*loc, name), tuple(_outcomes(inside, each)))
            yield from _within(inside, each, (*loc, name))
    elif isinstance(value, tuple):
        for index, each in enumerate(value):
            yield from _within(get_args(bare)[0], each, (*loc, index))


def _reference(kind: str, target: str, loc: Loc, outcomes: tuple[str, ...]) -> Iterator[Reference]:
    if kind == "where":
        feature, _, value = target.partition("=")
        yield Reference(loc, "equipment", feature, (value,))
    elif kind == "basis":
        first, _, name = target.partition(" ")
        if first in ("source", "worksheet"):
            yield Reference(loc, first, name)
    elif kind:
        yield Reference(loc, kind, target, outcomes)


def _outcomes(kind: Any, value: Any) -> Iterator[str]:
    """The outcomes within that belong to the key above."""
    bare, marks = _bare(kind)
    if any(isinstance(mark, OutcomesThere) for mark in marks):
        yield from (value,) if isinstance(value, str) else value
    elif get_origin(bare) is Mapping and isinstance(value, Mapping):
        key, inside = get_args(bare)
        if not _mark(key):
            for each in value.values():
                yield from _outcomes(inside, each)


def _outermost(kind: Any) -> tuple[str, int]:
    bare, _ = _bare(kind)
    if mark := _mark(kind):
        return mark, 0
    if get_origin(bare) is tuple:
        return _outermost(get_args(bare)[0])
    if get_origin(bare) is Mapping:
        key, inside = get_args(bare)
        if mark := _mark(key):
            return mark, 0
        found, depth = _outermost(inside)
        return (found, depth + 1) if found else _NOTHING
    return _NOTHING
