"""Models are read as pydantic reads a model with the same keys: its own schema of each is the expected value."""

from __future__ import annotations

import pickle
from copy import copy
from functools import partial
from typing import Any

import pytest

from wiring.describe.description import Description
from wiring.parts.kinds import KIND_NAMES, kind_model
from wiring.plan.fault import Refusal
from wiring.plan.json_schema import twin
from wiring.plan.model import Model, field
from wiring.plan.model_schema import schema_of
from wiring.plan.models import PlanFile

MODELS = [PlanFile, Description, *map(kind_model, KIND_NAMES)]
#: What says nothing of how a value is read.
NOT_READ = {"metadata", "ref", "custom_init", "root_model", "computed_fields", "serialization_alias"}
NOT_READ |= {"default_factory_takes_data", "info_arg"}
HOOKS = ("before_reading", "after_reading")


def plain(schema: Any, definitions: dict[str, Any]) -> Any:
    """A schema without what does not read; models by their names, what a model does around its keys left out."""
    if isinstance(schema, list):
        return [plain(one, definitions) for one in schema]
    if isinstance(schema, partial):
        return sorted({**schema.keywords, **dict(zip(("min_length",), schema.args, strict=True))}.items())
    if isinstance(schema, type) and issubclass(schema, Model):
        return schema.__name__
    if not isinstance(schema, dict):
        return getattr(schema, "__name__", schema) if isinstance(schema, type) else schema
    if schema.get("type") == "definitions":
        known = {one["ref"]: one for one in schema["definitions"]}
        return plain(schema["schema"], definitions | known)
    if schema.get("type") == "definition-ref":
        return plain(definitions[schema["schema_ref"]], definitions)
    hook = schema["function"].get("function") if isinstance(schema.get("function"), dict) else None
    if getattr(hook, "__name__", "") in HOOKS:
        return plain(schema["schema"], definitions)
    return {key: plain(value, definitions) for key, value in schema.items() if key not in NOT_READ}


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_model_reads_what_pydantic_reads(model: type[Model]) -> None:
    theirs = twin(model)
    theirs.model_rebuild()
    assert plain(schema_of(model), {}) == plain(theirs.__pydantic_core_schema__, {})


class Reel(Model):
    title: str = ""
    turns: int = field(alias="n")
    sides: list[str] = field(["A"])

    def after_reading(self) -> Reel:
        if self.turns < 1:
            raise Refusal("no turn")
        return self


class NamedReel(Reel):
    by_name = True


def test_a_model_is_frozen_and_keeps_what_was_given() -> None:
    reel = Reel.model_validate({"n": 3})
    assert (reel.title, reel.turns, reel.sides, reel.model_fields_set) == ("", 3, ["A"], {"turns"})
    assert Reel.model_validate({"n": 4}).sides is not reel.sides, "a default that can change is nobody's"
    with pytest.raises(AttributeError):
        reel.turns = 5
    wound = reel.model_copy(update={"title": "copper"})
    assert (wound.title, wound.turns, reel.title) == ("copper", 3, "")
    assert wound != reel == Reel(n=3)
    assert pickle.loads(pickle.dumps(wound)) == copy(wound) == wound
    assert pickle.loads(pickle.dumps(wound)).model_fields_set == {"turns", "title"}
    assert Reel.model_construct(turns=3) == reel


@pytest.mark.parametrize("data", [{"n": 0}, {}, {"n": 3, "other": 1}, {"turns": 3}, 5])
def test_what_does_not_fit_is_refused(data: Any) -> None:
    with pytest.raises(ValueError):
        Reel.model_validate(data)


def test_a_key_with_an_alias_is_taken_by_its_name_where_the_model_says_so() -> None:
    assert NamedReel.model_validate({"turns": 3}) == NamedReel.model_validate({"n": 3})
