"""The fitted network, written down: its parameters, each reading beside its prediction, doubt of the earth."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import number_id
from hazardreport.assess.records import Fit, Parameter, Residual
from hazardreport.assess.routes import enter_conductors
from hazardreport.assess.source import method, plain_wiring
from hazardreport.case.case import Case
from hazardreport.case.wiring import Earthing, Wiring
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.free_parameters import FAULT, SYMBOL, UNIT
from hazardreport.circuit.unit_network import NetworkParameters
from hazardreport.standards.tables import table

NAMES = {
    "supply_voltage": "supply_voltage",
    "element_resistance": "element_resistance",
    "fault_position": "fault_position",
    "fault_resistance": "fault_resistance",
    "hot_factor": "hot_factor",
    "leakage_capacitance_1": "leakage_capacitance_1",
    "leakage_capacitance_2": "leakage_capacitance_2",
    "second_part_resistance": "second_part_resistance",
    "second_fault_position": "second_fault_position",
    "second_fault_resistance": "second_fault_resistance",
}
UNCHANGED = 0.9
"""Share of the doubt before any reading, from which on the readings count as silent about a parameter. [1]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class FittedNetwork:
    """The fit with the ids of its parameters in the trace, by symbol."""

    result: FitResult
    ids: dict[str, str]


def closed_forms(case: Case, network: FittedNetwork) -> bool:
    """Whether the closed forms of one resistive fault in a plain wiring hold for a fit."""
    return plain_wiring(case.wiring) and SYMBOL[FAULT] in network.ids


@dataclass(frozen=True, kw_only=True, slots=True)
class Vectors:
    """Estimates with their covariance, and the network parameters that a row of them stands for."""

    estimates: NDArray[np.float64]
    covariance: NDArray[np.float64]
    parameters: Callable[[NDArray[np.float64]], NetworkParameters]


def plain_vectors(result: FitResult) -> Vectors:
    """The fitted parameters, held inside their physical ranges."""

    def parameters(rows: NDArray[np.float64]) -> NetworkParameters:
        return result.free.parameters(np.clip(rows, result.free.lower, result.free.upper))

    return Vectors(estimates=result.estimates, covariance=result.covariance, parameters=parameters)


def protective_earth_resistance(wiring: Wiring) -> float:
    """Unit and installation, and the electrode where the earth leads to one. [ohm]"""
    electrode = (wiring.electrode_resistance or 0.0) if wiring.earthing is Earthing.TT else 0.0
    return wiring.unit_earth_resistance + wiring.installation_earth_resistance + electrode


def earth_share_doubt() -> float:
    """Relative standard uncertainty of a protective earth's resistance that is assumed. [1]"""
    return table("own-choices", "earth-resistance").look_up("relative_standard_uncertainty")


def earthed_vectors(result: FitResult) -> Vectors:
    """The fitted parameters, and as last entry the protective earth's resistance over the assumed one."""
    size = len(result.estimates)
    covariance = np.zeros((size + 1, size + 1))
    covariance[:size, :size] = result.covariance
    covariance[size, size] = earth_share_doubt() ** 2
    plain = plain_vectors(result)

    def parameters(rows: NDArray[np.float64]) -> NetworkParameters:
        found, share = plain.parameters(rows[..., :size]), rows[..., size]
        return replace(
            found,
            unit_earth_resistance=found.unit_earth_resistance * share,
            installation_earth_resistance=found.installation_earth_resistance * share,
        )

    return Vectors(estimates=np.append(result.estimates, 1.0), covariance=covariance, parameters=parameters)


def enter_fit(ledger: Ledger, case: Case, result: FitResult, prefix: str = "fit") -> tuple[FittedNetwork, Fit]:
    """Write the fitted parameters down, and the record of the fit."""
    readings = tuple(number_id(item.id) for item in result.residuals if number_id(item.id) in ledger)
    ids: dict[str, str] = {}
    parameters = []
    for number, name in enumerate(result.names):
        low, high = result.intervals[number]
        determined = result.determined[number]
        symbol = SYMBOL[name]
        ids[symbol] = ledger.enter(
            f"{prefix}.{symbol}",
            NAMES[name],
            symbol,
            float(result.estimates[number]),
            UNIT[name],
            uncertainty=math.sqrt(max(0.0, float(result.covariance[number, number]))) if determined else 0.0,
            low=low if not determined or result.at_bound[number] else None,
            high=high if not determined or result.at_bound[number] else None,
            equation="weighted least squares of all readings with a value",
            inputs=readings,
            sources=method("fit"),
        )
        parameters.append(
            Parameter(
                symbol=symbol,
                number=ids[symbol],
                determined=determined,
                from_table=_known_before(result, number),
            )
        )
    ids["RL"], ids["RN"] = enter_conductors(ledger, case.wiring)
    fit = Fit(
        parameters=tuple(parameters),
        residuals=tuple(
            _residual(ledger, item.id, item.predicted, item.standardized, result, prefix) for item in result.residuals
        ),
        chi_square=result.chi_square,
        degrees_of_freedom=result.dof,
        consistent=result.consistent,
    )
    return FittedNetwork(result=result, ids=ids), fit


def _known_before(result: FitResult, number: int) -> bool:
    """Whether the readings leave a parameter's doubt as it was before any of them."""
    prior = next((prior for prior in result.free.priors if prior.number == number), None)
    doubt = math.sqrt(max(0.0, float(result.covariance[number, number])))
    return prior is not None and doubt > UNCHANGED * prior.standard_uncertainty


def _residual(
    ledger: Ledger, reading: str, predicted: float, standardized: float, result: FitResult, prefix: str
) -> Residual:
    read = ledger[number_id(reading)]
    number = ledger.enter(
        f"{prefix}.reading.{reading}",
        "predicted_reading",
        read.symbol,
        predicted,
        read.measured.unit,
        equation="the fitted network at this reading",
        inputs=tuple(f"{prefix}.{SYMBOL[name]}" for name in result.names),
        sources=method("fit"),
        fields={"reading": read.name},
    )
    return Residual(reading=reading, predicted=number, standardized=standardized)
