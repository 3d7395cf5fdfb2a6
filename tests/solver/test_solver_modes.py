"""Limits, blocking, lock-out, diodes and loose parts, each against a derivation by hand written beside it."""

import math

import pytest

from wiring.solver.driving_point import driving_point
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.solution import Outcome, PowerState, SourceMode
from wiring.solver.solve import solve

CV, CC, BLOCKED, OFF = (
    SourceMode.CONSTANT_VOLTAGE,
    SourceMode.CONSTANT_CURRENT,
    SourceMode.BLOCKED,
    SourceMode.OFF,
)


def supply(plus=1, minus=0, volts=24.0, ohm=0.01, limit=5.0, overload=Overload.CONSTANT_CURRENT):
    return VoltageSource(plus, minus, volts, ohm, overload, limit)


def test_resistive_overload_rests_in_constant_current():
    """24 V into 2 ohm would be 12 A; limited to 5 A the load sees 5 A x 2 ohm = 10 V (Ohm's law)."""
    solution = solve(Network(2, (0,), (Branch(1, 0, 2.0),), (supply(),)))
    assert solution.outcome is Outcome.SOLVED
    assert solution.source_mode == (CC,)
    assert solution.source_a[0] == pytest.approx(5.0, rel=1e-6)
    assert solution.volts[1] == pytest.approx(10.0, rel=1e-6)


@pytest.mark.parametrize("overload", [Overload.HICCUP, Overload.LATCH_OFF])
def test_shutting_down_is_overload_with_no_average_voltage(overload):
    """24 V into 2 ohm + 0.01 ohm asks for 11.94 A of a 5 A supply; off, its net is dead."""
    solution = solve(Network(2, (0,), (Branch(1, 0, 2.0),), (supply(overload=overload),)))
    assert solution.outcome is Outcome.OVERLOADED
    assert solution.overloaded[0].source == 0
    assert solution.overloaded[0].demand_a == pytest.approx(24.0 / 2.01, rel=1e-9)
    assert solution.source_mode == (OFF,)
    assert solution.volts[1] == 0.0


def test_just_below_its_limit_a_supply_holds_its_voltage():
    """24 V / 4.81 ohm = 4.99 A, below 5 A."""
    solution = solve(Network(2, (0,), (Branch(1, 0, 4.8),), (supply(overload=Overload.HICCUP),)))
    assert solution.outcome is Outcome.SOLVED
    assert solution.source_a[0] == pytest.approx(24.0 / 4.81, rel=1e-9)


def test_constant_power_above_the_limit_locks_out_and_names_the_supply():
    """200 W at 24 V is 8.3 A of a 5 A supply: nothing holds the net, it slides to the load's lock-out."""
    solution = solve(Network(2, (0,), (), (supply(),), (PowerLoad(1, 0, 200.0, 18.0),)))
    assert solution.outcome is Outcome.OVERLOADED
    assert solution.power_state == (PowerState.LOCKED_OUT,)
    assert solution.locked_out[0].volts is None
    assert solution.overloaded[0].demand_a == pytest.approx(200.0 / 24.0, rel=0.02)


def test_constant_power_above_the_limit_without_lockout_collapses():
    """As above without lock-out; a current source of 5 A has no stable point with a constant-power load."""
    assert solve(Network(2, (0,), (), (supply(),), (PowerLoad(1, 0, 200.0),))).outcome is Outcome.COLLAPSED


def test_highest_lockout_goes_first_and_relieves_the_rest():
    """5 A x 24 V = 120 W; 80 W + 80 W are too much. Sliding down, 20 V is reached before 10 V, and 80 W alone fit."""
    powers = (PowerLoad(1, 0, 80.0, 10.0), PowerLoad(1, 0, 80.0, 20.0))
    solution = solve(Network(2, (0,), (), (supply(),), powers))
    assert solution.power_state == (PowerState.RUNNING, PowerState.LOCKED_OUT)
    assert solution.source_mode == (CV,)
    expected = (24.0 + math.sqrt(24.0**2 - 4.0 * 0.01 * 80.0)) / 2.0
    assert solution.volts[1] == pytest.approx(expected, rel=1e-9)


