"""Plans of the examples with their sheet, each built once."""

from functools import cache
from pathlib import Path

from wiring.design.load import load
from wiring.powerup.predict import Predictor
from wiring.powerup.sheet import build

SPECS = Path(__file__).parents[2] / "specs"


@cache
def builder_of(name):
    loaded = load(SPECS / f"{name}.yaml")
    assert loaded.design is not None
    return build(loaded.design)


@cache
def predictor_of(name):
    return Predictor(builder_of(name))


def cause_of(name, cause_id):
    return next(cause for cause in predictor_of(name).causes if cause.id == cause_id)
