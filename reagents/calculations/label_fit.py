"""Fits what must stand on a label into it: line breaks, letters and pictograms, so that nothing runs over."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from reagents.calculations.label_size import pictogram_width

#: Advance of a text set in bold or not, for letters of size 1.
Measure = Callable[[str, bool], float]

LINE = 1.2  # line spacing of 120 %, Regulation (EU) 2024/2865
SLACK = 1.01  # kerning is not measured
GAP_MM = 0.8
BETWEEN_MM = 0.3  # from one paragraph to the next
BESIDE_MM = 22.0  # narrower than this, words beside the pictograms would break at every turn
LARGEST_MM = 3.5  # letters larger than this read no better at arm's length
STEP_MM = 0.1
LEAST_PRECAUTIONS = 4


class TooSmall(ValueError):
    """What must stand on the label does not fit at the smallest letters and pictograms; says so."""


@dataclass(frozen=True)
class Words:
    """What a label says, each a paragraph; `precautions` may give way from the end, nothing else may."""

    title: str
    contents: tuple[str, ...]
    signal_word: str
    hazards: tuple[str, ...]
    precautions: tuple[str, ...]
    data: tuple[str, ...]
    notices: tuple[str, ...]


@dataclass(frozen=True)
class Limits:
    """Sides of the pictograms wanted and at least, of the letters likewise, and of the QR code [mm]."""

    wanted_side: float
    least_side: float
    wanted_letters: float
    least_letters: float
    qr: float


@dataclass(frozen=True)
class Block:
    """A paragraph with its line breaks; corner and width from the upper left of the printed part [mm]."""

    part: str
    left: float
    top: float
    width: float
    letters: float
    bold: bool
    lines: tuple[str, ...]

    @property
    def leading(self) -> float:
        """From one line to the next [mm]."""
        return self.letters * LINE

    @property
    def bottom(self) -> float:
        """Where the paragraph ends [mm]."""
        return self.top + len(self.lines) * self.leading


@dataclass(frozen=True)
class Spot:
    """Corner of a pictogram's square box, or of the QR code, and the box's width [mm]."""

    left: float
    top: float
    size: float


@dataclass(frozen=True)
class Fitted:
    """A label laid out: reading width and height, words, pictograms, QR code, and what gave way [mm]."""

    width: float
    height: float
    turned: bool
    blocks: tuple[Block, ...]
    pictograms: tuple[Spot, ...]
    qr: Spot
    side: float
    letters: float
    left_off: int


def wrap(text: str, width_mm: float, letters_mm: float, *, bold: bool, measure: Measure) -> tuple[str, ...]:
    """Break a paragraph into lines; a word longer than a line is cut.

    Parameters
    ----------
    text : str
        The paragraph; a no-break space holds words together [-].
    width_mm : float
        Room for a line [mm].
    letters_mm : float
        Size of the letters [mm].
    bold : bool
        Which face.
    measure : Measure
        Advance of a text at size 1 [-].

    Returns
    -------
    tuple of str
        The lines, none wider than the room.

    Raises
    ------
    TooSmall
        When not even one letter fits.

    References
    ----------
    No formula; first fit, word by word.
    """
    room = width_mm / (letters_mm * SLACK)
    lines: list[str] = []
    now, used, blank = "", 0.0, measure(" ", bold)
    for word in (piece for one in text.split(" ") if one for piece in _pieces(one, room, bold, measure)):
        long = measure(word, bold)
        if now and used + blank + long <= room:
            now, used = f"{now} {word}", used + blank + long
        else:
            lines += [now] if now else []
            now, used = word, long
    return (*lines, now) if now else tuple(lines)


def _pieces(word: str, room: float, bold: bool, measure: Measure) -> Iterator[str]:
    """A word as it is, or cut where the line ends."""
    while measure(word, bold) > room:
        kept = next((n for n in range(len(word) - 1, 0, -1) if measure(word[:n], bold) <= room), 0)
        if not kept:
            raise TooSmall("The label is narrower than a letter.")
        yield word[:kept]
        word = word[kept:]
    yield word


def fit(
    words: Words, *, width_mm: float, height_mm: float, pictograms: int, limits: Limits, measure: Measure
) -> Fitted:
    """Lay out a label so that nothing runs over it.

    Read along its longer side, unless only the other way fits. When room is short the letters shrink first,
    to the size wanted at least; then the pictograms, from the side wanted to the least one; then precautions
    are left off from the end, down to four; last, with all precautions back, the letters shrink to their very
    least size. Contents, hazards and notices never give way.

    Parameters
    ----------
    words : Words
        What it says [-].
    width_mm, height_mm : float
        Room on the label as it lies on the sheet [mm].
    pictograms : int
        How many [-].
    limits : Limits
        Sizes [mm].
    measure : Measure
        Advance of a text at size 1 [-].

    Returns
    -------
    Fitted
        The layout; `turned` when it is read along the height.

    Raises
    ------
    TooSmall
        When it does not fit even so.

    References
    ----------
    No formula. Sizes come from `label_layout.least_size`.
    """
    ways = [(height_mm, width_mm, True), (width_mm, height_mm, False)]
    if height_mm <= width_mm:
        ways.reverse()
    for across, down, turned in ways:
        try:
            found = _fit_one_way(words, across, down, pictograms, limits, measure)
        except TooSmall:
            continue
        return replace(found, turned=turned)
    raise TooSmall(
        "This label is too small for what must stand on it, even in the smallest letters allowed. "
        "Choose a sheet with larger labels."
    )


def _fit_one_way(
    words: Words, width: float, height: float, pictograms: int, limits: Limits, measure: Measure
) -> Fitted:
    shortest = list(_fewer(words.precautions))[-1]
    for least in (limits.wanted_letters, limits.least_letters):

        def trial(shown: tuple[str, ...], side: float) -> _Trial:
            said = replace(words, precautions=shown)
            return _Trial(said, width, height, pictograms, side, limits.qr, measure)

        if not trial(shortest, limits.least_side).fits(least):
            continue
        choices = [(shown, side) for shown in _fewer(words.precautions) for side in _sides(limits)]
        shown, side = next(choice for choice in choices if trial(*choice).fits(least))
        chosen = trial(shown, side)
        letters = _largest(chosen, least)
        blocks, spots, qr = chosen.lay(letters)
        left_off = len(words.precautions) - len(shown)
        return Fitted(width, height, False, blocks, spots, qr, side, letters, left_off)
    raise TooSmall("It does not fit this way round.")


def _fewer(precautions: Sequence[str]) -> Iterator[tuple[str, ...]]:
    for count in range(len(precautions), min(LEAST_PRECAUTIONS, len(precautions)) - 1, -1):
        yield tuple(precautions[:count])


def _sides(limits: Limits) -> Iterator[float]:
    side = limits.wanted_side
    while side > limits.least_side:
        yield round(side, 3)
        side -= 1
    yield limits.least_side


def _largest(trial: "_Trial", least: float) -> float:
    """The largest letters that fit, in steps from `least`, which do."""
    fits, beyond = 0, int(max(LARGEST_MM - least, 0) / STEP_MM) + 1
    while beyond - fits > 1:
        middle = (fits + beyond) // 2
        if trial.fits(least + middle * STEP_MM):
            fits = middle
        else:
            beyond = middle
    return least + fits * STEP_MM


@dataclass(frozen=True)
class _Trial:
    """One choice of pictograms and words, laid out at any size of letters."""

    words: Words
    width: float
    room_down: float
    count: int
    side: float
    qr: float
    measure: Measure

    def fits(self, letters: float) -> bool:
        try:
            blocks, spots, qr = self.lay(letters)
        except TooSmall:
            return False
        ends = [block.bottom for block in blocks] + [spot.top + spot.size for spot in (*spots, qr)]
        return max(ends) <= self.room_down

    def lay(self, letters: float) -> tuple[tuple[Block, ...], tuple[Spot, ...], Spot]:
        words = self.words
        signal = ("signal", words.signal_word, letters * 1.3, True)
        head = [("title", words.title, letters * 1.2, True)]
        head += [("contents", said, letters, False) for said in words.contents]
        blocks = self._stack(head, 0.0, 0.0, self.width)
        top = blocks[-1].bottom + GAP_MM if blocks else 0.0
        spots, qr, left, room = self._strip(top)
        top = max(spot.top + spot.size for spot in (*spots, qr)) + BETWEEN_MM
        data = [("data", said, letters, False) for said in words.data]
        below = [("data", ", ".join(words.data), letters, False)]
        if room >= BESIDE_MM:
            inside, below = [signal, *data], []
        elif room >= self.measure(words.signal_word, True) * letters * 1.3 * SLACK:
            inside = [signal]
        else:
            inside, below = [], [signal, *below]
        blocks += self._stack(inside, left, spots[0].top if spots else qr.top, room)
        top = max(top, blocks[-1].bottom + BETWEEN_MM if inside else 0.0)
        below += [("hazards", " ".join(words.hazards), letters, False)]
        below += [("precautions", " ".join(words.precautions), letters, False)]
        below += [("notice", said, letters, False) for said in words.notices]
        blocks += self._stack(below, 0.0, top, self.width)
        return tuple(blocks), spots, qr

    def _stack(
        self, paragraphs: Sequence[tuple[str, str, float, bool]], left: float, top: float, width: float
    ) -> list[Block]:
        blocks: list[Block] = []
        for part, said, letters, bold in paragraphs:
            lines = wrap(said, width, letters, bold=bold, measure=self.measure)
            if lines:
                blocks.append(Block(part, left, top, width, letters, bold, lines))
                top = blocks[-1].bottom + BETWEEN_MM
        return blocks

    def _strip(self, top: float) -> tuple[tuple[Spot, ...], Spot, float, float]:
        """Pictograms from the left, the QR code at the right; where words between begin, and their room."""
        box = pictogram_width(self.side)
        step = box + GAP_MM
        across = int((self.width + GAP_MM) / step + 1e-9)
        if self.qr > self.width or (self.count and not across):
            raise TooSmall("Not even one pictogram, or the QR code, fits across.")
        spots = tuple(
            Spot((place % across) * step, top + (place // across) * step, box) for place in range(self.count)
        )
        used = min(self.count, across) * step
        corner = self.width - self.qr
        last = spots[-1] if spots else Spot(-step, top, box)
        under = last.left + step > corner
        qr = Spot(corner, last.top + step if under else last.top, self.qr)
        one_row = not under and self.count <= across
        return spots, qr, used, corner - GAP_MM - used if one_row else 0.0
