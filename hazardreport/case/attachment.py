"""Files that belong to the case and are no pictures: documents, short videos, anything else."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Attachment:
    """One file as it came.

    id             "attachment-002"
    file           name in the case's folder of attachments: "attachment-002.pdf"
    original_name  as it came, odd characters escaped
    media_type     by its first bytes, "application/octet-stream" if they tell nothing
    sha256         of the bytes, hexadecimal
    size           [byte]
    imported       when it was copied in, ISO 8601 UTC
    caption        what it is, for people
    still          id of the picture that stands for a video in the report, or ""
    """

    id: str
    file: str
    original_name: str
    media_type: str
    sha256: str
    size: int
    imported: str = ""
    caption: str = ""
    still: str = ""
