"""Picture files: that a picture card's file is there and can be read, and that a drawing is nothing but a drawing."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

from faultleaf.cards import Library, Mistake, Origin, did_you_mean
from faultleaf.cards.mistakes import quoted
from faultleaf.cards.models import Picture
from faultleaf.intake.disk import LARGEST_PICTURE, Found, Layer, Unreadable, read_bytes

PICTURE_ENDS: Final = (".jpg", ".jpeg", ".png", ".svg")
_TOO_LARGE: Final = "Make the picture smaller."
_ACTIVE_TAGS: Final = ("script", "foreignobject", "iframe", "handler", "listener", "set", "animate")
_OUTSIDE: Final = "Save it as a plain drawing, without scripts, links or pictures from elsewhere."


def drawing_mistakes(layer: Layer, found: Found) -> Iterator[Mistake]:
    """A mistake for every SVG file that could do more than be looked at: a browser runs it when it is opened alone."""
    for path in found.files:
        if path.suffix.lower() == ".svg":
            try:
                text = read_bytes(layer, path, LARGEST_PICTURE, _TOO_LARGE)
            except Unreadable as error:
                yield error.mistake
                continue
            if wrong := _more_than_drawn(text):
                yield Mistake(layer.show(path), 1, "", f"the drawing holds {wrong}", _OUTSIDE, "active-drawing")


def picture_mistakes(found: Found, folder: Path, picture: Picture, origin: Origin) -> Iterator[Mistake]:
    """What is wrong with the file that a picture card in `folder` names."""
    loc, name = ("file",), quoted(picture.file)
    names = sorted(path.name for path in found.files if path.parent == folder)
    path = folder / picture.file
    if "/" in picture.file or "\\" in picture.file or picture.file.startswith(".."):
        hint = "Give the bare name of a file in pictures/."
        yield origin.mistake(loc, "path-outside", f"{name} leads out of its folder", hint)
    elif path in found.refused:
        return  # said already, of the file itself
    elif picture.file not in names:
        hint = did_you_mean(picture.file, [each for each in names if each.endswith(PICTURE_ENDS)])
        yield origin.mistake(loc, "missing-file", f"there is no file {name}", hint)
    elif not picture.file.endswith(PICTURE_ENDS):
        hint = f"Pictures end in {', '.join(PICTURE_ENDS)}."
        yield origin.mistake(loc, "not-a-picture", f"{name} is not a picture", hint)
    elif path.stat().st_size > LARGEST_PICTURE:
        message = f"{name} has {path.stat().st_size:,} bytes, more than {LARGEST_PICTURE:,}"
        yield origin.mistake(loc, "file-too-large", message, _TOO_LARGE)


def read_picture(layers: Sequence[Layer], library: Library, name: str) -> bytes | None:
    """The bytes of a picture card's file, which lies beside the card; None where there is no such card or file."""
    picture, origin = library.pictures.get(name), library.origins.get(("picture", name))
    for layer in layers:
        if picture and origin and origin.path.startswith(f"{layer.shown}/"):
            path = (layer.root / origin.path.removeprefix(f"{layer.shown}/")).parent / picture.file
            if path.is_file():
                return read_bytes(layer, path, LARGEST_PICTURE, _TOO_LARGE)
    return None


def _more_than_drawn(text: bytes) -> str:
    """What the drawing holds beside lines and letters, or ""."""
    if b"<!DOCTYPE" in text.upper() or b"<!ENTITY" in text.upper() or b"<?XML-STYLESHEET" in text.upper():
        return "a declaration"
    try:
        root = ElementTree.fromstring(text)  # without entities it cannot grow
    except (ElementTree.ParseError, ValueError, LookupError):
        return "what is no drawing"
    for element in root.iter():
        tag = str(element.tag).rpartition("}")[2].lower()
        if tag in _ACTIVE_TAGS:
            return f"<{tag}>"
        for key, value in element.attrib.items():
            attribute = key.rpartition("}")[2].lower()
            if attribute.startswith("on"):
                return f"the handler {attribute}"
            if attribute in ("href", "src") and not value.strip().startswith(("#", "data:image/")):
                return f"a link to {quoted(value)}"
    return ""
