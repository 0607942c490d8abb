"""What help one learner may see: the session's setting, or more if it was released to them."""

from typing import cast

from practicals.calculations.shown_help import Setting, higher_setting
from practicals.models.measuring import HelpReleased
from practicals.models.people import User
from practicals.models.session import Session


def help_setting_for(session: Session, learner: User) -> Setting:
    """The higher of both, in one query."""
    released = HelpReleased.objects.filter(session=session, learner=learner).order_by()
    settings = [session.help_setting, *released.values_list("setting", flat=True)]
    return higher_setting(*(cast(Setting, setting) for setting in settings))


def higher_than(setting: Setting) -> list[tuple[str, str]]:
    """The settings that show more than this one, as choices."""
    choices = {str(value): str(label) for value, label in Session.Help.choices}
    values = list(choices)
    return [(value, choices[value]) for value in values[values.index(setting) + 1 :]]
