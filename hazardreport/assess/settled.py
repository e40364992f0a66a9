"""The settled part of an assessment: what else could explain the readings, profiles, how many people."""

from hazardreport.assess.adults import shares
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Assessment, Settled
from hazardreport.assess.rivals import profiled, ranked
from hazardreport.assess.solved import Solved
from hazardreport.case.case import Case


def settle(ledger: Ledger, case: Case, assessment: Assessment, solved: Solved) -> Settled:
    """The settled part; its numbers come behind those of the live part."""
    return Settled(
        rivals=ranked(case, solved),
        profiles=profiled(ledger, solved),
        population=tuple(shares(ledger, assessment, solved.sources)),
    )
