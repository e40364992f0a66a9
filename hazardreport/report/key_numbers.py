"""The numbers of the first page, and the state that they belong to."""

import math

from hazardreport.assess.records import DeviceVerdict, Exposure, LeastCurrent, LimitComparison, PartSource, StateCell
from hazardreport.case.circumstances import ResidualCurrentDevice
from hazardreport.case.reading import SwitchPosition
from hazardreport.quantity.formatting import format_number, format_value
from hazardreport.quantity.trace import Number
from hazardreport.report.context import Context, basis_texts, number_anchor, state_text, usual
from hazardreport.report.document import Block, KeyNumber, KeyNumbers, Missing, Paragraph
from hazardreport.severity.terms import Operation
from hazardreport.wording import sentence


def headline_cell(context: Context) -> StateCell | None:
    """The off state that the verdict speaks of; else the plausible off state with most volts; else any cell."""
    verdict = context.assessment.verdict
    if verdict.headline is not None:
        return context.assessment.cell(verdict.headline)
    cells = [cell for cell in context.assessment.states if cell.plausible and not cell.state.earthed]
    off = [cell for cell in cells if cell.state.switch is SwitchPosition.OFF] or cells

    def volts(cell: StateCell) -> float:
        number = context.number(cell.open_circuit_voltage)
        return number.measured.value if number is not None else -1.0

    return max(off, key=volts, default=None)


def stated_exposures(context: Context, cell: StateCell) -> dict[int, Exposure]:
    """The exposure behind the verdict, by percentile: plausible, in the headline's state, worst median current.

    As the signal word, it rests on confirmed values where there are any.
    """
    exposures = [e for e in context.assessment.exposures if e.state == cell.state and usual(e)]
    plausible = [e for e in exposures if e.plausible] or exposures

    def current(exposure: Exposure) -> float:
        number = context.number(exposure.body_current)
        return number.measured.value if number is not None else -1.0

    medians = [e for e in plausible if e.percentile == 50]
    confirmed = [e for e in medians if e.body_current not in context.memory]
    median = max(confirmed or medians, key=current, default=None)
    if median is None:
        return {}
    same = [e for e in exposures if (e.skin, e.path) == (median.skin, median.path)]
    return {e.percentile: e for e in same}


def key_numbers(context: Context) -> tuple[Block, ...]:
    """The five numbers of the state that the verdict speaks of."""
    cell = headline_cell(context)
    if cell is None:
        return (Missing(what=sentence("report.first_page.no_numbers"), why=context.why_missing),)
    of_voltage, basis = basis_texts(cell.basis)
    part = verdict_part(context)
    numbers: tuple[KeyNumber, ...] = (
        _key_number(context, cell.open_circuit_voltage, sentence("report.first_page.volts"), of_voltage),
        _key_number(context, cell.available_fault_current, sentence("report.first_page.available"), basis),
        _touch_current(context, cell),
        _person(context, cell, basis),
        _device(context, cell),
    )
    least = verdict_least(context, cell)
    if least is not None:
        numbers = _least_numbers(context, least, cell)
    opening = Paragraph(runs=(sentence("report.first_page.numbers_for", state=state_text(cell.state)),), role="small")
    return opening, KeyNumbers(numbers=numbers if part is None else _part_numbers(context, part))


def verdict_least(context: Context, cell: StateCell) -> LeastCurrent | None:
    """The lower bound that the verdict speaks of; None where the source of its state is known."""
    if cell.open_circuit_voltage:
        return None
    figures = context.assessment.verdict.figures
    here = [one for one in context.assessment.least if one.state == cell.state]
    return next((one for one in here if one.number in figures), next(iter(here), None))


def _least_numbers(context: Context, least: LeastCurrent, cell: StateCell) -> tuple[KeyNumber, ...]:
    """The five numbers where only a lower bound is proved: that of the voltage, of the current, of the person."""
    number = context.number(least.number)
    inputs = (context.number(key) for key in number.inputs) if number is not None else ()
    behind = {one.symbol: one.id for one in inputs if one is not None}
    by = sentence("report.first_page.least_by", reading=least.reading)
    path = sentence(f"report.path.{least.path.name.lower()}")
    return (
        _key_number(context, behind.get("V", ""), sentence("report.first_page.least_volts"), by),
        _key_number(context, behind.get("I", ""), sentence("report.first_page.least_available"), by),
        _touch_current(context, cell),
        _key_number(context, least.number, sentence("report.first_page.least_person", path=path), by),
        _device(context, cell),
    )


def verdict_part(context: Context) -> PartSource | None:
    """The second part, or both parts, if the verdict speaks of them."""
    figures = context.assessment.verdict.figures
    return next((part for part in context.assessment.second_part if part.body_current in figures), None)


def _part_numbers(context: Context, part: PartSource) -> tuple[KeyNumber, ...]:
    """The five numbers where the verdict speaks of the second part; limit and devices are computed for the first."""
    basis = sentence("report.severity.established" if part.established else "report.severity.not_established")
    missing = sentence("report.words.not_determined")
    note = sentence("report.first_page.not_for_part", part=part.name)
    person = sentence("report.first_page.part_person", part=part.name)
    return (
        _key_number(context, part.voltage, sentence("report.first_page.part_volts", part=part.name), basis),
        _key_number(context, part.current, sentence("report.first_page.part_available", part=part.name), basis),
        KeyNumber(value=missing, label=sentence("report.first_page.touch_current"), note=note),
        _key_number(context, part.body_current, person, basis),
        KeyNumber(value=missing, label=sentence("report.first_page.device"), note=note),
    )


