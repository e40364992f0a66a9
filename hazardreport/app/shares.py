"""Shares and probabilities in words: never more digits than they are good for."""

from hazardreport.wording import sentence

FEW = 0.005
RARE = 0.001
SURE = 0.999
NEARLY_SURE = 0.995
"""From here on two digits would read as 100 %."""


def share_of_adults(share: float) -> str:
    """A share of adults [1] in two digits at most, or in words.

    Examples
    --------
    >>> [share_of_adults(share) for share in (0.0, 0.0062, 0.6931, 0.995)]
    ['fewer than 1 %', 'about 0.62 %', 'about 69 %', 'nearly all']
    """
    if share < FEW:
        return sentence("window.share.few")
    if share >= 1.0 - FEW:
        return sentence("window.share.nearly_all")
    return sentence("window.share.about", percent=f"{100 * share:.2g}")


def probability(value: float) -> str:
    """A probability [1] in percent: two digits, three between 99.5 % and 99.9 %, and nothing beyond what it shows.

    Examples
    --------
    >>> [probability(value) for value in (0.00004, 0.0123, 0.5, 0.9951, 0.99996, 1.0)]
    ['< 0.1 %', '1.2 %', '50 %', '99.5 %', '> 99.9 %', '> 99.9 %']
    """
    if value < RARE:
        return "< 0.1 %"
    if value > SURE:
        return "> 99.9 %"
    return f"{100 * value:.1f} %" if value >= NEARLY_SURE else f"{100 * value:.2g} %"
