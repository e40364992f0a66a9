"""What current a state leaves open in which only the meter was connected, or which no reading fixes at all."""

import math
from dataclasses import dataclass

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import counted_path
from hazardreport.assess.readings_in import LiveReading, role
from hazardreport.assess.records import PartSource
from hazardreport.assess.routes import of_state, same_state, state_name, where
from hazardreport.assess.source import SourceAt, method, plausible_states, share_to_earth
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SecondPart, Supply
from hazardreport.circuit.routes import LEAST_CURRENT_TEXT, high_impedance_range
from hazardreport.circuit.unit_network import unit_state
from hazardreport.errors import ReadingAboveSupplyError
from hazardreport.severity.body import body_point
from hazardreport.severity.grade import PossibleCurrent
from hazardreport.severity.terms import BodyPath, Skin

LEAST_NOTHING_TEXT = "0; the reading does not stand out of its doubt, or is above the supply"
TO_EARTH_TEXT = {Supply.TWO_LIVE_POLES: "U / 2", Supply.TWO_PHASES: "U / √3"}


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenState:
    """A plausible state that nothing has established, and the body current that it leaves open."""

    state: UnitState
    current: PossibleCurrent


def possible_currents(
    ledger: Ledger,
    case: Case,
    live: tuple[LiveReading, ...],
    sources: tuple[SourceAt, ...],
    supply_id: str,
    parts: tuple[PartSource, ...] = (),
) -> tuple[OpenState, ...]:
    """Body currents of plausible states that no loaded reading has established.

    By the highest unloaded reading of the state; where there is none, as if the part stood at the supply's voltage,
    since what a fit predicts of a state that nobody established does not clear it. Nothing without any reading at the
    part: then nothing was examined.
    """
    if not supply_id or not _part_was_read(case):
        return ()
    known = {source.state: source for source in sources}
    found = []
    for state in plausible_states(case):
        source = known.get(state)
        noted = plug_was_noted(case, live, state)
        if source is not None and source.established and noted:
            continue
        here = [
            item
            for item in of_state(case, live, state)
            if noted and not item.loaded and item.result.meter_impedance is not None
        ]
        if here:
            light = max(here, key=lambda item: item.value + 2.0 * item.uncertainty)
            found.append(_by_reading(ledger, case, state, light, supply_id))
        else:
            found.append(_by_supply(ledger, case, state, supply_id))
    found += _second_part(ledger, case, supply_id, parts)
    return tuple(sorted(found, key=lambda item: not _was_read(case, item.state)))


def _second_part(ledger: Ledger, case: Case, supply_id: str, parts: tuple[PartSource, ...]) -> list[OpenState]:
    """States in which a second part, apart from the first, may be live: those that no readings at it establish."""
    if case.wiring.second_part not in (SecondPart.SEPARATE, SecondPart.UNKNOWN):
        return []
    known = {part.state for part in parts if part.established and not part.between}
    open_ = [state for state in plausible_states(case) if state not in known]
    return [_by_supply(ledger, case, state, supply_id, at="second-part") for state in open_]


def plug_was_noted(case: Case, live: tuple[LiveReading, ...], state: UnitState) -> bool:
    """Whether what is known of a state does not rest on readings of which nobody noted how the plug was in.

    Such readings show that one of two positions is as bad as they say, and clear neither.
    """
    here = of_state(case, live, state)
    return not here or any(item.reading.state.plug is not PlugPosition.UNKNOWN for item in here)


def _was_read(case: Case, state: UnitState) -> bool:
    """Whether somebody read at the part in this state: a verdict speaks of such states first."""
    return any(
        same_state(unit_state(reading.state, case.wiring), state)
        for reading in case.readings
        if PointRole.TOUCHABLE_PART in (role(case, reading.first), role(case, reading.second))
    )


def _part_was_read(case: Case) -> bool:
    """Whether anything was read at a touchable part, decisive or not."""
    parts = {PointRole.TOUCHABLE_PART, PointRole.SECOND_PART}
    return any(parts & {role(case, reading.first), role(case, reading.second)} for reading in case.readings)


