"""One file a rule. The table below is the whole list: a rule that is not in it does not run."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

SLUGS: tuple[str, ...] = (
    "supply-never-live",
    "supply-overloaded",
    "supply-headroom-small",
    "supply-peak-exceeded",
    "load-undervoltage",
    "inrush-trips-breaker",
    "inrush-welds-contact",
    "regeneration-too-high",
    "drive-voltage-outside-window",
    "drive-current-above-motor",
    "rail-too-high-at-no-load",
    "rail-ripple-too-high",
    "converter-loop",
    "network-undecided",
    "conductor-overloaded",
    "conductor-unprotected",
    "protection-above-conductor",
    "short-not-cleared",
    "breaking-capacity-too-small",
    "device-not-rated-for-dc",
    "not-selective",
    "conductor-burns-before-device-opens",
    "motor-overload-missing",
    "neutral-switched-alone",
    "transformer-unprotected",
    "earth-fault-not-cleared",
    "capacitor-discharge-slow",
    "voltage-drop-too-high",
    "conductor-below-minimum-size",
    "conductor-colour-wrong",
    "moving-conductor-rigid",
    "earth-missing",
    "protective-conductor-too-small",
    "earth-conductor-switched",
    "earth-terminal-shared",
    "neutral-joined-to-earth",
    "rail-bonded-twice",
    "rail-floating",
    "earth-carries-current",
    "work-return-through-earth",
    "leakage-too-high",
    "rcd-type-wrong",
    "shield-floating",
    "shield-ends-wrong",
    "terminal-overfilled",
    "terminal-size-wrong",
    "terminal-open",
    "part-unconnected",
    "rails-joined",
    "supplies-paralleled",
    "polarity-reversed",
    "motor-switched-while-driven",
    "coil-without-suppressor",
    "suppressor-too-slow",
    "contact-not-rated-for-dc",
    "contact-overloaded",
    "part-voltage-exceeded",
    "insulation-voltage-too-low",
    "drives-daisy-chained",
    "vertical-axis-without-brake",
    "brake-stays-released",
    "stop-leaves-hazard",
    "cabinet-too-hot",
    "protection-class-too-low",
    "duct-overfilled",
)


def rule_module(slug: str) -> ModuleType:
    """The module of a rule: it has RULE and check, and its documentation is the rule's page.

    Raises KeyError for a slug that is not in the list.
    """
    if slug not in SLUGS:
        raise KeyError(slug)
    return import_module(f"wiring.rules.{slug.replace('-', '_')}")