def test_load_below_lockout_while_drawing():
    """E = 24 V, R = 1 ohm, P = 100 W: V = 12 + sqrt(44) = 18.633 V, below 20 V; off, it sees 24 V again."""
    network = Network(2, (0,), (), (VoltageSource(1, 0, 24.0, 1.0),), (PowerLoad(1, 0, 100.0, 20.0),))
    solution = solve(network)
    assert solution.outcome is Outcome.LOCKED_OUT
    assert solution.locked_out[0].volts == pytest.approx(12.0 + math.sqrt(44.0), rel=1e-9)
    assert solution.volts[1] == pytest.approx(24.0)
    above = Network(2, (0,), (), network.sources, (PowerLoad(1, 0, 100.0, 18.6),))
    assert solve(above).outcome is Outcome.SOLVED


def test_load_that_never_reaches_its_lockout():
    network = Network(2, (0,), (), (VoltageSource(1, 0, 12.0, 0.1),), (PowerLoad(1, 0, 50.0, 18.0),))
    solution = solve(network)
    assert (solution.outcome, solution.locked_out[0].volts) == (Outcome.LOCKED_OUT, 12.0)
    assert solution.power_a == (0.0,)


def test_reversed_load_does_not_run():
    network = Network(2, (0,), (), (VoltageSource(1, 0, 24.0, 0.1),), (PowerLoad(0, 1, 50.0, 18.0),))
    assert solve(network).power_state == (PowerState.LOCKED_OUT,)


@pytest.mark.parametrize("ends", [(1, 0), (0, 1)])
@pytest.mark.parametrize(("watts", "volts"), [(50.0, 12.0 + math.sqrt(94.0)), (100.0, None), (200.0, None)])
def test_a_load_that_runs_either_way_takes_the_same_with_its_ends_exchanged(ends, watts, volts):
    """E = 24 V, R = 1 ohm: V = 12 + sqrt(144 - P), 21.695 V at 50 W; 18.633 V at 100 W, below its 20 V; none at 200 W.
    The current leaves by the end at which it does not come in."""
    load = PowerLoad(*ends, watts, 20.0, either_way=True)
    solution = solve(Network(2, (0,), (), (VoltageSource(1, 0, 24.0, 1.0),), (load,)))
    if volts is None:
        assert (solution.outcome, solution.power_a) == (Outcome.LOCKED_OUT, (0.0,))
        return
    assert solution.volts[1] == pytest.approx(volts, rel=1e-9)
    assert solution.power_a[0] == pytest.approx((1.0 if ends == (1, 0) else -1.0) * watts / volts, rel=1e-9)


def test_higher_supply_blocks_the_lower():
    """One-quadrant supplies of 24.5 V and 24 V, 2 A load: the first carries all, its net at 24.48 V is above 24 V."""
    sources = (supply(volts=24.5, limit=10.0), supply(volts=24.0, limit=10.0))
    solution = solve(Network(2, (0,), (), sources, (), (CurrentLoad(1, 0, 2.0),)))
    assert solution.source_mode == (CV, BLOCKED)
    assert solution.source_a == pytest.approx((2.0, 0.0))
    assert solution.volts[1] == pytest.approx(24.48, rel=1e-12)


def test_lower_supply_takes_what_the_limited_one_cannot():
    """Limit 5 A at 24.5 V, 8 A load: 3 A come from the 24 V supply at 24 - 0.01 x 3 = 23.97 V."""
    sources = (supply(volts=24.5), supply(volts=24.0))
    solution = solve(Network(2, (0,), (), sources, (), (CurrentLoad(1, 0, 8.0),)))
    assert solution.source_mode == (CC, CV)
    assert solution.source_a == pytest.approx((5.0, 3.0), rel=1e-6)
    assert solution.volts[1] == pytest.approx(23.97, rel=1e-6)


def test_stiff_supplies_in_parallel_circulate():
    """Two batteries, 0.5 V apart over 0.02 ohm: 25 A round the loop."""
    sources = (VoltageSource(1, 0, 24.5, 0.01), VoltageSource(1, 0, 24.0, 0.01))
    assert solve(Network(2, (0,), (), sources)).source_a == pytest.approx((25.0, -25.0), rel=1e-12)


def test_or_ing_diodes_pass_the_higher_supply():
    """25 V and 24 V through 0.5 V, 0.02 ohm diodes into 10 ohm: I = 24.5 / 10.03, and 24 V cannot reach 24.43 + 0.5."""
    network = Network(
        4,
        (0,),
        (Branch(3, 0, 10.0),),
        (VoltageSource(1, 0, 25.0, 0.01), VoltageSource(2, 0, 24.0, 0.01)),
        diodes=(Diode(1, 3, 0.5, 0.02), Diode(2, 3, 0.5, 0.02)),
    )
    solution = solve(network)
    assert solution.diode_a == pytest.approx((24.5 / 10.03, 0.0), rel=1e-12)


