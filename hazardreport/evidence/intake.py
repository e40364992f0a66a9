"""A file is taken in: original bytes untouched, hashed in the same read, a picture decoded once to prove it whole.

A file is in or it is not: until it has been proved it lives under a hidden name, and the last step is one rename.
An existing file is never overwritten. Many files at once: `hazardreport.evidence.batch`.
"""

from pathlib import Path

from hazardreport.case.attachment import Attachment
from hazardreport.case.picture import Picture
from hazardreport.evidence import disk
from hazardreport.evidence.kinds import PICTURES, any_type, media_type, suffix
from hazardreport.evidence.names import kept_name, shown_name
from hazardreport.evidence.proof import Proof, proved
from hazardreport.evidence.settling import Staged, settled
from hazardreport.evidence.source import Copy, Place, copied, place_of_attachment, place_of_picture


def take_in(source: Path, folder: Path, id: str, imported: str) -> Picture:
    """The record of a picture whose bytes now lie in the folder of pictures.

    Parameters
    ----------
    source : Path
        The file as it came; links are followed, its bytes are read once.
    folder : Path
        The case's folder of pictures; made if it is not there.
    id : str
        Id of the new picture, which also names its file: "picture-003".
    imported : str
        When, ISO 8601 UTC.

    Raises
    ------
    PictureFileMissingError, NotAFileError, EmptyFileError, CouldNotReadError, FileChangedWhileReadError
        If there is nothing to read, or it changed meanwhile.
    NotAPictureError, PictureTypeRefusedError, PictureFileTooBigError, PictureTooLargeError, PictureDamagedError
        If it is no whole picture of a kind in `kinds.PICTURES` within the limits.
    CouldNotWriteError
        If the folder cannot be written. In every case nothing is left in the folder.
    """
    name = shown_name(source.name)
    part = folder / f".{id}.part"
    copy = copied(source, lambda start: place_for_picture(start, part, name))
    kind = media_type(copy.start, name)
    try:
        proof = proved(part, kind, name)
    except BaseException:
        disk.gone(part)
        raise
    result = settled(folder, [Staged(part=part, id=id, suffix=PICTURES[kind])])
    result.done()
    return picture_record(source, id, result.files[0].name, kind, copy, proof, imported)


def take_in_attachment(source: Path, folder: Path, id: str, imported: str) -> Attachment:
    """The record of a file of any kind whose bytes now lie in the folder of attachments.

    Its suffix there comes from its content; only a few harmless ones of the original name are kept.

    Parameters
    ----------
    source : Path
        The file as it came; links are followed, its bytes are read once.
    folder : Path
        The case's folder of attachments; made if it is not there.
    id : str
        Id of the new attachment, which also names its file: "attachment-002".
    imported : str
        When, ISO 8601 UTC.

    Raises
    ------
    PictureFileMissingError, NotAFileError, EmptyFileError, CouldNotReadError, FileChangedWhileReadError
        If there is nothing to read, or it changed meanwhile.
    AttachmentTooBigError
        If it has more bytes than `source.ATTACHMENT_BYTES`.
    CouldNotWriteError
        If the folder cannot be written. In every case nothing is left in the folder.
    """
    part = folder / f".{id}.part"
    copy = copied(source, lambda _: place_of_attachment(part))
    kind = any_type(copy.start)
    result = settled(folder, [Staged(part=part, id=id, suffix=suffix(kind, source.name))])
    result.done()
    return attachment_record(source, id, result.files[0].name, kind, copy, imported)


def place_for_picture(start: bytes, part: Path, name: str) -> Place:
    """The place for a file that begins as a picture; another file is refused before it is copied."""
    media_type(start, name)
    return place_of_picture(part)


def picture_record(source: Path, id: str, file: str, kind: str, copy: Copy, proof: Proof, imported: str) -> Picture:
    """The record of a picture that is in."""
    return Picture(
        id=id,
        file=file,
        original_name=kept_name(source.name),
        media_type=kind,
        sha256=copy.sha256,
        size=copy.size,
        width=proof.width,
        height=proof.height,
        orientation=proof.claims.orientation,
        claimed_time=proof.claims.claimed_time,
        imported=imported,
        camera=proof.claims.camera,
        has_position=proof.claims.has_position,
    )


def attachment_record(source: Path, id: str, file: str, kind: str, copy: Copy, imported: str) -> Attachment:
    """The record of an attachment that is in."""
    return Attachment(
        id=id,
        file=file,
        original_name=kept_name(source.name),
        media_type=kind,
        sha256=copy.sha256,
        size=copy.size,
        imported=imported,
    )