def _by_reading(ledger: Ledger, case: Case, state: UnitState, light: LiveReading, supply_id: str) -> OpenState:
    """The current that an unloaded reading leaves open; one above the supply leaves open all that it can drive."""
    supply = ledger[supply_id].measured
    share = share_to_earth(case.wiring)
    meter = light.result.meter_impedance or complex(math.inf)
    least, greatest = 0.0, math.inf
    try:
        current = high_impedance_range(
            (light.value, light.uncertainty),
            meter,
            (share * supply.value, share * supply.standard_uncertainty),
            case.wiring.line_resistance,
        )
        least, greatest = current.least, current.greatest
    except ReadingAboveSupplyError:
        pass
    fields = {"state": state_name(state)}
    impedance = ledger.enter(
        f"meter.{light.reading.id}.Zm",
        "meter_impedance",
        "Zm",
        abs(meter),
        "ohm",
        equation="as stated, or the usual value; resistance and capacitance beside each other",
    )
    earth, *doubts = _ends(ledger, case, light.number, supply_id)
    given = where(ledger, ("V", "UE"), (light.number, earth))
    low = ledger.enter(
        f"possible.{state.key}.low",
        "least_current",
        "Isc",
        least,
        "A",
        low=least,
        equation="; ".join(part for part in (LEAST_CURRENT_TEXT if least > 0.0 else LEAST_NOTHING_TEXT, given) if part),
        inputs=(light.number, earth, *doubts, impedance),
        sources=method("unloaded reading"),
        fields=fields,
    )
    highest = max(0.0, light.value) + 2.0 * light.uncertainty
    worst = min(_body_current(highest, counted_path(case.household)), greatest)
    high = ledger.enter(
        f"possible.{state.key}.body",
        "possible_body_current",
        "IB",
        worst,
        "A",
        high=worst,
        equation="as if the part could drive any current at that voltage, doubt added",
        inputs=(light.number, low),
        sources=method("unloaded reading"),
        fields=fields,
    )
    return OpenState(state=state, current=PossibleCurrent(id=high, low=least, high=worst))


def _ends(ledger: Ledger, case: Case, reading: str, supply: str) -> tuple[str, str, str]:
    """Ids of the supply's voltage to earth, and of the standard uncertainties of the reading and of that voltage."""
    share, voltage = share_to_earth(case.wiring), ledger[supply].measured
    earth = supply
    if share < 1.0:
        earth = ledger.enter(
            "supply.to-earth",
            "supply_to_earth",
            "UE",
            share * voltage.value,
            "V",
            uncertainty=share * voltage.standard_uncertainty,
            equation="; ".join((TO_EARTH_TEXT[case.wiring.supply], where(ledger, ("U",), (supply,)))).rstrip("; "),
            inputs=(supply,),
        )
    doubts = [
        ledger.enter(
            f"doubt.{of}",
            "standard_uncertainty",
            symbol,
            ledger[of].measured.standard_uncertainty,
            "V",
            equation="standard uncertainty",
            inputs=(of,),
            fields={"of": ledger[of].name},
        )
        for of, symbol in ((reading, "uV"), (earth, "uE"))
    ]
    return earth, doubts[0], doubts[1]


def _by_supply(ledger: Ledger, case: Case, state: UnitState, supply_id: str, at: str = "body") -> OpenState:
    """The current that a state leaves open which no reading fixes."""
    supply = ledger[supply_id].measured
    worst = _body_current(
        share_to_earth(case.wiring) * (supply.value + supply.expanded_uncertainty), counted_path(case.household)
    )
    high = ledger.enter(
        f"possible.{state.key}.{at}",
        "possible_body_current" if at == "body" else "possible_body_current_second",
        "IB",
        worst,
        "A",
        high=worst,
        equation="as if the part stood at the supply's voltage, since no reading fixes this state",
        inputs=(supply_id,),
        sources=method("state without a reading"),
        fields={"state": state_name(state)},
    )
    return OpenState(state=state, current=PossibleCurrent(id=high, low=0.0, high=worst))


def _body_current(voltage: float, path: BodyPath) -> float:
    """Through a median adult with dry skin at a part that could drive any current. [A]"""
    return body_point(voltage, 0.0, Skin.DRY, 50, path).body_current