def test_diode_bridge_in_either_polarity():
    """A bridge from a 24 V source of either polarity: two drops and two resistances in the path, same load current."""
    diodes = (Diode(1, 2, 0.7, 0.01), Diode(3, 1, 0.7, 0.01), Diode(0, 2, 0.7, 0.01), Diode(3, 0, 0.7, 0.01))
    for volts in (24.0, -24.0):
        network = Network(4, (0,), (Branch(2, 3, 10.0),), (VoltageSource(1, 0, volts, 0.01),), diodes=diodes)
        solution = solve(network)
        assert solution.branch_a[0] == pytest.approx((24.0 - 1.4) / 10.03, rel=1e-12)


def test_freewheel_diode_stays_off():
    network = Network(
        2, (0,), (Branch(1, 0, 100.0),), (VoltageSource(1, 0, 24.0, 0.01),), diodes=(Diode(0, 1, 0.7, 0.1),)
    )
    assert solve(network).diode_a == (0.0,)


def test_stacked_rails_unbalanced():
    """+-24 V with a common return of 0.5 ohm, 60 W above and 20 W below. With u1 = 24 - (i1 - i2) / 2, i1 = 60 / u1 and
    u2 = 24 + (i1 - i2) / 2, i2 = 20 / u2 (tiny source resistance), solved here by bisection on d = i1 - i2."""
    low, high = 0.0, 10.0
    for _ in range(200):
        d = (low + high) / 2.0
        if 60.0 / (24.0 - d / 2.0) - 20.0 / (24.0 + d / 2.0) > d:
            low = d
        else:
            high = d
    sources = (VoltageSource(1, 0, 24.0, 1e-9), VoltageSource(0, 2, 24.0, 1e-9))
    network = Network(4, (0,), (Branch(0, 3, 0.5),), sources, (PowerLoad(1, 3, 60.0), PowerLoad(3, 2, 20.0)))
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    assert solution.volts[3] == pytest.approx(d / 2.0, rel=1e-9)


def test_stacked_rails_relieve_each_other_where_one_alone_would_collapse():
    """Equal loads leave the common 5 ohm return without current: 2 x 40 W at 24 V exactly, though one alone could take
    at most 24^2 / (4 x 5) = 28.8 W. With x volts at the joint, x / 5 = 40 / (24 - x) - 40 / (24 + x) has the root 0,
    stable while 1 / 5 > 2 P / 24^2, that is below 57.6 W each."""
    sources = (VoltageSource(1, 0, 24.0, 1e-6), VoltageSource(0, 2, 24.0, 1e-6))
    both = (PowerLoad(1, 3, 40.0), PowerLoad(3, 2, 40.0))
    network = Network(4, (0,), (Branch(0, 3, 5.0),), sources, both)
    assert solve(network).volts[3] == pytest.approx(0.0, abs=1e-9)
    alone = Network(4, (0,), (Branch(0, 3, 5.0),), sources, (PowerLoad(1, 3, 40.0),))
    assert solve(alone).outcome is Outcome.COLLAPSED


def test_stacked_rails_beyond_reach_are_undecided():
    """100 W above and 10 W below through 5 ohm in common: far beyond 28.8 W, but the loads raise one another's voltage,
    so there is no proof; the answer must not be a guess."""
    sources = (VoltageSource(1, 0, 24.0, 1e-6), VoltageSource(0, 2, 24.0, 1e-6))
    powers = (PowerLoad(1, 3, 100.0), PowerLoad(3, 2, 10.0))
    solution = solve(Network(4, (0,), (Branch(0, 3, 5.0),), sources, powers))
    assert solution.outcome is Outcome.UNDECIDED
    assert "% of their power" in solution.reason


def test_floating_island_has_differences_but_no_voltage_to_earth():
    """An isolated 12 V supply into 3.99 ohm + 0.01 ohm: 3 A, 11.97 V across the load."""
    network = Network(4, (0,), (Branch(1, 2, 3.99), Branch(0, 3, 1.0)), (VoltageSource(1, 2, 12.0, 0.01),))
    solution = solve(network)
    assert solution.floating == ((1, 2),)
    assert solution.volts == (0.0, None, None, 0.0)
    assert solution.between(1, 2) == pytest.approx(11.97, rel=1e-12)
    assert solution.between(1, 0) is None
    assert solution.source_a[0] == pytest.approx(3.0, rel=1e-12)


