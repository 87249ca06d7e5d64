"""What the interface for programs takes and gives, as OpenAPI."""

from __future__ import annotations

from typing import Any

from turnwright.examine.taken import TAKEN
from turnwright.model.key import Key
from turnwright.model.keys import CHOICES, CIRCUIT, DUTY, JOB, LOAD, ROOM, SITE, SUPPLY, UNIT
from turnwright.version import __version__
from turnwright.web.api import SHEETS

_ERRORS = {
    "400": "something in the request cannot be used",
    "401": "nobody is signed in: name and password (Basic) are wanted where the pages answer to others",
    "403": "a page of another site sends it, or not the proxy",
    "413": "the body is longer than 1 MB",
    "415": "the body is neither TOML nor JSON",
    "421": "another host than one of these pages is named",
    "422": "no answer within the bounds of time and memory",
    "429": "too many passwords were tried; Retry-After says for how many seconds none is taken",
}


def openapi() -> dict[str, Any]:
    """Return the description of every address for programs."""
    job = {"$ref": "#/components/schemas/Job"}
    name = _query(
        "name", "a number as the answer names it, as currents.primary_rated_a; without it, the list"
    )
    edition = _query("edition", "an edition that is carried; without it, the newest")
    vetted = {
        "allOf": [job, {"properties": {"unit": {"$ref": "#/components/schemas/Unit"}}, "required": ["unit"]}]
    }
    text = {"type": "object", "properties": {"request": {"type": "string"}}, "required": ["request"]}
    pair = {"type": "object", "properties": {"before": _either(job), "after": _either(job)}}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Turnwright",
            "version": __version__,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "paths": {
            "/api/select": {"post": _post("the answer to a job", job)},
            "/api/explain": {"post": _post("how one number of the answer came about", job, [name])},
            "/api/vet": {"post": _post("whether a unit that exists does a job", vetted)},
            "/api/examine/{question}": {
                "post": _post("one question in depth", _examined(job), [_path("question")])
            },
            "/api/verify": {"post": _verify()},
            "/api/read": {"post": _read(text)},
            "/api/compare": {
                "post": _post("what changed between two jobs, and what it moved", pair, other="")
            },
            "/api/tables": {"get": _get("the reference tables", [edition])},
            "/api/tables/{table}": {"get": _get("one table with its rows", [_path("table"), edition])},
            "/api/rules": {"get": _get("the rules", [edition])},
            "/api/rules/{rule}": {"get": _get("one rule", [_path("rule"), edition])},
        },
        "security": [{}, {"password": []}],
        "components": {
            "securitySchemes": {"password": {"type": "http", "scheme": "basic"}},
            "schemas": {
                "Job": _job(),
                "Unit": _object("a nameplate", UNIT),
                "Error": {"type": "object", "properties": {"error": _error()}},
            },
        },
    }


def _error() -> dict[str, Any]:
    words = ("code", "where", "what", "fix")
    return {"type": "object", "properties": {word: {"type": "string"} for word in words}}


def _examined(job: dict[str, Any]) -> dict[str, Any]:
    """Return what is sent to be examined: the job with options beside it, or circuits."""
    options = {
        one.name: {"description": f"{one.says}; as {one.sample}"}
        | ({"enum": list(one.words)} if one.words else {})
        for one in TAKEN
    }
    told = {"options": {"type": "object", "properties": options, "additionalProperties": False}}
    circuits = {
        "type": "object",
        "properties": {
            "circuits": {"description": "circuits, or their JSON as a text"},
            "vary": {"type": "array", "items": {"type": "string"}},
            "case": {"type": "string"},
        },
        "required": ["circuits"],
    }
    return {"anyOf": [{"allOf": [job, {"properties": told}]}, circuits]}


def _either(job: dict[str, Any]) -> dict[str, Any]:
    return {"oneOf": [job, {"type": "string", "description": "the job file, TOML"}]}


def _query(name: str, says: str) -> dict[str, Any]:
    return {"name": name, "in": "query", "required": False, "description": says, "schema": {"type": "string"}}


def _path(name: str) -> dict[str, Any]:
    return {"name": name, "in": "path", "required": True, "schema": {"type": "string"}}


def _answers() -> dict[str, Any]:
    error = {"application/json": {"schema": {"$ref": "#/components/schemas/Error"}}}
    answered = {
        "description": "answered, whatever the verdict",
        "content": {"application/json": {"schema": {}}},
    }
    return {"200": answered} | {
        code: {"description": says, "content": error} for code, says in _ERRORS.items()
    }


def _post(
    says: str,
    schema: dict[str, Any],
    parameters: list[dict[str, Any]] | None = None,
    other: str = "application/toml",
) -> dict[str, Any]:
    content: dict[str, Any] = {"application/json": {"schema": schema}}
    if other:
        content[other] = {"schema": {"type": "string"}}
    body = {"required": True, "content": content}
    return {"summary": says, "parameters": parameters or [], "requestBody": body, "responses": _answers()}


def _read(text: dict[str, Any]) -> dict[str, Any]:
    """Return what is sent to be read: words, or a list of loads with what its rows do not say."""
    told = [
        _query("system", "of a list: the voltage system of loads whose row names none"),
        _query("supply", "of a list: the voltage system of the supply"),
        _query("columns", 'of a list: what columns hold, as "Load=kw;Type=-"'),
    ]
    found = _post("a request in plain words, or a list of loads, made a job", text, told, other="text/plain")
    for kind in SHEETS:
        found["requestBody"]["content"][kind] = {"schema": {"type": "string", "format": "binary"}}
    return found


def _verify() -> dict[str, Any]:
    body = {
        "required": True,
        "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
    }
    return {
        "summary": "whether a paper still stands: its job is computed again",
        "parameters": [],
        "requestBody": body,
        "responses": _answers(),
    }


def _get(says: str, parameters: list[dict[str, Any]]) -> dict[str, Any]:
    return {"summary": says, "parameters": parameters, "responses": _answers()}


def _job() -> dict[str, Any]:
    whole = _object("a job", JOB)
    load = _object("one line of the load list", LOAD)
    load["properties"]["duty"] = _object("duty cycle", DUTY)
    site = _object("where the transformer stands", SITE)
    site["properties"]["room"] = _object("the room", ROOM)
    whole["properties"] |= {
        "supply": _object("what feeds the transformer", SUPPLY),
        "load": {"type": "array", "items": load},
        "site": site,
        "circuit": _object("conductors and devices", CIRCUIT),
        "choices": _object("what the user insists on", CHOICES),
        "offer": {"type": "array", "items": _object("a unit that is offered", UNIT)},
    }
    return whole


def _object(says: str, keys: tuple[Key, ...]) -> dict[str, Any]:
    properties = {key.name: _value(key) for key in keys}
    return {"type": "object", "description": says, "properties": properties, "additionalProperties": False}


def _value(key: Key) -> dict[str, Any]:
    """Return the schema of one key: a quantity is a text with its unit or a bare number."""
    said: dict[str, Any] = {"description": f"{key.says}; as {key.sample}"}
    if key.kind == "word":
        return said | {"enum": [*key.words, "unknown"]}
    if key.kind == "yes/no":
        return said | {"type": ["boolean", "string"]}
    if key.kind in ("text", "system", "edition", "date", "lines"):
        return said | {"type": "string"}
    return said
