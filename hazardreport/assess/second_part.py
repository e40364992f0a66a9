"""A second touchable part: the source from it to earth, and between the two parts, in every state of the unit."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from hazardreport import wording
from hazardreport.assess.fitted import FittedNetwork
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import Person, counted_path, exposure, touched
from hazardreport.assess.predicted import DETERMINED_SHARE, NEGLIGIBLE_CURRENT
from hazardreport.assess.readings_in import by_insulation_tester, role
from hazardreport.assess.records import Basis, PartSource
from hazardreport.assess.routes import same_state, state_name
from hazardreport.assess.source import NETWORK_EQUATIONS, SourceAt, enter_source, method, plausible_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, Quantity
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SecondPart
from hazardreport.circuit.prediction import PROBE_RESISTANCE, prediction
from hazardreport.circuit.thevenin import PART_TO_SECOND_PART, available_current, sources_at_part
from hazardreport.circuit.unit_network import Node, open_poles, unit_state
from hazardreport.errors import StateNotPossibleError
from hazardreport.readings.result import ReadingResult
from hazardreport.severity.terms import BodyPath, Skin

SECOND_PART_TO_EARTH = (Node.SECOND_PART, Node.EARTH)
MEDIAN = 50


def second_part(
    ledger: Ledger, case: Case, network: FittedNetwork | None, results: tuple[ReadingResult, ...]
) -> tuple[PartSource, ...]:
    """What a person meets at the second part, and with a hand on each part, in every state that people meet.

    Nothing without a second part or where the readings do not agree with one circuit; a state that they leave open is
    left out.
    """
    fitted = network is not None and network.result.consistent is not False
    kind = case.wiring.second_part
    if kind is SecondPart.NONE or network is None or not fitted:
        return ()
    if kind is not SecondPart.JOINED and not part_was_read(case):
        return ()
    states = [state for state in plausible_states(case) if _possible(case, state)]
    if not states:
        return ()
    found: list[PartSource] = []
    for between, port in ((False, SECOND_PART_TO_EARTH), (True, PART_TO_SECOND_PART)):
        for source in _sources(ledger, case, network, states, between, port):
            found.append(_with_person(ledger, case, source, between, results))
    return tuple(found)


def part_was_read(case: Case) -> bool:
    """Whether anything was read at the second part."""
    return any(
        PointRole.SECOND_PART in (role(case, reading.first), role(case, reading.second)) for reading in case.readings
    )


def _possible(case: Case, state: UnitState) -> bool:
    try:
        open_poles(case.wiring, state)
    except StateNotPossibleError:
        return False
    return True


def _sources(
    ledger: Ledger,
    case: Case,
    network: FittedNetwork,
    states: list[UnitState],
    between: bool,
    port: tuple[str, str],
) -> Iterator[SourceAt]:
    result = network.result

    def equation(rows: NDArray[np.float64]) -> NDArray[np.float64]:
        voltage, impedance = sources_at_part(case.wiring, result.free.parameters(rows), states, port)
        size, modulus = np.abs(voltage), np.abs(impedance)
        probe = np.where(
            np.isinf(modulus), 0.0, size / np.abs(np.where(np.isinf(modulus), 0.0, impedance) + PROBE_RESISTANCE)
        )
        columns = np.stack([size, modulus, available_current(voltage, impedance), probe], axis=-1)
        return np.broadcast_to(columns, (len(rows), *columns.shape[-2:])).reshape(len(rows), -1)

    whole = prediction(equation, result)
    _, impedances = sources_at_part(case.wiring, result.parameters, states, port)
    kind = "between" if between else "second"
    for number, state in enumerate(states):
        at = slice(4 * number, 4 * number + 4)
        values, low, high = whole.values[at], whole.low[at], whole.high[at]
        covariance = whole.covariance[at, at]
        known = high[3] - max(low[3], 0.0) <= 2.0 * DETERMINED_SHARE * values[3] or high[3] <= NEGLIGIBLE_CURRENT
        if not known:
            continue
        doubts = np.sqrt(np.maximum(np.diag(covariance), 0.0))
        ids = enter_source(
            ledger,
            f"{kind}.{state.key}",
            wording.sentence(f"assess.part.{kind}_in", state=state_name(state)),
            voltage=(float(values[0]), float(doubts[0])),
            impedance=(float(values[1]), float(doubts[1]) if math.isfinite(values[1]) else 0.0),
            current=(float(values[2]), float(doubts[2])),
            equations=(*NETWORK_EQUATIONS, "U0 / |Zs|"),
            inputs=tuple(network.ids.values()),
            sources=method("network of the unit"),
        )
        yield SourceAt(
            state=state,
            basis=Basis.PREDICTED,
            established=False,
            plausible=True,
            voltage=float(values[0]),
            impedance=complex(impedances[..., number]) if math.isfinite(values[1]) else complex(math.inf),
            covariance=(float(covariance[0][0]), float(covariance[0][1]), float(covariance[1][1])),
            voltage_id=ids[0],
            impedance_id=ids[1],
            current_id=ids[2],
        )


def _with_person(
    ledger: Ledger, case: Case, source: SourceAt, between: bool, results: tuple[ReadingResult, ...]
) -> PartSource:
    path = BodyPath.HAND_TO_HAND if between else counted_path(case.household)
    person = Person(skin=Skin.DRY, percentile=MEDIAN, path=path, own="between" if between else "second-part")
    at = touched(source, person)
    current = exposure(ledger, case, source.state, at, plausible=True).body_current if at is not None else ""
    return PartSource(
        name=wording.sentence("assess.part.between" if between else "assess.part.second"),
        between=between,
        state=source.state,
        voltage=source.voltage_id,
        impedance=source.impedance_id,
        current=source.current_id,
        body_current=current,
        established=_established(case, source.state, results),
        plausible=source.plausible,
    )


def _established(case: Case, state: UnitState, results: tuple[ReadingResult, ...]) -> bool:
    for reading, result in zip(case.readings, results, strict=True):
        if PointRole.SECOND_PART not in (role(case, reading.first), role(case, reading.second)):
            continue
        if not result.used or result.value is None or by_insulation_tester(case, reading):
            continue
        loaded = reading.quantity is not Quantity.RESISTANCE and reading.load.kind is not LoadKind.NONE
        if reading.quantity is Quantity.RESISTANCE:
            return True
        if loaded and same_state(unit_state(reading.state, case.wiring), state):
            return True
    return False
