"""What the keys of parts mean, for pages and editors, where the field of a kind does not say so itself.

A key that means one thing in every kind stands alone; `kind.key` says what it means in one of them. An example shows
the form of a value where its type alone does not, unless that of the kind has the key. The rest is said by the fields.
"""

from __future__ import annotations

from functools import cache

import yaml

from wiring.parts.kinds import kind_model

_TEXTS = {
    "airflow": "air that it moves when nothing stands in its way",
    "apply": "time that the brake takes to hold after its coil is dead",
    "at": "where it stands: what is outside the cabinet does not heat it",
    "behaviour": "how its current follows the voltage",
    "between": "the two terminals that it takes its power from",
    "bleeder": "resistance that empties it when the power is off",
    "breaking": "largest short circuit that it can interrupt",
    "bridged": "points that are joined inside the row",
    "bus_capacitance": "capacitance of its bus, charged at switching on and by braking",
    "capacitance": "its capacitance",
    "capacity": "its capacity",
    "category": "utilisation category of its contacts",
    "channel_current": "current that a channel takes while it is closed",
    "channels": "its inputs, each a pair of terminals that the contacts of the stop close",
    "class": "how far it may leak: class I has a protective conductor, II and III have none",
    "closed_loop": "whether it follows an encoder, so that its current falls with the load",
    "coil": "rated voltage and power of its coil",
    "colour": "colour of its face or lens",
    "contact_rating": "what its contacts switch, as printed on them",
    "contacts": "its contacts by their terminals",
    "connector.contacts": "names of its contacts",
    "current": "current that it takes itself, without its load",
    "curve": "tripping characteristic",
    "delay": "time after which its delayed outputs open",
    "derating": "how much less it gives when it is warm",
    "efficiency": "output over input; what is lost heats the cabinet",
    "energy_class": "energy limiting class of a breaker B or C: the 3 in a square on it",
    "enable_resistance": "resistance between its enable terminals",
    "enable_voltage": "voltage at its enable terminals that switches it on",
    "hold_current": "share of the phase current that flows while the motor stands",
    "hold_up": "time for which the output holds after a loss of mains",
    "holding_torque": "torque at rest with full phase current",
    "i2t": "let-through energy that it stands",
    "input": "voltage that it is fed with",
    "isolator.input": "the two terminals of its input",
    "temperature-controller.input": "the two terminals of its input",
    "input_current": "current that an input takes when it is on",
    "input_resistance": "resistance of its input",
    "input_type": "type of its inputs after IEC 61131-2",
    "input_voltage": "voltage that its inputs are made for",
    "inputs": "its inputs by terminal: which way the current flows, and what each is for",
    "inrush": "peak current at the moment of switching on",
    "isolated": "whether its output is parted from its input",
    "lamp": "the lamp in the button",
    "leakage": "current that it lets into the protective conductor",
    "sensor.leakage": "current that its output lets through while it is off",
    "limit": "current at which it begins to limit",
    "lines": "the lines that it protects",
    "links": "terminals that are joined inside",
    "loads": "what takes power between two of its terminals",
    "lockable": "whether a padlock holds it open",
    "locking": "whether it holds the guard closed until the machine has stopped",
    "logic": "a second supply for its logic",
    "making": "largest current that its contacts can close on",
    "max_speed": "highest speed that it bears",
    "metal": "whether its housing is metal",
    "note": "a remark of your own, printed in the lists",
    "off_delay": "time after which its contacts follow when the coil is dead",
    "on_delay": "time after which its contacts follow when the coil is fed",
    "opens_at": "temperature at which it opens",
    "output": "voltage that it gives",
    "isolator.output": "the two terminals of its output",
    "sensor.output": "how it switches, and whether it is on or off at rest",
    "output_capacitance": "capacitance across its output",
    "output_current": "current that an output can give lastingly",
    "output_voltage": "voltage of its output",
    "outputs": "its outputs by terminal: how each switches, and what it is for",
    "safety-relay.outputs": "its safe contacts",
    "overload": "what it does above its rated current",
    "peak": "current that it gives for a short time",
    "peak_current": "current that it gives for a short time",
    "peak_torque": "torque that it gives for a short time",
    "phase_current": "phase current as set or rated; the last word says how it is counted",
    "phase_inductance": "inductance of one winding",
    "phase_resistance": "resistance of one winding",
    "phases": "how many phases feed it",
    "motor.phases": "how many phases feed it, or DC; of a motor for a voltage of direct current it is DC when left out",
    "inverter.phases": "how many phases feed it; when left out, 3 where it is for more than 277 V",
    "points": "how many points it has",
    "device.points": "its terminals, and what each is for",
    "poles": "how many poles it has",
    "inlet.poles": "the conductors that come in",
    "positions": "names of its positions, the one at rest first",
    "power": "power that it can turn into heat lastingly",
    "power_factor": "power over apparent power of what it draws",
    "primary": "voltage of the primary winding",
    "purpose": "what it is for",
    "quiescent": "power that it takes while its motor rests",
    "range": "between which currents it can be set",
    "rated": "current that it carries or gives lastingly",
    "rated_current": "current at rated work",
    "rated_power": "mechanical power at rated work",
    "rated_torque": "torque at rated work",
    "rated_voltage": "highest voltage that it is rated for",
    "rating": "rated current",
    "ratio": "output over input",
    "regulation": "rise of the secondary voltage from full load to none",
    "release": "time that the brake takes to let go after its coil is fed",
    "reset": "the terminals that the reset button closes",
    "reset_mode": "whether it takes the reset as a level, watches that the button is let go, or resets by itself",
    "residual": "residual current at which it trips",
    "resistance": "its resistance",
    "rotor_inertia": "moment of inertia of its rotor",
    "secondary": "voltage of the secondary winding at full load",
    "setting": "current that its thermal release is set to",
    "signals": "its signal terminals",
    "standby": "power that it takes when nothing is drawn from it",
    "start_factor": "how many times its rated current it starts with",
    "supply": "voltage that it is fed with",
    "suppressor": "what is built in across its coil",
    "time": "time after which it turns off",
    "title": "what it is, in words of your own, printed on every sheet and list",
    "torque": "torque that it holds",
    "trip_class": "trip class of its thermal release after IEC 60947-4-1",
    "type": "which type it is",
    "rcd.type": "the residual currents that it sees: AC sine, A pulsed, F mixed, B smooth too",
    "voltage": "rated voltage",
    "pump.work": "what it moves, in words of your own",
    "work": "what the machine asks of it while it runs",
    "transformer.rated": "apparent power that it gives lastingly",
    "inverter.rated": "power of the motor that it is made for",
    "heater.rated": "voltage and power",
    "lamp.rated": "voltage, and current or power",
    "fan.rated": "voltage and power",
    "pump.rated": "voltage and power",
    "load.rated": "voltage, and current or power",
    "valve.rated": "voltage and power of its coil",
    "brake.rated": "voltage and power of its coil",
}
_EXAMPLES = {
    "between": "[1, 2]",
    "bridged": "[1-3]",
    "category": "AC-3",
    "channels": "[S11-S12, S21-S22]",
    "coil": "24 V DC 3 W",
    "contact_rating": "AC-15 3 A 230 V, DC-13 1 A 24 V",
    "contacts": "{13-14: NO, 21-22: NC}",
    "derating": "{from: 50 °C, slope: 2.5 %/K}",
    "encoder": "{voltage: 5 V DC}",
    "fuse": "{rating: 40 A}",
    "isolator.input": "IN+-IN-",
    "isolator.output": "OUT+-OUT-",
    "inputs": "[IN1-COM1]",
    "lamp": "24 V DC 20 mA",
    "lines": "[L, N]",
    "links": "[{between: [1, 2]}]",
    "loads": "[{between: [L, N], rated: 230 V AC 15 W}]",
    "logic": "{between: [24V, 0V], voltage: 24 V DC, current: 0.4 A}",
    "outputs": "[ALM+-ALM-]",
    "controller.outputs": "{O1: pnp, 13-14: relay}",
    "overload": "{mode: hiccup, limit: 130 %}",
    "inlet.poles": "[L, N, PE]",
    "positions": '["off", hand, auto]',
    "range": "1.6..2.5 A",
    "rated": "16 A",
    "safety-relay.reset": "S33-S34",
    "sizes": "0.2..2.5 mm2",
    "sto": "[STO1-SG1]",
    "isolator.supply": "{between: [24V, 0V], voltage: 24 V DC, current: 0.1 A}",
    "safety-relay.supply": "24 V DC 2 W",
    "temperature-controller.supply": "230 V AC 5 VA",
    "terminals": '{V+: "+Vout"}',
    "pump.work": "coolant",
    "work": "{speed: 600 rpm, torque: 1.0 N·m}",
}


