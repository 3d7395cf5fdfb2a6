"""One line a finding."""

from hypothesis import given
from hypothesis import strategies as st
from report_cases import FILE, REPORT

from wiring.findings import Finding, Report, Signal
from wiring.plan.source import Place
from wiring.reports import render


def test_prints_one_line_for_each_finding_and_one_with_the_verdict():
    assert render(REPORT, {}, "brief") == (
        "winder.yaml:118:46: WARNING fuse-above-wire: Wire 202 of 18 AWG lies behind F4 of 10 A; "
        "the most that may protect it is 7 A.\n"
        "winder.yaml: NOTICE shield-ends: The shield of cable C1 is bonded at neither end. "
        "(accepted: Bench test only, cable of 0.2 m.)\n"
        "winder.yaml: STOP. Keep the power off: mend every DANGER and WARNING, or accept each with its reason. "
        "3 checks could not be made. This tool assists; it does not certify.\n"
    )


places = st.none() | st.builds(Place, st.text(max_size=9), st.integers(1, 99), st.integers(1, 99), st.integers(1, 9))
findings = st.builds(
    Finding,
    st.text(max_size=12),
    st.sampled_from(Signal),
    st.lists(st.text(max_size=9), max_size=3).map(tuple),
    st.text(max_size=80),
    places,
    accepted=st.none() | st.text(max_size=20),
)


@given(st.lists(findings, max_size=8).map(tuple))
def test_there_are_as_many_lines_as_findings_and_the_last_one(found):
    lines = render(Report(FILE, "iec", found, ()), {}, "brief").splitlines()
    assert len(lines) == len(found) + 1
    assert sum(" WARNING " in line for line in lines[:-1]) >= sum(one.signal is Signal.WARNING for one in found)


@given(st.permutations(list(REPORT.findings)))
def test_the_order_of_the_rules_does_not_matter(shuffled):
    assert render(Report(FILE, "na", tuple(shuffled), REPORT.not_judged), {}, "brief") == render(REPORT, {}, "brief")


def test_an_encoding_without_a_sign_is_spelt_plainly():
    finding = Finding("heat", Signal.CAUTION, (), "Inside 61 °C.")
    assert "Inside 61 degC." in render(Report(FILE, "iec", (finding,), ()), {}, "brief", encoding="ascii")
