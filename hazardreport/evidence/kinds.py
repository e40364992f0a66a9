"""What a file is by its first bytes, never by its name.

Of pictures, five kinds are taken in; other kinds of pictures are known by name so that the refusal can say it. Any
other file gets a media type from a small table, and a suffix only from a list in which nothing is executable.
"""

import codecs

from hazardreport.errors import NotAPictureError, PictureTypeRefusedError

JPEG, PNG, TIFF, WEBP, HEIC = "image/jpeg", "image/png", "image/tiff", "image/webp", "image/heic"
PICTURES = {JPEG: ".jpg", PNG: ".png", TIFF: ".tif", WEBP: ".webp", HEIC: ".heic"}
"""Kinds that are taken in as pictures, with the suffix of their files in the case."""

UNKNOWN = "application/octet-stream"
START = 4096
"""How much of a file is looked at. [byte]"""

_PICTURE_STARTS = (
    (0, b"\xff\xd8\xff", JPEG),
    (0, b"\x89PNG\r\n\x1a\n", PNG),
    (0, b"II*\x00", TIFF),
    (0, b"MM\x00*", TIFF),
    (0, b"II+\x00", TIFF),
    (0, b"MM\x00+", TIFF),
)
_OTHER_PICTURES = (
    (0, b"GIF87a", "GIF", "image/gif"),
    (0, b"GIF89a", "GIF", "image/gif"),
    (0, b"BM", "BMP", "image/bmp"),
    (0, b"\x00\x00\x00\x0cjP  ", "JPEG 2000", "image/jp2"),
    (0, b"\x00\x00\x00\x0cJXL ", "JPEG XL", "image/jxl"),
    (0, b"\xff\x0a", "JPEG XL", "image/jxl"),
    (0, b"8BPS", "PSD", "image/vnd.adobe.photoshop"),
)
_RAW_STARTS = ((8, b"CR\x02"), (4, b"ftypcrx "), (0, b"FUJIFILMCCD-RAW"), (0, b"IIRO"), (0, b"IIU\x00"))
RAW, RAW_TYPE = "camera raw", "image/x-raw"

_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"}
_AVIF_BRANDS = {b"avif", b"avis"}
_PICTURE_CONTAINERS = {b"mif1", b"msf1", b"mif2"}
_QUICKTIME = {b"qt  "}

_STARTS = (
    (0, b"%PDF-", "application/pdf"),
    (0, b"PK\x03\x04", "application/zip"),
    (0, b"PK\x05\x06", "application/zip"),
    (0, b"7z\xbc\xaf\x27\x1c", "application/x-7z-compressed"),
    (0, b"\x1f\x8b\x08", "application/gzip"),
    (0, b"OggS", "application/ogg"),
    (0, b"fLaC", "audio/flac"),
    (0, b"ID3", "audio/mpeg"),
    (4, b"moov", "video/quicktime"),
    (4, b"mdat", "video/quicktime"),
    (4, b"wide", "video/quicktime"),
    (0, b"{\\rtf", "application/rtf"),
    (0, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "application/x-ole-storage"),
)
_SUFFIXES = {
    **PICTURES,
    "image/gif": ".gif",
    "image/bmp": ".bmp",
    "image/jp2": ".jp2",
    "image/jxl": ".jxl",
    "image/avif": ".avif",
    "application/pdf": ".pdf",
    "application/zip": ".zip",
    "application/x-7z-compressed": ".7z",
    "application/gzip": ".gz",
    "application/ogg": ".ogg",
    "application/rtf": ".rtf",
    "audio/flac": ".flac",
    "audio/mpeg": ".mp3",
    "audio/wav": ".wav",
    "video/mp4": ".mp4",
    "video/quicktime": ".mov",
    "video/webm": ".webm",
    "video/x-matroska": ".mkv",
    "video/x-msvideo": ".avi",
    "text/plain": ".txt",
}
_OWN_SUFFIXES = {
    "application/zip": {".docx", ".xlsx", ".pptx", ".odt", ".ods", ".odp", ".epub"},
    "application/x-ole-storage": {".doc", ".xls", ".ppt", ".msg"},
    "application/ogg": {".oga", ".ogv", ".opus"},
    "text/plain": {".csv", ".md", ".log", ".json", ".toml", ".eml", ".tsv"},
    "video/mp4": {".m4v", ".m4a", ".3gp"},
    RAW_TYPE: {".dng", ".cr2", ".cr3", ".nef", ".arw", ".raf", ".orf", ".rw2"},
    "image/tiff": {".dng", ".nef", ".arw"},
}
"""Suffixes of the original name that are kept, because the content agrees and no system runs such a file."""