def key_text(kind: str, key: str) -> str:
    """What a key of a kind means, in one sentence; "" for a key that it does not have.

    Raises KeyError for a kind that does not exist.
    """
    fields = {field.alias or name: field for name, field in kind_model(kind).model_fields.items()}
    own = fields[key].description if key in fields else ""
    return own or _TEXTS.get(f"{kind}.{key}") or _TEXTS.get(key, "")


def example_of(kind: str) -> str:
    """One part of a kind as it stands behind its name in a plan. Raises KeyError for a kind that does not exist."""
    return "{" + ", ".join(filter(None, (f"kind: {kind}", kind_model(kind).example))) + "}"


def key_example(kind: str, key: str) -> str:
    """A value of a key as a plan writes it, that of the kind's own example if it is there; "" where its type shows
    one."""
    own, general = _own_values(kind).get(key, ""), _EXAMPLES.get(key, "")
    return _EXAMPLES.get(f"{kind}.{key}") or (own if general or own[:1] in {"[", "{"} else "") or general


@cache
def _own_values(kind: str) -> dict[str, str]:
    """The keys of the example of a kind, each with its value as it is written."""
    text = example_of(kind)
    node = yaml.compose(text, yaml.BaseLoader)
    assert isinstance(node, yaml.MappingNode)
    return {key.value: text[value.start_mark.index : value.end_mark.index] for key, value in node.value}
