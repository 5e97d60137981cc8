"""JSON Schema of a van file and of a workshop file, for editors; the loader makes many more checks."""

from collections.abc import Iterator
from typing import Any, cast

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema

from vandoc.ground.messages import Messages
from vandoc.model.base import StrictModel
from vandoc.model.kinds import follow_packages
from vandoc.model.system import System
from vandoc.model.workshop import WorkshopFile
from vandoc.reading.formats import UNSTATED_FORMAT, newest

say = Messages("vandoc.reading", "schema").say

FIELDS = Messages("vandoc.model", "fields")
_FROM_VAN_FILE = ("place",)  # keys that a part sheet may not supply


class _Plain(GenerateJsonSchema):
    """Generator without a title on every key, which would only repeat the key."""

    def field_title_should_be_set(self, schema: Any) -> bool:  # noqa: ARG002
        return False


def json_schema() -> dict[str, Any]:
    """Return the schema of a van file (JSON Schema draft 2020-12), with the kinds of installed packages.

    Equipment or a load that names a part sheet may omit anything the sheet can supply, including its kind.
    What a workshop file can supply may be omitted too.

    Returns
    -------
    dict
        Plain data, equal at each call.
    """
    follow_packages()
    schema = _described(System)
    definitions = schema["$defs"]
    sections = schema["properties"]
    sections["format"] = _format()
    del sections["house"]
    schema["required"].remove("workshop")
    definitions["Workshop"]["required"].remove("name")
    for name in ("House", "Limits", "DropLimits"):
        del definitions[name]
    _, pieces, loads = (_entry(sections[name]) for name in ("places", "equipment", "loads"))
    del pieces["discriminator"]
    pieces["anyOf"] = pieces.pop("oneOf")  # with a part sheet, equipment without a kind may be of any kind
    for reference in (*pieces["anyOf"], loads):
        _relax(definitions[reference["$ref"].rpartition("/")[2]])
    return _named(schema, "van-file", say("van_file"), say("leisure_electrics_van"))


def workshop_schema() -> dict[str, Any]:
    """Return the schema of a workshop file, as :func:`json_schema`."""
    schema = _described(WorkshopFile)
    schema["properties"]["format"] = _format()
    return _named(schema, "workshop-file", say("workshop_file"), say("contact_limits_texts"))


def _described(model: type[StrictModel]) -> dict[str, Any]:
    """Return pydantic's schema of a model, with what the catalogue says of each key."""
    schema = model.model_json_schema(by_alias=True, schema_generator=_Plain)
    definitions = {**schema.get("$defs", {}), model.__name__: schema}
    for found in _below(StrictModel):
        properties = definitions.get(found.__name__, {}).get("properties", {})
        for name, field in found.model_fields.items():
            text = _text_of(found, name)
            key = field.alias or name
            if text is not None and key in properties:
                properties[key] = dict(sorted({**properties[key], "description": text}.items()))
    return schema


def _below(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    yield model
    for found in model.__subclasses__():
        yield from _below(found)


def _text_of(model: type[BaseModel], attribute: str) -> str | None:
    """Return what the nearest class that has words of an attribute says of it."""
    for found in model.__mro__:
        text = FIELDS.tree.get(found.__name__, {}).get(attribute)
        if text is not None:
            return str(text)
    return None


def _named(schema: dict[str, Any], name: str, title: str, description: str) -> dict[str, Any]:
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:vandoc:{name}",
        **schema,
        "title": title,
        "description": description,
    }


def _format() -> dict[str, Any]:
    return {
        "type": "integer",
        "minimum": UNSTATED_FORMAT,
        "maximum": newest(),
        "default": UNSTATED_FORMAT,
        "description": say("format_file_default", number=UNSTATED_FORMAT),
    }


def _entry(section: dict[str, Any]) -> dict[str, Any]:
    """Schema for the entries of a section, keyed by name; invalid names are rejected."""
    section["additionalProperties"] = False
    (entry,) = section["patternProperties"].values()
    return cast(dict[str, Any], entry)


def _relax(definition: dict[str, Any]) -> None:
    """Require keys that a part sheet may supply only if no part sheet is named."""
    required = definition["required"]
    definition["required"] = [key for key in required if key in _FROM_VAN_FILE]
    others = [key for key in required if key not in _FROM_VAN_FILE]
    definition["anyOf"] = [{"required": others}, {"required": ["part"]}]
