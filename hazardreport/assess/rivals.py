"""What else could explain the readings: each explanation fitted to the same readings, ranked, in words."""

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import ParameterProfile, Rival
from hazardreport.assess.solved import Solved
from hazardreport.assess.source import method
from hazardreport.case.case import Case
from hazardreport.circuit.free_parameters import RESISTIVE, SYMBOL, UNIT
from hazardreport.circuit.misfit import profiles
from hazardreport.circuit.rivals import RivalFit, rivals
from hazardreport.errors import NothingToFitError

TOLD_APART = 2.0
"""Difference of scores from which two explanations are told apart (choice); below, the fault stands first. [1]"""


def ranked(case: Case, solved: Solved) -> tuple[Rival, ...]:
    """The explanations, the best first; none without a fit of readings at the part.

    One that joins none of the points that were read stands last, contradicted by every reading; one that this wiring
    does not have is left out.
    """
    if solved.base is None:
        return ()
    found = [
        item
        for item in rivals(solved.seen, case.wiring, solved.base)
        if item.fit is not None or isinstance(item.refused, NothingToFitError)
    ]
    level = [item for item in found if item.explains is not False and item.difference < TOLD_APART]
    first = [item for item in level if item.key == RESISTIVE.key]
    return tuple(
        _rival(item, level=len(level) > 1 and item in level)
        for item in (*first, *(item for item in found if item not in first))
    )


def _rival(item: RivalFit, *, level: bool) -> Rival:
    entry = f"assess.rival.{item.key}"
    name = wording.sentence(f"{entry}.name", element=item.element or "")
    standing = {True: "explains", False: "contradicted" if item.against else "apart", None: "untested"}[item.explains]
    standing = "level" if level else standing
    return Rival(
        key=item.key,
        name=name,
        text=" ".join(
            (
                wording.sentence(f"{entry}.assumes", element=item.element or ""),
                wording.sentence(f"assess.rival.standing.{standing}", count=len(item.against)),
            )
        ),
        chi_square=item.chi_square if item.fit is not None else float("inf"),
        degrees_of_freedom=item.dof,
        probability=item.probability,
        score=item.score,
        difference=item.difference,
        explains=item.explains,
        against=item.against,
    )


def profiled(ledger: Ledger, solved: Solved) -> tuple[ParameterProfile, ...]:
    """Intervals of the parameters of which a covariance tells too little, written down."""
    if solved.network is None or solved.network.result.consistent is False:
        return ()
    found = []
    for name, low, high in profiles(solved.network.result):
        symbol = SYMBOL[name]
        number = solved.network.ids.get(symbol)
        if number is None:
            continue
        ends = []
        for side, value in (("low", low), ("high", high)):
            if value is None:
                ends.append("")
                continue
            ends.append(
                ledger.enter(
                    f"profile.{symbol}.{side}",
                    f"profile_{side}",
                    symbol,
                    value,
                    UNIT[name],
                    equation="95 % end by profile: the sum of squares with all other parameters fitted anew",
                    inputs=(number,),
                    sources=method("fit"),
                    fields={"parameter": ledger[number].name},
                )
            )
        found.append(ParameterProfile(symbol=symbol, number=number, low=ends[0], high=ends[1]))
    return tuple(found)
