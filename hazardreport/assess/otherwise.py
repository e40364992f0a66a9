"""The headline state again with a switch in both poles, or with the plug the other way round."""

from collections.abc import Iterator
from dataclasses import replace

from hazardreport import wording
from hazardreport.assess.fitted import FittedNetwork, closed_forms
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import counted_path
from hazardreport.assess.records import Exposure, Otherwise
from hazardreport.assess.routes import state_name
from hazardreport.assess.source import NETWORK_EQUATIONS, SourceAt, enter_source, method
from hazardreport.assess.verdict import median_person
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SwitchPoles
from hazardreport.circuit.prediction import predicted_state
from hazardreport.quantity.formatting import format_value

TELLING_SHARE = 0.5
"""The other way of the plug is told where it leaves at most this share of the voltage. [1]"""


def otherwise(
    ledger: Ledger,
    case: Case,
    network: FittedNetwork | None,
    sources: tuple[SourceAt, ...],
    exposures: tuple[Exposure, ...],
    headline: UnitState | None,
) -> Iterator[Otherwise]:
    """What a switch that interrupts both poles would have done, and what the other way of the plug does.

    Nothing without a headline state, or where the readings do not agree with one circuit.
    """
    if headline is None:
        return
    yield from _double_pole(ledger, case, network, headline)
    other = PlugPosition.REVERSED if headline.plug is PlugPosition.STRAIGHT else PlugPosition.STRAIGHT
    here, turned = (
        next((source for source in sources if source.state == state), None)
        for state in (headline, replace(headline, plug=other))
    )
    if here is None or turned is None or turned.voltage > TELLING_SHARE * here.voltage:
        return
    person = median_person(exposures, turned.state, counted_path(case.household))
    yield Otherwise(
        key="other_plug_position",
        text=wording.sentence(
            "assess.otherwise.other_plug_position",
            state=state_name(turned.state),
            voltage=format_value(turned.voltage, "V"),
        ),
        state=turned.state,
        voltage=turned.voltage_id,
        current=person.body_current if person else "",
    )


def _double_pole(ledger: Ledger, case: Case, network: FittedNetwork | None, headline: UnitState) -> Iterator[Otherwise]:
    single = case.wiring.switch in (SwitchPoles.POLE_1, SwitchPoles.POLE_2)
    if network is None or network.result.consistent is False or not single or headline.earthed:
        return
    if headline.switch is not SwitchPosition.OFF:
        return
    found = predicted_state(network.result, replace(case.wiring, switch=SwitchPoles.BOTH), headline).source
    voltage, current = float(found.values[0]), float(found.values[3])
    ids = enter_source(
        ledger,
        f"otherwise.double-pole.{headline.key}",
        wording.sentence("assess.otherwise.with_double_pole", state=state_name(headline)),
        voltage=(voltage, 0.0),
        impedance=(float(abs(complex(found.values[1], found.values[2]))), 0.0),
        current=(current, 0.0),
        equations=("0", "∞", "0") if closed_forms(case, network) else (*NETWORK_EQUATIONS, "U0 / |Zs|"),
        inputs=tuple(network.ids[symbol] for symbol in ("U", "Re", "x", "Rf") if symbol in network.ids),
        sources=method("network of the unit"),
    )
    yield Otherwise(
        key="double_pole_switch",
        text=wording.sentence(
            "assess.otherwise.double_pole_switch",
            state=state_name(headline),
            voltage=format_value(voltage, "V"),
            current=format_value(current, "A"),
        ),
        state=headline,
        voltage=ids[0],
    )
