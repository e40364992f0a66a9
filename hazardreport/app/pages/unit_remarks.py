"""What is said at once under a field of the Unit page, from what stands in it; nothing that was typed is changed."""

from hazardreport import wording
from hazardreport.case.barcode import LENGTHS, barcode_digits, barcode_fault


def barcode_remark(text: str, *, typing: bool = False) -> tuple[str, bool]:
    """How a barcode number stands, and whether that is to be mended; while it is being typed it may be short."""
    if not text.strip():
        return "", False
    digits = barcode_digits(text)
    if typing and digits.isdigit() and len(digits) < max(LENGTHS) and len(digits) not in LENGTHS:
        return wording.sentence("window.barcode.so_far", count=len(digits)), False
    fault = barcode_fault(text)
    return wording.sentence(f"window.barcode.{fault or 'whole'}"), bool(fault)
