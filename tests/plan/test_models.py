"""Models are read as pydantic reads a model with the same keys: what it says of the same data is the expected value."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from copy import copy
from typing import Any

import pytest
import yaml
from pydantic import BaseModel, ValidationError

from tests.parts.kind_examples import EXAMPLES
from wiring.describe.description import Description
from wiring.parts.kinds import KIND_NAMES, kind_model
from wiring.plan.fault import Refusal
from wiring.plan.json_schema import twin
from wiring.plan.model import Model, field
from wiring.plan.model_reading import ModelError, key_values
from wiring.plan.models import PlanFile

HEAD = """
format: 1
machine: Press
rulebook: iec
mains: {system: single-phase, voltage: 230 V, rcd: none, upstream: {kind: breaker, rating: 10 A}}
enclosure: {size: 500 x 500 x 210 mm, rails: {R1: {at: 10 x 20 mm, length: 0.3 m}}}
stops: {all: {devices: [S1], category: "0", removes: [M1]}}
states: {run: {M1: {mode: run}}}
wires: [{wire: 1, star: {from: X1:1, to: [X2:1]}}]
cables: [{cable: C1, cores: 2, colours: [BK, BU], join: {1: [X1:1, X2:1]}}]
accepted: [{finding: a, part: M1, reason: b}]
"""
MACHINE = """
format: 1
describe: Sorter
rulebook: iec
axes: {X: {motor: {kind: stepper-motor}, ratio: "2.5", mass: 8 kg}}
loads: {bed: {kind: heater, rated: 230 V AC 600 W, liquid: false}}
runs: {sorting: [X, bed]}
"""
MODELS: dict[type[Model], str] = {PlanFile: HEAD, Description: MACHINE}
MODELS |= {kind_model(kind): EXAMPLES[kind][0] for kind in KIND_NAMES}
#: What stands at a key in place of a value that fits.
MISFITS: tuple[Any, ...] = (None, "", "x", "1", "1.5", "none", [], ["x"], ["x", "y", "z"], {}, {"x": "y"}, [[]], [None])


def spoiled(data: dict[str, Any], names: list[str]) -> Iterator[dict[str, Any]]:
    """The data, then without each key, with each misfit at each key, and with one that nobody knows."""
    yield data
    yield data | {"unknown": "1"}
    for name in names:
        yield {key: value for key, value in data.items() if key != name}
        yield from (data | {name: value} for value in MISFITS)


def kept(value: Any) -> Any:
    """A value with its models as plain data."""
    if isinstance(value, Model | BaseModel):
        return {name: kept(getattr(value, name)) for name in type(value).model_fields}
    if isinstance(value, dict):
        return {key: kept(one) for key, one in value.items()}
    return type(value)(map(kept, value)) if isinstance(value, list | tuple) else value


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_model_reads_what_pydantic_reads(model: type[Model]) -> None:
    """The keys alone: pydantic's model has the same ones, and nothing of what a model does before or after them."""
    theirs = twin(model)
    written = {key: value for key, value in yaml.load(MODELS[model], yaml.BaseLoader).items() if key != "kind"}
    names = [key.alias or name for name, key in model.model_fields.items()]
    for data in spoiled(written, [name for name in names if name != "parts"]):  # a part is read before its keys are
        try:
            read = theirs.model_validate(data)
        except ValidationError as error:
            with pytest.raises(ModelError) as ours:
                key_values(model, data)
            expected = {(one["loc"][0], one["type"]) for one in error.errors()}
            assert {(one.path[0], one.kind) for one in ours.value.refused} == expected, data
        else:
            values, given = key_values(model, data)
            assert {name: kept(value) for name, value in values.items()} == kept(read)
            assert (given, list(values)) == (read.model_fields_set, list(model.model_fields))


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
