"""What learners of the demo write. Some hand in the first paragraph, some two, some all three.

{x} and {y} stand for the session's codes of the two unknowns.
"""


def paragraphs(text: str) -> tuple[str, ...]:
    """Paragraphs are parted by an empty line; a line break within one is a space."""
    return tuple(" ".join(one.split()) for one in text.strip().split("\n\n"))


CONCLUSION = paragraphs(
    """
Unknown {x} gave two spots. The lower one lies as far up the paper as alanine does on the same paper, and
the upper one level with leucine; both are purple. The distances differ by less than a millimetre, which
is what I can read on my ruler, so {x} is compatible with alanine and leucine.

Unknown {y} gave a yellow spot level with proline and a purple one low down beside lysine. Alanine and
proline lie close together, but only proline turns yellow, so the colour tells them apart where the
distance alone could not. I compared each unknown with the standards on the same paper only, because the
front on another group's paper stood several millimetres higher. The next
standard to each of them lies more than a centimetre away, which I would not misread.

Against the class my value for leucine lies a little below the median, by less than the readers differ
among themselves, so I take the difference for reading and not for the paper. My value for lysine lies
further off than that. It is the lowest spot, where one millimetre is the largest share of the distance,
and our origin line was drawn a little thick, so the difference may come from where each of us put the
ruler. I am sure of leucine in {x} and of proline in {y}, fairly sure of alanine, and least sure of lysine.
"""
)
EVALUATION = paragraphs(
    """
The front was not quite level, so lanes at the edge may be out by a millimetre. A longer run would make
one millimetre matter less.

Two steps could have moved or blurred a spot. When I applied lane 4 I touched the paper twice before it
was dry, so that spot began wider than the others and its middle is harder to judge; applying it in
smaller portions would have kept it small. When we lifted the paper out, we marked the front only after
about a minute, and by then it had crept on; that makes every ratio a little too small, all by the same
factor, which standards and unknowns share. The first mistake changes one lane, the second all of them.

Alanine and proline were the pair I could not have told apart without the colour: they lie about four
millimetres apart on a run of a hundred and eighteen. If the paper ran half as far again, the gap would
grow to about six millimetres while I still read to within one, so the two would be told apart by
distance as well. Running longer on the same paper is the change I would make first, because it alters
nothing else. I would also put a standard at each edge, so that a slanting front shows and can be
allowed for, and have two of us measure each spot before the paper is put away.
"""
)
