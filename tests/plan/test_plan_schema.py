"""The JSON Schema, checked with jsonschema: it takes what the reader takes, loaded by rules of YAML 1.2."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, ClassVar

import pytest
import yaml
from jsonschema import Draft202012Validator
from press import PRESS

from wiring.plan.model import Model
from wiring.plan.schema import plan_schema
from wiring.plan.types import Amperes

WINDER = Path(__file__).parents[2] / "specs" / "coil-winder.yaml"


class CoreLoader(yaml.SafeLoader):
    """YAML 1.2 core schema (yaml.org/spec/1.2.2, 10.3.2): only these plain texts are anything but texts."""

    yaml_implicit_resolvers: ClassVar[dict[str, Any]] = {}


for tag, pattern, letters in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
    ("null", r"null|Null|NULL|~|", "nN~"),
):
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{tag}", re.compile(rf"^(?:{pattern})$"), [*letters, *([""] if tag == "null" else [])]
    )


def load(text: str) -> Any:
    return with_text_keys(yaml.load(text, Loader=CoreLoader))


def with_text_keys(value: Any) -> Any:
    """Keys as JSON has them."""
    if isinstance(value, dict):
        return {str(key): with_text_keys(item) for key, item in value.items()}
    return [with_text_keys(item) for item in value] if isinstance(value, list) else value


def errors(text: str, schema: dict[str, Any]) -> list[str]:
    return [error.json_path for error in Draft202012Validator(schema).iter_errors(load(text))]


def test_schema_is_valid_itself() -> None:
    Draft202012Validator.check_schema(plan_schema())


@pytest.mark.parametrize(
    "text", [WINDER.read_text(encoding="utf-8"), PRESS, PRESS.split("wires:")[0] + "wires: w.csv\n"]
)
def test_takes_what_the_reader_takes(text: str) -> None:
    assert errors(text, plan_schema()) == []


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ("230 V", "230", "$.mains.voltage"),
        ("machine: Press", "machin: Press", "$"),
        ("TN-S", "TNS", "$.mains.earthing"),
        ("category: 0", "category: 3", "$.stops.emergency.category"),
        ("{kind: inlet}", "{title: a}", "$.parts.X0"),
        ("{M1: hold}", "{M1: stand}", "$.states.ready.M1"),
        ("wire: 1,", "", "$.wires"),
        ("rulebook: iec\n", "", "$"),
    ],
)
def test_refuses_what_the_reader_refuses(old: str, new: str, path: str) -> None:
    assert path in errors(PRESS.replace(old, new, 1), plan_schema())


class Inlet(Model):
    rated: Amperes | None = None


def test_kinds_of_parts() -> None:
    schema = plan_schema(
        dict.fromkeys(("inlet", "emergency-stop"), Inlet)
        | {"motor": type("Motor", (Inlet,), {"__annotations__": {"title": str}, "__module__": __name__})}
    )
    Draft202012Validator.check_schema(schema)
    assert errors(PRESS, schema) == []
    assert errors(PRESS.replace("{kind: inlet}", "{kind: inlet, rated: 16 A}"), schema) == []
    assert errors(PRESS.replace("{kind: inlet}", "{kind: inlet, rated: 16}"), schema) == ["$.parts.X0"]
    assert errors(PRESS.replace("{kind: inlet}", "{kind: outlet}"), schema) == ["$.parts.X0"]
    assert errors(PRESS.replace("{kind: inlet}", "{use: anything, rated: 16}"), schema) == []
