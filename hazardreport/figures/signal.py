"""The signal panel: ground, letters and alert triangle of a signal word."""

from collections.abc import Iterator

from hazardreport.figures.drawing import Drawing, Fill, Ink, Shape, Stroke
from hazardreport.figures.inks import FAINT, SIGNAL_INKS
from hazardreport.figures.pieces import centred, rounded
from hazardreport.figures.text_width import CAP_HEIGHT, fitted_size, text_width
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import sentence

LEADING = 1.15
ALERTS = {SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION, SignalWord.NOT_EXCLUDED}


def alert_triangle(x: float, y: float, height: float, ink: Ink, ground: Ink, sign: str = "!") -> Iterator[Shape]:
    """A filled triangle with round corners, standing on `y`, and a sign in it in the colour of the ground."""
    half = height * 0.58
    tips = ((x, y - height), (x + half, y), (x - half, y))
    inset = height * 0.06
    centre = (x, y - height / 3)
    inner = tuple((centre[0] + (tx - centre[0]) * 0.9, centre[1] + (ty - centre[1]) * 0.9) for tx, ty in tips)
    yield Fill(points=inner, ink=ink)
    yield Stroke(points=inner, ink=ink, width=2 * inset, closed=True)
    size = height * 0.66 / CAP_HEIGHT
    yield centred(x, y - height * 0.36, sign, size * 0.82, ground, bold=True)


def _set(text: str, width: float, height: float, capitals: float) -> tuple[tuple[str, ...], float]:
    """The word on one line or two, whichever is larger, capitals at most that share of the height."""
    most = height * capitals / CAP_HEIGHT
    one = fitted_size(text, most, width, bold=True)
    words = text.split()
    best: tuple[tuple[str, ...], float] = ((text,), one)
    for cut in range(1, len(words)):
        lines = (" ".join(words[:cut]), " ".join(words[cut:]))
        size = min(fitted_size(line, most, width, bold=True) for line in lines)
        size = min(size, height * 0.8 / (LEADING + CAP_HEIGHT))
        if size > best[1] * 1.3:
            best = (lines, size)
    return best


def signal_panel(word: SignalWord, width: float, height: float) -> Drawing:
    """A panel with the signal word.

    Parameters
    ----------
    word : SignalWord
        The three words for injuries stand on their safety colour with the alert triangle; a hazard that is not excluded
        stands on blue with a question in the triangle; the others on a quiet ground without it.
    width, height : float
        Size of the panel. [mm]

    Returns
    -------
    Drawing
        One line or two, centred, as large as fits.
    """
    ground, ink = SIGNAL_INKS[word]
    outline = rounded((0.1, 0.1, width - 0.1, height - 0.1), min(1.2, height / 6))
    shapes: list[Shape] = [Fill(points=outline, ink=ground)]
    if word not in ALERTS:
        shapes.append(Stroke(points=outline, ink=FAINT, width=0.2, closed=True))
    triangle = height * 0.62 if word in ALERTS else 0.0
    space = triangle * 1.16 + height * 0.22 if triangle else 0.0
    lines, size = _set(word.value, width - height * 0.5 - space, height, 0.58 if word in ALERTS else 0.25)
    if triangle and size < height * 0.2:
        triangle = space = 0.0
        lines, size = _set(word.value, width - 2.0, height, 0.58)
    letters = max(text_width(text, size, bold=True) for text in lines)
    start = (width - letters - space) / 2
    if triangle:
        sign = "?" if word is SignalWord.NOT_EXCLUDED else "!"
        middle = start + triangle * 0.58
        shapes.extend(alert_triangle(middle, height / 2 + triangle * 0.47, triangle, ink, ground, sign))
    for row, text in enumerate(lines):
        y = height / 2 + (row - (len(lines) - 1) / 2) * size * LEADING
        shapes.append(centred(start + space + letters / 2, y, text, size, ink, bold=True))
    description = sentence("figures.signal.description", word=word.value)
    return Drawing(width=width, height=height, description=description, shapes=tuple(shapes))
