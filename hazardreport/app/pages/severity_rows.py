"""Rows of the Severity page's tables, from an assessment. Decides nothing."""

from collections.abc import Iterable, Sequence

from hazardreport.app.views.fact_table import Cell, StrongCell, number_cell
from hazardreport.assess.records import Assessment, DeviceVerdict, Exposure
from hazardreport.case.case import Case
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.naming import state_words
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
                "fitted" if parameter.determined else "not determined by these readings",
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
            f"{residual.standardized:+.1f}".replace("-", "−"),
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
    """Currents of three percentiles for each skin and path of one state."""
    here = [e for e in assessment.exposures if e.state == state]
    by_place = {(e.skin, e.path, e.percentile): e for e in here if e.area is ContactArea.LARGE and not e.own}
    rows: Rows = []
    for skin in Skin:
        for path in BodyPath:
            found = [by_place.get((skin, path, percentile)) for percentile in PERCENTILES]
            middle = found[1]
            if middle is None:
                continue
            name = f"{skin.value}, {path.value}"
            rows.append(
                [
                    StrongCell(text=name) if middle.plausible else name,
                    *(cell_of(assessment, e.body_current) if e is not None else "–" for e in found),
                    middle.zone.value if middle.zone is middle.zone_long else f"{middle.zone} → {middle.zone_long}",
                    cell_of(assessment, middle.duration),
                ]
            )
    return rows + [_further_row(assessment, exposure) for exposure in here if exposure.own or _small(exposure)]


def _small(exposure: Exposure) -> bool:
    return exposure.area is not ContactArea.LARGE


def _further_row(assessment: Assessment, exposure: Exposure) -> list[Cell]:
    """An exposure of the case's own, or with a smaller area of contact: one percentile only."""
    name = f"{exposure.skin.value}, {exposure.path.value}"
    remarks = [exposure.own] if exposure.own else []
    if _small(exposure):
        remarks.append("smaller area of contact, approximate")
    shown = [
        cell_of(assessment, exposure.body_current) if exposure.percentile == percentile else "–"
        for percentile in PERCENTILES
    ]
    same = exposure.zone is exposure.zone_long
    return [
        f"{name} ({', '.join(remarks)})",
        *shown,
        exposure.zone.value if same else f"{exposure.zone} → {exposure.zone_long}",
        cell_of(assessment, exposure.duration),
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
            f"{rival.chi_square:.1f} / {rival.degrees_of_freedom}",
            "–" if rival.probability is None else _share(rival.probability),
            f"{rival.difference:.1f}",
            "; ".join(_reading_words(case, reading) for reading in rival.against[:3]) or "–",
        ]
        for rival in assessment.settled.rivals
    ]


def _share(probability: float) -> str:
    return "< 0.1 %" if probability < 0.001 else f"{100 * probability:.2g} %"


def population_rows(assessment: Assessment, state: UnitState | None) -> Rows:
    """Shares of adults, for each exposure of one state."""
    if assessment.settled is None:
        return []
    return [
        [
            f"{result.skin.value}, {result.path.value}",
            *(
                cell_of(assessment, share)
                for share in (result.above_perception, result.above_let_go, result.above_c1, result.above_c2)
            ),
            result.sentence,
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
            f"{100 * limit.probability:.0f} %",
            limit.decision.value,
        ]
        for limit in assessment.limits
    ]


def artefact_lines(assessment: Assessment) -> Sequence[tuple[str, str]]:
    """Why it is, or is not, a meter artefact: (sign, text)."""
    signs = {True: "not an artefact", False: "may be an artefact", None: "does not decide"}
    return [(signs[argument.supports], argument.text) for argument in assessment.artefact]
