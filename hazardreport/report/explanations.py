"""Why it is not an artefact of the meter: the arguments, and the explanations ranked by how well they fit."""

from hazardreport.assess.agreement import with_misfits
from hazardreport.assess.records import Rival
from hazardreport.quantity.formatting import format_chi_square
from hazardreport.report.context import Context, percent
from hazardreport.report.document import Block, Column, Items, Missing, Paragraph, Row, Runs, Table
from hazardreport.report.links import readings_of
from hazardreport.wording import sentence

MOST_AGAINST = 3
AGREES_FROM = 0.05
"""Probability from which an explanation agrees as far as its values go; a broken bound still excludes it. [1]"""


def explanations(context: Context) -> tuple[Block, ...]:
    """The section: what the readings say about each explanation, then the arguments one by one."""
    arguments = context.assessment.artefact
    if not arguments:
        missing = Missing(what=sentence("report.severity.no_artefact"), why=context.why_missing)
        return (missing, *_ranking(context))
    blocks: list[Block] = []
    for supports, key in ((True, "supports"), (False, "against"), (None, "open")):
        items: list[Runs] = []
        for argument in arguments:
            if argument.supports is supports:
                rests = (" (", *readings_of(context, argument.readings), ")") if argument.readings else ()
                items.append((argument.text, *rests))
        if items:
            blocks += [Paragraph(runs=(sentence(f"report.severity.argument_{key}"),)), Items(items=tuple(items))]
    unloaded = Paragraph(runs=(sentence("report.severity.artefact_text"),), role="small")
    return (*_ranking(context), *blocks, unloaded)


def _ranking(context: Context) -> tuple[Block, ...]:
    settled = context.assessment.settled
    if settled is None or not settled.rivals:
        why = "report.explanations.not_settled" if settled is None else "report.explanations.no_fit"
        return (Missing(what=sentence("report.explanations.none"), why=sentence(why)),)
    columns = (
        Column(title=sentence("report.explanations.explanation"), share=1.5),
        Column(title=sentence("report.explanations.assumes"), share=3.0),
        Column(title=sentence("report.explanations.agreement"), share=1.7),
        Column(title=sentence("report.explanations.difference"), share=0.8),
        Column(title=sentence("report.explanations.against"), share=2.3),
    )
    best = settled.rivals[0]
    rows = tuple(
        Row(
            strong=rival == best and rival.explains is True,
            cells=(
                (rival.name,),
                (rival.text,),
                (_agreement(rival),),
                (format_chi_square(rival.difference),),
                _against(context, rival),
            ),
        )
        for rival in settled.rivals
    )
    table = Table(
        caption=sentence("report.explanations.caption"),
        columns=columns,
        rows=rows,
        note=sentence("report.explanations.note"),
    )
    against_all = with_misfits(context.assessment)
    held = (Paragraph(runs=(against_all,)),) if against_all else ()
    return (Paragraph(runs=(summary(settled.rivals),), role="strong"), *held, table)


def summary(rivals: tuple[Rival, ...]) -> str:
    """Which explanation the readings agree with, which remain possible, which are excluded; in that order.

    An explanation remains possible if it agrees too, or if no reading is left over to test it.
    """
    agreeing = [rival.name for rival in rivals if rival.explains is True]
    untested = [rival.name for rival in rivals if rival.explains is None]
    excluded = [rival.name for rival in rivals if rival.explains is False]
    pieces = []
    if agreeing:
        pieces.append(sentence("report.explanations.explains", name=agreeing[0]))
    elif not untested:
        pieces.append(sentence("report.explanations.nothing_explains", name=rivals[0].name))
    if agreeing[1:]:
        pieces.append(sentence("report.explanations.also_possible", names=_listed(agreeing[1:])))
    if untested:
        pieces.append(sentence("report.explanations.untested", names=_listed(untested)))
    if excluded and (agreeing or untested):
        pieces.append(sentence("report.explanations.excluded", names=_listed(excluded)))
    return " ".join(pieces)


def _listed(names: list[str]) -> str:
    return "; ".join(names)


def _agreement(rival: Rival) -> str:
    """Chi-square over degrees of freedom, and P."""
    if not rival.degrees_of_freedom:
        return sentence("report.explanations.no_freedom")
    key = "report.explanations.fit" if rival.probability is not None else "report.explanations.fit_without_p"
    if rival.explains is False and rival.probability is not None and rival.probability >= AGREES_FROM:
        key = "report.explanations.fit_broken"
    return sentence(
        key,
        chi=format_chi_square(rival.chi_square),
        freedom=rival.degrees_of_freedom,
        probability="" if rival.probability is None else percent(rival.probability),
    )


def _against(context: Context, rival: Rival) -> Runs:
    if not rival.against:
        return (sentence("report.explanations.nothing"),)
    shown, more = rival.against[:MOST_AGAINST], len(rival.against) - MOST_AGAINST
    rest = (" ", sentence("report.explanations.more", count=more)) if more > 0 else ()
    if rival.explains is True:
        return (sentence("report.explanations.weakly"), " ", *readings_of(context, shown), *rest)
    return (*readings_of(context, shown), *rest)