def test_open_contact_leaves_the_load_dead_and_adrift():
    """Plus is cut: only the idle load ties node 2 to 0 V, so there is no voltage across it."""
    network = Network(3, (0,), (), (VoltageSource(1, 0, 24.0, 0.01),), (PowerLoad(2, 0, 50.0, 18.0),))
    solution = solve(network)
    assert (solution.outcome, solution.volts[2], solution.adrift) == (Outcome.SOLVED, 0.0, (2,))
    assert solution.power_state == (PowerState.UNPOWERED,)


def test_open_return_lifts_the_dead_side_to_the_supply():
    """Minus is cut: the idle load carries the supply's 24 V to its minus terminal (a meter there reads 24 V)."""
    network = Network(3, (0,), (), (VoltageSource(1, 0, 24.0, 0.01),), (PowerLoad(1, 2, 50.0, 18.0),))
    assert solve(network).volts[2] == pytest.approx(24.0, rel=1e-12)


def test_constant_power_loads_in_series_are_undecided():
    """Nothing fixes the voltage between two constant-power loads in series."""
    network = Network(
        3, (0,), (), (VoltageSource(1, 0, 24.0, 0.01),), (PowerLoad(1, 2, 5.0, 5.0), PowerLoad(2, 0, 5.0, 5.0))
    )
    solution = solve(network)
    assert solution.outcome is Outcome.UNDECIDED
    assert "series" in solution.reason


def test_constant_current_loads_in_series_take_the_smaller_current():
    """1 A and 2 A in series from 24 V: 1 A flows, and the larger one is starved to nearly 0 V."""
    network = Network(
        3, (0,), (), (VoltageSource(1, 0, 24.0, 0.01),), (), (CurrentLoad(1, 2, 1.0), CurrentLoad(2, 0, 2.0))
    )
    solution = solve(network)
    assert solution.current_a == pytest.approx((1.0, 1.0), rel=1e-6)
    assert 0.0 <= solution.volts[2] < 2e-3


def test_constant_current_load_beyond_the_limit_pulls_the_net_down():
    """8 A asked of 5 A: the load is starved, 5 A flow, no voltage is left."""
    solution = solve(Network(2, (0,), (), (supply(),), (), (CurrentLoad(1, 0, 8.0),)))
    assert solution.source_mode == (CC,)
    assert solution.current_a[0] == pytest.approx(5.0, rel=1e-6)
    assert abs(solution.volts[1]) < 2e-3


def test_one_collapsed_island_leaves_the_other_its_answer():
    sources = (VoltageSource(1, 0, 24.0, 1.0), VoltageSource(3, 2, 24.0, 1.0))
    network = Network(4, (0, 2), (Branch(3, 2, 5.0),), sources, (PowerLoad(1, 0, 1000.0),))
    solution = solve(network)
    assert solution.outcome is Outcome.COLLAPSED
    assert solution.volts == (None, None, 0.0, pytest.approx(20.0))
    assert solution.branch_a == (pytest.approx(4.0),)


def test_driving_point_by_hand():
    """0.1 ohm source, 0.4 ohm out and 0.5 ohm back: 0.1 and 0.5 ohm to reference at the ends of the outgoing wire, 0.5
    at the far return, and 0.1 + 0.4 + 0.5 = 1.0 ohm in the loop; an unconnected node has none."""
    network = Network(
        5, (0,), (Branch(1, 2, 0.4), Branch(0, 3, 0.5)), (VoltageSource(1, 0, 24.0, 0.1),), (PowerLoad(2, 3, 20.0),)
    )
    found = driving_point(network, [(2, 3), (1, 4), (2, 2)])
    assert found.node_ohm == (0.0, pytest.approx(0.1), pytest.approx(0.5), pytest.approx(0.5), None)
    assert found.pair_ohm == (pytest.approx(1.0), None, 0.0)


def test_driving_point_leaves_out_what_does_not_conduct():
    """The 24 V supply is blocked behind 25 V: only 0.01 ohm + 1 ohm of the first feeds a short at node 2."""
    sources = (supply(1, 0, 25.0, 0.01, 10.0), supply(2, 0, 20.0, 0.05, 10.0))
    network = Network(3, (0,), (Branch(1, 2, 1.0),), sources)
    state = solve(network)
    assert driving_point(network, (), state).node_ohm[2] == pytest.approx(1.01)
    assert driving_point(network).node_ohm[2] == pytest.approx(1.0 / (1.0 / 1.01 + 1.0 / 0.05))


