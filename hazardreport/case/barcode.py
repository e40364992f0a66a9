"""Check digits of trade item numbers (GTIN-8, -12, -13, -14). Says whether a number is well formed, not whose it is."""

LENGTHS = (8, 12, 13, 14)


def check_digit(digits: str) -> int:
    """The check digit of a trade item number, from its other digits.

    Parameters
    ----------
    digits : str
        All digits but the check digit, as read from left to right.

    Returns
    -------
    int
        0 to 9. [1]

    Examples
    --------
    >>> check_digit("629104150021")
    3

    References
    ----------
    gs1-check-digit.
    """
    if not _digits_only(digits):
        raise ValueError(digits)
    weighted = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(digits)))
    return -weighted % 10


def barcode_fault(text: str) -> str:
    """What is wrong with a typed barcode number, as a key of the wording of problems; "" if nothing is.

    Spaces and hyphens between digits, as printed below the bars, do not count.

    Examples
    --------
    >>> barcode_fault("6 291041 500213"), barcode_fault("6291041500214")
    ('', 'barcode_check_digit')
    """
    digits = barcode_digits(text)
    if not _digits_only(digits):
        return "barcode_not_digits"
    if len(digits) not in LENGTHS:
        return "barcode_length"
    if check_digit(digits[:-1]) != int(digits[-1]):
        return "barcode_check_digit"
    return ""


def barcode_digits(text: str) -> str:
    """The digits of a typed barcode number, without the spaces and hyphens between them."""
    return "".join(sign for sign in text if not sign.isspace() and sign not in "-\u2010\u2011")


def _digits_only(text: str) -> bool:
    return text.isascii() and text.isdigit()
