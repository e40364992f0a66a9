"""Doubt of one reading: from the instrument's stated accuracy, its calibration, the typed digits, and repeats."""

import math
from dataclasses import dataclass
from datetime import date

from hazardreport.case.reading import Accuracy, Instrument, Quantity, Reading
from hazardreport.quantity.propagation import effective_degrees_of_freedom
from hazardreport.quantity.trace import Source
from hazardreport.standards.tables import table

CHOICES = "own-choices"


@dataclass(frozen=True, kw_only=True, slots=True)
class Doubt:
    """Standard uncertainty of a reading, in the reading's unit, with the choices and sources behind it.

    gain  the part that is proportional to the reading, within the whole: one instrument's readings of one quantity
          share it
    """

    standard_uncertainty: float
    gain: float = 0.0
    choices: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()


def limit_of_error(value: float, percent: float, digits: float, resolution: float) -> float:
    """Limit of error of a reading by a stated accuracy, ± (percent of reading + digits).

    Parameters
    ----------
    value : float
        Reading. [V, A or ohm]
    percent : float
        Share of the reading. [%]
    digits : float
        Counts of the last digit. [1]
    resolution : float
        Value of one digit. [V, A or ohm]

    Returns
    -------
    float
        Never negative. [V, A or ohm]

    Examples
    --------
    >>> round(limit_of_error(2.000, 0.08, 2, 0.001), 6)
    0.0036
    """
    return abs(value) * percent / 100.0 + digits * resolution


def rectangular(limit: float) -> float:
    """Standard uncertainty of a value that lies anywhere within ± limit.

    References
    ----------
    jcgm-100-2008, 4.3.7.
    """
    return limit / math.sqrt(3.0)


def range_of(instrument: Instrument, quantity: Quantity, value: float, resolution: float) -> Accuracy | None:
    """The range that shows this value: the smallest that holds it and is not finer than the typed digits.

    Where every range that holds the value is finer than what was typed, the smallest that holds it; None if none does.
    """
    holding = sorted(
        (accuracy for accuracy in stated(instrument, quantity) if abs(value) <= accuracy.range_to * (1.0 + 1e-9)),
        key=lambda accuracy: accuracy.range_to,
    )
    coarse = [accuracy for accuracy in holding if accuracy.resolution >= resolution * (1.0 - 1e-9)]
    return next(iter(coarse or holding), None)


def possible(accuracy: Accuracy) -> bool:
    """Whether an accuracy could be stated by a maker: nothing negative, a range and a digit above zero."""
    numbers = (accuracy.percent, accuracy.digits, accuracy.range_to, accuracy.resolution)
    return all(math.isfinite(number) and number >= 0.0 for number in numbers) and min(numbers[2:]) > 0.0


def stated(instrument: Instrument | None, quantity: Quantity) -> tuple[Accuracy, ...]:
    """The accuracies of an instrument for a quantity that a maker could have stated."""
    accuracies = instrument.accuracies if instrument is not None else ()
    return tuple(one for one in accuracies if one.quantity is quantity and possible(one))


def calibration_holds(instrument: Instrument, taken: str) -> bool:
    """Whether the instrument was calibrated, and not too long before the reading where its day is known."""
    calibrated = _day(instrument.calibrated)
    if calibrated is None:
        return False
    read = _day(taken)
    return read is None or 0 <= (read - calibrated).days <= table(CHOICES, "calibration").look_up("days")


def instrument_doubt(reading: Reading, instrument: Instrument | None, value: float, resolution: float) -> Doubt:
    """Doubt that the instrument gives to a value; that of a common meter, doubled, where its accuracy is not stated."""
    calibration = table(CHOICES, "calibration")
    factor = calibration.look_up("factor_without")
    accuracy = range_of(instrument, reading.quantity, value, resolution) if instrument else None
    if instrument is None or accuracy is None:
        common = table(CHOICES, "hand-held-meter")
        kind = reading.quantity.value
        percent = factor * common.look_up("percent_of_reading", quantity=kind)
        limit = limit_of_error(value, percent, factor * common.look_up("digits", quantity=kind), resolution)
        return Doubt(
            standard_uncertainty=max(rectangular(limit), _half_digit(resolution)),
            gain=rectangular(limit_of_error(value, percent, 0.0, resolution)),
            choices=("rectangular_limits", "common_meter"),
            sources=(common.source("percent_of_reading", quantity=kind), calibration.source("factor_without")),
        )
    limit = limit_of_error(value, accuracy.percent, accuracy.digits, accuracy.resolution)
    gain = rectangular(limit_of_error(value, accuracy.percent, 0.0, accuracy.resolution))
    if calibration_holds(instrument, reading.taken):
        return Doubt(
            standard_uncertainty=max(rectangular(limit), _half_digit(resolution)),
            gain=gain,
            choices=("rectangular_limits",),
        )
    return Doubt(
        standard_uncertainty=max(rectangular(factor * limit), _half_digit(resolution)),
        gain=factor * gain,
        choices=("rectangular_limits", "no_calibration"),
        sources=(calibration.source("factor_without"),),
    )


def typed_doubt(uncertainty: float, resolution: float) -> Doubt:
    """Doubt of a value that was typed with ±: limits, in the place of the instrument's accuracy."""
    return Doubt(standard_uncertainty=max(rectangular(uncertainty), _half_digit(resolution)), choices=("typed_limits",))


def lead_doubt() -> Doubt:
    """Doubt of a resistance that still holds the leads, whose own resistance was not noted."""
    leads = table(CHOICES, "lead-resistance")
    return Doubt(
        standard_uncertainty=rectangular(leads.look_up("limit")),
        choices=("leads_not_noted",),
        sources=(leads.source("limit"),),
    )


def supply_doubt(value: float) -> Doubt:
    """Doubt of a live reading whose supply was not noted beside it."""
    stability = table(CHOICES, "supply-stability")
    return Doubt(
        standard_uncertainty=abs(value) * stability.look_up("standard_uncertainty"),
        choices=("supply_stability",),
        sources=(stability.source("standard_uncertainty"),),
    )


def combined(parts: tuple[float, ...], spread: float, repeats: int) -> tuple[float, float]:
    """Combined standard uncertainty and effective degrees of freedom of independent parts and a spread of repeats.

    Parameters
    ----------
    parts : tuple of float
        Standard uncertainties without a limit to their degrees of freedom. [V, A or ohm]
    spread : float
        Standard deviation of the mean of the repeats; zero without repeats. [V, A or ohm]
    repeats : int
        How many values the mean rests on. [1]

    Returns
    -------
    tuple of float
        Standard uncertainty [V, A or ohm], degrees of freedom [1].

    References
    ----------
    jcgm-100-2008, 5.1.2, G.4.1.
    """
    total = math.hypot(*parts, spread)
    if spread == 0.0:
        return total, math.inf
    return total, effective_degrees_of_freedom((*parts, spread), (*(math.inf for _ in parts), repeats - 1.0))


def _half_digit(resolution: float) -> float:
    return rectangular(0.5 * resolution)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None
