"""Worked calculations: each number that the report prints and all that it rests on, for a pocket calculator."""

from collections.abc import Iterable

from hazardreport.quantity.formatting import format_number, guard_digits
from hazardreport.quantity.trace import Number
from hazardreport.report.context import Context, number_anchor, source_text
from hazardreport.report.document import (
    Block,
    Calculation,
    CalculationInput,
    Missing,
    Paragraph,
    Part,
    Reference,
    Section,
    blocks_of,
    key_targets,
    runs_of,
)
from hazardreport.wording import sentence


def calculations(context: Context, number: int, printed: Iterable[Part]) -> Part:
    """The part on worked calculations, for the numbers that the other parts print."""
    wanted = _behind(context, _printed(printed))
    shown = [one for one in context.assessment.trace if one.id in wanted]
    blocks: tuple[Block, ...]
    if shown:
        total = len(context.numbers)
        blocks = (
            Paragraph(runs=(sentence("report.calculations.opening", shown=len(shown), total=total),)),
            *(_calculation(context, one) for one in shown),
        )
    else:
        blocks = (Missing(what=sentence("report.calculations.none"), why=context.why_missing),)
    return Part(
        key="calculations",
        number=number,
        title=sentence("report.parts.calculations"),
        sections=(Section(title="", blocks=blocks),),
    )


def _printed(parts: Iterable[Part]) -> set[str]:
    """Targets of all references of these parts."""
    targets: set[str] = set()
    for part in parts:
        for block in blocks_of(part):
            targets |= {run.target for runs in runs_of(block) for run in runs if isinstance(run, Reference)}
            targets |= key_targets(block)
    return targets


def _behind(context: Context, targets: set[str]) -> set[str]:
    pending = [key for key in context.numbers if number_anchor(key) in targets]
    wanted: set[str] = set()
    while pending:
        key = pending.pop()
        if key not in wanted:
            wanted.add(key)
            pending.extend(behind for behind in context.numbers[key].inputs if behind in context.numbers)
    return wanted


def _calculation(context: Context, number: Number) -> Calculation:
    inputs = tuple(_input(context.numbers[key]) for key in number.inputs if key in context.numbers)
    sources = tuple(dict.fromkeys(source_text(source) for source in number.sources))
    alone = sentence("report.calculations.from_inputs" if inputs else "report.calculations.no_source")
    return Calculation(
        anchor=number_anchor(number.id),
        symbol=number.symbol,
        name=number.name,
        equation=number.equation,
        inputs=inputs,
        result=format_number(number),
        guarded=guard_digits(number.measured.value, number.measured.unit),
        sources=sources or (alone,),
    )


def _input(number: Number) -> CalculationInput:
    return CalculationInput(
        symbol=number.symbol,
        name=number.name,
        value=guard_digits(number.measured.value, number.measured.unit),
        target=number_anchor(number.id),
    )
