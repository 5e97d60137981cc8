"""The JSON Schema of a van file, for editors; the loader checks far more than a schema can say."""

from typing import Any, cast

from pydantic.json_schema import GenerateJsonSchema

from vandoc.model.system import System

_FROM_VAN_FILE = ("place",)  # what a part sheet may not supply


class _Plain(GenerateJsonSchema):
    """Without a title on every key: it would only repeat the key."""

    def field_title_should_be_set(self, schema: Any) -> bool:  # noqa: ARG002
        return False


def json_schema() -> dict[str, Any]:
    """Return the schema of a van file (JSON Schema draft 2020-12).

    A piece of equipment or a load that names a part sheet may leave out whatever the sheet can supply, its
    kind included.

    Returns
    -------
    dict
        Plain data, the same at each call.
    """
    schema = System.model_json_schema(by_alias=True, schema_generator=_Plain)
    definitions = schema["$defs"]
    sections = schema["properties"]
    _, pieces, loads = (_entry(sections[name]) for name in ("places", "equipment", "loads"))
    del pieces["discriminator"]
    pieces["anyOf"] = pieces.pop("oneOf")  # a piece that leaves its kind to a part sheet may be any
    for reference in (*pieces["anyOf"], loads):
        _relax(definitions[reference["$ref"].rpartition("/")[2]])
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:vandoc:van-file",
        **schema,
        "title": "Van file",
        "description": "Leisure electrics of one van, for vandoc.",
    }


def _entry(section: dict[str, Any]) -> dict[str, Any]:
    """The schema of each entry of a section, whose keys are names; unfit names are refused."""
    section["additionalProperties"] = False
    (entry,) = section["patternProperties"].values()
    return cast(dict[str, Any], entry)


def _relax(definition: dict[str, Any]) -> None:
    """Require what a part sheet may supply only where no part sheet is named."""
    required = definition["required"]
    definition["required"] = [key for key in required if key in _FROM_VAN_FILE]
    others = [key for key in required if key not in _FROM_VAN_FILE]
    definition["anyOf"] = [{"required": others}, {"required": ["part"]}]