def _key_number(context: Context, id: str, label: str, note: str) -> KeyNumber:
    number = context.number(id)
    if number is None:
        return KeyNumber(value=sentence("report.words.not_determined"), label=label, note=note)
    memory = [sentence("report.words.rests_on_memory")] if id in context.memory else []
    return KeyNumber(
        value=format_number(number), label=label, note="; ".join([note, *memory]), target=number_anchor(id)
    )


def touch_current_comparison(context: Context, cell: StateCell) -> LimitComparison | None:
    """The comparison of the touch current with the product limit, in this state if there is one for it."""
    found = [
        comparison
        for comparison in context.assessment.limits
        if (number := context.number(comparison.number)) is not None and number.measured.unit == "A"
    ]
    of_state = [comparison for comparison in found if comparison.state == cell.state]
    return next(iter((*of_state, *found)), None)


def _ratio(number: Number, limit: Number) -> str:
    if not limit.measured.value or not math.isfinite(number.measured.value):
        return ""
    return format_value(number.measured.value / limit.measured.value, "1", 2)


def _touch_current(context: Context, cell: StateCell) -> KeyNumber:
    label = sentence("report.first_page.touch_current")
    comparison = touch_current_comparison(context, cell)
    number = context.number(comparison.number) if comparison is not None else None
    limit = context.number(comparison.limit) if comparison is not None else None
    if comparison is None or number is None or limit is None:
        note = sentence("report.first_page.no_touch_current")
        return KeyNumber(value=sentence("report.words.not_determined"), label=label, note=note)
    ratio = _ratio(number, limit)
    value = sentence("report.first_page.times", ratio=ratio) if ratio else format_number(number)
    note = sentence(
        "report.first_page.against",
        value=format_value(number.measured.value, number.measured.unit),
        limit=format_value(limit.measured.value, limit.measured.unit, 2),
        decision=sentence(f"report.decision.{comparison.decision.name.lower()}"),
    )
    mark = f"; {sentence('report.words.rests_on_memory')}" if {number.id, limit.id} & context.memory else ""
    return KeyNumber(value=value, label=label, note=note + mark, target=number_anchor(number.id))


def _person(context: Context, cell: StateCell, basis: str) -> KeyNumber:
    exposures = stated_exposures(context, cell)
    if 50 not in exposures:
        label = sentence("report.first_page.person_undetermined")
        return _key_number(context, cell.body_current, label, basis)
    median = exposures[50]
    spread = [context.number(exposures[p].body_current) for p in (5, 95) if p in exposures]
    values = sorted(n.measured.value for n in spread if n is not None)
    contact = sentence(
        "report.first_page.contact",
        path=sentence(f"report.path.{median.path.name.lower()}"),
        skin=sentence(f"report.skin.{median.skin.name.lower()}"),
        zone=median.zone_long,
    )
    label = sentence("report.first_page.person", contact=contact)
    note = basis
    if len(values) == 2:
        memory = any(exposures[p].body_current in context.memory for p in (5, 95))
        key = "report.first_page.spread_from_memory" if memory else "report.first_page.spread"
        note = sentence(key, low=format_value(values[0], "A"), high=format_value(values[1], "A"))
    return _key_number(context, median.body_current, label, note)


def _present(context: Context, cell: StateCell) -> tuple[DeviceVerdict, ...]:
    """Verdicts of the devices that protect the place of use, as the case tells it."""
    present = devices_of_place(context)
    return tuple(
        d for d in context.assessment.devices if d.for_person and d.state == cell.state and d.device in present
    )


def devices_of_place(context: Context) -> frozenset[str]:
    """Names of the protective devices that the case tells of the place of use."""
    return frozenset({context.case.wiring.circuit_breaker, context.case.household.residual_current_device.value})


def _device(context: Context, cell: StateCell) -> KeyNumber:
    label = sentence("report.first_page.device")
    household = context.case.household.residual_current_device
    told = household not in (ResidualCurrentDevice.OPEN, ResidualCurrentDevice.UNKNOWN, ResidualCurrentDevice.OTHER)
    verdicts = _present(context, cell)
    notes = [f"{d.device}: {sentence(f'report.operation.{d.operation.name.lower()}')}" for d in verdicts]
    if household is ResidualCurrentDevice.NONE:
        notes.append(sentence("report.first_page.no_residual_current_device"))
    elif not told:
        notes.append(sentence("report.first_page.device_not_told"))
    note = "; ".join(notes) or sentence("report.first_page.no_device")
    acting = [n for d in verdicts if d.operation is Operation.OPERATES and (n := context.number(d.time)) is not None]
    if acting:
        first = min(acting, key=lambda n: n.measured.value)
        value = sentence("report.first_page.within", time=format_value(first.measured.value, "s"))
        return KeyNumber(value=value, label=label, note=note, target=number_anchor(first.id))
    never = told and verdicts and all(d.operation is Operation.DOES_NOT_OPERATE for d in verdicts)
    value = sentence("report.first_page.never" if never else "report.words.not_determined")
    return KeyNumber(value=value, label=label, note=note)