def media_type(start: bytes, name: str) -> str:
    """Kind of a picture.

    Raises
    ------
    PictureTypeRefusedError
        If it is a picture of a kind that is not taken in.
    NotAPictureError
        If it is no picture that we know.
    """
    kind, refused = _picture(start)
    if refused:
        raise PictureTypeRefusedError(name=name, type=refused)
    if not kind:
        raise NotAPictureError(name=name)
    return kind


def is_picture(start: bytes) -> bool:
    """Whether it is a picture of any kind that we know, be it taken in or not."""
    return _picture(start) != ("", "")


def any_type(start: bytes) -> str:
    """Media type of any file; `UNKNOWN` if its first bytes tell nothing."""
    kind, _ = _picture(start)
    if kind:
        return kind
    for offset, magic, media in _STARTS:
        if start.startswith(magic, offset):
            return media
    if start[4:8] == b"ftyp":
        return "video/quicktime" if start[8:12] in _QUICKTIME else "video/mp4"
    if start.startswith(b"RIFF"):
        return {b"AVI ": "video/x-msvideo", b"WAVE": "audio/wav"}.get(start[8:12], UNKNOWN)
    if start.startswith(b"\x1a\x45\xdf\xa3"):
        return "video/webm" if b"webm" in start[:64] else "video/x-matroska"
    return "text/plain" if _is_text(start) else UNKNOWN


def suffix(type: str, name: str) -> str:
    """Suffix of an attachment's file in the case; ".bin" for what is not known.

    >>> suffix("application/pdf", "invoice.exe"), suffix(UNKNOWN, "tool.exe"), suffix("text/plain", "Log.CSV")
    ('.pdf', '.bin', '.csv')
    """
    _, point, last = name.rpartition(".")
    own = f".{last.lower()}" if point else ""
    return own if own in _OWN_SUFFIXES.get(type, ()) else _SUFFIXES.get(type, ".bin")


def _picture(start: bytes) -> tuple[str, str]:
    """Media type of a picture, and its name if that kind is not taken in; two empty texts if it is none."""
    for offset, magic in _RAW_STARTS:
        if start.startswith(magic, offset):
            return RAW_TYPE, RAW
    for offset, magic, media in _PICTURE_STARTS:
        if start.startswith(magic, offset):
            return media, ""
    for offset, magic, name, media in _OTHER_PICTURES:
        if start.startswith(magic, offset) and (magic != b"BM" or start[6:10] == bytes(4)):
            return media, name
    if start.startswith(b"RIFF") and start[8:12] == b"WEBP":
        return WEBP, ""
    return _picture_in_boxes(start) if start[4:8] == b"ftyp" else ("", "")


def _picture_in_boxes(start: bytes) -> tuple[str, str]:
    length = int.from_bytes(start[:4], "big")
    major, brands = start[8:12], {start[place : place + 4] for place in range(16, min(length, len(start)) - 3, 4)}
    if major in _AVIF_BRANDS or (major in _PICTURE_CONTAINERS and brands & _AVIF_BRANDS):
        return "image/avif", "AVIF"
    return (HEIC, "") if major in _HEIC_BRANDS | _PICTURE_CONTAINERS else ("", "")


def _is_text(start: bytes) -> bool:
    """UTF-8 without control characters; where the start is cut off, its last character may be."""
    try:
        text = codecs.getincrementaldecoder("utf-8")().decode(start, final=len(start) < START)
    except UnicodeDecodeError:
        return False
    return all(sign >= " " or sign in "\t\n\r\f" for sign in text) and "\x7f" not in text
