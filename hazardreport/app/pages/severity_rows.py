"""Rows of the Severity page's tables, from an assessment. Decides nothing."""

from collections.abc import Iterable, Sequence

from hazardreport.app.views.fact_table import Cell, StrongCell, number_cell
from hazardreport.assess.records import Assessment, DeviceVerdict
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.naming import state_words
from hazardreport.severity.terms import BodyPath, Skin

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
    return rows


def exposure_states(assessment: Assessment) -> tuple[UnitState, ...]:
    """States for which exposures were computed, in order, the headline first."""
    found = tuple(dict.fromkeys(exposure.state for exposure in assessment.exposures))
    headline = assessment.verdict.headline
    return (headline, *(s for s in found if s != headline)) if headline in found and headline else found


def exposure_rows(assessment: Assessment, state: UnitState | None) -> Rows:
    """Currents of three percentiles for each skin and path of one state."""
    by_place = {(e.skin, e.path, e.percentile): e for e in assessment.exposures if e.state == state}
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
    return rows


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