@pytest.mark.parametrize(
    ("network", "words"),
    [
        (Network(2, (0,), (Branch(0, 1, 0.0),)), "above 0"),
        (Network(2, (0,), (Branch(0, 5, 1.0),)), "nodes 0 to 1"),
        (Network(2, (7,), ()), "nodes 0 to 1"),
        (Network(2, (0,), (Branch(0, 1, math.nan),)), "finite"),
        (Network(2, (0,), (), (), (PowerLoad(0, 1, -1.0),)), "0 or above"),
        (Network(2, (0,), (), (VoltageSource(1, 0, 230 + 0j, 0.1, Overload.HICCUP, 2.0),)), "stiff"),
        (Network(2, (0,), (Branch(0, 1, 1 + 1j),), diodes=(Diode(0, 1, 0.7, 0.1),)), "0 Hz only"),
    ],
)
def test_meaningless_networks_are_refused(network, words):
    with pytest.raises(ValueError, match=words):
        solve(network)


def test_a_load_locks_out_before_its_free_wheeling_diode_conducts():
    """5 V behind 0.5 ohm gives 5²/(4 x 0.5) = 12.5 W at most, 20 W are wanted: the voltage slides down to the lock-out
    of 2.5 V, where the load lets go, and never reaches the -0.7 V at which the diode would conduct."""
    network = Network(
        2,
        (0,),
        (),
        (VoltageSource(1, 0, 5.0, 0.5),),
        (PowerLoad(1, 0, 20.0, 2.5),),
        diodes=(Diode(0, 1, 0.7, 0.05),),
    )
    solution = solve(network)
    assert solution.outcome is Outcome.LOCKED_OUT
    assert solution.power_state == (PowerState.LOCKED_OUT,)
    assert solution.diode_a == (0.0,)
    assert solution.volts[1] == pytest.approx(5.0)


def test_a_second_supply_behind_a_diode_takes_over_before_a_load_locks_out():
    """24 V behind 1 ohm cannot give 200 W (144 W at most); at 18.9 V a second supply of 20 V comes in through a diode.

    By hand: with I1 = 24 - V and I2 = (20 - 0.7 - V) / 0.1 the load is V (I1 + I2) = 200, which is 11 V² - 217 V + 200
    = 0, so V = (217 + sqrt(217² - 8800)) / 22 = 18.757 V, above the lock-out of 15 V."""
    network = Network(
        3,
        (0,),
        (),
        (VoltageSource(1, 0, 24.0, 1.0), VoltageSource(2, 0, 20.0, 0.05)),
        (PowerLoad(1, 0, 200.0, 15.0),),
        diodes=(Diode(2, 1, 0.7, 0.05),),
    )
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    assert solution.volts[1] == pytest.approx((217.0 + math.sqrt(217.0**2 - 8800.0)) / 22.0, rel=1e-9)


def test_a_long_line_that_starves_its_load_does_not_trip_the_supply():
    """24 V behind 2 ohm of line gives 72 W at most, 100 W are wanted. At its lock-out of 18 V the load draws (24 - 18)
    / 2 = 3 A, below the 5 A at which the supply would shut down."""
    source = VoltageSource(1, 0, 24.0, 0.01, Overload.HICCUP, 5.0)
    solution = solve(Network(3, (0,), (Branch(1, 2, 1.99),), (source,), (PowerLoad(2, 0, 100.0, 18.0),)))
    assert solution.outcome is Outcome.LOCKED_OUT
    assert solution.source_mode == (CV,)
    assert solution.overloaded == ()


@pytest.mark.parametrize(("strong", "weak"), [(1, 2), (2, 1)])
def test_currents_that_cannot_be_balanced_are_no_solution_wherever_they_flow(strong, weak):
    """333 V over 0.3 microohm are 1.1e9 A. A double of that size steps by 1.2e-7 A (IEEE 754, 53 bits), so that no
    balance to 1e-9 A (`RESIDUAL_A`) can be shown, however well 5 V and 3 ohm balance at the other node."""
    branches = (Branch(strong, 0, 3e-7), Branch(strong, 0, 7e-7), Branch(strong, weak, 1e6), Branch(weak, 0, 3.0))
    sources = (VoltageSource(strong, 0, 1e3 / 3, 1e-7), VoltageSource(weak, 0, 5.0, 0.7))
    solution = solve(Network(3, (0,), branches, sources))
    assert solution.outcome is Outcome.UNDECIDED
    assert "currents balance only to" in solution.reason
