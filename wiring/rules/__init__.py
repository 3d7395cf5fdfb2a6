"""One file a rule: its clauses and its words over the facts of `design`, and `check`; rules ask no other rule.

The tables below are the whole list. Beside the rules lie `rule` (what one is), `run` (all of them over a design),
`causes` and `fold` (which finding explains which), `words` (what several say) and the plans of the `examples`.
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

#: The rules that play control circuits through, which no size and no load changes.
OF_STOPS: tuple[str, ...] = (
    "brake-stays-released",
    "stop-leaves-hazard",
    "stop-contact-bypassed",
    "stop-contact-normally-open",
    "stop-single-channel",
    "stop-contact-on-earthed-side",
    "stop-fault-dangerous",
    "stop-restarts-on-release",
    "stop-restarts-on-mains-return",
    "stop-feedback-missing",
    "stop-device-not-latching",
    "stop-category-differs",
    "control-buzzer",
    "control-race",
)
SLUGS: tuple[str, ...] = (
    "supply-never-live",
    "supply-overloaded",
    "supply-headroom-small",
    "supply-peak-exceeded",
    "load-undervoltage",
    "inrush-trips-breaker",
    "start-opens-fuse",
    "inrush-welds-contact",
    "regeneration-too-high",
    "braking-resistor-too-small",
    "drive-voltage-outside-window",
    "drive-current-above-motor",
    "drive-device-too-large",
    "rail-too-high-at-no-load",
    "rail-ripple-too-high",
    "converter-loop",
    "network-undecided",
    "conductor-overloaded",
    "conductor-unprotected",
    "building-feed-too-small",
    "building-feed-drop-too-high",
    "protection-above-conductor",
    "parallel-conductors-unequal",
    "protection-below-load",
    "short-not-cleared",
    "breaking-capacity-too-small",
    "panel-rating-too-small",
    "device-not-rated-for-dc",
    "not-selective",
    "conductor-burns-before-device-opens",
    "motor-overload-missing",
    "motor-device-too-large",
    "neutral-switched-alone",
    "transformer-unprotected",
    "earth-fault-not-cleared",
    "capacitor-discharge-slow",
    "voltage-drop-too-high",
    "conductor-below-minimum-size",
    "conductor-colour-wrong",
    "colours-unusual",
    "motor-conductor-margin-small",
    "continuous-load-margin-small",
    "small-conductor-misused",
    "supplementary-protector-alone",
    "neutral-thinner-than-line",
    "moving-conductor-rigid",
    "main-switch-missing",
    "motor-disconnect-too-small",
    "control-fed-from-mains",
    "control-voltage-too-high",
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
    "cable-protective-core-missing",
    "terminal-overfilled",
    "terminal-size-wrong",
    "terminal-open",
    "part-unconnected",
    "circuit-never-closed",
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
    "input-current-wrong",
    "input-voltage-too-high",
    "sensor-type-mismatch",
    "two-wire-leakage",
    "output-needs-pull-up",
    "output-overloaded",
    "differential-pair-broken",
    "limit-normally-open",
    "boot-state-unsafe",
    "process-voltage-on-control",
    "process-source-not-isolated",
    "cables-too-close",
    "vertical-axis-without-brake",
    "brake-too-weak",
    "motor-work-above-rating",
    "drive-too-small-for-motor",
    *OF_STOPS,
    "operator-colour-wrong",
    "cabinet-too-hot",
    "protection-class-too-low",
    "altitude-above-rating",
    "duct-overfilled",
)
OF_LOADS = tuple(slug for slug in SLUGS if slug not in OF_STOPS)


def is_about_stops(slug: str) -> bool:
    """Whether a rule plays control circuits through."""
    return slug in OF_STOPS


def rule_module(slug: str) -> ModuleType:
    """The module of a rule: it has RULE and check, and its documentation is the rule's page.

    Raises KeyError for a slug that is not in the list.
    """
    if slug not in SLUGS:
        raise KeyError(slug)
    return import_module(f"wiring.rules.{slug.replace('-', '_')}")
