"""Rows of the Severity page's tables, from an assessment. Decides nothing."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from hazardreport import wording
from hazardreport.app.shares import probability, share_of_adults
from hazardreport.app.views.fact_table import Cell, NumberCell, StrongCell, number_cell, star
from hazardreport.assess.records import Assessment, DeviceVerdict, Exposure
from hazardreport.case.case import Case
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.naming import state_words
from hazardreport.quantity.formatting import format_chi_square, format_deviation
from hazardreport.severity.terms import BodyPath, ContactArea, Skin

PERCENTILES = (5, 50, 95)
Rows = list[list[Cell]]


def cell_of(assessment: Assessment, id: str) -> Cell:
    """The number of an id, or a dash."""
    return number_cell(assessment.number(id)) if id and id in assessment.trace else "–"


def route_rows(assessment: Assessment) -> Rows:
    """The source by each route."""
    return [
        [
            state_words(route.state),
            f"{route.kind.value}{'' if route.resolved else ', not resolved'}",
            cell_of(assessment, route.open_circuit_voltage),
            cell_of(assessment, route.source_impedance),
            cell_of(assessment, route.available_fault_current),
        ]
        for route in assessment.routes
    ]


def parameter_rows(assessment: Assessment) -> Rows:
    """The fitted parameters."""
    if assessment.fit is None:
        return []
    rows: Rows = []
    for parameter in assessment.fit.parameters:
        number = assessment.number(parameter.number) if parameter.number in assessment.trace else None
        name = number.name if number is not None else parameter.symbol
        rows.append(
            [
                name,
                parameter.symbol,
                cell_of(assessment, parameter.number),
                "known before any reading"
                if parameter.from_table
                else "fitted"
                if parameter.determined
                else "not determined by these readings",
            ]
        )
    return rows


def residual_rows(assessment: Assessment, case: Case | None) -> Rows:
    """How well each reading agrees."""
    if assessment.fit is None:
        return []
    return [
        [
            _reading_words(case, residual.reading),
            cell_of(assessment, residual.predicted),
            format_deviation(residual.standardized),
        ]
        for residual in assessment.fit.residuals
    ]


def _reading_words(case: Case | None, id: str) -> str:
    reading = case.reading(id) if case is not None else None
    return f"{reading.first}–{reading.second}  {reading.typed}  ({id})" if reading is not None else id


def state_rows(assessment: Assessment) -> Rows:
    """The table of states; the headline state stands out."""
    rows: Rows = []
    for cell in assessment.states:
        words = state_words(cell.state)
        remarks = [cell.basis.value]
        if cell.established:
            remarks.append("established")
        if not cell.plausible and not cell.state.earthed:
            remarks.append("not with this plug")
        rows.append(
            [
                StrongCell(text=words) if cell.state == assessment.verdict.headline else words,
                ", ".join(remarks),
                cell_of(assessment, cell.open_circuit_voltage),
                cell_of(assessment, cell.available_fault_current),
                cell_of(assessment, cell.body_current),
            ]
        )
    rows += [
        [
            f"{state_words(part.state)}: {part.name}",
            f"predicted{', established' if part.established else ''}",
            cell_of(assessment, part.voltage),
            cell_of(assessment, part.current),
            cell_of(assessment, part.body_current),
        ]
        for part in assessment.second_part
    ]
    rows += [
        [f"{state_words(least.state)}: {least.path.value}", "at least", "–", "–", cell_of(assessment, least.number)]
        for least in assessment.least
    ]
    return rows


def exposure_states(assessment: Assessment) -> tuple[UnitState, ...]:
    """States for which exposures were computed, in order, the headline first."""
    found = tuple(dict.fromkeys(exposure.state for exposure in assessment.exposures))
    headline = assessment.verdict.headline
    return (headline, *(s for s in found if s != headline)) if headline in found and headline else found


def exposure_rows(assessment: Assessment, state: UnitState | None) -> Rows:
    """Currents of three percentiles for each skin, path and area of contact of one state; then those of the case."""
    here = [e for e in assessment.exposures if e.state == state]
    usual = [e for e in here if not e.own]
    rows: Rows = []
    for small in (False, True):
        for skin in Skin:
            for path in BodyPath:
                found = [e for e in usual if (e.skin, e.path, _small(e)) == (skin, path, small)]
                if found:
                    rows.append(_exposure_row(assessment, found))
    return rows + [_exposure_row(assessment, [exposure]) for exposure in here if exposure.own]


def _small(exposure: Exposure) -> bool:
    return exposure.area is not ContactArea.LARGE


def _exposure_row(assessment: Assessment, exposures: Sequence[Exposure]) -> list[Cell]:
    """Percentiles of one contact side by side; zone and time of the median, or of the only one."""
    by_percentile = {exposure.percentile: exposure for exposure in exposures}
    middle = by_percentile.get(50, exposures[0])
    remarks = [middle.own] if middle.own else []
    if _small(middle):
        remarks.append(wording.sentence("window.severity.small_area"))
    name = f"{middle.skin.value}, {middle.path.value}" + (f" ({', '.join(remarks)})" if remarks else "")
    currents = (by_percentile.get(percentile) for percentile in PERCENTILES)
    return [
        StrongCell(text=name) if middle.plausible and not remarks else name,
        *(cell_of(assessment, exposure.body_current) if exposure else "–" for exposure in currents),
        middle.zone.value if middle.zone is middle.zone_long else f"{middle.zone} → {middle.zone_long}",
        cell_of(assessment, middle.duration),
    ]


def rival_rows(assessment: Assessment, case: Case | None) -> Rows:
    """Explanations of the readings, the best first."""
    if assessment.settled is None:
        return []
    words = {True: "explains them", False: "does not explain them", None: "cannot be tested"}
    return [
        [
            StrongCell(text=rival.name) if rival.explains and not rival.difference else rival.name,
            words[rival.explains],
            f"{format_chi_square(rival.chi_square)} / {rival.degrees_of_freedom}",
            "–" if rival.probability is None else probability(rival.probability),
            format_chi_square(rival.difference),
            "; ".join(_reading_words(case, reading) for reading in rival.against[:3]) or "–",
        ]
        for rival in assessment.settled.rivals
    ]


def share_cell(assessment: Assessment, id: str) -> Cell:
    """A share of adults in two digits at most; its calculation has the rest."""
    cell = cell_of(assessment, id)
    if not isinstance(cell, NumberCell):
        return cell
    number = assessment.number(id)
    return replace(cell, text=share_of_adults(number.measured.value) + star(number))


def population_lines(assessment: Assessment, state: UnitState | None) -> tuple[str, ...]:
    """What is said of the adults who touch it in one state, each sentence once."""
    found = assessment.settled.population if assessment.settled is not None else ()
    return tuple(dict.fromkeys(result.sentence for result in found if result.state == state))


def population_rows(assessment: Assessment, state: UnitState | None) -> Rows:
    """Shares of adults, for each exposure of one state."""
    if assessment.settled is None:
        return []
    return [
        [
            f"{result.skin.value}, {result.path.value}",
            *(
                share_cell(assessment, share)
                for share in (result.above_perception, result.above_let_go, result.above_c1, result.above_c2)
            ),
        ]
        for result in assessment.settled.population
        if result.state == state
    ]


def pin_rows(assessment: Assessment) -> Rows:
    """What stays between the pins after unplugging."""
    return [
        [
            "switch off" if charge.switch is SwitchPosition.OFF else "switch on",
            cell_of(assessment, charge.voltage_rated),
            charge.comparison.decision.value if charge.comparison else "no limit applies",
            cell_of(assessment, charge.voltage_measured),
            cell_of(assessment, charge.energy),
            cell_of(assessment, charge.time_to_safe),
        ]
        for charge in assessment.pins
    ]


def otherwise_lines(assessment: Assessment) -> tuple[str, ...]:
    """The headline state with one thing built or plugged in otherwise."""
    return tuple(item.text for item in assessment.otherwise)


def device_rows(assessment: Assessment, devices: Iterable[DeviceVerdict]) -> Rows:
    """What each device does."""
    return [
        [
            verdict.device,
            state_words(verdict.state),
            "a person's" if verdict.for_person else "the fault's",
            cell_of(assessment, verdict.current),
            verdict.operation.value,
            cell_of(assessment, verdict.time),
        ]
        for verdict in devices
    ]


def built_rows(assessment: Assessment) -> Rows:
    """If it had been built right."""
    rows: Rows = []
    for built in assessment.as_built:
        acts = "; ".join(f"{device.device}: {device.operation.value}" for device in built.devices)
        rows.append(
            [
                state_words(built.state),
                cell_of(assessment, built.touch_voltage),
                cell_of(assessment, built.touch_voltage_true_earth),
                cell_of(assessment, built.earth_current),
                acts or "–",
            ]
        )
    return rows


def limit_rows(assessment: Assessment) -> Rows:
    """Against limits."""
    return [
        [
            limit.name,
            cell_of(assessment, limit.number),
            cell_of(assessment, limit.limit),
            probability(limit.probability),
            limit.decision.value,
        ]
        for limit in assessment.limits
    ]


def artefact_lines(assessment: Assessment) -> Sequence[tuple[str, str]]:
    """Why it is, or is not, a meter artefact: (sign, text)."""
    signs = {True: "not an artefact", False: "may be an artefact", None: "does not decide"}
    return [(signs[argument.supports], argument.text) for argument in assessment.artefact]
