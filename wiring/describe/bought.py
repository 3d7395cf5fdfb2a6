"""Parts that are bought already, by names of their own: each stands in the plan as its label says and is kept so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wiring.describe.build import own_model
from wiring.describe.description import Description
from wiring.parts.base import PartModel
from wiring.parts.drives import Drive
from wiring.parts.loads import Fan, ProcessSource, Pump
from wiring.parts.motors import Motor, ServoMotor, StepperMotor
from wiring.parts.signals import IoCard
from wiring.parts.sources import Supply
from wiring.parts.storage import Battery, Charger
from wiring.plan.fault import Fault
from wiring.plan.source import Node

#: What a description has a place for.
KINDS: tuple[type[PartModel], ...] = (
    StepperMotor, ServoMotor, Motor, Pump, Fan, Drive, Supply, IoCard, ProcessSource, Battery, Charger,
)  # fmt: skip
_PLACES = {"axes": ("motor", "drive"), "loads": ("motor", "drive", "part")}


def with_bought(description: Description) -> Description:
    """The description with the data of every bought part where its name stands."""
    labels = {name: {**label, "bought": "true"} for name, label in description.bought.items()}

    def put(model: Any, *keys: str) -> Any:
        found = {key: labels[word] for key in keys if isinstance(word := getattr(model, key), str) and word in labels}
        return model.model_copy(update=found) if found else model

    update: dict[str, Any] = {
        section: {name: put(one, *keys) for name, one in getattr(description, section).items()}
        for section, keys in _PLACES.items()
    }
    if description.battery is not None:
        update["battery"] = put(description.battery, "part", "charger")
    return put(description, "controller").model_copy(update=update)  # type: ignore[no-any-return]


def bought_supplies(description: Description) -> dict[str, tuple[Mapping[str, Any], float]]:
    """The supplies among them by name: their data for the plan, and their output [V]."""
    found: dict[str, tuple[Mapping[str, Any], float]] = {}
    for name, label in description.bought.items():
        model = own_model(label)
        if isinstance(model, Supply):
            found[name] = ({**label, "bought": "true"}, model.output.volts)
    return found


def unused(description: Description, tree: Node) -> Iterator[Fault]:
    """The bought parts that nothing names. A supply is taken by its voltage, and is asked for when the rails are."""
    sections = [*description.axes.values(), *description.loads.values(), description.battery, description]
    keys = ("motor", "drive", "part", "charger", "controller")
    named = {word for one in sections for key in keys if isinstance(word := getattr(one, key, None), str)}
    for name, label in description.bought.items():
        if name in named or (isinstance(own_model(label), Supply) and description.battery is None):
            continue
        expected = "its name as `motor`, `drive` or `part` of an axis or a load, or as `controller`"
        yield Fault(tree.follow(("bought",))[0].key_place(name), f"nothing uses {name}, which is bought", expected)
