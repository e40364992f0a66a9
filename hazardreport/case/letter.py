"""What was sent to whom, and what came back."""

from dataclasses import dataclass
from enum import StrEnum


class LetterKind(StrEnum):
    """What a letter is. The first two are sent by the submitter, the others come in."""

    REPORT = "report"
    MESSAGE = "message"
    RECEIPT = "acknowledgement of receipt"
    ANSWER = "answer"
    FORWARDED = "notice of forwarding"
    PUBLISHED = "notice of publication"
    MAKER_COMMENT = "comment of the maker"
    CORRECTION_REQUEST = "request for correction"

    @property
    def sent(self) -> bool:
        """Sent by the submitter."""
        return self in (LetterKind.REPORT, LetterKind.MESSAGE)


class AttackedPoint(StrEnum):
    """What a request for correction disputes: the four points of 16 CFR 1102.26(a)(1)."""

    NONE = "none"
    PRODUCT = "identity of the product"
    MAKER = "identity of the maker"
    HARM = "harm or risk"
    DATE = "date of the incident"


@dataclass(frozen=True, kw_only=True, slots=True)
class Letter:
    """One letter, message, form or call.

    id         "letter-001"
    kind       what it is; disputes: what a request for correction is about
    addressee  key of the profile that it belongs to, or ""
    whom       office or firm it went to or came from; person: who signed or was spoken to
    day        when it was sent or came in, ISO day
    means      own form on a website, post, e-mail, telephone
    reference  identifier that the office gave
    text       what it says, in short; for a request for correction the passage that it disputes
    answers    id of the letter that it answers, or ""
    answer_by  last day on which it asks for an answer, ISO day, or ""
    revision   of the case that was sent; 0 if none
    file_sha256   of the file that was sent, or ""
    attachments   ids of attachments that hold it
    """

    id: str
    kind: LetterKind = LetterKind.REPORT
    disputes: AttackedPoint = AttackedPoint.NONE
    addressee: str = ""
    whom: str = ""
    person: str = ""
    day: str = ""
    means: str = ""
    reference: str = ""
    text: str = ""
    answers: str = ""
    revision: int = 0
    file_sha256: str = ""
    attachments: tuple[str, ...] = ()
    answer_by: str = ""
