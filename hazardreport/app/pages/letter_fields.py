"""Which fields of a letter are asked, and what people see for its kinds."""

from collections.abc import Mapping

from hazardreport.app.pages.unit_places import FieldPlace, place
from hazardreport.case.letter import AttackedPoint, LetterKind

KIND_WORDS: Mapping[object, str] = {
    LetterKind.REPORT: "Report that was sent",
    LetterKind.MESSAGE: "Message that was sent",
    LetterKind.RECEIPT: "Acknowledgement of receipt",
    LetterKind.ANSWER: "Answer that came",
    LetterKind.FORWARDED: "Notice that it was forwarded",
    LetterKind.PUBLISHED: "Notice that it was published",
    LetterKind.MAKER_COMMENT: "Comment of the maker",
    LetterKind.CORRECTION_REQUEST: "Request for correction",
}
POINT_WORDS: Mapping[object, str] = {AttackedPoint.NONE: "Nothing"}

LETTER_FIELDS: tuple[FieldPlace, ...] = (
    place("letters.kind", "What it is", LetterKind, words=KIND_WORDS),
    place("letters.addressee", "Addressee", "text"),
    place("letters.whom", "To or from", "text", hint="office or firm"),
    place("letters.person", "Person there", "text"),
    place("letters.day", "Day", "text", hint="2026-05-14"),
    place("letters.means", "How", "text", hint="form on a website, post, e-mail, telephone"),
    place("letters.reference", "Reference", "text", hint="the number that they gave"),
    place("letters.text", "What it says", "long"),
    place("letters.answers", "Answers which letter", "text"),
    place("letters.answer_by", "Answer asked for by", "text", hint="2026-06-30"),
    place("letters.disputes", "Disputes", AttackedPoint, words=POINT_WORDS),
    place("letters.revision", "Revision that was sent", "text"),
    place("letters.file_sha256", "File that was sent", "text"),
    place("letters.attachments", "Attachments that hold it", "text"),
)
