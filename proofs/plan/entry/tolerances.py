"""How far cutting, placing, the lab's scale and the ruler may put a plan off, in the worst case."""

from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import ZERO, Length, Size, millimetres
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowKind

_HALF = Fraction(1, 2)
_HAIR = millimetres("0.001")  # what halving leaves between two sides that are meant to be equal


@dataclass(frozen=True, slots=True)
class Cover:
    """What the mat covers, or leaves free, on two opposite sides, and how much of it may go."""

    planned: Length
    slack: Length

    @property
    def left(self) -> Length:
        """What is left in the worst case; below zero if nothing is."""
        return self.planned - self.slack


@dataclass(frozen=True, slots=True)
class Tolerances:
    """The errors of one job.

    ``cut`` is how far one cut may be off its line, ``placing`` how far a print may be off its
    place. ``share`` is the share by which a print may come out larger or smaller, and ``reading``
    how far the ruler's reading of it may be off; once a print has been measured only the second
    counts, before that only the first.
    """

    cut: Length
    placing: Length
    share: Fraction
    reading: Length

    def of_print(self, size: Size) -> Size:
        """Return how much longer or shorter each side of a print may be."""
        width, height = (side * self.share + self.reading for side in (size.width, size.height))
        return Size(width, height)

    def of_sight(self, picture: Picture, shown: Opening) -> Size:
        """Return by how much each side of what is seen may be off.

        If a cut edge ends it, that is the error of two cuts, otherwise the error of the print.
        """
        if picture.is_cut_off or shown != picture.sight:
            return Size(2 * self.cut, 2 * self.cut)
        return self.of_print(picture.image.size)

    def of_cover(self, image: Size) -> Size:
        """Return by how much less the mat may cover on the left and right, and top and bottom."""
        near = self._placed + self.cut
        return Size(
            near + image.width * self.share * _HALF, near + image.height * self.share * _HALF
        )

    def off_middle(self, covered: tuple[Length, Length], side: Length) -> Cover:
        """Return the less of what the mat covers on two sides of a print off the middle.

        ``side`` is the print's side between them. The print is placed by where less is covered, so
        its own error comes out on the other side.
        """
        near = self._placed + self.cut
        by, other = Cover(min(covered), near), Cover(max(covered), near + side * self.share)
        return by if by.left <= other.left else other

    def narrowest_border(self, mount: Mount, layout: Layout) -> Length:
        """Return the width at the face that the narrowest border has in the worst case."""
        across = down = self.cut
        if not mount.has_window:
            images = [picture.image.size for picture in layout.pictures]
            grown = max(image.width for image in images), max(image.height for image in images)
            beyond = self._placed + max(picture.untrimmed for picture in layout.pictures)
            across, down = (beyond + side * self.share * _HALF for side in grown)
        face = layout.borders_face
        return min(min(face.left, face.right) - across, min(face.top, face.bottom) - down)

    @property
    def _placed(self) -> Length:
        """The error of placing, in which that of the ruler is contained already."""
        return max(self.placing, self.reading)


def tolerances(job: Job) -> Tolerances:
    """Return the errors that cutting, placing, the lab and the ruler can cause in a job."""
    cutter = job.cutter
    if job.is_measured:
        return Tolerances(cutter.cut, cutter.placing, Fraction(0), job.reading_error)
    return Tolerances(cutter.cut, cutter.placing, Fraction(str(job.lab.scale_error)), ZERO)


def covers(job: Job, mount: Mount, layout: Layout) -> tuple[Cover, ...]:
    """Return what the mat covers of each picture, or leaves free round it.

    That is the overlap, the paper seen, or the gap round a floating print: for each picture the
    less of left and right, then the less of top and bottom. Empty without a window.
    """
    if not layout.windows:
        return ()
    errors = tolerances(job)
    found = []
    for picture in layout.pictures:
        inner, outer = _lines(mount, layout, picture)
        borders, size = inner.borders_in(outer), _print(mount, layout, picture)
        slack, overlaps = errors.of_cover(size), mount.window == WindowKind.OVERLAP
        if mount.window == WindowKind.FLOAT:
            slack = slack.extended(Size(picture.untrimmed, picture.untrimmed))
        for pair, side, middle in (
            ((borders.left, borders.right), size.width, slack.width),
            ((borders.top, borders.bottom), size.height, slack.height),
        ):
            off_middle = overlaps and max(pair) - min(pair) > _HAIR
            found.append(errors.off_middle(pair, side) if off_middle else Cover(min(pair), middle))
    return tuple(found)


def _lines(mount: Mount, layout: Layout, picture: Picture) -> tuple[Opening, Opening]:
    """The inner and the outer of the two lines that must not touch."""
    limiting = picture.cuts[-1].limiting
    if mount.window == WindowKind.OVERLAP:
        return limiting, picture.image
    return picture.paper_edge or _images(layout, picture), limiting


def _print(mount: Mount, layout: Layout, picture: Picture) -> Size:
    """The size of the image that grows with the lab's scale: pictures of one print together."""
    if mount.window == WindowKind.REVEAL:
        return _images(layout, picture).size
    return picture.image.size


def _images(layout: Layout, picture: Picture) -> Opening:
    return Opening.around(other.image for other in layout.pictures if other.cuts == picture.cuts)
