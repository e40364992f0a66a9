"""What current a state leaves open in which only the meter was connected."""

import math

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading
from hazardreport.assess.routes import of_state, state_name
from hazardreport.assess.source import SourceAt, method, plausible_state, unit_states
from hazardreport.case.case import Case
from hazardreport.circuit.routes import LEAST_CURRENT_TEXT, high_impedance_range
from hazardreport.errors import ReadingAboveSupplyError
from hazardreport.severity.body import body_point
from hazardreport.severity.grade import PossibleCurrent
from hazardreport.severity.terms import BodyPath, Skin


def possible_currents(
    ledger: Ledger, case: Case, live: tuple[LiveReading, ...], sources: tuple[SourceAt, ...], supply_id: str
) -> tuple[PossibleCurrent, ...]:
    """Body currents of plausible states that no loaded reading has established, from the unloaded reading alone."""
    established = {source.state for source in sources if source.established}
    found = []
    for state in unit_states(case.wiring, earthed=False):
        if state in established or not plausible_state(case, state) or not supply_id:
            continue
        light = next((item for item in of_state(case, live, state) if not item.loaded), None)
        if light is None or light.result.meter_impedance is None:
            continue
        supply = ledger[supply_id].measured
        loop = case.wiring.line_resistance
        try:
            current = high_impedance_range(
                (light.value, light.uncertainty),
                light.result.meter_impedance,
                (supply.value, supply.standard_uncertainty),
                loop,
            )
        except ReadingAboveSupplyError:
            continue
        fields = {"state": state_name(state)}
        inputs = (light.number, supply_id)
        low = ledger.enter(
            f"possible.{state.key}.low",
            "least_current",
            "Isc",
            current.least,
            "A",
            low=current.least,
            equation=LEAST_CURRENT_TEXT,
            inputs=inputs,
            sources=method("unloaded reading"),
            fields=fields,
        )
        worst = body_point(light.value, 0.0, Skin.DRY, 50, BodyPath.HAND_TO_FEET).body_current
        greatest = min(worst, current.greatest) if math.isfinite(current.greatest) else worst
        high = ledger.enter(
            f"possible.{state.key}.body",
            "possible_body_current",
            "IB",
            greatest if light.value - 2.0 * light.uncertainty > 0.0 else 0.0,
            "A",
            high=greatest,
            equation="as if the part could drive any current at that voltage",
            inputs=(light.number, low),
            sources=method("unloaded reading"),
            fields=fields,
        )
        found.append(PossibleCurrent(id=high, low=current.least, high=ledger.value(high)))
    return tuple(found)
