"""Where the pictures of a run were finished: the light or screen that judging is compared with."""

from dataclasses import dataclass

from proofs.errors import ProfileError
from proofs.outside.profiles import ProfileFolders
from proofs.plan.tones.appearance import Viewing
from proofs.plan.tones.viewing import viewing_on_screen
from proofs.records.lights import DEFAULT_FINISHED_UNDER, Light, Screen, read_screen


@dataclass(frozen=True, slots=True)
class FinishedUnder:
    """Where pictures were finished: on prints in a ``light``, or on a ``screen``.

    ``is_assumed`` is True if the user has not said it.
    """

    light: Light | None
    screen: Screen | None = None
    is_assumed: bool = False

    @property
    def viewing(self) -> Viewing:
        """How they were viewed there."""
        if self.screen:
            return viewing_on_screen(self.screen.white, self.screen.room_lux)
        assert self.light, "one of the two is known"
        return Viewing(self.light.lux)

    @property
    def words(self) -> str:
        """What it is, and whether that is assumed, in words."""
        found = self.screen.words if self.screen else ""
        if self.light:
            named = self.light.name != self.light.title
            found = f"{self.light.name}, {self.light.lux:g} lx" if named else self.light.name
        return f"{found} (assumed)" if self.is_assumed else found


def finished_under(folders: ProfileFolders, text: str) -> FinishedUnder:
    """Return where pictures were finished: a screen, the name of a light, or a lux figure.

    A blank text stands for the light that is usual. Raises ``ProfileError``.
    """
    try:
        screen = read_screen(text)
    except ValueError as error:
        raise ProfileError(f"finished_under: {error}") from None
    if screen:
        return FinishedUnder(None, screen)
    light = folders.light(text or DEFAULT_FINISHED_UNDER)
    return FinishedUnder(light, is_assumed=not text)
