"""What a reader may answer to bytes that it was given: a result, or one of our errors, worded."""

from hazardreport import wording
from hazardreport.errors import Fault, HazardReportError
from hazardreport.storage import faults

LONGEST = 60_000
"""More characters than this are no message for a person."""


def told(error: HazardReportError) -> str:
    """The sentence and the remedy of an error, after they were found to be of a length for people.

    Raises
    ------
    AssertionError
        If the error says nothing, or says it without end.
    """
    sentence, remedy = wording.what(error), wording.remedy(error)
    assert sentence.strip(), error.key
    assert remedy.strip(), error.key
    whole = f"{sentence}\n{remedy}"
    assert len(whole) <= LONGEST, f"{error.key}: {len(whole)} characters"
    details = getattr(error, "details", ())
    assert all(isinstance(one, Fault) for one in details)
    for one in details[: faults.SHOWN]:
        assert faults.sentence(one).strip()
    return whole
