"""Every key that a plan gives, found by walking the models of its schema beside its data."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any, NamedTuple, get_args

from law_plans import Spot
from plain_plans import Plan

from wiring.parts.kinds import KIND_NAMES, kind_model
from wiring.plan import model as plan_model
from wiring.plan.model import Model
from wiring.plan.models import PartEntry, PlanFile


class Key(NamedTuple):
    """A key of a plan: where it stands, the model that has it, its name there, and what is written."""

    spot: Spot
    model: type[Model]
    name: str
    value: Any

    @property
    def where(self) -> str:
        """The spot for people: parts.M1.work.torque."""
        return ".".join(map(str, self.spot))

    @property
    def schema(self) -> tuple[str, str]:
        """The key of the schema that it fills: the name of the model that brings it, and its own."""
        owner = next(c for c in reversed(self.model.__mro__) if self.name in _names(c))
        return owner.__name__.lstrip("_"), self.name


@cache
def _names(model: type) -> dict[str, str]:
    """The keys of a model as a plan writes them, each with the name of its field; empty for any other class."""
    if not (isinstance(model, type) and issubclass(model, Model)):
        return {}
    return {field.alias or name: name for name, field in model.model_fields.items()}


@cache
def _below(model: type[Model], key: str) -> tuple[type[Model], ...]:
    """The models that a key holds, itself, in a list or in a mapping."""
    return tuple(_models(model.model_fields[_names(model)[key]].annotation))


def _models(annotation: Any) -> Iterator[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    for inner in get_args(annotation):
        yield from _models(inner)


def field_of(key: Key) -> plan_model.Key:
    """The field of the model behind a key."""
    return key.model.model_fields[_names(key.model)[key.name]]


def quantities_of_parts() -> set[tuple[str, str]]:
    """Every key of the schema of parts that takes a number with a unit, a size or a plain number."""
    return {one for kind in KIND_NAMES for one in _quantities(kind_model(kind), ())}


def _quantities(model: type[Model], above: tuple[type[Model], ...]) -> Iterator[tuple[str, str]]:
    for name, field in _names(model).items():
        if any(_NUMBERED.search(text) for text in _descriptions(model.model_fields[field])):
            yield Key((), model, name, None).schema
        for inner in _below(model, name):
            if inner not in above:
                yield from _quantities(inner, (*above, model))


_NUMBERED = re.compile(r"with its unit|voltage|current|conductor sizes|number|integer")


def _descriptions(field: plan_model.Key) -> Iterator[str]:
    """What the schema says of the values that a field takes."""
    yield from _texts(field.annotation, field.metadata)


def _texts(annotation: Any, metadata: Iterable[Any]) -> Iterator[str]:
    for one in (*metadata, *getattr(annotation, "__metadata__", ())):
        if hasattr(one, "schema"):
            yield str(one.schema.get("description") or one.schema.get("type"))
    if hasattr(annotation, "from_plan"):
        yield annotation.description
    for inner in get_args(annotation):
        yield from _texts(inner, ())


def keys_of(plan: Plan) -> list[Key]:
    """Every key that a plan gives, of its parts too, those that hold others before what they hold."""
    return list(_walk(PlanFile, plan, ()))


def _walk(model: type[Model], data: Any, spot: Spot) -> Iterator[Key]:
    if model is PartEntry:
        model, data = kind_model(data["kind"]), {key: value for key, value in data.items() if key != "kind"}
    if not isinstance(data, dict):
        return  # a word that stands for a mapping
    for name, value in data.items():
        if name in _names(model):
            yield Key((*spot, name), model, name, value)
            for inner in _below(model, name):
                yield from _inside(inner, value, (*spot, name))


def _inside(model: type[Model], value: Any, spot: Spot) -> Iterator[Key]:
    if isinstance(value, list):
        for n, one in enumerate(value):
            yield from _inside(model, one, (*spot, n))
    elif (
        isinstance(value, dict)
        and not value.keys() <= _names(model).keys() | {"kind", "use"}
        and model is not PartEntry
    ):
        for name, one in value.items():
            yield from _inside(model, one, (*spot, name))
    elif model is PartEntry and spot == ("parts",):
        for name, one in value.items():
            yield from _walk(model, one, (*spot, name))
    else:
        yield from _walk(model, value, spot)


#: What is built, what is wanted of it, and names and words; every other key of the schema states knowledge, so that a
#: new one does unless it is named here.
BUILT = {
    "PlanFile": "format machine author revision date rulebook states stops library parts wires cables accepted",
    "StateEntry": "mode speed torque duty current power force",
    "Stop": "devices category reset removes delay",
    "Acceptance": "finding part reason by date",
    "Mains": "inlet system",
    "Wire": "wire from to through star title",
    "Star": "from to",
    "Cable": "cable title cores colours labels join",
    "Shield": "ends",
    "Route": "at",
    "Enclosure": "plate hinge entry height spare rails ducts",
    "Rail": "at length",
    "Duct": "at length size run",
    "Hole": "at diameter thread",
    "PartModel": "title at mount wall position holes terminals bolted_to tightening stripping sheet order price note "
    "bought",
    "Device": "points links contacts tracks",
    "DeviceLink": "between",
    "DeviceLoad": "between",
    "Drive": "sto inputs outputs extra encoder pe functions logic",
    "LogicSupply": "between",
    "EncoderPort": "between signals",
    "MainsDrive": "phases",
    "Inverter": "relay braking",
    "Operated": "contacts earth",
    "Thermostat": "purpose",
    "ThermalCutOut": "contacts protects",
    "TemperatureController": "input outputs alarms",
    "Inlet": "poles switch fuse",
    "Filter": "poles",
    "Lamp": "colour",
    "PushButton": "colour lamp",
    "EmergencyStop": "colour",
    "Selector": "positions",
    "Load": "between",
    "Shaft": "encoder",
    "MotorEncoder": "between signals",
    "Brake": "holds",
    "Motor": "phases",
    "Terminals": "points bridged earth_points",
    "Connector": "contacts shell",
    "EarthBar": "points",
    "Metalwork": "points",
    "MainPoles": "poles",
    "Coiled": "contacts",
    "Contactor": "poles",
    "SafetyRelay": "channels reset outputs auxiliary delayed",
    "MotorProtector": "contacts magnetic",
    "SurgeArrester": "lines",
    "IoCard": "inputs common outputs output_common functions hard_logic tracks ports",
    "HardLogic": "input outputs",
    "Sensor": "output",
    "Encoder": "signals",
    "Isolator": "input output",
    "Battery": "fuse",
    "ProcessSource": "enable extra",
    "RegulatedSource": "parallel",
    "Converter": "isolated",
}


def states_knowledge(key: Key) -> bool:
    """Whether a key says what is known of a thing, not that it is there."""
    owner, name = key.schema
    return name not in BUILT.get(owner, "").split()
