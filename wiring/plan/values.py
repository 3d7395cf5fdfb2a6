"""How pydantic reads one value of a plan from its text: by a function, or into a frozen record."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import Any, ClassVar, Self

from msgspec import Struct
from pydantic_core import CoreSchema, core_schema

from wiring.plan.fault import Refusal


def wanted_text(value: Any, example: str) -> str:
    """The value where it is a text; Refusal with an example where a list, a mapping or nothing stands."""
    if isinstance(value, str):
        return value
    if value is None:
        raise Refusal("nothing stands here", f"a value such as {example}")
    what = "a mapping" if isinstance(value, dict) else "a list" if isinstance(value, list) else type(value).__name__
    raise Refusal(f"{what} stands here", f"a single value such as {example}")


class ValueReader(Struct, frozen=True, eq=False):
    """How pydantic reads a value of the plan, the JSON Schema of its text, and the dimension of a quantity.

    Stands for a plain validator with a schema beside it, at a fraction of the time that pydantic takes to build these.
    """

    read: Callable[[Any], Any]
    schema: dict[str, Any]
    dimension: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return dict(self.schema)


def text_schema(description: str, *examples: str) -> dict[str, Any]:
    """The JSON Schema of a text, with examples."""
    return {"type": "string", "description": description, "examples": list(examples)}


class Written(Struct, frozen=True):
    """A frozen record that pydantic reads from one text by `read`."""

    description: ClassVar[str]
    examples: ClassVar[tuple[str, ...]]

    @classmethod
    @abstractmethod
    def read(cls, text: str) -> Self:
        """The record that the text writes; Refusal or QuantityError where it writes none."""

    @classmethod
    def from_plan(cls, value: Any) -> Self:
        return value if isinstance(value, cls) else cls.read(wanted_text(value, cls.examples[0]))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.from_plan)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"type": "string", "description": cls.description, "examples": list(cls.examples)}
